/*
 * telling.h - what a careful reader should be told about a plan.
 */
#ifndef PLAN_TELLING_H
#define PLAN_TELLING_H

#include "plan/parting.h"

/* Adds to what is said; memory shows there. chains in position order. */
void telling_collect(planner *in, const treatment *list, const bl_chain *chains,
                     size_t count, size_t untreated);

/* Sentences that a chain of a user can earn as well as one of ours. */

/* One end of devices, whose other end is other_mm: past the healthy vein of its
 * landing, over a confluence, near the ligament; nothing where it is none of
 * these. */
void telling_end(sentences *to, const planner *in, const landing *of,
                 double end_mm, double other_mm);
/* What is known of healthy vein outwards of a place beside which none lies. */
typedef enum telling_vein {
    TELLING_VEIN_NONE,
    TELLING_VEIN_UNKNOWN, /* some was not judged, or not traced */
    TELLING_VEIN_FURTHER  /* there is some, past what may be landed in */
} telling_vein;

telling_vein telling_vein_beyond(const planner *in, double at_mm, bool caudal);
/* Healthy vein to land in that there is none of, or too little. */
void telling_landing(sentences *to, const planner *in, const landing *of);
/* What was not traced of what devices cover. */
void telling_unseen(sentences *to, const planner *in, double from_mm,
                    double to_mm);
/* All that is told of treatments and their devices, in chains of ours; those in
 * position order. */
void telling_treatments(sentences *to, const planner *in, const treatment *list,
                        const bl_chain *chains, size_t count);

#endif
