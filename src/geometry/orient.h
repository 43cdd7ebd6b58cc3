/*
 * orient.h - on which side of a line a point lies, without rounding error.
 */
#ifndef GEOMETRY_ORIENT_H
#define GEOMETRY_ORIENT_H

/* Sign of the turn a -> b -> c: 1 left (counter-clockwise), -1 right, 0
 * straight. Exact for finite coordinates whose products neither overflow nor
 * underflow (1e-140 .. 1e140 does). */
int orient_sign(double ax, double ay, double bx, double by, double cx,
                double cy);

#endif
