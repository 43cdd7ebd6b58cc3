/*
 * polygon.h - area, perimeter and centre of gravity of a closed contour.
 */
#ifndef GEOMETRY_POLYGON_H
#define GEOMETRY_POLYGON_H

#include <stdbool.h>
#include <stddef.h>

/* All functions take `count` points, closed without a repeat. */

typedef struct polygon_sums {
    double twice_area; /* positive when counter-clockwise */
    double centre_x;   /* of gravity, relative to the first point; */
    double centre_y;   /* unknown (NaN or infinite) when the area is 0 */
    double perimeter;  /* not finite where a coordinate is not */
    double least_step; /* 0 when consecutive points, or last and first, are
                          the same, above 0 otherwise */
    double extent;     /* greatest magnitude of a coordinate */
    double nearest;    /* least of the points' own extents: 0 for a point at
                          exactly 0,0, and only then */
    double longest;    /* edge */
} polygon_sums;

/* Everything that is added up along the contour, in one pass that also writes
 * the coordinates relative to the first point. count >= 1. */
polygon_sums polygon_sum(const double *restrict x, const double *restrict y,
                         size_t count, double *restrict relative_x,
                         double *restrict relative_y);

/* True when every point lies on one line; exact. */
bool polygon_is_flat(const double *x, const double *y, size_t count);

/* True only when the contour turns exactly once around (cx, cy), every edge
 * to the left (or else to the right), beyond rounding error: then it is simple
 * and star-shaped. */
bool polygon_is_star(const double *x, const double *y, size_t count, bool left,
                     double cx, double cy);

/* Strictly inside, by the even-odd rule; false on the contour. Exact. */
bool polygon_holds(const double *x, const double *y, size_t count, double px,
                   double py);

#endif
