/*
 * polygon.h - area, perimeter and centre of gravity of a closed contour.
 */
#ifndef GEOMETRY_POLYGON_H
#define GEOMETRY_POLYGON_H

#include <stdbool.h>
#include <stddef.h>

/* All functions take `count` points, closed without a repeat, near the
 * origin. */

/* Twice the area, positive when counter-clockwise, and the centre of gravity
 * (unknown, NaN, when the area is 0). */
double polygon_moments(const double *x, const double *y, size_t count,
                       double *centre_x, double *centre_y);

double polygon_perimeter(const double *x, const double *y, size_t count);

/* True when every point lies on one line; exact. */
bool polygon_is_flat(const double *x, const double *y, size_t count);

/* True only when the contour turns exactly once around (cx, cy), every edge
 * the same way, beyond rounding error: then it is simple and star-shaped. */
bool polygon_is_star(const double *x, const double *y, size_t count, double cx,
                     double cy);

/* Strictly inside, by the even-odd rule; false on the contour. Exact. */
bool polygon_holds(const double *x, const double *y, size_t count, double px,
                   double py);

#endif
