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

/* A chord from where a piece starts or ends, which was the longest but for
 * rounding when it was found. */
typedef struct chord_top {
    uint32_t piece;
    uint32_t across; /* the piece that it runs to */
    bool end;
} chord_top;

/* Pieces in front and across between which a chord may be less than all there
 * were before. */
typedef struct chord_valley {
    uint32_t front;
    uint32_t back;
} chord_valley;

/* Working memory; zero-initialised is ready. */
typedef struct chord_finder {
    facing facing; /* of the starts of pieces */
    chord_top *tops;
    size_t top_count;
    chord_valley *valleys;
    size_t valley_count;
    size_t capacity;
    size_t events; /* starts of intervals, for tests of their growth */
    size_t solved; /* minima inside, for tests of theirs */
} chord_finder;

void chord_free(chord_finder *of);

/* Over all directions, exact up to rounding; at a direction where the view
 * jumps both sides count. known: near, far and longest of the same points in
 * blocks, where they have been found, or NULL. False when memory is out. */
bool chord_find(chord_finder *finder, const visible *from, const facing *known,
                chord_extremes *out);

#endif
