/*
 * describing.h - treatments as the plan gives them out.
 */
#ifndef PLAN_DESCRIBING_H
#define PLAN_DESCRIBING_H

#include "plan/planner.h"

/* A stretch for each treatment with its chain, in position order as these.
 * factor: the interval of lengths. BL_ERR_MEMORY. */
bl_status describing_stretches(const planner *in, const treatment *list,
                               const bl_chain *chains, size_t count,
                               bl_interval factor, bl_stretch **out);

/* The ends of a treatment's devices, or its landing points where it has none,
 * from cranial to caudal, on the ground. */
typedef struct described_ends {
    double at_mm[2];
} described_ends;

described_ends describing_ends(const planner *in, const treatment *of,
                               const bl_chain *chain);

/* Healthy vein of a treatment outside the shoulders of all its narrowings. */
ground_part describing_between(const planner *in, const treatment *of);

#endif
