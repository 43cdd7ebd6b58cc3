/*
 * crossing.h - does a contour cross itself?
 */
#ifndef GEOMETRY_CROSSING_H
#define GEOMETRY_CROSSING_H

#include "boreline.h"

typedef struct crossing_finder crossing_finder;

/* NULL when memory is out. */
crossing_finder *crossing_new(void);
void crossing_free(crossing_finder *finder);

/* *crosses is true when two edges cross in their interiors, when the contour
 * passes through itself at a vertex, or when an edge runs along another over
 * a length (a spike that folds back too). A mere touch is no crossing: a vein
 * pressed flat may touch itself. Exact. count >= 3 points, consecutive ones
 * distinct, closed without a repeat. BL_ERR_MEMORY. */
bl_status crossing_find(crossing_finder *finder, const double *x,
                        const double *y, size_t count, bool *crosses);

/* Comparisons of the last search, for tests of its growth. */
size_t crossing_work(const crossing_finder *finder);

#endif
