/*
 * steady.c - the profile with and without breathing ripple, side by side.
 *
 * A frame that the ripple makes wider by a share has all its lengths divided
 * by 1 + that share, its area by the square: its shape, and so flatness and
 * flattening share, stay what they are.
 */
#include "assess/workings.h"

#include "base/constants.h"
#include "profile/ripple.h"

#include <math.h>

/* What swings more, peak to trough, may be narrowings at even distances, and is
 * not taken off in intervals. */
#define SWING_LIKELY_MOST 0.25

/* Times from the table, else from frame numbers. */
static double time_of(const workings *work, const bl_row *row) {
    return isnan(row->time_s)
               ? (double)row->frame / work->pullback->frame_rate_hz
               : row->time_s;
}

static bool fill_times(const workings *work, double *clock) {
    const profile *along = &work->profile;
    for (size_t i = 0; i < along->count; i++) {
        clock[i] = time_of(work, &work->rows[along->points[i].row]);
        if (isnan(clock[i]) || (i > 0 && clock[i] < clock[i - 1])) {
            return false;
        }
    }
    return true;
}

/* Breathing keeps to time, whatever the speed; without times one speed turns
 * positions into them. False: the clock is the position itself. */
static bool fill_clock(const workings *work, double *clock) {
    const profile *along = &work->profile;
    if (fill_times(work, clock)) {
        return true;
    }
    bool one_speed = !work->pullback->speed_is_schedule &&
                     !isnan(work->pullback->speed_mm_per_s);
    double speed = one_speed ? work->pullback->speed_mm_per_s : 1.0;
    for (size_t i = 0; i < along->count; i++) {
        clock[i] = along->points[i].position_mm / speed;
    }
    return one_speed;
}

static bl_status build_steady(const workings *work, double *scale,
                              profile *out) {
    const profile *along = &work->profile;
    for (size_t i = 0; i < along->count; i++) {
        scale[i] = 1.0 / (1.0 + along->points[i].ripple);
    }
    bl_status status =
        profile_build(work->rows, work->row_count, work->options.smooth_mm,
                      scale, work->owner, out);
    for (size_t i = 0; status == BL_OK && i < out->count; i++) {
        out->points[i].ripple = along->points[i].ripple;
    }
    return status;
}

bl_status steady_profile(workings *work, bl_ripple *out, profile *other) {
    profile *along = &work->profile;
    breathing *breath = &work->breath;
    breath->clock = arena_alloc(work->owner, along->count, sizeof(double));
    double *scale = arena_alloc(work->owner, along->count, sizeof *scale);
    if (breath->clock == NULL || scale == NULL) {
        return BL_ERR_MEMORY;
    }
    breath->is_time = fill_clock(work, breath->clock);
    bl_status status =
        ripple_find(along->points, along->count, breath->clock, breath->is_time,
                    work->owner, &breath->likely, out);
    if (status == BL_OK && breath->likely.swing > SWING_LIKELY_MOST) {
        breath->likely.swing = 0.0;
        for (size_t i = 0; i < along->count; i++) {
            breath->likely.share[i] = 0.0;
        }
    }
    if (status != BL_OK || !out->found) {
        return status;
    }
    status = build_steady(work, scale, other);
    if (status == BL_OK && work->options.steady) {
        out->removed = true;
        work->breath.removed = true;
        profile steady = *other;
        *other = *along;
        *along = steady;
    }
    return status;
}

static bl_status key_figures(const workings *work, bl_key_figures *out) {
    const profile *along = &work->profile;
    size_t least = workings_least_of(along);
    const reference *held = &work->reference;
    double *areas = arena_alloc(work->owner, held->count, sizeof *areas);
    if (areas == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < held->count; i++) {
        areas[i] = held->segments[i].area_mm2;
    }
    *out = (bl_key_figures){.minimum = workings_place(work, least),
                            .worst = workings_place(work, least),
                            .segment_area_mm2 = areas};
    if (!reference_exists(held)) {
        return BL_OK;
    }
    course_points all = {0, along->count};
    out->worst = workings_place(work, workings_worst_of(work, all));
    bl_narrowing *narrowings = NULL;
    return narrowing_find(work, &narrowings, &out->narrowing_count);
}

bl_status steady_compare(const workings *work, const profile *other,
                         bl_ripple *into) {
    if (!into->found) {
        return BL_OK;
    }
    workings beside = *work;
    beside.profile = *other;
    reference_measure(&beside.reference, &beside.profile);
    bl_status status =
        key_figures(work, into->removed ? &into->without : &into->with);
    return status == BL_OK
               ? key_figures(&beside,
                             into->removed ? &into->with : &into->without)
               : status;
}
