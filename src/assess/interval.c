/*
 * interval.c - 95 % intervals from what was read again and again (resample.c).
 *
 * What is read stands off from the calm profile as what was read from the
 * traced one stands off from the truth: the interval turns that around (the
 * basic, or pivotal, bootstrap: Davison and Hinkley, Bootstrap Methods and
 * their Application, 1997, section 5.2, from memory), in ratios for areas and
 * in differences for lengths. So it is corrected for the least of many frames
 * reading low, and for what the median fills of a short narrowing. Lengths are
 * then stretched by an error of speed, one draw for the pullback.
 *
 * Breathing (breathing.h) and what a found reference may miss by (leeway.h) are
 * in what is read. Kept as they are: obliquity, scale, what else neighbouring
 * frames share, and a reference that is diseased.
 */
#include "assess/resampling.h"

#include "base/chance.h"
#include "base/constants.h"

#include <math.h>

#define TAIL 0.025
/* What is calm is known no better than it is calm: on invented profiles
 * intervals of ratios held the truth in 91 %, and hold it in 95 when so much
 * wider. Our own measure. */
#define WIDENED 1.15
/* Where the sequences of chance begin that speeds are drawn from. */
#define SPEED_PART ((size_t)1000000)
/* A longer median fills narrowings so much that nothing can be told from it. */
#define MOST_SMOOTH_MM 5.0

static double quantile(const double *sorted, size_t count, double share) {
    double at = share * (double)(count - 1);
    size_t below = (size_t)at;
    double part = at - (double)below;
    double above = sorted[below + 1 < count ? below + 1 : below];
    /* So that of equal readings all are one, to the last bit. */
    return sorted[below] + part * (above - sorted[below]);
}

/* What a number reads as a part of the truth: what the median makes of it, and
 * of that what scatter does in the middle of the resamples, as far as frames
 * were measured to scatter. An error that is assumed beyond that is one that
 * neighbours have in common, and does not make the least of them low. */
static double scatter_left(const resampling *in, size_t number) {
    return 1.0 -
           in->scatter_part * (1.0 - in->middle[number] / in->still[number]);
}

/* middle: of all rounds. */
static double part_left(const resampling *in, size_t number, double middle) {
    return in->still[number] / in->truth[number] * scatter_left(in, number) *
           middle / in->middle[number];
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
        double factor = fmax(1.0 + speed * chance_bell(&by), FACTOR_LEAST);
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

/* Where the worst place came to lie, with where it was found. */
static bl_interval place_of(const resampling *in, double found_mm) {
    double *values = &in->read[LEAST_PLACE * in->rounds];
    if (isnan(in->truth[LEAST_PLACE])) {
        return (bl_interval){UNKNOWN, UNKNOWN};
    }
    median_sort(values, in->rounds);
    return (bl_interval){
        fmin(quantile(values, in->rounds, TAIL), found_mm),
        fmax(quantile(values, in->rounds, 1.0 - TAIL), found_mm),
    };
}

/* The greatest area stenosis outside the shoulders of all narrowings. */
static void fill_next(const resampling *in, bl_intervals *to) {
    const profile *along = &in->work->profile;
    size_t narrowing = 0;
    to->next_area_stenosis_pct = UNKNOWN;
    to->next_position_mm = UNKNOWN;
    for (size_t i = 0; i < along->count; i++) {
        const bl_profile_point *point = &along->points[i];
        bool inside;
        narrowing =
            reading_narrowing_at(in, narrowing, point->position_mm, &inside);
        double stenosis =
            100.0 * (1.0 - point->area_mm2 / point->reference_area_mm2);
        if (!inside && !(stenosis <= to->next_area_stenosis_pct) &&
            !isnan(stenosis)) {
            to->next_area_stenosis_pct = stenosis;
            to->next_position_mm = point->position_mm;
        }
    }
    to->next_area_stenosis_interval_pct =
        interval_of_stenosis(in, NEXT_SHARE, to->next_area_stenosis_pct);
}

static void fill_whole(const resampling *in, bl_assessment *out) {
    bl_intervals *to = &out->intervals;
    to->resamples = in->rounds;
    to->minimum_area_mm2 =
        interval_of_ratio(in, LEAST_AREA, out->minimum.area_mm2);
    to->minimum_reads_low_pct = 100.0 * (1.0 - scatter_left(in, LEAST_AREA));
    to->minimum_area_stenosis_pct =
        interval_of_stenosis(in, SHARE_THERE, out->minimum.area_stenosis_pct);
    double worst_pct = reference_exists(&in->work->reference)
                           ? out->worst.area_stenosis_pct
                           : UNKNOWN;
    to->worst_area_stenosis_pct =
        interval_of_stenosis(in, LEAST_SHARE, worst_pct);
    to->worst_corrected_pct = corrected_pct(in, LEAST_SHARE, worst_pct);
    to->worst_position_mm = place_of(in, out->worst.position_mm);
    to->likely_ripple_pct =
        in->breath.likely ? 100.0 * in->work->breath.likely.swing : UNKNOWN;
    to->unseen_ripple_pct =
        in->breath.likely ? 0.0 : 100.0 * breathing_most(&in->breath);
    fill_next(in, to);
}

/* Of what the calm profile has none of: as much as is read in all but the most
 * extreme. */
static bl_interval interval_of_none(const resampling *in, size_t number,
                                    double found_mm) {
    double *values = &in->read[number * in->rounds];
    double speed = in->work->options.speed_cv_pct / 100.0;
    median_sort(values, in->rounds);
    double most = fmax(found_mm, quantile(values, in->rounds, 1.0 - TAIL));
    return (bl_interval){0.0, most * (1.0 + NORMAL_975 * speed)};
}

/* Whether some of it is narrowed whatever errs. */
static bool is_surely_narrowed(const bl_assessment *of, bl_span span) {
    bool any = false;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        any = any || (workings_shared_mm(of->narrowings[i].span, span) > 0.0 &&
                      of->narrowings[i].length_interval_mm.low > 0.0);
    }
    return any;
}

