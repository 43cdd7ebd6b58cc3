/*
 * denominator.c - what an area of the vein is held against.
 *
 * The reference before is that of BEFORE's assessment: linear in diameter
 * between frames, as it is there, but where it steps. The reference after is
 * AFTER's own where it stands for vein: one that a search found in a device is
 * none. Then the stretches of BEFORE's reference are measured again in AFTER,
 * as far as they lie outside the treated stretch and at least half of each is
 * traced, and the reference before is multiplied by how their diameters
 * changed: under taper linear between their middles and constant beyond, under
 * the other rules of at most two stretches by what the rule takes of them. So
 * it is what the rule makes of the new areas, at the middles and, for one
 * calibre, everywhere.
 *
 * Nominal sizes are laid from cranial over the device contours: the first from
 * their cranial end, the last up to their caudal end. Of two the overlap is
 * exact; of more all are taken to be alike. Where one would so reach beyond the
 * device contours by more than a device may shorten, or two would overlap where
 * there are none, the sizes contradict the contours and nothing is laid; nor
 * where an end of the device was not seen.
 */
#include "compare/denominator.h"

#include "base/circle.h"
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>

/* --------------------------------------------------------------- references */

/* Of the steps of a reference, one between two nodes as a part of the way from
 * a to b; NaN without one. */
static double step_part(const bl_assessment *of, const trace_node *a,
                        const trace_node *b) {
    double length = b->own_mm - a->own_mm;
    for (size_t i = 0; i < of->step_count; i++) {
        double part = (of->steps[i].position_mm - a->own_mm) / length;
        if (part >= 0.0 && part <= 1.0) {
            return part;
        }
    }
    return UNKNOWN;
}

static double between_nodes(const bl_assessment *from, const trace_node *a,
                            const trace_node *b, double at_mm) {
    double length = b->at_mm - a->at_mm;
    double part = length > 0.0 ? (at_mm - a->at_mm) / length : 0.0;
    double step = step_part(from, a, b);
    if (!isnan(step)) {
        return part < step ? a->reference_mm2 : b->reference_mm2;
    }
    double first = circle_diameter_mm(a->reference_mm2);
    double second = circle_diameter_mm(b->reference_mm2);
    return circle_area_mm2(first + part * (second - first));
}

/* Also in a gap; beyond the ends it stays as it is for as much as is bridged
 * elsewhere. */
static double reference_at(const trace *of, const bl_assessment *from,
                           double at_mm) {
    size_t next = trace_bound(of, at_mm, false);
    if (of->count == 0) {
        return UNKNOWN;
    }
    if (next < of->count && of->nodes[next].at_mm <= at_mm) {
        return of->nodes[next].reference_mm2;
    }
    if (next == 0 || next == of->count) {
        const trace_node *end = &of->nodes[next == 0 ? 0 : next - 1];
        return fabs(at_mm - end->at_mm) <= GAP_MM ? end->reference_mm2
                                                  : UNKNOWN;
    }
    return between_nodes(from, &of->nodes[next - 1], &of->nodes[next], at_mm);
}

double denominator_before_mm2(const denominators *of, double at_mm) {
    return reference_at(of->before, of->before_from, at_mm);
}

static double ratio_at(const denominators *of, double at_mm) {
    size_t next = 0;
    while (next < of->again_count && of->again[next].middle_mm <= at_mm) {
        next++;
    }
    if (next == 0 || next == of->again_count) {
        return of->again[next == 0 ? 0 : next - 1].ratio;
    }
    const denominator_again *a = &of->again[next - 1];
    double part = (at_mm - a->middle_mm) / (a[1].middle_mm - a->middle_mm);
    return a->ratio + part * (a[1].ratio - a->ratio);
}

double denominator_after_mm2(const denominators *of, double at_mm) {
    switch (of->from) {
    case BL_AFTER_REFERENCE_OWN:
    case BL_AFTER_REFERENCE_EXPECTED:
        return reference_at(of->after, of->after_from, at_mm);
    case BL_AFTER_REFERENCE_MEASURED: {
        double ratio = ratio_at(of, at_mm);
        return denominator_before_mm2(of, at_mm) * ratio * ratio;
    }
    case BL_AFTER_REFERENCE_NONE:
    default:
        return UNKNOWN;
    }
}

double denominator_nominal_mm2(const denominators *of, double at_mm) {
    double least = UNKNOWN;
    for (size_t i = 0; i < of->device_count; i++) {
        const denominator_device *one = &of->devices[i];
        if (at_mm >= one->span.from_mm - EDGE_MM &&
            at_mm <= one->span.to_mm + EDGE_MM) {
            least = fmin(least, circle_area_mm2(one->diameter_mm));
        }
    }
    return least;
}

/* ------------------------------------------------------------- measured again
 */

