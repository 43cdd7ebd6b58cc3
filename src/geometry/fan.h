/*
 * fan.h - where a circle that is larger than a given one can be, at a glance.
 */
#ifndef GEOMETRY_FAN_H
#define GEOMETRY_FAN_H

#include "geometry/ascent.h"
#include "geometry/edges.h"

/* Rectangles that are left, at most. */
#define FAN_BOXES 16

/* Every point inside the contour whose clearance exceeds the reach, which is
 * more than the circle's radius, is in one of the rectangles; returns their
 * number, 0 when there is no such point. */
size_t fan_boxes(const edge_set *edges, const circle *from, double reach,
                 rectangle out[FAN_BOXES]);

#endif
