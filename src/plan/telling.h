/*
 * telling.h - what a careful reader should be told about a plan.
 */
#ifndef PLAN_TELLING_H
#define PLAN_TELLING_H

#include "plan/parting.h"

/* Adds to what is said; memory shows there. stretches in position order. */
void telling_collect(planner *in, const treatment *list,
                     const bl_stretch *stretches, size_t count,
                     size_t untreated);

/* Sentences that a chain of a user can earn as well as one of ours. */

/* Ends past the healthy vein of a landing; nothing where it does not. */
void telling_end_outside(sentences *to, const planner *in, const landing *of,
                         double end_mm);
/* The confluence that an end covers, the ligament that it lies near; either
 * may be NULL. */
void telling_marks(sentences *to, const planner *in, bool caudal, double end_mm,
                   const bl_mark *crosses, const bl_mark *near);
/* Of devices in position order: narrower than the vein, past the limit, order
 * and step of sizes. */
void telling_sizes(sentences *to, const planner *in, const bl_chain *chain);

#endif
