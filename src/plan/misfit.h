/*
 * misfit.h - what devices meet in the vein that the rules of size do not say.
 */
#ifndef PLAN_MISFIT_H
#define PLAN_MISFIT_H

#include "plan/planner.h"

/* Of devices in position order: vein that is wider than the device which ends
 * in it, wherever no other touches it, by its reference or as traced; a size
 * far above the reference, since the list has none between; a device wholly
 * beyond a mark or in two veins of unlike calibre; one that lies wholly in
 * others; an inner end or overlap near the inguinal ligament. */
void misfit_tell(sentences *to, const planner *in, const bl_chain *chain);

/* Vein between two devices, on the ground, that is bare though it is shorter
 * than what is joined. */
void misfit_tell_bare(sentences *to, const planner *in, double from_mm,
                      double to_mm);

/* Those of them that lie wholly in another vein or in two, as doubts. */
void misfit_doubt(sentences *to, const planner *in, const bl_chain *chain);

/* How wide the vein was traced at an end of devices in position order, where
 * the one that ends there would not lie against its wall; else 0. */
double misfit_loose_mm(const planner *in, const bl_chain *chain, bool caudal);

/* How much wider than the reference at an end of devices in position order the
 * one that ends there is, where that is more than a step of sizes and not told
 * of the whole device; else 0. */
typedef struct misfit_end {
    double oversize_mm;
    double reference_mm; /* there; NaN where the other is 0 */
} misfit_end;

misfit_end misfit_far_end(const planner *in, const bl_chain *chain,
                          bool caudal);

/* Whether nothing is told of its ends; true without devices. */
bool misfit_ends_fit(const planner *in, const bl_chain *chain);

/* Whether any device is more than a step of sizes wider than its reference. */
bool misfit_any_far(const bl_chain *chain);

/* Whether so much is more than a step of sizes. */
bool misfit_is_far(double oversize_mm);

/* The diameters of which nothing is told where they end at a place of the
 * ground, mm; high is infinite without a reference. */
bl_interval misfit_wanted(const planner *in, double at_mm);

#endif
