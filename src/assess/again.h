/*
 * again.h - a calibre course that is filled anew many times: its places stay,
 * diameters and reference change.
 */
#ifndef ASSESS_AGAIN_H
#define ASSESS_AGAIN_H

#include "assess/leeway.h"

/* Where a node's level comes from: it is `part` of the way along a line of the
 * reference between two of its breaks; and a knot's value so far between the
 * point before it and its own. */
typedef struct again_place {
    size_t line;
    size_t link; /* of the reference, that the line is in */
    double part;
    double of_value; /* 1 at a point */
} again_place;

typedef struct again {
    course along;
    again_place *places; /* of each node */
} again;

/* The course of work's profile against work's reference. BL_ERR_MEMORY. */
bl_status again_make(const workings *work, arena *owner, again *out);

/* The same with other diameters at the same positions, and a reference whose
 * segments lie in the same places, off by what was drawn of its leeway. */
void again_fill(again *of, const bl_profile_point *points, const reference *now,
                const leeway_draw *off);

#endif
