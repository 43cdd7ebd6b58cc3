/*
 * rescale.c - places where all sizes change at once, and stay.
 *
 * Another depth or zoom of the picture multiplies every length from one frame
 * to the next. A narrowing or a taper takes several frames, a stray frame does
 * not stay, a vein pressed flat changes its shape, a device that begins or ends
 * leaves the wall around it as it is. What is left is a confluence that is
 * traced as a step, and whoever knows the vein can tell it.
 */
#include "profile/rescale.h"

#include "base/constants.h"
#include "profile/median.h"
#include "profile/profile.h"

#include <math.h>

#define WINDOW ((size_t)2 * RESCALE_FRAMES)

/* Without a scale areas may be too large to be known. */
static bool has_size(const bl_row *row) {
    return profile_is_usable_lumen(row) && isfinite(row->measures.area_mm2) &&
           isfinite(row->measures.perimeter_mm);
}

static double log_area(const bl_row *row) {
    return log(row->measures.area_mm2);
}

/* Of circularity, less a constant. */
static double log_roundness(const bl_row *row) {
    return log(row->measures.area_mm2) - 2.0 * log(row->measures.perimeter_mm);
}

static double median_of_side(const bl_row *const *side,
                             double (*of)(const bl_row *)) {
    double values[RESCALE_FRAMES];
    for (size_t i = 0; i < RESCALE_FRAMES; i++) {
        values[i] = of(side[i]);
    }
    return median_of_few(values, RESCALE_FRAMES);
}

static bool is_steady(const bl_row *const *side, double median, double change) {
    bool steady = true;
    for (size_t i = 0; i < RESCALE_FRAMES; i++) {
        steady = steady && fabs(log_area(side[i]) - median) <=
                               RESCALE_STEADY * fabs(change);
    }
    return steady;
}

/* The frames beside the change are near each other, and no gap lies in the
 * rest. */
static bool is_near(const bl_row *const window[WINDOW]) {
    bool near = true;
    for (size_t i = 1; i < WINDOW; i++) {
        double step = window[i]->position_mm - window[i - 1]->position_mm;
        double most = i == RESCALE_FRAMES ? RESCALE_MM : GAP_MM;
        near = near && step <= most + EDGE_MM;
    }
    return near;
}

/* Nearly every frame ends here, without a logarithm. r to the power of p is at
 * least r / (1 + (1 - p) (r - 1)), by Bernoulli's inequality. */
static bool is_step(const bl_row *before, const bl_row *behind) {
    const double least =
        RESCALE_RATIO / (1.0 + (1.0 - RESCALE_ABRUPT) * (RESCALE_RATIO - 1.0));
    double a = before->measures.area_mm2;
    double b = behind->measures.area_mm2;
    return a > least * b || b > least * a;
}

static bool changes(const bl_row *const window[WINDOW], double *ratio) {
    const bl_row *const *behind = window + RESCALE_FRAMES;
    if (!is_step(behind[-1], behind[0]) || !is_near(window)) {
        return false;
    }
    double step = log_area(behind[0]) - log_area(behind[-1]);
    double first = median_of_side(window, log_area);
    double second = median_of_side(behind, log_area);
    double change = second - first;
    double shape = median_of_side(behind, log_roundness) -
                   median_of_side(window, log_roundness);
    *ratio = exp(change);
    return fabs(change) > log(RESCALE_RATIO) &&
           step * change >= RESCALE_ABRUPT * change * change &&
           is_steady(window, first, change) &&
           is_steady(behind, second, change) &&
           fabs(expm1(shape)) <= RESCALE_SHAPE;
}

/* The other contour of that kind in a lumen's frame, whose rows stand together;
 * NULL where there is none with a size. */
static const bl_row *other_of(const rescale_search *in, const bl_row *lumen,
                              bl_kind kind) {
    const bl_row *end = in->rows + in->count;
    const bl_row *at = lumen;
    while (at > in->rows && at[-1].frame == lumen->frame) {
        at--;
    }
    for (; at < end && at->frame == lumen->frame; at++) {
        if (at->kind == kind && (at->measures.flags & BL_FLAGS_LEFT_OUT) == 0 &&
            isfinite(at->measures.area_mm2)) {
            return at;
        }
    }
    return NULL;
}

/* Another scale changes every contour of a frame: it is none where the wall or
 * the device does not change along, nor, unless one of them does, where a
 * device begins or ends. */
static bool is_lumen_alone(const rescale_search *in, const bl_row *before,
                           const bl_row *behind, double ratio) {
    static const bl_kind others[] = {BL_KIND_DEVICE, BL_KIND_VESSEL};
    bool changed = false;
    bool kept = false;
    bool ends = false;
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        const bl_row *first = other_of(in, before, others[i]);
        const bl_row *second = other_of(in, behind, others[i]);
        if (first != NULL && second != NULL) {
            bool along = (log_area(second) - log_area(first)) / log(ratio) >=
                         RESCALE_ALONG;
            changed = changed || along;
            kept = kept || !along;
        } else if (others[i] == BL_KIND_DEVICE) {
            ends = first != second;
        }
    }
    return kept || (ends && !changed);
}

bool rescale_next(rescale_search *in, rescale *out) {
    while (in->next < in->count) {
        const bl_row *row = &in->rows[in->next++];
        if (!has_size(row)) {
            continue;
        }
        for (size_t k = 1; k < WINDOW; k++) {
            in->window[k - 1] = in->window[k];
        }
        in->window[WINDOW - 1] = row;
        const bl_row *behind = in->window[RESCALE_FRAMES];
        const bl_row *before = in->window[RESCALE_FRAMES - 1];
        double ratio;
        if (in->window[0] != NULL && changes(in->window, &ratio) &&
            !is_lumen_alone(in, before, behind, ratio)) {
            *out = (rescale){(size_t)(behind - in->rows), before->frame,
                             before->position_mm, ratio};
            return true;
        }
    }
    return false;
}
