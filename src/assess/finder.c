/*
 * finder.c - a first honest search for healthy vein.
 *
 * A candidate is REFERENCE_MM of vein at or below the shoulder level, not
 * flattened, without a flagged frame or a gap, of stable calibre. Narrowing
 * and reference depend on each other, so the search starts from a provisional
 * taper between the larger calibres of either half, and is repeated with what
 * it found until the same stretches come back. With a narrowing the best
 * candidate on each side of the worst one is taken, nearness counting against
 * unsteadiness; without one, one in each half, nearness to its end of the vein
 * counting. All limits here are our own measures.
 *
 * Shape alone cannot tell a uniformly scarred vein from a healthy one;
 * warning.c holds what is found against the published normals.
 */
#include "assess/workings.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/message.h"
#include "profile/median.h"
#include "pullback/veins.h"

#include <math.h>

#define ROUNDS_MAX 10
/* Kept from a narrowing's shoulder, where the calibre still rises. */
#define MARGIN_MM 3.0
/* Standard deviation and end-to-end trend of the diameter in a window, as a
 * share of its mean. */
#define STEADY_SHARE 0.06
#define TREND_SHARE 0.10
/* A window is lengthened while it stays a candidate, up to this. */
#define WINDOW_MAX_MM 20.0
/* A millimetre further away counts as much as this share of unsteadiness. */
#define DISTANCE_COST_PER_MM (STEADY_SHARE / 50.0)
#define UPPER_QUARTILE 0.75
/* The provisional calibre of a half: what a tenth of it exceeds, but no less
 * than what the larger half tapers to (published nominal diameters fall from
 * 16 mm, common iliac, to 12 mm, common femoral). */
#define UPPER_TENTH 0.90
#define TAPER_MOST 0.75

typedef struct window {
    size_t first;
    size_t last;
    double cost; /* HUGE_VAL: none */
} window;

typedef struct search {
    const workings *work;
    bool *clear;   /* no flag of its own, no left-out frame beside it */
    bool *healthy; /* and round, and at or below the shoulder level */
    double *total; /* running sums of the diameter and its square */
    double *square;
    double flatness;       /* upper quartile */
    reference provisional; /* serves while two segments are not found */
} search;

/* The vein beyond this mark, on the far side from the narrowing, is the cava:
 * its calibre must not serve for an iliac vein. */
static bl_span vein_bounds(const workings *work, double worst_mm) {
    const bl_mark *confluence = vein_border(work->pullback, 0);
    bl_span bounds = {-HUGE_VAL, HUGE_VAL};
    if (confluence != NULL) {
        bool before = confluence->position_mm <= worst_mm;
        *(before ? &bounds.from_mm : &bounds.to_mm) = confluence->position_mm;
    }
    return bounds;
}

/* What is traced of the vein, without the cava, whose side the travel tells;
 * all of it when nothing but cava was traced. */
static bl_span traced_vein(const workings *work) {
    const profile *along = &work->profile;
    bl_span all = {along->points[0].position_mm,
                   along->points[along->count - 1].position_mm};
    bool caudally = work->pullback->travel == BL_END_CAUDAL;
    bl_span vein = vein_bounds(work, caudally ? HUGE_VAL : -HUGE_VAL);
    vein.from_mm = fmax(vein.from_mm, all.from_mm);
    vein.to_mm = fmin(vein.to_mm, all.to_mm);
    return vein.to_mm > vein.from_mm ? vein : all;
}

static double upper_flatness(const workings *work, weighted *pairs) {
    const profile *along = &work->profile;
    size_t held = 0;
    for (size_t i = 0; i < along->count; i++) {
        double value = profile_flatness(&along->points[i]);
        if (!isnan(value)) {
            pairs[held++] = (weighted){
                value, profile_weight_mm(along->points, along->count, i)};
        }
    }
    return median_weighted_quantile(pairs, held, UPPER_QUARTILE);
}

/* The diameter that a tenth of the stretch between two positions exceeds. */
static double upper_diameter_mm(const workings *work, bl_span span,
                                weighted *pairs) {
    const profile *along = &work->profile;
    size_t held = 0;
    for (size_t i = profile_lower_bound(along, span.from_mm);
         i < along->count && along->points[i].position_mm <= span.to_mm; i++) {
        pairs[held++] =
            (weighted){along->points[i].equivalent_diameter_mm,
                       profile_weight_mm(along->points, along->count, i)};
    }
    return median_weighted_quantile(pairs, held, UPPER_TENTH);
}

static bl_segment provisional_segment(const search *in, bl_span span,
                                      double diameter_mm) {
    return (bl_segment){
        .span = span,
        .area_mm2 = circle_area_mm2(diameter_mm),
        .equivalent_diameter_mm = diameter_mm,
        .perimeter_mm = PI * diameter_mm,
        .flatness = in->flatness,
    };
}

