/*
 * sectors.h - directions from a centre, and stretches of them.
 *
 * A bearing stands for a direction and grows with its angle, but is made by one
 * division: -2 and 2 are -x, -1 is -y, 0 is +x, 1 is +y.
 */
#ifndef GEOMETRY_SECTORS_H
#define GEOMETRY_SECTORS_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/* One on -x has 2, the centre itself 0. What is added is nothing to a point
 * anywhere else. */
static inline double bearing_of(double x, double y) {
    double share = y / (fabs(x) + fabs(y) + 1e-300);
    if (x >= 0.0) {
        return share;
    }
    return y >= 0.0 ? 2.0 - share : -2.0 - share;
}

/* Whether what goes counter-clockwise from one direction to another, by less
 * than half a turn, passes from bearing 2 to -2: it leaves the upper half
 * plane, which has its edge, by -x. */
static inline bool bearing_wraps(double from_y, double to_y) {
    return from_y >= 0.0 && to_y < 0.0;
}

/* A point in that direction. */
void bearing_point(double bearing, double *x, double *y);

/* -180 .. 180, counter-clockwise from +x. */
double bearing_deg(double bearing);

typedef struct sector {
    double from; /* bearings, from <= to */
    double to;
} sector;

/* Zero-initialised is empty and ready. */
typedef struct sectors {
    sector *list;
    size_t count;
    size_t capacity;
} sectors;

void sectors_free(sectors *of);

/* Adds the directions of what is on a straight line between two points. False
 * when memory is out. */
bool sectors_add(sectors *to, double ax, double ay, double bx, double by);

/* Makes overlapping sectors one: then they are in order and apart, and those
 * that begin at -2 and end at 2 are one though they are two here. */
void sectors_merge(sectors *of);

typedef struct sectors_extent {
    double total_deg;
    double widest_deg;
    double widest_from_deg; /* -180 .. 180; unknown without any, 0 all round */
    size_t count;
} sectors_extent;

/* Of merged ones. */
sectors_extent sectors_measure(const sectors *of);

#endif
