/*
 * overlay.h - the area that two contours have in common.
 */
#ifndef GEOMETRY_OVERLAY_H
#define GEOMETRY_OVERLAY_H

#include "geometry/sectors.h"

#include <stdint.h>

typedef struct wedge wedge;

/* The wedges of one contour, and those that a sweep is within. */
typedef struct wedge_list {
    wedge *list;
    size_t count;
    size_t capacity;
    size_t most;
    size_t bounds; /* of sectors, at or before the end of the last one */
    size_t first;  /* of least bearing; from it on round they are in order */
    uint32_t *open;
    size_t open_count;
    size_t open_capacity;
} wedge_list;

/* Working memory; zero-initialised is ready. */
typedef struct overlay {
    wedge_list sides[2];
    size_t looked; /* pairs of wedges */
} overlay;

void overlay_free(overlay *of);

/* Points of a contour relative to a centre, the same for both, counter-
 * clockwise, closed without a repeat. */
typedef struct ring {
    const double *x;
    const double *y;
    size_t count;
} ring;

typedef struct overlay_areas {
    double both;   /* in both contours */
    double only_b; /* in b and not in a, within the sectors */
} overlay_areas;

/* Within merged sectors about the centre, which is best inside a. *known is
 * false when more than `looks` pairs would have to be looked at, or far more
 * wedges be made than there are points. False when memory is out. */
bool overlay_find(overlay *of, const ring *a, const ring *b,
                  const sectors *within, size_t looks, overlay_areas *out,
                  bool *known);

#endif
