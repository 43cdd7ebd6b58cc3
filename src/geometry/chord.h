/*
 * chord.h - shortest and longest chord through a point inside a contour.
 */
#ifndef GEOMETRY_CHORD_H
#define GEOMETRY_CHORD_H

#include "geometry/visible.h"

#include <stdint.h>

typedef struct chord_extremes {
    double least;
    double greatest;
    double long_axis_deg; /* direction of the greatest, [0, 180) */
} chord_extremes;

/* Working memory; zero-initialised is ready. */
typedef struct chord_finder {
    double *square;   /* of the chord at each start, then at each end, */
    double *reach;    /* and of how far each piece is from the point */
    uint32_t *across; /* the piece across each start, then each end */
    size_t capacity;
    size_t steps;  /* comparisons of directions in the last search, */
    size_t solved; /* and minima inside: for tests of its growth */
} chord_finder;

void chord_free(chord_finder *of);

/* Over all directions, exact up to rounding; at a direction where the view
 * jumps both sides count. False when memory is out. */
bool chord_find(chord_finder *finder, const visible *from, chord_extremes *out);

#endif
