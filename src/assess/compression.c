/*
 * compression.c - places where the vein is pressed flat.
 *
 * Flatness is minimum diameter over perimeter diameter: calibre drops out, so
 * a round scarred vein keeps 1 and a vein pressed flat with its wall kept
 * goes to 0. A stretch at or below FLATTENED_SHARE of the reference's
 * flatness is flattened; its place of least minimum diameter is the
 * compression point.
 */
#include "assess/workings.h"

#include "base/constants.h"
#include "base/place.h"

#include <math.h>

/* Two flattened stretches with less recovery than this between are one. */
#define RECOVERED_SHARE 0.9

/* The point of least minimum diameter among at least one. */
static size_t least_point(const profile *along, course_points among) {
    size_t best = among.first;
    double least = HUGE_VAL;
    for (size_t i = best; i < among.end; i++) {
        if (along->points[i].min_diameter_mm < least) {
            least = along->points[i].min_diameter_mm;
            best = i;
        }
    }
    return best;
}

static bl_compression describe(const workings *work, bl_span span,
                               course_points among) {
    size_t index = least_point(&work->profile, among);
    const bl_profile_point *point = &work->profile.points[index];
    double perimeter =
        reference_shape_at(&work->reference, point->position_mm).perimeter_mm;
    return (bl_compression){
        .span = span,
        .place = workings_place(work, index),
        .aspect_ratio = point->max_diameter_mm / point->min_diameter_mm,
        .perimeter_kept_pct = 100.0 * point->perimeter_mm / perimeter,
        .long_axis_deg = work->rows[point->row].measures.long_axis_deg,
        .nearest_mark = place_nearest_mark(work->pullback, point->position_mm),
    };
}

/* The course and its stretches are the caller's to give up. */
static bl_status find_with(const workings *work, arena *scratch,
                           bl_compression **out, size_t *count) {
    course along;
    course_stretch *stretches;
    size_t found;
    bl_status status =
        workings_flatness_course(work, &work->reference, scratch, &along);
    if (status == BL_OK) {
        status = course_below(&along, FLATTENED_SHARE, RECOVERED_SHARE, JOIN_MM,
                              scratch, &stretches, &found);
    }
    if (status != BL_OK) {
        return status;
    }
    bl_compression *list = arena_alloc(work->owner, found, sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t held = 0;
    for (size_t i = 0; i < found; i++) {
        course_points among = course_points_of(&along, &stretches[i]);
        if (among.end > among.first) {
            list[held++] = describe(work, stretches[i].span, among);
        }
    }
    *out = list;
    *count = held;
    return BL_OK;
}

bl_status compression_find(const workings *work, bl_compression **out,
                           size_t *count) {
    arena scratch = {0};
    bl_status status = find_with(work, &scratch, out, count);
    arena_free(&scratch);
    return status;
}
