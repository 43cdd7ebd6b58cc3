/*
 * missing.h - which sizes a stock lacks.
 */
#ifndef PLAN_MISSING_H
#define PLAN_MISSING_H

#include "plan/planner.h"

/* Of a treatment that got no devices: why, and what would do, for its stretch.
 * BL_ERR_MEMORY. */
bl_status missing_words(const planner *in, const treatment *of,
                        bl_stretch *out);

#endif
