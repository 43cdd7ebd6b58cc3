/*
 * interval.c - 95 % intervals by resampling.
 *
 * A calm profile stands for what is true (bins.h). Again and again it is made
 * to scatter as single frames do, goes through the running median, is held
 * against a reference whose stretches are drawn anew, and is read as the traced
 * one was. What is read then stands off from the calm profile as what was read
 * stands off from the truth: the interval turns that around (the basic, or
 * pivotal, bootstrap: Davison and Hinkley, Bootstrap Methods and their
 * Application, 1997, section 5.2, from memory), in ratios for areas and in
 * differences for lengths. So it is corrected for the least of many frames
 * reading low, and for what the median fills of a short narrowing. Lengths are
 * then stretched by an error of speed, one draw for the pullback.
 *
 * Kept as they are: where the reference's stretches lie, what neighbouring
 * frames share, breathing, obliquity, scale.
 */
#include "assess/again.h"
#include "assess/bins.h"
#include "assess/scatter.h"
#include "assess/workings.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/limits.h"

#include <math.h>

#define RESAMPLES ((size_t)1000)
/* Where there are so many bins that resamples times bins exceeds this, fewer
 * resamples do. */
#define RESAMPLES_LEAST ((size_t)200)
#define RESAMPLED_BINS ((size_t)4000000)
#define NARROWINGS_MOST ((size_t)LIMIT_INTERVALS)
#define TAIL 0.025
/* What is calm is known no better than it is calm: on invented profiles
 * intervals of ratios held the truth in 91 %, and hold it in 95 when so much
 * wider. Our own measure. */
#define WIDENED 1.15
/* Where the sequences of chance begin that speeds are drawn from. */
#define SPEED_PART ((size_t)1000000)
#define NUMBERS_MOST (OF_WHOLE + OF_NARROWING * NARROWINGS_MOST)
#define LEAST_FACTOR 0.1
/* A bin is a quarter of the running median's width; where that reaches less
 * than this, each frame scatters for itself. */
#define BINS_A_SMOOTH 4.0
#define LEAST_SMOOTH_MM 0.25
/* A longer median fills narrowings so much that nothing can be told from it. */
#define MOST_SMOOTH_MM 5.0
#define MIDDLE_MM 1.0

/* What is read from one profile: three numbers of the whole, then four of each
 * narrowing. Shares are area / reference area. */
enum { LEAST_AREA, SHARE_THERE, LEAST_SHARE, OF_WHOLE };
enum { LENGTH, SHOULDERS, AREA, SHARE, OF_NARROWING };

typedef struct resampling {
    const workings *work;
    bins coarse; /* what is made calm */
    double *calm;
    bins grid; /* what is made to scatter */
    bins_window *windows;
    double *steady; /* calm diameters of the grid, through the median */
    double *sums;   /* running sums of scatter, bins + 1 */
    scatter_mean errors[REFERENCE_SEGMENTS];
    double frame_share;
    double scatter_part; /* of it, what frames were measured to scatter */
    reference now;       /* of this round */
    again coarse_course;
    again grid_course;
    arena round; /* owns what belongs to one reading */
    double
        minimum_mm; /* where the least area was found: its reference counts */
    const bl_narrowing *narrowings;
    size_t narrowing_count;
    size_t width;  /* numbers of one reading */
    size_t rounds; /* resamples */
    double *read;  /* rounds readings of one number after the other */
    double truth[NUMBERS_MOST]; /* read from what is calm */
    double still[NUMBERS_MOST]; /* and through the median, without scatter */
} resampling;

/* Half the way to the next narrowing, on either side: what is found there is
 * this one's. */
static bl_span territory_of(const resampling *in, size_t i) {
    const bl_narrowing *own = &in->narrowings[i];
    bl_span out = {-HUGE_VAL, HUGE_VAL};
    if (i > 0) {
        out.from_mm = 0.5 * (own[-1].span.to_mm + own->span.from_mm);
    }
    if (i + 1 < in->narrowing_count) {
        out.to_mm = 0.5 * (own->span.to_mm + own[1].span.from_mm);
    }
    return out;
}

