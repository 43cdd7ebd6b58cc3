/*
 * changing.h - what the error of speed does to a plan.
 */
#ifndef PLAN_CHANGING_H
#define PLAN_CHANGING_H

#include "plan/planner.h"

/* The 95 % interval of all lengths as a factor; NaN where no error is known. */
bl_interval changing_factor(const bl_assessment *of);

/* The largest factor at which devices still reach; NaN without devices. */
double changing_enough(const planner *in, const treatment *list, size_t count);

/* The plan at both ends of the interval, where it is another. BL_ERR_MEMORY. */
bl_status changing_fill(planner *in, const treatment *list, size_t count,
                        bl_interval factor, bl_plan *out);

#endif
