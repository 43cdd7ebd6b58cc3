/*
 * source_share.h - whether what devices are sized by is far from the normal of
 * its vein.
 */
#ifndef PLAN_SOURCE_SHARE_H
#define PLAN_SOURCE_SHARE_H

#include "plan/planner.h"

/* Adds it as doubts of the diameters or, where nothing is treated, of that. */
void source_share_doubt(sentences *to, const planner *in, const treatment *list,
                        size_t count);

#endif