static void set_provisional(search *in, bl_span vein, weighted *pairs) {
    double middle = 0.5 * (vein.from_mm + vein.to_mm);
    bl_span halves[2] = {{vein.from_mm, middle}, {middle, vein.to_mm}};
    double first = upper_diameter_mm(in->work, halves[0], pairs);
    double second = upper_diameter_mm(in->work, halves[1], pairs);
    /* A half may hold no frame; fmax passes over NaN. */
    double least = TAPER_MOST * fmax(first, second);
    in->provisional = (reference){.count = 2, .rule = BL_RULE_TAPER};
    in->provisional.segments[0] =
        provisional_segment(in, halves[0], fmax(first, least));
    in->provisional.segments[1] =
        provisional_segment(in, halves[1], fmax(second, least));
    reference_whole(&in->provisional, in->work->pullback->travel);
}

/* A left-out frame spoils the frames on both sides of it. */
static void mark_clear(search *in) {
    const workings *work = in->work;
    const profile *along = &work->profile;
    for (size_t i = 0; i < along->count; i++) {
        const bl_row *row = &work->rows[along->points[i].row];
        in->clear[i] = row->measures.flags == 0;
    }
    for (size_t i = 0; i < along->left_out_count; i++) {
        double x = work->rows[along->left_out[i]].position_mm;
        size_t next = profile_lower_bound(along, x);
        if (next < along->count) {
            in->clear[next] = false;
        }
        if (next > 0) {
            in->clear[next - 1] = false;
        }
    }
}

static bl_status search_start(search *in, const workings *work) {
    size_t count = work->profile.count;
    weighted *pairs = arena_alloc(work->owner, count, sizeof *pairs);
    *in = (search){
        .work = work,
        .clear = arena_alloc(work->owner, count, sizeof *in->clear),
        .healthy = arena_alloc(work->owner, count, sizeof *in->healthy),
        .total = arena_alloc(work->owner, count + 1, sizeof *in->total),
        .square = arena_alloc(work->owner, count + 1, sizeof *in->square),
    };
    if (pairs == NULL || in->clear == NULL || in->healthy == NULL ||
        in->total == NULL || in->square == NULL) {
        return BL_ERR_MEMORY;
    }
    in->flatness = upper_flatness(work, pairs);
    set_provisional(in, traced_vein(work), pairs);
    mark_clear(in);
    for (size_t i = 0; i < count; i++) {
        double d = work->profile.points[i].equivalent_diameter_mm;
        in->total[i + 1] = in->total[i] + d;
        in->square[i + 1] = in->square[i] + d * d;
    }
    return BL_OK;
}

static void mark_healthy(search *in, const reference *now) {
    const workings *work = in->work;
    double share = workings_diameter_share(work->options.shoulder_pct);
    for (size_t i = 0; i < work->profile.count; i++) {
        const bl_profile_point *point = &work->profile.points[i];
        double wanted = reference_diameter_mm(now, point->position_mm);
        in->healthy[i] =
            in->clear[i] && point->equivalent_diameter_mm >= share * wanted &&
            profile_flatness(point) > FLATTENED_SHARE * in->flatness;
    }
}

/* Coefficient of variation of the diameter in a window; HUGE_VAL when its
 * ends differ by more than the trend allowed. */
static double unsteadiness(const search *in, size_t first, size_t last) {
    const bl_profile_point *points = in->work->profile.points;
    double frames = (double)(last - first + 1);
    double mean = (in->total[last + 1] - in->total[first]) / frames;
    double mean_square = (in->square[last + 1] - in->square[first]) / frames;
    double spread = sqrt(fmax(mean_square - mean * mean, 0.0)) / mean;
    double trend = fabs(points[last].equivalent_diameter_mm -
                        points[first].equivalent_diameter_mm) /
                   mean;
    return trend > TREND_SHARE || spread > STEADY_SHARE ? HUGE_VAL : spread;
}

/* Lengthens the window while it stays a candidate within the bounds. */
static window lengthen(const search *in, window from, bl_span bounds) {
    const profile *along = &in->work->profile;
    const bl_profile_point *points = along->points;
    bool grown = true;
    while (grown) {
        grown = false;
        size_t after = from.last + 1;
        if (after < along->count && !points[after].after_gap &&
            in->healthy[after] && points[after].position_mm <= bounds.to_mm &&
            points[after].position_mm - points[from.first].position_mm <=
                WINDOW_MAX_MM &&
            unsteadiness(in, from.first, after) < HUGE_VAL) {
            from.last = after;
            grown = true;
        }
        size_t before = from.first - 1;
        if (!points[from.first].after_gap && in->healthy[before] &&
            points[before].position_mm >= bounds.from_mm &&
            points[from.last].position_mm - points[before].position_mm <=
                WINDOW_MAX_MM &&
            unsteadiness(in, before, from.last) < HUGE_VAL) {
            from.first = before;
            grown = true;
        }
    }
    return from;
}

