/*
 * visible.h - the part of a contour that is seen from a point inside.
 */
#ifndef GEOMETRY_VISIBLE_H
#define GEOMETRY_VISIBLE_H

#include <stdbool.h>
#include <stddef.h>

typedef struct span_sight span_sight;

/* The seen pieces of edges, relative to the point, once round it in order;
 * each goes counter-clockwise from a to b. Zero-initialised is ready. */
typedef struct visible {
    double *ax;
    double *ay;
    double *bx;
    double *by;
    size_t count;
    bool joined; /* each piece starts where the one before ends, and a repeats
                    its first two behind the last */
    size_t capacity;
    span_sight *spans; /* working memory */
    span_sight *other;
    size_t span_capacity;
} visible;

void visible_free(visible *of);

/* What is seen of a contour that is star-shaped about (cx, cy): all of it.
 * left: it turns left. False when memory is out. */
bool visible_star(visible *out, const double *x, const double *y, size_t count,
                  bool left, double cx, double cy);

/* What is seen of any simple contour from a point inside it. */
bool visible_from(visible *out, const double *x, const double *y, size_t count,
                  double cx, double cy);

#endif
