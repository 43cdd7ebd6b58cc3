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
/* So large a part of the rounds tells what scatter alone does in the middle. */
#define SCATTER_PART 5

/* -------------------------------------------------------------- what is calm
 */

/* What areas as traced are held to: their median over so much, whatever the
 * profile was smoothed by. BL_ERR_MEMORY. */
static bl_status middles(const profile *along, arena *owner, double **out) {
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
    bl_status status = bins_make(&in->traced, middle_mm2, width_mm,
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

/* The bin of the grid that a point is in. */
static size_t grid_bin(const resampling *in, const size_t *bin_of, size_t i) {
    return scatters_by_frame(in->work) ? i : bin_of[i];
}

/* Means of each bin's points. */
static bl_status make_ripple(resampling *in, arena *owner,
                             const size_t *bin_of) {
    size_t count = in->grid.along.count;
    in->ripple = arena_alloc(owner, count, sizeof *in->ripple);
    in->clock = arena_alloc(owner, count, sizeof *in->clock);
    in->seen = arena_alloc(owner, count, sizeof *in->seen);
    if (in->ripple == NULL || in->clock == NULL || in->seen == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        in->ripple[i] = 0.0;
        in->clock[i] = 0.0;
    }
    for (size_t i = 0; i < in->traced.count; i++) {
        size_t bin = grid_bin(in, bin_of, i);
        double part = 1.0 / in->grid.frames[bin];
        in->seen[bin] = breathing_seen(in->work, i);
        in->ripple[bin] += part * breathing_likely(in->work, i);
        in->clock[bin] += part * in->work->breath.clock[i];
    }
    return BL_OK;
}

/* The grid's calm diameters, with the ripple that is likely, go through the
 * median as the traced ones did. */
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
        double bare = in->calm[scatters_by_frame(in->work) ? bin_of[i] : i];
        calm[i] = bare * (1.0 + in->ripple[i]);
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
    size_t *bin_of = arena_alloc(owner, work->profile.count, sizeof *bin_of);
    if (bin_of == NULL) {
        return BL_ERR_MEMORY;
    }
    arena scratch = {0};
    double *middle_mm2 = NULL;
    bl_status status = breathing_without(work, owner, &in->traced);
    if (status == BL_OK) {
        status = middles(&in->traced, &scratch, &middle_mm2);
    }
    if (status == BL_OK) {
        status = make_coarse(in, middle_mm2, owner, bin_of);
    }
    if (status == BL_OK) {
        double width_mm = own ? 0.0 : bin_width_mm(work);
        status = bins_make(&in->traced, middle_mm2, width_mm, in->frame_share,
                           owner, NULL, &in->grid);
    }
    arena_free(&scratch);
    if (status == BL_OK) {
        status = make_ripple(in, owner, bin_of);
    }
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

/* What the likely ripple makes of the area of a stretch, as a factor. */
static double ripple_in(const workings *work, bl_span span) {
    const profile *along = &work->profile;
    double sum = 0.0;
    double bare = 0.0;
    for (size_t i = profile_lower_bound(along, span.from_mm);
         i < along->count && along->points[i].position_mm <= span.to_mm; i++) {
        double wide = 1.0 + breathing_likely(work, i);
        sum += along->points[i].raw_area_mm2;
        bare += along->points[i].raw_area_mm2 / (wide * wide);
    }
    return bare > 0.0 ? sum / bare : 1.0;
}

/* Of the first point at or after a position. */
static double clock_at(const workings *work, double x_mm) {
    size_t i = profile_lower_bound(&work->profile, x_mm);
    size_t last = work->profile.count - 1;
    return work->breath.clock[i < last ? i : last];
}

static bool seen_at(const workings *work, double x_mm) {
    size_t i = profile_lower_bound(&work->profile, x_mm);
    size_t last = work->profile.count - 1;
    return breathing_seen(work, i < last ? i : last);
}

static void set_area(bl_segment *segment, double area_mm2) {
    segment->area_mm2 = area_mm2;
    segment->equivalent_diameter_mm = circle_diameter_mm(area_mm2);
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
    in->width =
        reading_inflow(in) + (isnan(in->inflow.from_mm) ? 0 : OF_INFLOW);
    in->read = arena_alloc(owner, in->width * in->rounds, sizeof *in->read);
    if (in->read == NULL) {
        return BL_ERR_MEMORY;
    }
    breathing_plan(work, in->frame_share, in->narrowings, in->narrowing_count,
                   &in->breath);
    in->steady_reference = work->reference;
    for (size_t i = 0; i < work->reference.count; i++) {
        bl_segment *segment = &in->steady_reference.segments[i];
        in->errors[i] = scatter_of_mean(in->traced.points, in->traced.count,
                                        segment->span, in->frame_share);
        set_area(segment, segment->area_mm2 / ripple_in(work, segment->span));
        in->from_clock[i] = clock_at(work, segment->span.from_mm);
        in->to_clock[i] = clock_at(work, segment->span.to_mm);
        in->seen_in[i] = seen_at(work, segment->span.from_mm);
    }
    return BL_OK;
}

/* What is read from the calm profile, and from it, with the ripple that is
 * likely, through the median. */
static bl_status read_calm(resampling *in) {
    in->now = in->steady_reference;
    bl_status status =
        reading_take(in, &in->coarse.along, &in->coarse_course, in->truth);
    in->now = in->work->reference;
    for (size_t i = 0; i < in->grid.along.count; i++) {
        in->grid.along.points[i].equivalent_diameter_mm = in->steady[i];
    }
    return status == BL_OK
               ? reading_take(in, &in->grid.along, &in->grid_course, in->still)
               : status;
}

/* ---------------------------------------------------------------- a round */

static void scatter_reference(resampling *in, const breath_draw *ripple,
                              chance *by) {
    const reference *from = &in->work->reference;
    reference *to = &in->now;
    for (size_t i = 0; i < from->count; i++) {
        const bl_segment *segment = &from->segments[i];
        double wide = 1.0 + breathing_mean(ripple, in->seen_in[i],
                                           in->from_clock[i], in->to_clock[i]);
        set_area(&to->segments[i], segment->area_mm2 / in->misses.chosen[i] *
                                       wide * wide *
                                       scatter_draw(&in->errors[i], by));
    }
}

static double scattered_mm(double diameter_mm, double share) {
    return diameter_mm * sqrt(fmax(1.0 + share, FACTOR_LEAST));
}

static void scatter_profile(resampling *in, const breath_draw *ripple,
                            chance *by) {
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
            scattered_mm(in->steady[i], off) *
            (1.0 + breathing_at(ripple, in->seen[i], in->clock[i]));
    }
}

/* Rounds; where `only_scatter`, frames err and nothing else does. */
static bl_status resample(resampling *in, size_t rounds, bool only_scatter) {
    double reading[READING_NUMBERS] = {0};
    for (size_t r = 0; r < rounds; r++) {
        chance by = chance_start(in->work->options.seed, r);
        breath_draw ripple = {.of = &in->breath};
        if (!only_scatter) {
            in->misses = leeway_take(&in->may_miss, &by);
            ripple = breathing_take(&in->breath, &by);
            scatter_reference(in, &ripple, &by);
        }
        scatter_profile(in, &ripple, &by);
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

/* What frames' own errors make of each number, in the middle. */
static bl_status resample_scatter(resampling *in) {
    size_t rounds = in->rounds / SCATTER_PART;
    bl_status status = resample(in, rounds, true);
    for (size_t i = 0; i < in->width; i++) {
        in->middle[i] = median_of(&in->read[i * in->rounds], rounds);
    }
    return status;
}

bl_status resample_run(resampling *in, arena *owner) {
    bl_status status = start(in, owner);
    if (status == BL_OK) {
        status = read_calm(in);
    }
    if (status == BL_OK) {
        status = resample_scatter(in);
    }
    return status == BL_OK ? resample(in, in->rounds, false) : status;
}
