/*
 * candidates.c - stretches of steady, round vein of healthy calibre, and the
 * best of them on each side of the worst narrowing of a part.
 */
#include "assess/search.h"

#include "base/circle.h"

#include <math.h>

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
/* Below this share of the normal area steady vein is not taken for healthy;
 * where the vein is not known, of the smallest normal. */
#define SCARRED_SHARE 0.6

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

/* The diameter that steady vein of this part must have to be taken for
 * healthy. */
static double least_diameter_mm(const search *in, size_t part) {
    if (in->small_too) {
        return 0.0;
    }
    bl_vein vein = in->parts.pieces[part].vein;
    /* No normal is published of the cava, which is no narrower than what it
     * takes up. */
    vein = vein == BL_VEIN_CAVA ? BL_VEIN_COMMON_ILIAC : vein;
    double normal = workings_normal_area_mm2(in->work, vein);
    if (isnan(normal)) {
        normal =
            workings_normal_area_mm2(in->work, workings_least_normal(in->work));
    }
    /* A user's table may tell nothing at all. */
    normal = isnan(normal) ? 0.0 : normal;
    return circle_diameter_mm(SCARRED_SHARE * normal);
}

/* What a window costs; HUGE_VAL when it is no candidate. */
static double cost_of(const search *in, size_t first, size_t last,
                      double near_mm, double least_mm) {
    const bl_profile_point *points = in->work->profile.points;
    double from = points[first].position_mm;
    double to = points[last].position_mm;
    double mean =
        (in->total[last + 1] - in->total[first]) / (double)(last - first + 1);
    if (to - from < REFERENCE_MM || mean < least_mm) {
        return HUGE_VAL;
    }
    double away = fmin(fabs(from - near_mm), fabs(to - near_mm));
    return unsteadiness(in, first, last) + away * DISTANCE_COST_PER_MM;
}

/* The best window within bounds; cost grows with distance from near_mm. */
static window best_window(const search *in, bl_span bounds, double near_mm,
                          double least_mm) {
    const profile *along = &in->work->profile;
    const bl_profile_point *points = along->points;
    window best = {0, 0, HUGE_VAL};
    size_t first = profile_lower_bound(along, bounds.from_mm);
    for (size_t last = first;
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
        double cost = cost_of(in, first, last, near_mm, least_mm);
        if (cost < best.cost) {
            best = (window){first, last, cost};
        }
    }
    return best.cost < HUGE_VAL ? lengthen(in, best, bounds) : best;
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

static sides choose_in(const search *in, size_t part,
                       const bl_narrowing *worst) {
    bl_span all = search_traced(in, part);
    double least = least_diameter_mm(in, part);
    double middle = 0.5 * (all.from_mm + all.to_mm);
    bl_span before = {all.from_mm, middle};
    bl_span after = {middle, all.to_mm};
    double near_before = all.from_mm;
    double near_after = all.to_mm;
    if (worst != NULL) {
        before.to_mm = fmin(worst->shoulders.from_mm - MARGIN_MM, all.to_mm);
        after.from_mm = fmax(worst->shoulders.to_mm + MARGIN_MM, all.from_mm);
        near_before = before.to_mm;
        near_after = after.from_mm;
    }
    return (sides){best_window(in, before, near_before, least),
                   best_window(in, after, near_after, least)};
}

bl_status candidates_choose(const search *in, const reference *now,
                            sides out[REFERENCE_PIECES]) {
    arena round = {0};
    bl_narrowing *list = NULL;
    size_t count = 0;
    bl_status status = narrowings_of(in, now, &round, &list, &count);
    for (size_t i = 0; status == BL_OK && i < in->parts.count; i++) {
        out[i] = choose_in(in, i, worst_in(search_traced(in, i), list, count));
    }
    arena_free(&round);
    return status;
}
