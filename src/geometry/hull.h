/*
 * hull.h - convex hull, and the distances of parallel tangents on it.
 */
#ifndef GEOMETRY_HULL_H
#define GEOMETRY_HULL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct hull_point {
    double x;
    double y;
} hull_point;

/* Zero-initialised is ready. */
typedef struct hull {
    const hull_point *corners; /* counter-clockwise, no three on a line */
    size_t count;
    hull_point *points; /* working memory */
    double *edge_x;
    double *edge_y;
    uint32_t *across;
    size_t capacity;
    size_t turns; /* looked at in the last search, for tests of its growth */
} hull;

void hull_free(hull *of);

/* The points are not all on one line. False when memory is out. */
bool hull_find(hull *out, const double *x, const double *y, size_t count);

/* The same for points that go once round a point inside (polygon_is_star), to
 * the left or else to the right, which saves a sort. */
bool hull_of_star(hull *out, const double *x, const double *y, size_t count,
                  bool left);

double hull_area(const hull *of);

/* Least and greatest distance between parallel tangents (Feret diameters):
 * exact for the polygon. */
void hull_ferets(hull *of, double *least, double *greatest);

#endif
