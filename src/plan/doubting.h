/*
 * doubting.h - what of a plan is not certain, in the words of its first line.
 */
#ifndef PLAN_DOUBTING_H
#define PLAN_DOUBTING_H

#include "plan/planner.h"

/* Into the plan, when its changes are known. BL_ERR_MEMORY. */
bl_status doubting_fill(planner *in, const treatment *list, size_t count,
                        bl_plan *out);

#endif
