/*
 * ripple.h - is the calibre periodic along the pullback?
 */
#ifndef PROFILE_RIPPLE_H
#define PROFILE_RIPPLE_H

#include "boreline.h"

/* Looks for a ripple in the equivalent diameter of the longest stretch
 * without a gap; speed_mm_per_s (NaN unknown) turns mm into seconds.
 * BL_ERR_MEMORY. */
bl_status ripple_find(const bl_profile_point *points, size_t count,
                      double speed_mm_per_s, bl_ripple *out);

#endif