static double shared_length_mm(bl_span a, bl_span b) {
    double length = fmin(a.to_mm, b.to_mm) - fmax(a.from_mm, b.from_mm);
    return fmax(length, 0.0);
}

/* Length and shoulders of what lies in the territory of a narrowing. */
static void read_lengths(const course_stretch *stretches,
                         const course_ends *ends, size_t count,
                         bl_span territory, double *out) {
    bl_span shoulders = {HUGE_VAL, -HUGE_VAL};
    out[LENGTH] = 0.0;
    for (size_t i = 0; i < count; i++) {
        double length = shared_length_mm(stretches[i].span, territory);
        if (length > 0.0) {
            out[LENGTH] += length;
            shoulders.from_mm = fmin(shoulders.from_mm, ends[i].before.x_mm);
            shoulders.to_mm = fmax(shoulders.to_mm, ends[i].after.x_mm);
        }
    }
    out[SHOULDERS] = shared_length_mm(shoulders, territory);
}

/* The least area, and the least share, among nodes within a span. */
static void read_depth(const course *along, bl_span span, double *out) {
    double diameter = HUGE_VAL;
    double share = HUGE_VAL;
    for (size_t i = 0; i < along->count; i++) {
        const course_node *node = &along->nodes[i];
        if (node->knot || node->x_mm < span.from_mm) {
            continue;
        }
        if (node->x_mm > span.to_mm) {
            break;
        }
        double here = node->value / node->level;
        diameter = node->value < diameter ? node->value : diameter;
        share = here < share ? here : share;
    }
    bool any = diameter < HUGE_VAL;
    out[AREA] = any ? circle_area_mm2(diameter) : UNKNOWN;
    out[SHARE] = any ? share * share : UNKNOWN;
}

static bl_status read_narrowings(resampling *in, const course *along,
                                 double *out) {
    const bl_assess_options *options = &in->work->options;
    double back = workings_diameter_share(options->shoulder_pct);
    course_stretch *stretches;
    size_t count;
    arena_reuse(&in->round);
    bl_status status =
        course_below(along, workings_diameter_share(options->threshold_pct),
                     back, JOIN_MM, &in->round, &stretches, &count);
    course_ends *ends = arena_alloc(&in->round, count, sizeof *ends);
    if (status != BL_OK || ends == NULL) {
        return BL_ERR_MEMORY;
    }
    course_shoulders(along, stretches, count, back, ends);
    for (size_t i = 0; i < in->narrowing_count; i++) {
        double *own = out + OF_WHOLE + OF_NARROWING * i;
        read_lengths(stretches, ends, count, territory_of(in, i), own);
        bl_span around = in->narrowings[i].shoulders;
        bl_span own_mm = territory_of(in, i);
        own_mm.from_mm = fmax(own_mm.from_mm, around.from_mm);
        own_mm.to_mm = fmin(own_mm.to_mm, around.to_mm);
        read_depth(along, own_mm, own);
    }
    return BL_OK;
}

static const bl_profile_point *least_of(const profile *along) {
    const bl_profile_point *least = along->points;
    for (size_t i = 1; i < along->count; i++) {
        if (along->points[i].equivalent_diameter_mm <
            least->equivalent_diameter_mm) {
            least = &along->points[i];
        }
    }
    return least;
}

