/*
 * chord.h - shortest and longest chord through a point inside a contour.
 */
#ifndef GEOMETRY_CHORD_H
#define GEOMETRY_CHORD_H

#include "geometry/visible.h"

typedef struct chord_extremes {
    double least;
    double greatest;
    double long_axis_deg; /* direction of the greatest, [0, 180) */
} chord_extremes;

/* Over all directions, exact up to rounding; at a direction where the view
 * jumps both sides count. The sights go once round the point. */
chord_extremes chord_find(const visible *from);

#endif
