/*
 * alternative.h - other plans, and why they lost.
 */
#ifndef PLAN_ALTERNATIVE_H
#define PLAN_ALTERNATIVE_H

#include "plan/parting.h"

/* At most 4, best first, into the plan. BL_ERR_MEMORY. */
bl_status alternative_fill(planner *in, const parting *of, bl_plan *out);

#endif
