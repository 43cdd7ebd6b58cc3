/*
 * orient.h - on which side of a line a point lies, without rounding error.
 */
#ifndef GEOMETRY_ORIENT_H
#define GEOMETRY_ORIENT_H

#include <float.h>
#include <math.h>

/* How far a determinant of differences may be from the truth, relative to the
 * sum of its products' sizes (Shewchuk's bound, see orient.c). */
#define ORIENT_BOUND ((3.0 + 8.0 * DBL_EPSILON) * (DBL_EPSILON / 2.0))

/* Twice the area of the triangle a, b, c, positive when it turns left, in
 * doubles, and how far it may be from the truth. */
static inline double orient_about(double ax, double ay, double bx, double by,
                                  double cx, double cy, double *error) {
    double left = (ax - cx) * (by - cy);
    double right = (ay - cy) * (bx - cx);
    *error = ORIENT_BOUND * (fabs(left) + fabs(right));
    return left - right;
}

/* Sign of the turn a -> b -> c: 1 left (counter-clockwise), -1 right, 0
 * straight. Exact for finite coordinates whose products neither overflow nor
 * underflow (1e-140 .. 1e140 does). */
int orient_sign(double ax, double ay, double bx, double by, double cx,
                double cy);

#endif
