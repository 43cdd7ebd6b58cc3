/*
 * chord.h - shortest and longest chord through a point inside a contour.
 */
#ifndef GEOMETRY_CHORD_H
#define GEOMETRY_CHORD_H

#include "geometry/facing.h"
#include "geometry/visible.h"

#include <stdint.h>

typedef struct chord_extremes {
    double least;
    double greatest;
    double long_axis_deg; /* direction of the greatest, [0, 180) */
} chord_extremes;

/* Working memory; zero-initialised is ready. */
typedef struct chord_finder {
    facing facing;    /* of the starts of pieces */
    double *square;   /* of the chord at each start, then at each end; 0 where
                         it was not looked at */
    uint32_t *across; /* the piece across each start */
    double *near;     /* least and greatest distance of each block */
    double *far;
    uint32_t *looked; /* the blocks looked into */
    size_t looked_count;
    size_t capacity;
    size_t solved; /* minima inside, for tests of their growth */
} chord_finder;

void chord_free(chord_finder *of);

/* Over all directions, exact up to rounding; at a direction where the view
 * jumps both sides count. False when memory is out. */
bool chord_find(chord_finder *finder, const visible *from, chord_extremes *out);

#endif
