/*
 * spanning.h - a stretch of a profile cell by cell, from point to point, the
 * first and the last cut where the stretch ends.
 */
#ifndef ASSESS_SPANNING_H
#define ASSESS_SPANNING_H

#include "boreline.h"

/* Why a number of a stretch is not known: a gap is not known to be like what is
 * beside it. */
#define SPANNING_GAP "a gap without usable frames lies in it"

typedef struct spanning {
    const bl_profile_point *points;
    size_t count;
    bl_span span;
    size_t next; /* the point behind the next cell */
} spanning;

typedef struct spanning_cell {
    const bl_profile_point *before;
    const bl_profile_point *after;
    double length_mm; /* above 0 */
    double part;      /* how far its middle is from `before` to `after` */
    bool is_gap;
} spanning_cell;

/* Of count points, at least one. */
spanning spanning_of(const bl_profile_point *points, size_t count,
                     bl_span span);

/* The next cell that shares some length with the stretch; false after the last.
 */
bool spanning_next(spanning *of, spanning_cell *out);

#endif
