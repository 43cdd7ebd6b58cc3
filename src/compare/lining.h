/*
 * lining.h - what the search for an alignment and its judgement share.
 */
#ifndef COMPARE_LINING_H
#define COMPARE_LINING_H

#include "compare/comparing.h"
#include "compare/likeness.h"

#include <math.h>

/* A vein that ends at a device is not what it was. */
#define BESIDE_DEVICE_MM 5.0

typedef struct lining {
    comparing *in;
    bl_alignment made;
    bl_knot *knots;
    bl_span device; /* of AFTER, u; NaN without */
    likeness alike;
} lining;

/* 1, or -1 where AFTER is turned around. */
static inline double lining_turn(const bl_alignment *of) {
    return of->turned ? -1.0 : 1.0;
}

/* Whether a treated stretch is known. */
static inline bool lining_has_treated(const lining *of) {
    return of->in->options->treated_given || !isnan(of->device.from_mm);
}

/* lining_fit.c: both profiles, with the treated stretch and so much beside its
 * ends left out. BL_ERR_MEMORY. */
bl_status lining_open(const lining *of, double beside_mm, likeness *out);

/* lining_fit.c: how well what was found fits, and its shift; whether one that
 * was given is doubted. BL_ERR_MEMORY. */
bl_status lining_measure(lining *of);

#endif
