/*
 * candidates.c - stretches of steady, round vein of healthy calibre, and the
 * best of them on each side of the worst narrowing of a part.
 *
 * Every window of REFERENCE_MM is scored. The best is lengthened to where it
 * scores best and taken, all that overlap it are struck out, and so on; those
 * taken come in the order of what they score then.
 */
#include "assess/search.h"

#include "base/circle.h"
#include "base/constants.h"
#include "pullback/normals.h"

#include <math.h>

/* Kept at least from a narrowing's shoulder, where the calibre still rises. */
#define MARGIN_MM 3.0
/* Below this share of the normal area steady vein is not taken for healthy.
 * Where the vein is not known, it is a share of the smallest normal, and a
 * larger one (LOW_NORMAL_SHARE): a wider vein that is scarred looks like a
 * small one. */
#define SCARRED_SHARE 0.6
/* But healthy vein beside it tells how wide this one is to be: no less than so
 * much of the diameter of that cranial of it. Nominal diameters fall by 12 to
 * 14 % (16, 14, 12 mm). */
#define NEXT_SHARE 0.8
/* Cranial of a confluence a vein is no smaller than the second smallest, of two
 * the third: so large a share of that normal is asked for. */
#define STEPPED_SHARE 0.7
/* What a window is worth that is no candidate. */
#define WORTHLESS (-1.0)

double candidates_mean_mm(const search *in, size_t first, size_t last) {
    return (in->total[last + 1] - in->total[first]) /
           (double)(last - first + 1);
}

/* The normal area that a vein is held to; NaN when none is known. */
static double normal_of(const search *in, bl_vein vein) {
    double normal = workings_normal_area_mm2(in->work, vein);
    if (isnan(normal) && vein == BL_VEIN_CAVA) {
        normal = bl_published_of(vein, "").median_area_mm2;
    }
    return isnan(normal) ? workings_normal_area_mm2(
                               in->work, workings_least_normal(in->work, 0))
                         : normal;
}

/* The area that vein must have of which marks do not tell what it is. */
static double least_unknown_mm2(const search *in, size_t part,
                                double cranial_mm) {
    const workings *work = in->work;
    double normal = normal_of(in, BL_VEIN_UNKNOWN);
    double least = LOW_NORMAL_SHARE * normal;
    if (cranial_mm > 0.0 && !isnan(normal)) {
        double next = circle_area_mm2(NEXT_SHARE * cranial_mm);
        least = fmax(SCARRED_SHARE * normal, fmin(least, next));
    }
    size_t steps =
        divisions_steps_caudal(&in->parts, part, work->pullback->travel);
    bl_vein vein = workings_least_normal(work, steps);
    double told = STEPPED_SHARE * workings_normal_area_mm2(work, vein);
    return steps > 0 ? fmax(least, told) : least;
}

/* The diameter that steady vein of this part must have to be taken for
 * healthy, where healthy vein cranial of it is so wide; 0: none is known. */
static double least_diameter_mm(const search *in, size_t part,
                                double cranial_mm) {
    if (in->small_too) {
        return 0.0;
    }
    bl_vein vein = in->parts.pieces[part].vein;
    double least = vein == BL_VEIN_UNKNOWN
                       ? least_unknown_mm2(in, part, cranial_mm)
                       : SCARRED_SHARE * normal_of(in, vein);
    /* A user's table may tell nothing at all. */
    return isnan(least) ? 0.0 : circle_diameter_mm(least);
}

/* The window scored, when it is a candidate within the bounds; without a score
 * otherwise. Its frames but `joining` are known to be. */
static window longer(const search *in, const side *on, size_t first,
                     size_t last, size_t joining) {
    const bl_profile_point *points = in->work->profile.points;
    double x = points[joining].position_mm;
    bool serves =
        in->healthy[joining] && !in->taken[joining] &&
        x >= on->bounds.from_mm && x <= on->bounds.to_mm &&
        points[last].position_mm - points[first].position_mm <= WINDOW_MAX_MM &&
        score_spread(in, first, last) < HUGE_VAL;
    window out = {first, last, {.total = WORTHLESS}};
    if (serves) {
        out.score = score_of(in, first, last, on->near_mm);
    }
    return out;
}

/* The window as long as it scores best, grown frame by frame to the better
 * side. */
static window lengthen(const search *in, const side *on, window from) {
    const profile *along = &in->work->profile;
    const bl_profile_point *points = along->points;
    window now = from;
    window best = from;
    while (now.score.total >= 0.0) {
        window after = {.score = {.total = WORTHLESS}};
        window before = after;
        if (now.last + 1 < along->count && !points[now.last + 1].after_gap) {
            after = longer(in, on, now.first, now.last + 1, now.last + 1);
        }
        if (!points[now.first].after_gap) {
            before = longer(in, on, now.first - 1, now.last, now.first - 1);
        }
        now = after.score.total > before.score.total ? after : before;
        best = now.score.total >= best.score.total ? now : best;
    }
    return best;
}

/* Scores the window that ends at `last`, of frames healthy and without gap. */
static double worth_of(const search *in, const side *on, size_t first,
                       size_t last) {
    const bl_profile_point *points = in->work->profile.points;
    bool serves =
        points[last].position_mm - points[first].position_mm >= REFERENCE_MM &&
        candidates_mean_mm(in, first, last) >= on->least_mm &&
        score_spread(in, first, last) < HUGE_VAL;
    return serves ? score_of(in, first, last, on->near_mm).total : WORTHLESS;
}

/* Fills worth and start between the side's first frame and before `end`, which
 * is returned. */
