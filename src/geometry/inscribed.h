/*
 * inscribed.h - the largest circle inside a contour.
 */
#ifndef GEOMETRY_INSCRIBED_H
#define GEOMETRY_INSCRIBED_H

#include "boreline.h"

typedef struct inscribed_finder inscribed_finder;

/* NULL when memory is out. */
inscribed_finder *inscribed_new(void);
void inscribed_free(inscribed_finder *finder);

/* Diameter of the largest circle inside, never too large and at most 1e-4 mm
 * too small; unknown (NaN) where the search passes LIMIT_CIRCLE_LOOKS, which no
 * contour of a vein comes near. A simple polygon of count >= 3 points,
 * consecutive ones distinct, closed without a repeat, near the origin.
 * BL_ERR_MEMORY. */
bl_status inscribed_find(inscribed_finder *finder, const double *x,
                         const double *y, size_t count, double *diameter_mm);

/* Blocks of eight edges, or of eight segments that stand for blocks, looked at
 * by the last search, for tests of its growth. */
size_t inscribed_work(const inscribed_finder *finder);

#endif
