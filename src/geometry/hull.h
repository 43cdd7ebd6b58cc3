/*
 * hull.h - convex hull, and the distances of parallel tangents on it.
 */
#ifndef GEOMETRY_HULL_H
#define GEOMETRY_HULL_H

#include "geometry/facing.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Zero-initialised is ready. */
typedef struct hull {
    const double *x; /* corners, counter-clockwise, no three on a line */
    const double *y;
    size_t count;
    bool whole;      /* every point is a corner */
    double *point_x; /* working memory */
    double *point_y;
    uint32_t *before; /* neighbours among the points that are left */
    uint32_t *after;
    uint32_t *doubts; /* points that may not turn left */
    facing facing;
    size_t capacity;
    size_t turns; /* looked at in the last search, for tests of its growth */
} hull;

void hull_free(hull *of);

/* The points are not all on one line. False when memory is out. */
bool hull_find(hull *out, const double *x, const double *y, size_t count);

/* The same for points that go once round the origin to the left
 * (polygon_is_star), which saves a sort. They are used where they are, and two
 * more behind them repeat the first two. */
bool hull_of_star(hull *out, const double *x, const double *y, size_t count);

double hull_area(const hull *of);

/* Least and greatest distance between parallel tangents (Feret diameters):
 * exact for the polygon. The origin is inside or on it; in its middle is best.
 * False when memory is out. */
bool hull_ferets(hull *of, double *least, double *greatest);

#endif