static size_t rate(search *in, const side *on, size_t from) {
    const profile *along = &in->work->profile;
    const bl_profile_point *points = along->points;
    size_t first = from;
    size_t last = from;
    for (; last < along->count && points[last].position_mm <= on->bounds.to_mm;
         last++) {
        in->taken[last] = false;
        in->worth[last] = WORTHLESS;
        if (!in->healthy[last]) {
            first = last + 1;
            continue;
        }
        if (points[last].after_gap) {
            first = last;
        }
        while (first + 1 <= last &&
               points[last].position_mm - points[first + 1].position_mm >=
                   REFERENCE_MM) {
            first++;
        }
        in->start[last] = first;
        in->worth[last] = worth_of(in, on, first, last);
    }
    return last;
}

/* Takes the window's frames, and strikes out what overlaps it. */
static void take(search *in, const window *one, size_t end) {
    for (size_t i = one->first; i <= one->last; i++) {
        in->taken[i] = true;
        in->worth[i] = WORTHLESS;
    }
    for (size_t i = one->last + 1;
         i < end && (in->worth[i] < 0.0 || in->start[i] <= one->last); i++) {
        in->worth[i] = WORTHLESS;
    }
}

/* Into its place among those of the side, best first. */
static void insert(side *on, window one) {
    size_t at = on->count++;
    for (; at > 0 && on->list[at - 1].score.total < one.score.total; at--) {
        on->list[at] = on->list[at - 1];
    }
    on->list[at] = one;
}

/* How many of the windows left do not overlap each other. */
static size_t count_left(const search *in, size_t from, size_t end) {
    size_t count = 0;
    size_t beyond = from;
    for (size_t i = from; i < end; i++) {
        if (in->worth[i] >= 0.0 && in->start[i] >= beyond) {
            count++;
            beyond = i + 1;
        }
    }
    return count;
}

static void fill_side(search *in, side *on) {
    size_t from = profile_lower_bound(&in->work->profile, on->bounds.from_mm);
    size_t end = rate(in, on, from);
    while (on->count < CANDIDATES_MOST) {
        size_t best = from;
        for (size_t i = from; i < end; i++) {
            best = in->worth[i] > in->worth[best] ? i : best;
        }
        if (best >= end || in->worth[best] < 0.0) {
            break;
        }
        window one = {.first = in->start[best], .last = best};
        one.score = score_of(in, one.first, one.last, on->near_mm);
        one = lengthen(in, on, one);
        take(in, &one, end);
        insert(on, one);
    }
    on->more = count_left(in, from, end);
}

/* Every narrowing under the reference of this round, in `round`. */
static bl_status narrowings_of(const search *in, const reference *now,
                               arena *round, bl_narrowing **list,
                               size_t *count) {
    workings work = *in->work;
    work.reference = *now;
    work.owner = round;
    return narrowing_find(&work, list, count);
}

/* The worst of those that reach into the part; NULL when none does. */
static const bl_narrowing *worst_in(bl_span part, const bl_narrowing *list,
                                    size_t count) {
    const bl_narrowing *worst = NULL;
    for (size_t i = 0; i < count; i++) {
        bool reaches = list[i].shoulders.to_mm > part.from_mm &&
                       list[i].shoulders.from_mm < part.to_mm;
        if (reaches && (worst == NULL || list[i].worst.area_stenosis_pct >
                                             worst->worst.area_stenosis_pct)) {
            worst = &list[i];
        }
    }
    return worst;
}

static sides choose_in(search *in, size_t part, const bl_narrowing *worst,
                       double cranial_mm) {
    bl_span all = search_traced(in, part);
    double least = least_diameter_mm(in, part, cranial_mm);
    double middle = 0.5 * (all.from_mm + all.to_mm);
    side before = {.bounds = {all.from_mm, middle},
                   .near_mm = all.from_mm,
                   .least_mm = least};
    side after = {
        .bounds = {middle, all.to_mm}, .near_mm = all.to_mm, .least_mm = least};
    if (worst != NULL) {
        bl_span around = worst->shoulders;
        double margins[2] = {
            flanks_of_narrowing_mm(around.from_mm, worst->span.from_mm),
            flanks_of_narrowing_mm(around.to_mm, worst->span.to_mm)};
        before.bounds.to_mm =
            fmin(around.from_mm - fmax(margins[0], MARGIN_MM), all.to_mm);
        after.bounds.from_mm =
            fmax(around.to_mm + fmax(margins[1], MARGIN_MM), all.from_mm);
        before.near_mm = before.bounds.to_mm;
        after.near_mm = after.bounds.from_mm;
    }
    fill_side(in, &before);
    fill_side(in, &after);
    return (sides){{before, after}};
}

/* The diameter of the best stretch found on the caudal side, or on the other;
 * `otherwise` where there is none. */
static double most_caudal_mm(const search *in, const sides *found,
                             bool caudally, double otherwise) {
    for (size_t k = 0; k < 2; k++) {
        const side *on = &found->of[caudally ? 1 - k : k];
        if (on->count > 0) {
            return candidates_mean_mm(in, on->list[0].first, on->list[0].last);
        }
    }
    return otherwise;
}

bl_status candidates_choose(search *in, const reference *now,
                            sides out[REFERENCE_PIECES]) {
    arena round = {0};
    bl_narrowing *list = NULL;
    size_t count = 0;
    bl_status status = narrowings_of(in, now, &round, &list, &count);
    double cranial_mm = 0.0;
    bool caudally = in->work->pullback->travel == BL_END_CAUDAL;
    for (size_t k = 0; status == BL_OK && k < in->parts.count; k++) {
        size_t i = caudally ? k : in->parts.count - 1 - k;
        out[i] = choose_in(in, i, worst_in(search_traced(in, i), list, count),
                           cranial_mm);
        cranial_mm = most_caudal_mm(in, &out[i], caudally, cranial_mm);
    }
    arena_free(&round);
    return status;
}
