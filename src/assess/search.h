/*
 * search.h - what the parts of the search for healthy vein hand to each other.
 */
#ifndef ASSESS_SEARCH_H
#define ASSESS_SEARCH_H

#include "assess/divisions.h"
#include "assess/workings.h"

typedef struct window {
    size_t first;
    size_t last;
    double cost; /* HUGE_VAL: none */
} window;

/* What was found in one part of the line, on either side. */
typedef struct sides {
    window before;
    window after;
} sides;

typedef struct search {
    const workings *work; /* in which diameters and areas are the calibre */
    workings own;
    divisions parts;
    bool *clear;   /* no flag of its own, no left-out frame beside it */
    bool *full;    /* as wide as the vein beside it */
    bool *healthy; /* and round, and at or below the shoulder level */
    double *total; /* running sums of the diameter and its square */
    double *square;
    double flatness;       /* upper quartile */
    reference provisional; /* serves while two segments are not found */
    bool small_too;        /* candidates far below the normal as well */
} search;

/* search.c: parts the line and says what the first round is held against.
 * BL_ERR_MEMORY. */
bl_status search_start(search *in, const workings *work);

/* fullness.c: marks full[] of the profile's frames, which come in false. total:
 * running sums of the diameter. BL_ERR_MEMORY. */
bl_status fullness_mark(const search *in, const double *total, bool *full);

/* What is traced of a part; to_mm below from_mm when nothing is. */
bl_span search_traced(const search *in, size_t part);

/* Marks what is healthy as far as a frame tells, against a reference. */
void search_mark_healthy(search *in, const reference *now);

/* candidates.c: the best stretch on each side in every part, where the
 * narrowings are those under the reference. BL_ERR_MEMORY. */
bl_status candidates_choose(const search *in, const reference *now,
                            sides out[REFERENCE_PIECES]);

#endif