static bl_interval interval_of_narrowed(const resampling *in, size_t number,
                                        const bl_assessment *of,
                                        double found_mm) {
    if (isnan(found_mm)) {
        return (bl_interval){UNKNOWN, UNKNOWN};
    }
    if (!(in->truth[number] > 0.0)) {
        return interval_of_none(in, number, found_mm);
    }
    bl_interval out = interval_of_length(in, number, found_mm);
    if (!isnan(out.low) && !is_surely_narrowed(of, in->inflow)) {
        out.low = 0.0;
    }
    return out;
}

/* Needs the intervals of narrowings. */
static void fill_inflow(const resampling *in, bl_assessment *out) {
    bl_inflow_figure *to = out->inflow.figures;
    size_t first = reading_inflow(in);
    if (isnan(in->inflow.from_mm)) {
        return;
    }
    to[BL_INFLOW_MIN_AREA].interval = interval_of_ratio(
        in, first + INFLOW_LEAST, to[BL_INFLOW_MIN_AREA].value);
    to[BL_INFLOW_MEAN_AREA].interval = interval_of_ratio(
        in, first + INFLOW_MEAN, to[BL_INFLOW_MEAN_AREA].value);
    to[BL_INFLOW_NARROWED].interval = interval_of_narrowed(
        in, first + INFLOW_NARROWED, out, to[BL_INFLOW_NARROWED].value);
    to[BL_INFLOW_FLOW].interval =
        interval_of_ratio(in, first + INFLOW_FLOW, to[BL_INFLOW_FLOW].value);
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
    to->worst_position_mm = unknown;
    to->likely_ripple_pct = UNKNOWN;
    to->unseen_ripple_pct = UNKNOWN;
    to->next_position_mm = UNKNOWN;
    to->next_area_stenosis_pct = UNKNOWN;
    to->next_area_stenosis_interval_pct = unknown;
    for (size_t i = 0; i < out->narrowing_count; i++) {
        forget(&narrowings[i]);
    }
}

bl_status interval_fill(const workings *work, const reference *runner_up,
                        bl_narrowing *narrowings, bl_assessment *out) {
    if (work->options.smooth_mm > MOST_SMOOTH_MM) {
        forget_all(narrowings, out);
        return BL_OK;
    }
    arena owner = {0};
    size_t count = out->narrowing_count;
    double cv_pct = work->options.area_cv_pct;
    double scatter_pct = out->intervals.scatter_cv_pct;
    size_t link = 0;
    const reference_link *at =
        reference_link_at(&work->reference, out->minimum.position_mm);
    if (at != NULL) {
        link = (size_t)(at - work->reference.links);
    }
    resampling in = {
        .work = work,
        .minimum_link = link,
        .minimum_mm = out->minimum.position_mm,
        .narrowings = narrowings,
        .inflow = out->inflow.span,
        .narrowing_count =
            count > RESAMPLED_NARROWINGS ? RESAMPLED_NARROWINGS : count,
        .frame_share = cv_pct / 100.0,
        .scatter_part = scatter_pct > cv_pct ? 1.0 : scatter_pct / cv_pct,
    };
    if (isnan(in.scatter_part)) {
        in.scatter_part = 0.0; /* not measured, or no error at all */
    }
    if (out->reference_from == BL_FROM_FOUND) {
        in.may_miss = leeway_of(work, runner_up);
    }
    bl_status status = resample_run(&in, &owner);
    if (status == BL_OK) {
        fill_whole(&in, out);
        fill_narrowings(&in, narrowings, count);
        fill_inflow(&in, out);
    }
    arena_free(&in.round);
    arena_free(&owner);
    return status;
}
