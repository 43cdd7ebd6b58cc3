/*
 * wish.h - a chain of the user, held against the rules.
 */
#ifndef PLAN_WISH_H
#define PLAN_WISH_H

#include "plan/planner.h"

/* Fills wish and findings of the plan, whose treatments (from cranial to
 * caudal) it is held against. BL_ERR_MEMORY. */
bl_status wish_check(planner *in, const treatment *list, size_t count,
                     bl_plan *out);

#endif
