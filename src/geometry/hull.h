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

/* Corners of the convex hull, counter-clockwise, no three on a line, into
 * out, which has room for 3 * count + 2 (working memory included). star: the
 * points go once round a point inside (polygon_is_star), which saves a sort.
 * The points are not all on one line. Returns the number of corners, >= 3. */
size_t hull_of(const double *x, const double *y, size_t count, bool star,
               hull_point *out);

/* Area of the hull. */
double hull_area(const hull_point *corners, size_t count);

/* Least and greatest distance between parallel tangents (Feret diameters):
 * exact for the polygon. */
void hull_ferets(const hull_point *corners, size_t count, double *least,
                 double *greatest);

#endif
