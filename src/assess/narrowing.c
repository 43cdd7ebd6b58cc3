/*
 * narrowing.c - stretches whose area stenosis reaches the threshold, with
 * their shoulders and what kind of narrowing they are.
 *
 * Kind: area splits exactly as A/Aref = (C/Cref) (P/Pref)^2 with circularity
 * C = 4 pi A/P^2, so ln(C/Cref)/ln(A/Aref) is the share of the loss that came
 * from being pressed flat rather than from losing wall length (our own
 * measure; limits 0.6 and 0.3).
 */
#include "assess/workings.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

#define FLATTENED_LEAST 0.6
#define ROUND_MOST 0.3

static double flattening_share(const workings *work, size_t index) {
    const bl_profile_point *point = &work->profile.points[index];
    double x = point->position_mm;
    double diameter = reference_diameter_mm(&work->reference, x);
    double perimeter = reference_perimeter_mm(&work->reference, x);
    double area_ratio = point->area_mm2 / circle_area_mm2(diameter);
    double wall_ratio = point->perimeter_mm / perimeter;
    double round_ratio = area_ratio / (wall_ratio * wall_ratio);
    return fmin(fmax(log(round_ratio) / log(area_ratio), 0.0), 1.0);
}

static bl_pattern pattern_of(double share) {
    if (share >= FLATTENED_LEAST) {
        return BL_PATTERN_FLATTENED;
    }
    return share <= ROUND_MOST ? BL_PATTERN_ROUND : BL_PATTERN_MIXED;
}

static double least_area_mm2(const workings *work, bl_span span,
                             double at_worst) {
    const profile *along = &work->profile;
    double least = at_worst;
    for (size_t i = profile_lower_bound(along, span.from_mm);
         i < along->count && along->points[i].position_mm <= span.to_mm; i++) {
        least = fmin(least, along->points[i].area_mm2);
    }
    return least;
}

static bl_narrowing describe(const workings *work, const course *along,
                             const course_stretch *stretch) {
    double share = workings_diameter_share(work->options.shoulder_pct);
    size_t worst = workings_worst_between(work, stretch->span);
    bl_narrowing out = {.span = stretch->span};
    out.shoulders.from_mm =
        course_back_before_mm(along, stretch->first, share, &out.open_from);
    out.shoulders.to_mm =
        course_back_after_mm(along, stretch->last, share, &out.open_to);
    out.worst = workings_place(work, worst);
    out.min_area_mm2 = least_area_mm2(work, stretch->span, out.worst.area_mm2);
    out.flattening_share = flattening_share(work, worst);
    out.pattern = pattern_of(out.flattening_share);
    return out;
}

bl_status narrowing_find(const workings *work, bl_narrowing **out,
                         size_t *count) {
    course along;
    course_stretch *stretches;
    size_t found;
    bl_status status = workings_calibre_course(work, &work->reference, &along);
    if (status == BL_OK) {
        status = course_below(
            &along, workings_diameter_share(work->options.threshold_pct),
            workings_diameter_share(work->options.shoulder_pct), JOIN_MM,
            work->owner, &stretches, &found);
    }
    if (status != BL_OK) {
        return status;
    }
    bl_narrowing *list = arena_alloc(work->owner, found, sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < found; i++) {
        list[i] = describe(work, &along, &stretches[i]);
    }
    *out = list;
    *count = found;
    return BL_OK;
}
