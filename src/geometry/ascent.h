/*
 * ascent.h - from a circle inside a contour to one that is locally largest.
 */
#ifndef GEOMETRY_ASCENT_H
#define GEOMETRY_ASCENT_H

#include "geometry/edges.h"

/* A circle inside the contour and the edges it touches, those it was last
 * compared with: at its top they hold it from all sides. */
typedef struct circle {
    double x;
    double y;
    double radius;
    edge_view touch[3];
    int touching;
} circle;

/* Makes the circle larger; trust is about how much it may move at a time. */
void ascent_climb(edge_set *edges, double trust, circle *best);

#endif