/* Reads a profile against the reference of this round. */
static bl_status read_profile(resampling *in, const profile *along,
                              again *nodes, double *out) {
    const bl_profile_point *least = least_of(along);
    double wanted = reference_diameter_mm(&in->now, in->minimum_mm);
    double share = least->equivalent_diameter_mm / wanted;
    out[LEAST_AREA] = circle_area_mm2(least->equivalent_diameter_mm);
    out[SHARE_THERE] = share * share;
    out[LEAST_SHARE] = UNKNOWN;
    if (!reference_exists(&in->now)) {
        return BL_OK;
    }
    double whole[OF_NARROWING];
    again_fill(nodes, along->points, &in->now);
    read_depth(&nodes->along, (bl_span){-HUGE_VAL, HUGE_VAL}, whole);
    out[LEAST_SHARE] = whole[SHARE];
    return read_narrowings(in, &nodes->along, out);
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
    return diameter_mm * sqrt(fmax(1.0 + share, LEAST_FACTOR));
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
    double reading[NUMBERS_MOST] = {0};
    for (size_t r = 0; r < in->rounds; r++) {
        chance by = chance_start(in->work->options.seed, r);
        scatter_reference(in, &by);
        scatter_profile(in, &by);
        bl_status status =
            read_profile(in, &in->grid.along, &in->grid_course, reading);
        if (status != BL_OK) {
            return status;
        }
        for (size_t i = 0; i < in->width; i++) {
            in->read[i * in->rounds + r] = reading[i];
        }
    }
    return BL_OK;
}

/* ------------------------------------------------------------- intervals */

static double quantile(const double *sorted, size_t count, double share) {
    double at = share * (double)(count - 1);
    size_t below = (size_t)at;
    double part = at - (double)below;
    double above = sorted[below + 1 < count ? below + 1 : below];
    return sorted[below] * (1.0 - part) + above * part;
}

/* What a number reads as a part of the truth: what the median makes of it, and
 * of that what scatter does in the middle of the resamples, as far as frames
 * were measured to scatter. An error that is assumed beyond that is one that
 * neighbours have in common, and does not make the least of them low. */
static double scatter_left(const resampling *in, size_t number, double middle) {
    return 1.0 - in->scatter_part * (1.0 - middle / in->still[number]);
}

static double part_left(const resampling *in, size_t number, double middle) {
    return in->still[number] / in->truth[number] *
           scatter_left(in, number, middle);
}

/* Of a number that stands off in ratio; the readings are sorted in place. */
static bl_interval interval_of_ratio(const resampling *in, size_t number,
                                     double found) {
    double *values = &in->read[number * in->rounds];
    if (isnan(found) || isnan(in->truth[number])) {
        return (bl_interval){UNKNOWN, UNKNOWN};
    }
    median_sort(values, in->rounds);
    double middle = quantile(values, in->rounds, 0.5);
    double corrected = found / part_left(in, number, middle);
    double low = middle / quantile(values, in->rounds, 1.0 - TAIL);
    double high = middle / quantile(values, in->rounds, TAIL);
    return (bl_interval){
        corrected * fmax(1.0 + WIDENED * (low - 1.0), 0.0),
        corrected * (1.0 + WIDENED * (high - 1.0)),
    };
}

/* Of an area stenosis in percent, whose share of area is what is read. */
static bl_interval interval_of_stenosis(const resampling *in, size_t number,
                                        double found_pct) {
    bl_interval share = interval_of_ratio(in, number, 1.0 - found_pct / 100.0);
    return (bl_interval){100.0 * (1.0 - share.high), 100.0 * (1.0 - share.low)};
}

/* The same corrected only; the readings are sorted. */
static double corrected_pct(const resampling *in, size_t number,
                            double found_pct) {
    const double *values = &in->read[number * in->rounds];
    if (isnan(found_pct) || isnan(in->truth[number])) {
        return UNKNOWN;
    }
    double middle = quantile(values, in->rounds, 0.5);
    double share = 1.0 - found_pct / 100.0;
    return 100.0 * (1.0 - share / part_left(in, number, middle));
}

/* Unknown where the calm profile has none of it, or resamples are of another
 * kind altogether: then nothing is known of how lengths scatter. */
