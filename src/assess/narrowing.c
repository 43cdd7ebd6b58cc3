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

#include "base/constants.h"

#include <math.h>

#define FLATTENED_LEAST 0.6
#define ROUND_MOST 0.3

static double flattening_share(const workings *work, size_t index) {
    const bl_profile_point *point = &work->profile.points[index];
    double x = point->position_mm;
    reference_shape healthy = reference_shape_at(&work->reference, x);
    double area_ratio = point->area_mm2 / healthy.area_mm2;
    double wall_ratio = point->perimeter_mm / healthy.perimeter_mm;
    double round_ratio = area_ratio / (wall_ratio * wall_ratio);
    return fmin(fmax(log(round_ratio) / log(area_ratio), 0.0), 1.0);
}

static bl_pattern pattern_of(double share) {
    if (share >= FLATTENED_LEAST) {
        return BL_PATTERN_FLATTENED;
    }
    return share <= ROUND_MOST ? BL_PATTERN_ROUND : BL_PATTERN_MIXED;
}

static double least_area_mm2(const workings *work, course_points among) {
    double least = HUGE_VAL;
    for (size_t i = among.first; i < among.end; i++) {
        least = fmin(least, work->profile.points[i].area_mm2);
    }
    return least;
}

/* How many left-out frames lie before a position, or at it if `through`. */
static size_t left_out_before(const workings *work, double position_mm,
                              bool through) {
    size_t low = 0;
    size_t high = work->profile.left_out_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        double at = work->rows[work->profile.left_out[middle]].position_mm;
        if (through ? at <= position_mm : at < position_mm) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static size_t left_out_in(const workings *work, bl_span span) {
    return left_out_before(work, span.to_mm, true) -
           left_out_before(work, span.from_mm, false);
}

static bl_narrowing describe(const workings *work, bl_span span,
                             course_points among, course_ends shoulders) {
    size_t worst = workings_worst_of(work, among);
    bl_narrowing out = {
        .span = span,
        .shoulders = {shoulders.before.x_mm, shoulders.after.x_mm},
        .open_from = shoulders.before.open,
        .open_to = shoulders.after.open,
        /* An open shoulder ends at the last frame. */
        .span_open_from =
            shoulders.before.open && span.from_mm <= shoulders.before.x_mm,
        .span_open_to =
            shoulders.after.open && span.to_mm >= shoulders.after.x_mm,
    };
    out.left_out = left_out_in(work, out.shoulders);
    out.worst = workings_place(work, worst);
    out.min_area_mm2 = least_area_mm2(work, among);
    out.flattening_share = flattening_share(work, worst);
    out.pattern = pattern_of(out.flattening_share);
    return out;
}

/* The course and its stretches are the caller's to give up. */
static bl_status find_with(const workings *work, arena *scratch,
                           bl_narrowing **out, size_t *count) {
    double back = workings_diameter_share(work->options.shoulder_pct);
    course along;
    course_stretch *stretches;
    size_t found;
    bl_status status =
        workings_calibre_course(work, &work->reference, scratch, &along);
    if (status == BL_OK) {
        status = course_below(
            &along, workings_diameter_share(work->options.threshold_pct), back,
            JOIN_MM, scratch, &stretches, &found);
    }
    if (status != BL_OK) {
        return status;
    }
    bl_narrowing *list = arena_alloc(work->owner, found, sizeof *list);
    course_ends *shoulders = arena_alloc(scratch, found, sizeof *shoulders);
    if (list == NULL || shoulders == NULL) {
        return BL_ERR_MEMORY;
    }
    course_shoulders(&along, stretches, found, back, shoulders);
    size_t held = 0;
    for (size_t i = 0; i < found; i++) {
        course_points among = course_points_of(&along, &stretches[i]);
        /* Between two frames the reference may rise above both: no frame is
         * narrowed there. */
        if (among.end > among.first) {
            list[held++] =
                describe(work, stretches[i].span, among, shoulders[i]);
        }
    }
    *out = list;
    *count = held;
    return BL_OK;
}

bl_status narrowing_find(const workings *work, bl_narrowing **out,
                         size_t *count) {
    arena scratch = {0};
    bl_status status = find_with(work, &scratch, out, count);
    arena_free(&scratch);
    return status;
}
