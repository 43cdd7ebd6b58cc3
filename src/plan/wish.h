/*
 * wish.h - a chain of the user, held against the rules.
 */
#ifndef PLAN_WISH_H
#define PLAN_WISH_H

#include "plan/parting.h"

/* Fills wish and findings of the plan. What it is held against is parted by its
 * own devices. BL_ERR_MEMORY. */
bl_status wish_check(planner *in, const parting *parted, bl_plan *out);

#endif