static bl_interval interval_of_length(const resampling *in, size_t number,
                                      double found_mm) {
    double *values = &in->read[number * in->rounds];
    double speed = in->work->options.speed_cv_pct / 100.0;
    double truth_mm = in->truth[number];
    median_sort(values, in->rounds);
    double middle = quantile(values, in->rounds, 0.5);
    if (!(truth_mm > 0.0) || fabs(middle - truth_mm) > 0.5 * truth_mm) {
        return (bl_interval){UNKNOWN, UNKNOWN};
    }
    for (size_t r = 0; r < in->rounds; r++) {
        /* A sequence of its own: the number of draws above may change. */
        chance by = chance_start(in->work->options.seed, SPEED_PART + r);
        double factor = fmax(1.0 + speed * chance_bell(&by), LEAST_FACTOR);
        values[r] = fmax(found_mm + truth_mm - values[r], 0.0) * factor;
    }
    median_sort(values, in->rounds);
    return (bl_interval){quantile(values, in->rounds, TAIL),
                         quantile(values, in->rounds, 1.0 - TAIL)};
}

static void forget(bl_narrowing *one) {
    bl_interval unknown = {UNKNOWN, UNKNOWN};
    one->length_interval_mm = unknown;
    one->shoulders_interval_mm = unknown;
    one->min_area_interval_mm2 = unknown;
    one->area_stenosis_interval_pct = unknown;
    one->area_stenosis_corrected_pct = UNKNOWN;
}

static void fill_narrowing(const resampling *in, size_t first,
                           bl_narrowing *one) {
    bl_interval *length = &one->length_interval_mm;
    bl_interval *around = &one->shoulders_interval_mm;
    bl_interval *stenosis = &one->area_stenosis_interval_pct;
    *length = interval_of_length(in, first + LENGTH,
                                 one->span.to_mm - one->span.from_mm);
    *around = interval_of_length(in, first + SHOULDERS,
                                 one->shoulders.to_mm - one->shoulders.from_mm);
    one->min_area_interval_mm2 =
        interval_of_ratio(in, first + AREA, one->min_area_mm2);
    *stenosis =
        interval_of_stenosis(in, first + SHARE, one->worst.area_stenosis_pct);
    one->area_stenosis_corrected_pct =
        corrected_pct(in, first + SHARE, one->worst.area_stenosis_pct);
    if (stenosis->low < in->work->options.threshold_pct &&
        !isnan(length->low)) {
        length->low = 0.0; /* it may not be narrowed */
    }
    /* What lies between shoulders holds the narrowing; fmax passes over NaN. */
    if (!isnan(around->low)) {
        around->low = fmax(around->low, length->low);
        around->high = fmax(around->high, length->high);
    }
}

static void fill_narrowings(const resampling *in, bl_narrowing *list,
                            size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (i < in->narrowing_count) {
            fill_narrowing(in, OF_WHOLE + OF_NARROWING * i, &list[i]);
        } else {
            forget(&list[i]);
        }
    }
}

static void fill_whole(const resampling *in, bl_assessment *out) {
    bl_intervals *to = &out->intervals;
    to->resamples = in->rounds;
    to->minimum_area_mm2 =
        interval_of_ratio(in, LEAST_AREA, out->minimum.area_mm2);
    double middle =
        quantile(&in->read[LEAST_AREA * in->rounds], in->rounds, 0.5);
    to->minimum_reads_low_pct =
        100.0 * (1.0 - scatter_left(in, LEAST_AREA, middle));
    to->minimum_area_stenosis_pct =
        interval_of_stenosis(in, SHARE_THERE, out->minimum.area_stenosis_pct);
    double worst_pct = reference_exists(&in->work->reference)
                           ? out->worst.area_stenosis_pct
                           : UNKNOWN;
    to->worst_area_stenosis_pct =
        interval_of_stenosis(in, LEAST_SHARE, worst_pct);
    to->worst_corrected_pct = corrected_pct(in, LEAST_SHARE, worst_pct);
}

