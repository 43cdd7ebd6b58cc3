/*
 * inflow_stretch.c - the caudal end of what was traced, as an inflow: what can
 * be said of it before anything is resampled.
 */
#include "assess/spanning.h"
#include "assess/workings.h"

#include "base/constants.h"
#include "base/sum.h"

#include <math.h>

const char *bl_inflow_measure_name(unsigned measure) {
    static const char *const names[BL_INFLOW_MEASURES] = {
        "least area", "mean area", "narrowed length", "flow index"};
    return measure < BL_INFLOW_MEASURES ? names[measure] : NULL;
}

/* So much of the caudal end, or all there is. */
static bl_span span_of(const workings *work) {
    const profile *along = &work->profile;
    double length_mm = work->options.inflow_mm;
    double first = along->points[0].position_mm;
    double last = along->points[along->count - 1].position_mm;
    return work->pullback->travel == BL_END_CAUDAL
               ? (bl_span){fmax(first, last - length_mm), last}
               : (bl_span){first, fmin(last, first + length_mm)};
}

/* Of the rows from the stretch's cranial end on. */
static size_t left_out_in(const workings *work, bl_span span) {
    bool caudally = work->pullback->travel == BL_END_CAUDAL;
    size_t count = 0;
    for (size_t i = 0; i < work->profile.left_out_count; i++) {
        double at = work->rows[work->profile.left_out[i]].position_mm;
        count += caudally ? at >= span.from_mm - EDGE_MM
                          : at <= span.to_mm + EDGE_MM;
    }
    return count;
}

static course_points points_in(const profile *along, bl_span span) {
    size_t first = profile_lower_bound(along, span.from_mm - EDGE_MM);
    size_t end = first;
    while (end < along->count &&
           along->points[end].position_mm <= span.to_mm + EDGE_MM) {
        end++;
    }
    return (course_points){first, end};
}

static size_t least_among(const profile *along, course_points among) {
    size_t best = among.first;
    for (size_t i = among.first + 1; i < among.end; i++) {
        if (along->points[i].area_mm2 < along->points[best].area_mm2) {
            best = i;
        }
    }
    return best;
}

/* Not across a gap. */
static double mean_area_mm2(const profile *along, bl_span span) {
    sum area = {0};
    sum length = {0};
    spanning over = spanning_of(along->points, along->count, span);
    for (spanning_cell cell; spanning_next(&over, &cell);) {
        double before = cell.before->area_mm2;
        double middle = before + cell.part * (cell.after->area_mm2 - before);
        if (cell.is_gap) {
            return UNKNOWN;
        }
        sum_add(&area, cell.length_mm * middle);
        sum_add(&length, cell.length_mm);
    }
    return sum_value(&area) / sum_value(&length);
}

static double narrowed_mm(const bl_assessment *of, bl_span span) {
    sum length = {0};
    for (size_t i = 0; i < of->narrowing_count; i++) {
        sum_add(&length, workings_shared_mm(of->narrowings[i].span, span));
    }
    return sum_value(&length);
}

static bl_inflow_figure figure_of(double value, const char *why_not) {
    bl_interval unknown = {UNKNOWN, UNKNOWN};
    return isnan(value) ? (bl_inflow_figure){UNKNOWN, unknown, why_not}
                        : (bl_inflow_figure){value, unknown, NULL};
}

void inflow_stretch_fill(const workings *work, bl_assessment *out) {
    bl_inflow_stretch *to = &out->inflow;
    const profile *along = &work->profile;
    if (!(work->options.inflow_mm > 0.0)) {
        to->span = (bl_span){UNKNOWN, UNKNOWN};
        return;
    }
    to->span = span_of(work);
    to->is_shorter =
        to->span.to_mm - to->span.from_mm < work->options.inflow_mm - EDGE_MM;
    to->left_out = left_out_in(work, to->span);
    course_points among = points_in(along, to->span);
    to->frames = among.end - among.first;
    to->minimum = workings_place(work, least_among(along, among));
    bl_flow flow = bl_assessment_flow(out, to->span);
    /* A narrowing is known where area alone makes a flow index. */
    double narrowed =
        isnan(flow.area_index) ? UNKNOWN : narrowed_mm(out, to->span);
    to->figures[BL_INFLOW_MIN_AREA] = figure_of(to->minimum.area_mm2, NULL);
    to->figures[BL_INFLOW_MEAN_AREA] =
        figure_of(mean_area_mm2(along, to->span), SPANNING_GAP);
    to->figures[BL_INFLOW_NARROWED] = figure_of(narrowed, flow.why_not);
    to->figures[BL_INFLOW_FLOW] = figure_of(flow.index, flow.why_not);
}