static bool overlaps(bl_span a, bl_span b) {
    return a.from_mm < b.to_mm - EDGE_MM && a.to_mm > b.from_mm + EDGE_MM;
}

bool denominators_in_treated(const comparing *in, int which) {
    const bl_assessment *of = in->tables[which].assessment;
    const bl_alignment *by = &in->out->alignment;
    for (size_t i = 0; i < of->segment_count; i++) {
        bl_span span = of->segments[i].span;
        if (which == AFTER) {
            double a = bl_alignment_before_mm(by, span.from_mm);
            double b = bl_alignment_before_mm(by, span.to_mm);
            span = (bl_span){fmin(a, b), fmax(a, b)};
        }
        if (overlaps(span, in->out->treated)) {
            return true;
        }
    }
    return false;
}

static bl_status raw_areas(const trace *of, arena *owner, double **out) {
    double *values = arena_alloc(owner, of->count, sizeof *values);
    if (values == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < of->count; i++) {
        values[i] = of->nodes[i].raw_mm2;
    }
    *out = values;
    return BL_OK;
}

/* Adds a stretch if AFTER measures it. */
static void measure_again(const comparing *in, const bl_segment *segment,
                          const double *values, denominators *to) {
    const trace *after = &in->tables[AFTER].lumen;
    trace_run run = trace_within(after, segment->span);
    double length = segment->span.to_mm - segment->span.from_mm;
    double traced = 0.0;
    double area = trace_mean(after, run, values, &traced);
    if (overlaps(segment->span, in->out->treated) || isnan(area) ||
        traced < 0.5 * length) {
        return;
    }
    to->again[to->again_count++] = (denominator_again){
        .middle_mm = 0.5 * (segment->span.from_mm + segment->span.to_mm),
        .ratio = sqrt(area / segment->area_mm2),
        .area_mm2 = segment->area_mm2,
        .again_mm2 = area,
    };
}

/* By a rule that takes one area of two stretches, there is one ratio. */
static void join_by_rule(const comparing *in, denominators *of) {
    const bl_assessment *from = in->tables[BEFORE].assessment;
    denominator_again *a = &of->again[0];
    denominator_again *b = &of->again[1];
    bool low_is_cranial = from->segments[0].where == BL_END_CRANIAL;
    if (of->again_count != 2 || from->segment_count != 2) {
        return;
    }
    switch (from->options.rule) {
    case BL_RULE_MEAN:
        a->ratio =
            sqrt((a->again_mm2 + b->again_mm2) / (a->area_mm2 + b->area_mm2));
        break;
    case BL_RULE_CRANIAL:
        a->ratio = low_is_cranial ? a->ratio : b->ratio;
        break;
    case BL_RULE_CAUDAL:
        a->ratio = low_is_cranial ? b->ratio : a->ratio;
        break;
    case BL_RULE_LARGEST:
        a->ratio = sqrt(fmax(a->again_mm2, b->again_mm2) /
                        fmax(a->area_mm2, b->area_mm2));
        break;
    case BL_RULE_TAPER:
    default:
        return;
    }
    of->again_count = 1;
}

static bl_status find_again(comparing *in, denominators *to) {
    const bl_assessment *from = in->tables[BEFORE].assessment;
    double *values = NULL;
    bl_status status = raw_areas(&in->tables[AFTER].lumen, in->owner, &values);
    to->again =
        arena_alloc(in->owner, from->segment_count + 2, sizeof *to->again);
    if (status != BL_OK || to->again == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < from->segment_count; i++) {
        measure_again(in, &from->segments[i], values, to);
    }
    to->measured = to->again_count;
    if (to->again_count > 0) {
        to->from = BL_AFTER_REFERENCE_MEASURED;
        join_by_rule(in, to);
    }
    return BL_OK;
}

static bl_status find_after(comparing *in, denominators *to) {
    switch (in->tables[AFTER].assessment->reference_from) {
    case BL_FROM_EXPECTED:
        to->from = BL_AFTER_REFERENCE_EXPECTED;
        return BL_OK;
    case BL_FROM_GIVEN:
        to->from = BL_AFTER_REFERENCE_OWN;
        return BL_OK;
    case BL_FROM_FOUND:
        if (!denominators_in_treated(in, AFTER)) {
            to->from = BL_AFTER_REFERENCE_OWN;
            return BL_OK;
        }
        break;
    case BL_FROM_NOTHING:
    default:
        break;
    }
    return find_again(in, to);
}

/* ------------------------------------------------------------ nominal sizes */

static bool is_of_one_diameter(const bl_compare_options *of) {
    for (size_t i = 1; i < of->nominal_count; i++) {
        if (fabs(of->nominals[i].diameter_mm - of->nominals[0].diameter_mm) >
            EDGE_MM) {
            return false;
        }
    }
    return true;
}

