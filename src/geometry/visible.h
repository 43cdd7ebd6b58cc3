/*
 * visible.h - the part of a contour that is seen from a point inside.
 */
#ifndef GEOMETRY_VISIBLE_H
#define GEOMETRY_VISIBLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A seen piece of an edge, relative to the point, going counter-clockwise:
 * its ends with their distances. */
typedef struct sight {
    double ax;
    double ay;
    double bx;
    double by;
    double ra;
    double rb;
} sight;

typedef struct span_sight span_sight;

/* Working memory; zero-initialised is ready. */
typedef struct visible {
    sight *sights; /* the result: once round the point, in order */
    size_t count;
    size_t capacity;
    span_sight *spans;
    span_sight *other;
    size_t span_capacity;
} visible;

void visible_free(visible *of);

/* Sights of a contour that is star-shaped about (cx, cy): all of it. False
 * when memory is out. */
bool visible_star(visible *out, const double *x, const double *y, size_t count,
                  double cx, double cy);

/* Sights of any simple contour from a point inside it. */
bool visible_from(visible *out, const double *x, const double *y, size_t count,
                  double cx, double cy);

#endif
