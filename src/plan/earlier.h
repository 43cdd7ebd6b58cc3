/*
 * earlier.h - devices that lie in the vein already.
 */
#ifndef PLAN_EARLIER_H
#define PLAN_EARLIER_H

#include "plan/planner.h"

/* The stretches of device contours of a study, in position order.
 * BL_ERR_MEMORY.
 */
bl_status earlier_find(const bl_study *study, planner *in);

/* The same with what the plan's own devices, or without any what they would
 * cover, have in common with each: as the plan gives them out. BL_ERR_MEMORY.
 */
bl_status earlier_fill(const planner *in, const treatment *list, size_t count,
                       bl_plan *out);

/* What a treatment and its devices have to do with each; nothing of one that
 * lies further away than what is treated together. */
void earlier_tell(sentences *to, const planner *in, const treatment *of,
                  const bl_chain *chain);
/* Those that are nothing of any treatment. */
void earlier_tell_rest(sentences *to, const planner *in, const treatment *list,
                       const bl_chain *chains, size_t count);
/* Of each treatment's the nearest, and how many more there are. */
void earlier_doubt(sentences *to, const planner *in, const treatment *list,
                   size_t count, const bl_plan *plan);

/* What of it breaks a rule, of devices of the user from one place of the ground
 * to another. */
void earlier_check(sentences *to, const planner *in, bl_span place);

#endif
