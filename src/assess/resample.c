/*
 * resample.c - a profile made to scatter again and again.
 *
 * A calm profile stands for what is true (bins.h). Again and again it is made
 * to scatter as single frames do, goes through the running median, is held
 * against a reference whose stretches are drawn anew, and is read as the traced
 * one was.
 */
#include "assess/resampling.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

#define RESAMPLES ((size_t)1000)
/* Where there are so many bins that resamples times bins exceeds this, fewer
 * resamples do. */
#define RESAMPLES_LEAST ((size_t)200)
#define RESAMPLED_BINS ((size_t)4000000)
/* A bin is a quarter of the running median's width; where that reaches less
 * than this, each frame scatters for itself. */
#define BINS_A_SMOOTH 4.0
#define LEAST_SMOOTH_MM 0.25
#define MIDDLE_MM 1.0

/* -------------------------------------------------------------- what is calm
 */

/* What areas as traced are held to: their median over so much, whatever the
 * profile was smoothed by. BL_ERR_MEMORY. */
static bl_status middles(const workings *work, arena *owner, double **out) {
    const profile *along = &work->profile;
    size_t count = along->count;
    double *x_mm = arena_alloc(owner, count, sizeof *x_mm);
    double *traced = arena_alloc(owner, count, sizeof *traced);
    double *middle = arena_alloc(owner, count, sizeof *middle);
    median_slot *slots = arena_alloc(owner, count, sizeof *slots);
    if (x_mm == NULL || traced == NULL || middle == NULL || slots == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        x_mm[i] = along->points[i].position_mm;
        traced[i] = along->points[i].raw_area_mm2;
    }
    for (size_t i = 0; i < count;) {
        size_t end = profile_stretch_end(along->points, count, i);
        median_running(x_mm + i, traced + i, end - i, MIDDLE_MM, slots + i,
                       middle + i);
        i = end;
    }
    *out = middle;
    return BL_OK;
}

/* What of the smoothing and the scatter is left of frames of their own. */
static bool scatters_by_frame(const workings *work) {
    return work->options.smooth_mm < LEAST_SMOOTH_MM;
}

static double bin_width_mm(const workings *work) {
    return fmin(work->options.smooth_mm / BINS_A_SMOOTH, LEAST_SMOOTH_MM);
}

/* Makes the coarse bins, with calm diameters in them. */
static bl_status make_coarse(resampling *in, const double *middle_mm2,
                             arena *owner, size_t *bin_of) {
    const workings *work = in->work;
    double width_mm =
        scatters_by_frame(work) ? LEAST_SMOOTH_MM : bin_width_mm(work);
    bl_status status = bins_make(&work->profile, middle_mm2, width_mm,
                                 in->frame_share, owner, bin_of, &in->coarse);
    if (status != BL_OK) {
        return status;
    }
    size_t count = in->coarse.along.count;
    double *traced = arena_alloc(owner, count, sizeof *traced);
    in->calm = arena_alloc(owner, count, sizeof *in->calm);
    if (traced == NULL || in->calm == NULL) {
        return BL_ERR_MEMORY;
    }
    bl_profile_point *points = in->coarse.along.points;
    for (size_t i = 0; i < count; i++) {
        traced[i] = points[i].equivalent_diameter_mm;
    }
    bins_calm(&in->coarse, traced, in->frame_share, in->calm);
    for (size_t i = 0; i < count; i++) {
        points[i].equivalent_diameter_mm = in->calm[i];
    }
    return BL_OK;
}

/* The grid's calm diameters go through the median as the traced ones did. */
static bl_status make_steady(resampling *in, arena *owner,
                             const size_t *bin_of) {
    const bins *grid = &in->grid;
    size_t count = grid->along.count;
    double *x_mm = arena_alloc(owner, count, sizeof *x_mm);
    double *calm = arena_alloc(owner, count, sizeof *calm);
    median_slot *slots = arena_alloc(owner, count, sizeof *slots);
    in->steady = arena_alloc(owner, count, sizeof *in->steady);
    if (x_mm == NULL || calm == NULL || slots == NULL || in->steady == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        x_mm[i] = grid->along.points[i].position_mm;
        calm[i] = in->calm[scatters_by_frame(in->work) ? bin_of[i] : i];
    }
    for (size_t i = 0; i < count;) {
        size_t end = profile_stretch_end(grid->along.points, count, i);
        median_running(x_mm + i, calm + i, end - i, in->work->options.smooth_mm,
                       slots + i, in->steady + i);
        i = end;
    }
    return BL_OK;
}

