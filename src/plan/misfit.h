/*
 * misfit.h - what devices meet in the vein that the rules of size do not say.
 */
#ifndef PLAN_MISFIT_H
#define PLAN_MISFIT_H

#include "plan/planner.h"

/* Of devices in position order: vein that is wider than the device which ends
 * in it, by its reference or as traced; a size far above the reference, since
 * the list has none between; a device wholly beyond a mark or in two veins of
 * unlike calibre; an inner end or overlap near the inguinal ligament. */
void misfit_tell(sentences *to, const planner *in, const bl_chain *chain);

#endif
