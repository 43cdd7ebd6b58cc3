/*
 * inflow_reading.c - what is read of the caudal end in one round of a
 * resampling.
 */
#include "assess/resampling.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

static bool is_inside(const resampling *in, double x_mm) {
    return x_mm >= in->inflow.from_mm - EDGE_MM &&
           x_mm <= in->inflow.to_mm + EDGE_MM;
}

void inflow_read_areas(const resampling *in, const profile *along,
                       double out[OF_INFLOW]) {
    const bl_profile_point *before = NULL;
    double least = HUGE_VAL;
    double volume = 0.0;
    double length = 0.0;
    for (size_t i = 0; i < along->count; i++) {
        const bl_profile_point *at = &along->points[i];
        if (!is_inside(in, at->position_mm)) {
            continue;
        }
        double diameter = at->equivalent_diameter_mm;
        least = fmin(least, diameter);
        if (before != NULL) {
            double step = at->position_mm - before->position_mm;
            length += step;
            volume += 0.5 * step *
                      (circle_area_mm2(diameter) +
                       circle_area_mm2(before->equivalent_diameter_mm));
        }
        before = at;
    }
    out[INFLOW_LEAST] = least < HUGE_VAL ? circle_area_mm2(least) : UNKNOWN;
    out[INFLOW_MEAN] = length > 0.0 ? volume / length : UNKNOWN;
    out[INFLOW_NARROWED] = UNKNOWN;
    out[INFLOW_FLOW] = UNKNOWN;
}

static double resistance(double diameter_mm) {
    double square = diameter_mm * diameter_mm;
    return 1.0 / (square * square);
}

/* By area alone: shape is kept as it was traced. */
static double flow_of(const resampling *in, const course *along) {
    double vein = 0.0;
    double healthy = 0.0;
    for (size_t i = 1; i < along->count; i++) {
        const course_node *at = &along->nodes[i];
        const course_node *before = at - 1;
        if (!at->starts && is_inside(in, before->x_mm) &&
            is_inside(in, at->x_mm)) {
            double step = at->x_mm - before->x_mm;
            vein += step * (resistance(before->value) + resistance(at->value));
            healthy +=
                step * (resistance(before->level) + resistance(at->level));
        }
    }
    return healthy > 0.0 ? vein / healthy : UNKNOWN;
}

void inflow_read_narrowed(const resampling *in, const course *along,
                          const course_stretch *stretches, size_t count,
                          double out[OF_INFLOW]) {
    out[INFLOW_NARROWED] = 0.0;
    for (size_t i = 0; i < count; i++) {
        out[INFLOW_NARROWED] +=
            workings_shared_mm(stretches[i].span, in->inflow);
    }
    out[INFLOW_FLOW] = flow_of(in, along);
}
