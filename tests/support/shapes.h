/*
 * shapes.h - contours for tests: closed forms and random ones.
 */
#ifndef SUPPORT_SHAPES_H
#define SUPPORT_SHAPES_H

#include "boreline.h"
#include "support/check.h"

#define SHAPE_MAX 4096

/* Points of one contour; x and y are in millimetres. */
typedef struct shape {
    double x[SHAPE_MAX];
    double y[SHAPE_MAX];
    size_t count;
} shape;

bl_contour shape_contour(const shape *of);

/* count points of an ellipse with these semi-axes, evenly in parameter. */
void shape_ellipse(shape *out, size_t count, double a, double b);
void shape_points(shape *out, size_t count, const double (*points)[2]);

/* Star-shaped about the origin, radius 2 .. 12, smooth when rough is 0. */
void shape_random_star(shape *out, dice *from, size_t count, double rough);

/* A strongly concave simple contour: a random star bent around an arc, so
 * that its centre may lie outside. */
void shape_random_bent(shape *out, dice *from, size_t count);

/* Measures everything without the limit on coordinates. */
bl_measures shape_measure(const shape *of);

void shape_move(shape *of, double dx, double dy);
void shape_rotate(shape *of, double degrees);
void shape_scale(shape *of, double factor);
void shape_mirror(shape *of);
void shape_reverse(shape *of);
void shape_restart(shape *of, size_t start);

#endif
