/*
 * reading.c - the numbers that are read from one profile of a resampling, as
 * from the one that was traced.
 */
#include "assess/resampling.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

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

/* Length and shoulders of what lies in the territory of a narrowing. */
static void read_lengths(const course_stretch *stretches,
                         const course_ends *ends, size_t count,
                         bl_span territory, double *out) {
    bl_span shoulders = {HUGE_VAL, -HUGE_VAL};
    out[LENGTH] = 0.0;
    for (size_t i = 0; i < count; i++) {
        double length = workings_shared_mm(stretches[i].span, territory);
        if (length > 0.0) {
            out[LENGTH] += length;
            shoulders.from_mm = fmin(shoulders.from_mm, ends[i].before.x_mm);
            shoulders.to_mm = fmax(shoulders.to_mm, ends[i].after.x_mm);
        }
    }
    out[SHOULDERS] = workings_shared_mm(shoulders, territory);
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

size_t reading_narrowing_at(const resampling *in, size_t narrowing, double x_mm,
                            bool *inside) {
    while (narrowing < in->narrowing_count &&
           in->narrowings[narrowing].shoulders.to_mm < x_mm) {
        narrowing++;
    }
    *inside = narrowing < in->narrowing_count &&
              in->narrowings[narrowing].shoulders.from_mm <= x_mm;
    return narrowing;
}

/* The least share of all, where, and that outside every shoulder. */
static void read_whole(const resampling *in, const course *along, double *out) {
    double share = HUGE_VAL;
    double next = HUGE_VAL;
    size_t narrowing = 0;
    for (size_t i = 0; i < along->count; i++) {
        const course_node *node = &along->nodes[i];
        if (node->knot) {
            continue;
        }
        bool inside;
        double here = node->value / node->level;
        narrowing = reading_narrowing_at(in, narrowing, node->x_mm, &inside);
        next = !inside && here < next ? here : next;
        if (here < share) {
            share = here;
            out[LEAST_PLACE] = node->x_mm;
        }
    }
    out[LEAST_SHARE] = share < HUGE_VAL ? share * share : UNKNOWN;
    out[NEXT_SHARE] = next < HUGE_VAL ? next * next : UNKNOWN;
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
    if (!isnan(in->inflow.from_mm)) {
        inflow_read_narrowed(in, along, stretches, count,
                             out + reading_inflow(in));
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

size_t reading_inflow(const resampling *in) {
    return OF_WHOLE + OF_NARROWING * in->narrowing_count;
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

bl_status reading_take(resampling *in, const profile *along, again *nodes,
                       double *out) {
    const bl_profile_point *least = least_of(along);
    double wanted =
        reference_diameter_mm(&in->now, in->minimum_mm) /
        leeway_factor(&in->misses, in->minimum_link, in->minimum_mm);
    double share = least->equivalent_diameter_mm / wanted;
    out[LEAST_AREA] = circle_area_mm2(least->equivalent_diameter_mm);
    out[SHARE_THERE] = share * share;
    out[LEAST_SHARE] = UNKNOWN;
    out[LEAST_PLACE] = UNKNOWN;
    out[NEXT_SHARE] = UNKNOWN;
    if (!isnan(in->inflow.from_mm)) {
        inflow_read_areas(in, along, out + reading_inflow(in));
    }
    if (!reference_exists(&in->now)) {
        return BL_OK;
    }
    again_fill(nodes, along->points, &in->now, &in->misses);
    read_whole(in, &nodes->along, out);
    return read_narrowings(in, &nodes->along, out);
}