/* The best window within bounds; cost grows with distance from near_mm. */
static window best_window(const search *in, bl_span bounds, double near_mm) {
    const profile *along = &in->work->profile;
    const bl_profile_point *points = along->points;
    window best = {0, 0, HUGE_VAL};
    size_t bad = profile_lower_bound(along, bounds.from_mm);
    size_t first = bad;
    for (size_t last = bad;
         last < along->count && points[last].position_mm <= bounds.to_mm;
         last++) {
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
        double from = points[first].position_mm;
        double to = points[last].position_mm;
        if (to - from < REFERENCE_MM) {
            continue;
        }
        double away = fmin(fabs(from - near_mm), fabs(to - near_mm));
        double cost =
            unsteadiness(in, first, last) + away * DISTANCE_COST_PER_MM;
        if (cost < best.cost) {
            best = (window){first, last, cost};
        }
    }
    return best.cost < HUGE_VAL ? lengthen(in, best, bounds) : best;
}

/* The worst narrowing under the reference of this round, with shoulders. */
static bl_status worst_narrowing(const search *in, const reference *now,
                                 bool *any, bl_narrowing *worst) {
    arena round = {0};
    workings work = *in->work;
    work.reference = *now;
    work.owner = &round;
    bl_narrowing *list = NULL;
    size_t count = 0;
    bl_status status = narrowing_find(&work, &list, &count);
    *any = count > 0;
    for (size_t i = 0; i < count; i++) {
        if (i == 0 ||
            list[i].worst.area_stenosis_pct > worst->worst.area_stenosis_pct) {
            *worst = list[i];
        }
    }
    arena_free(&round);
    return status;
}

static bl_status choose(const search *in, const reference *now, window out[2]) {
    bool any = false;
    bl_narrowing worst = {0};
    bl_status status = worst_narrowing(in, now, &any, &worst);
    if (status != BL_OK) {
        return status;
    }
    if (any) {
        bl_span vein = vein_bounds(in->work, worst.worst.position_mm);
        bl_span before = {vein.from_mm, worst.shoulders.from_mm - MARGIN_MM};
        bl_span after = {worst.shoulders.to_mm + MARGIN_MM, vein.to_mm};
        out[0] = best_window(in, before, before.to_mm);
        out[1] = best_window(in, after, after.from_mm);
        return BL_OK;
    }
    bl_span whole = traced_vein(in->work);
    double middle = 0.5 * (whole.from_mm + whole.to_mm);
    out[0] = best_window(in, (bl_span){whole.from_mm, middle}, whole.from_mm);
    out[1] = best_window(in, (bl_span){middle, whole.to_mm}, whole.to_mm);
    return BL_OK;
}

static void reference_from(const search *in, const window found[2],
                           reference *out) {
    const profile *along = &in->work->profile;
    *out = (reference){.rule = in->work->options.rule};
    for (int side = 0; side < 2; side++) {
        if (found[side].cost < HUGE_VAL) {
            bl_span span = {along->points[found[side].first].position_mm,
                            along->points[found[side].last].position_mm};
            /* A window holds frames, so this cannot fail. */
            (void)reference_segment(along->points, along->count, span,
                                    &out->segments[out->count++]);
        }
    }
    reference_whole(out, in->work->pullback->travel);
}

static bool same_spans(const reference *a, const reference *b) {
    bool same = a->count == b->count;
    for (size_t i = 0; same && i < a->count; i++) {
        same = fabs(a->segments[i].span.from_mm - b->segments[i].span.from_mm) <
                   EDGE_MM &&
               fabs(a->segments[i].span.to_mm - b->segments[i].span.to_mm) <
                   EDGE_MM;
    }
    return same;
}

static bl_status none_found(const workings *work) {
    return message_set(
        work->message, BL_ERR_REFERENCE, 0, 0,
        "no healthy vein was found to serve as reference (it takes 10 mm of "
        "steady, round, unflagged vein outside every narrowing); look at the "
        "profile with 'boreline plot' and name a stretch with --reference "
        "A..B, once or twice");
}

bl_status finder_search(const workings *work, reference *out, bool *settled,
                        const char **why) {
    search in;
    bl_status status = search_start(&in, work);
    if (status != BL_OK) {
        return status;
    }
    reference now = {.rule = work->options.rule};
    *settled = false;
    for (int round = 0; round < ROUNDS_MAX && !*settled; round++) {
        window found[2];
        const reference *basis = now.count == 2 ? &now : &in.provisional;
        mark_healthy(&in, basis);
        status = choose(&in, basis, found);
        if (status != BL_OK) {
            return status;
        }
        reference next;
        reference_from(&in, found, &next);
        if (next.count == 0) {
            return none_found(work);
        }
        *settled = round > 0 && same_spans(&now, &next);
        now = next;
    }
    *why = now.count == 2
               ? "found: steady healthy vein at each end"
               : "found: steady healthy vein on one side only; the other side "
                 "has none";
    *out = now;
    return BL_OK;
}
