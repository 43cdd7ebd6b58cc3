/*
 * stray.h - points or edges of a contour that are unlike all others.
 */
#ifndef GEOMETRY_STRAY_H
#define GEOMETRY_STRAY_H

#include "geometry/polygon.h"

#include <stdint.h>

typedef enum stray_what {
    STRAY_NONE,
    STRAY_POINT,  /* far out, or far in, and back */
    STRAY_RUN,    /* so several neighbouring points */
    STRAY_EDGE,   /* closes what was traced part of the way round */
    STRAY_EDGES,  /* two or three close what was traced in as many arcs */
    STRAY_ORIGIN, /* a point at exactly 0,0 at which the contour turns back */
    STRAY_COUNT
} stray_what;

typedef struct stray {
    stray_what what;
    uint32_t point;  /* it, the first of a run, or where the longest edge
                        begins: 0 .. count - 1 */
    uint32_t points; /* of a run; or how many edges */
    double times;    /* the edge, the mean of a point's two, or the least of
                        several, by the others' */
} stray;

/* What is most unlike the rest of a simple contour of count >= 3 points whose
 * sums are given; STRAY_NONE of fewer than TRACED_POINTS. Limits are those of
 * base/tracing.h. Most contours are passed by their sums alone. */
stray stray_find(const double *x, const double *y, size_t count,
                 const polygon_sums *sums);

#endif
