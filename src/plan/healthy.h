/*
 * healthy.h - where a vein is healthy.
 */
#ifndef PLAN_HEALTHY_H
#define PLAN_HEALTHY_H

#include "plan/ground.h"

/* Fills healthy stretches of the ground, whose nodes are there: at or below
 * the shoulder level, no gap, no left-out frame, not flattened, and a
 * reference to tell. BL_ERR_MEMORY. */
bl_status healthy_find(const bl_study *study, const bl_assessment *assessment,
                       arena *owner, ground *into);

#endif