static void forget_all(bl_narrowing *narrowings, bl_assessment *out) {
    bl_interval unknown = {UNKNOWN, UNKNOWN};
    bl_intervals *to = &out->intervals;
    to->resamples = 0;
    to->minimum_area_mm2 = unknown;
    to->minimum_reads_low_pct = UNKNOWN;
    to->minimum_area_stenosis_pct = unknown;
    to->worst_area_stenosis_pct = unknown;
    to->worst_corrected_pct = UNKNOWN;
    for (size_t i = 0; i < out->narrowing_count; i++) {
        forget(&narrowings[i]);
    }
}

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
        read_profile(in, &in->coarse.along, &in->coarse_course, in->truth);
    for (size_t i = 0; i < in->grid.along.count; i++) {
        in->grid.along.points[i].equivalent_diameter_mm = in->steady[i];
    }
    return status == BL_OK
               ? read_profile(in, &in->grid.along, &in->grid_course, in->still)
               : status;
}

bl_status interval_fill(const workings *work, bl_narrowing *narrowings,
                        bl_assessment *out) {
    if (work->options.smooth_mm > MOST_SMOOTH_MM) {
        forget_all(narrowings, out);
        return BL_OK;
    }
    arena owner = {0};
    size_t count = out->narrowing_count;
    double cv_pct = work->options.area_cv_pct;
    double scatter_pct = out->intervals.scatter_cv_pct;
    resampling in = {
        .work = work,
        .minimum_mm = out->minimum.position_mm,
        .narrowings = narrowings,
        .narrowing_count = count > NARROWINGS_MOST ? NARROWINGS_MOST : count,
        .frame_share = cv_pct / 100.0,
        .scatter_part = scatter_pct > cv_pct ? 1.0 : scatter_pct / cv_pct,
    };
    if (isnan(in.scatter_part)) {
        in.scatter_part = 0.0; /* not measured, or no error at all */
    }
    bl_status status = start(&in, &owner);
    if (status == BL_OK) {
        status = read_calm(&in);
    }
    if (status == BL_OK) {
        status = resample(&in);
    }
    if (status == BL_OK) {
        fill_whole(&in, out);
        fill_narrowings(&in, narrowings, count);
    }
    arena_free(&in.round);
    arena_free(&owner);
    return status;
}

/* ------------------------------------------------------------ what is given */

/* Our own measure. */
#define AREA_CV_PCT 5.0
#define CV_MOST_PCT 50.0
/* Of a motor: mean absolute error of length 9 to 19 % in four motorised systems
 * (Int J Cardiovasc Imaging 2007). */
#define SPEED_CV_PCT 10.0

static bool is_from_speed(bl_position_from from) {
    return from == BL_POSITION_STEP || from == BL_POSITION_TIME ||
           from == BL_POSITION_RATE;
}

const char *bl_error_from_name(bl_error_from from) {
    static const char *const names[] = {"assumed", "given", "measured"};
    return names[from];
}

bl_status interval_inputs(workings *work, bl_assessment *out) {
    double scatter;
    bl_status status =
        scatter_of_frames(work->profile.points, work->profile.count, &scatter);
    if (status != BL_OK) {
        return status;
    }
    bl_assess_options *options = &work->options;
    bl_intervals *to = &out->intervals;
    to->scatter_cv_pct = 100.0 * scatter;
    to->area_cv_from = BL_ERROR_GIVEN;
    to->speed_cv_from = BL_ERROR_GIVEN;
    if (isnan(options->area_cv_pct)) {
        bool more = to->scatter_cv_pct > AREA_CV_PCT;
        options->area_cv_pct =
            more ? fmin(to->scatter_cv_pct, CV_MOST_PCT) : AREA_CV_PCT;
        to->area_cv_from = more ? BL_ERROR_MEASURED : BL_ERROR_ASSUMED;
    }
    if (isnan(options->speed_cv_pct)) {
        options->speed_cv_pct =
            is_from_speed(work->pullback->position_from) ? SPEED_CV_PCT : 0.0;
        to->speed_cv_from = BL_ERROR_ASSUMED;
    }
    return BL_OK;
}