static bool has_lengths(const bl_compare_options *of) {
    for (size_t i = 0; i < of->nominal_count; i++) {
        if (isnan(of->nominals[i].length_mm)) {
            return false;
        }
    }
    return of->nominal_count > 0;
}

/* Each from cranial to caudal, on an axis that begins at the cranial end. */
static void lay(const bl_compare_options *sizes, double whole_mm, bool forward,
                double cranial_mm, denominators *to) {
    double total = 0.0;
    for (size_t i = 0; i < sizes->nominal_count; i++) {
        total += sizes->nominals[i].length_mm;
    }
    size_t count = sizes->nominal_count;
    double overlap = count > 1 ? (total - whole_mm) / (double)(count - 1) : 0.0;
    double from = 0.0;
    for (size_t i = 0; i < count; i++) {
        double to_mm = from + sizes->nominals[i].length_mm;
        if (count == 1) {
            to_mm = whole_mm;
        }
        bl_span span = {forward ? cranial_mm + from : cranial_mm - to_mm,
                        forward ? cranial_mm + to_mm : cranial_mm - from};
        to->devices[forward ? i : count - 1 - i] = (denominator_device){
            .span = span, .diameter_mm = sizes->nominals[i].diameter_mm};
        from = to_mm - overlap;
    }
    to->device_count = count;
}

static bool is_hole_overlapped(const trace *contours, bl_span overlap) {
    for (size_t i = 1; i < contours->count; i++) {
        bl_span hole = {contours->nodes[i - 1].at_mm, contours->nodes[i].at_mm};
        if (contours->nodes[i].starts && overlap.to_mm > overlap.from_mm &&
            overlaps(hole, overlap)) {
            return true;
        }
    }
    return false;
}

/* What is laid, against contours from the first to the last of `whole`. */
static bool is_contradicted(const trace *contours, bl_span whole,
                            const denominators *of) {
    double room = SHORTENED_SHARE * (whole.to_mm - whole.from_mm) + EDGE_MM;
    for (size_t i = 0; i < of->device_count; i++) {
        bl_span span = of->devices[i].span;
        if (span.from_mm < whole.from_mm - room ||
            span.to_mm > whole.to_mm + room) {
            return true;
        }
        if (i > 0 && is_hole_overlapped(
                         contours, (bl_span){span.from_mm,
                                             of->devices[i - 1].span.to_mm})) {
            return true;
        }
    }
    return false;
}

static void keep_within(bl_span whole, denominators *of) {
    for (size_t i = 0; i < of->device_count; i++) {
        bl_span *span = &of->devices[i].span;
        span->from_mm = fmax(span->from_mm, whole.from_mm);
        span->to_mm = fmin(span->to_mm, whole.to_mm);
    }
}

static void lay_one_diameter(bl_span whole, double diameter_mm,
                             denominators *to) {
    to->devices[0] = (denominator_device){whole, diameter_mm};
    to->device_count = 1;
}

static bl_status find_nominal(comparing *in, denominators *to) {
    const bl_compare_options *sizes = in->options;
    bl_span whole = trace_extent(&in->tables[AFTER].device);
    whole = isnan(whole.from_mm) ? in->out->treated : whole;
    size_t count = sizes->nominal_count;
    to->devices = arena_alloc(in->owner, count + 1, sizeof *to->devices);
    if (to->devices == NULL) {
        return BL_ERR_MEMORY;
    }
    if (count == 0 || isnan(whole.from_mm)) {
        return BL_OK;
    }
    bool forward = in->tables[BEFORE].pullback->travel == BL_END_CAUDAL;
    const bool *unseen = in->tables[AFTER].end_unseen;
    to->is_cut = unseen[0] || unseen[1];
    to->is_laid = has_lengths(sizes) && !to->is_cut;
    if (to->is_laid) {
        lay(sizes, whole.to_mm - whole.from_mm, forward,
            forward ? whole.from_mm : whole.to_mm, to);
        to->is_denied = is_contradicted(&in->tables[AFTER].device, whole, to);
        to->is_laid = !to->is_denied;
        to->device_count = to->is_denied ? 0 : to->device_count;
        keep_within(whole, to);
    }
    if (!to->is_laid && is_of_one_diameter(sizes)) {
        lay_one_diameter(whole, sizes->nominals[0].diameter_mm, to);
    }
    return BL_OK;
}

bl_status denominators_find(comparing *in) {
    denominators made = {
        .before = &in->tables[BEFORE].lumen,
        .after = &in->tables[AFTER].lumen,
        .before_from = in->tables[BEFORE].assessment,
        .after_from = in->tables[AFTER].assessment,
    };
    bl_status status = find_after(in, &made);
    if (status == BL_OK) {
        status = find_nominal(in, &made);
    }
    if (status == BL_OK) {
        in->against = made;
        in->out->after_reference_from = made.from;
    }
    return status;
}