static bl_status make_grid(resampling *in, arena *owner) {
    const workings *work = in->work;
    bool own = scatters_by_frame(work);
    size_t *bin_of =
        arena_alloc(owner, own ? work->profile.count : 0, sizeof *bin_of);
    if (bin_of == NULL) {
        return BL_ERR_MEMORY;
    }
    arena scratch = {0};
    double *middle_mm2 = NULL;
    bl_status status = middles(work, &scratch, &middle_mm2);
    if (status == BL_OK) {
        status = make_coarse(in, middle_mm2, owner, own ? bin_of : NULL);
    }
    if (status == BL_OK) {
        double width_mm = own ? 0.0 : bin_width_mm(work);
        status = bins_make(&work->profile, middle_mm2, width_mm,
                           in->frame_share, owner, NULL, &in->grid);
    }
    arena_free(&scratch);
    if (status == BL_OK) {
        status = make_steady(in, owner, bin_of);
    }
    if (status != BL_OK) {
        return status;
    }
    size_t count = in->grid.along.count;
    in->windows = arena_alloc(owner, count, sizeof *in->windows);
    in->sums = arena_alloc(owner, count + 1, sizeof *in->sums);
    if (in->windows == NULL || in->sums == NULL) {
        return BL_ERR_MEMORY;
    }
    return bins_windows(&in->grid, work->options.smooth_mm, owner, in->windows);
}

static bl_status make_course(const workings *work, const bins *of, arena *owner,
                             again *out) {
    workings with = *work;
    with.profile = of->along;
    return again_make(&with, owner, out);
}

static bl_status start(resampling *in, arena *owner) {
    const workings *work = in->work;
    bl_status status = make_grid(in, owner);
    if (status == BL_OK) {
        status = make_course(work, &in->coarse, owner, &in->coarse_course);
    }
    if (status == BL_OK) {
        status = make_course(work, &in->grid, owner, &in->grid_course);
    }
    if (status != BL_OK) {
        return status;
    }
    size_t rounds = RESAMPLED_BINS / in->grid.along.count;
    rounds = rounds < RESAMPLES_LEAST ? RESAMPLES_LEAST : rounds;
    in->rounds = rounds > RESAMPLES ? RESAMPLES : rounds;
    in->width = OF_WHOLE + OF_NARROWING * in->narrowing_count;
    in->read = arena_alloc(owner, in->width * in->rounds, sizeof *in->read);
    if (in->read == NULL) {
        return BL_ERR_MEMORY;
    }
    in->now = work->reference;
    for (size_t i = 0; i < work->reference.count; i++) {
        in->errors[i] =
            scatter_of_mean(work->profile.points, work->profile.count,
                            work->reference.segments[i].span, in->frame_share);
    }
    return BL_OK;
}

/* What is read from the calm profile, and from it through the median. */
static bl_status read_calm(resampling *in) {
    bl_status status =
        reading_take(in, &in->coarse.along, &in->coarse_course, in->truth);
    for (size_t i = 0; i < in->grid.along.count; i++) {
        in->grid.along.points[i].equivalent_diameter_mm = in->steady[i];
    }
    return status == BL_OK
               ? reading_take(in, &in->grid.along, &in->grid_course, in->still)
               : status;
}

/* ---------------------------------------------------------------- a round */

static void scatter_reference(resampling *in, chance *by) {
    const reference *from = &in->work->reference;
    reference *to = &in->now;
    for (size_t i = 0; i < from->count; i++) {
        double area =
            from->segments[i].area_mm2 * scatter_draw(&in->errors[i], by);
        to->segments[i].area_mm2 = area;
        to->segments[i].equivalent_diameter_mm = circle_diameter_mm(area);
    }
}

static double scattered_mm(double diameter_mm, double share) {
    return diameter_mm * sqrt(fmax(1.0 + share, SCATTER_LEAST));
}

static void scatter_profile(resampling *in, chance *by) {
    const bins *grid = &in->grid;
    size_t count = grid->along.count;
    for (size_t i = 0; i < count; i++) {
        in->sums[i + 1] = in->sums[i] + grid->root_frames[i] * chance_bell(by);
    }
    for (size_t i = 0; i < count; i++) {
        const bins_window *window = &in->windows[i];
        double off = in->frame_share * window->scale *
                     (in->sums[window->to] - in->sums[window->from]);
        grid->along.points[i].equivalent_diameter_mm =
            scattered_mm(in->steady[i], off);
    }
}

static bl_status resample(resampling *in) {
    double reading[READING_NUMBERS] = {0};
    for (size_t r = 0; r < in->rounds; r++) {
        chance by = chance_start(in->work->options.seed, r);
        scatter_reference(in, &by);
        scatter_profile(in, &by);
        bl_status status =
            reading_take(in, &in->grid.along, &in->grid_course, reading);
        if (status != BL_OK) {
            return status;
        }
        for (size_t i = 0; i < in->width; i++) {
            in->read[i * in->rounds + r] = reading[i];
        }
    }
    return BL_OK;
}

bl_status resample_run(resampling *in, arena *owner) {
    bl_status status = start(in, owner);
    if (status == BL_OK) {
        status = read_calm(in);
    }
    return status == BL_OK ? resample(in) : status;
}
