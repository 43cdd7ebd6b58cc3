/*
 * laying.h - devices in their places.
 */
#ifndef PLAN_LAYING_H
#define PLAN_LAYING_H

#include "plan/planner.h"

/* A device with its sizes; of may be NULL (a wish). Ends on the ground. */
bl_device laying_device(const planner *in, const bl_stock_device *of,
                        double diameter_mm, double length_mm, double from_mm,
                        double to_mm);

/* Devices from cranial to caudal, turned into position order in place, with
 * their overlaps. Lengths are factor times what was traced. BL_ERR_MEMORY. */
bl_status laying_chain(const planner *in, bl_device *devices, size_t count,
                       double factor, bl_chain *out);

/* A chain for each treatment, in position order; one without devices where
 * nothing fits. BL_ERR_MEMORY. */
bl_status laying_chains(const planner *in, const treatment *list, size_t count,
                        double factor, bl_chain **out);

/* The number of the i-th of `count` in position order, from cranial. */
size_t laying_turned(const planner *in, size_t i, size_t count);

#endif
