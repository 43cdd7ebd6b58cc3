/*
 * unjudged.h - vein without a reference: devices whose width follows other
 * vein, and vein of which it is not known whether it is narrowed.
 */
#ifndef PLAN_UNJUDGED_H
#define PLAN_UNJUDGED_H

#include "plan/planner.h"

/* Of each device in part on such vein: how much, and what sizes it. */
void unjudged_tell(sentences *to, const planner *in, const bl_chain *chain);

/* The same of all that is covered, as a doubt of the diameters. Chains are
 * those of out. */
void unjudged_doubt_covered(sentences *to, const planner *in,
                            const treatment *list, size_t count,
                            const bl_plan *out);

/* How much of each vein that devices are planned for, and of vein that marks do
 * not tell, was not judged, and how wide it is at least, as doubts. */
void unjudged_doubt_veins(sentences *to, const planner *in);

#endif
