/*
 * sizing.h - whether the sizes of devices keep the rules.
 */
#ifndef PLAN_SIZING_H
#define PLAN_SIZING_H

#include "plan/planner.h"

/* Of devices in position order: narrower than the vein, past the limit, order
 * and step of sizes. */
void sizing_tell(sentences *to, const planner *in, const bl_chain *chain);

/* Those of all stretches that are much too wide, by the limit that the user set
 * or else by a step, whole or at an end, and neighbours that differ by more
 * than one, as doubts. */
void sizing_doubt(sentences *to, const planner *in, const bl_plan *plan);

#endif
