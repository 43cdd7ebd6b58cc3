/*
 * ripple.h - is the calibre periodic along the pullback?
 */
#ifndef PROFILE_RIPPLE_H
#define PROFILE_RIPPLE_H

#include "base/arena.h"
#include "boreline.h"

/* Looks for one breathing period in the equivalent diameters of all stretches
 * without a gap, each by itself.
 *
 * clock: `count` ascending times in seconds, or, where is_time is false,
 * positions. out: its stretches belong to the arena; what it says of an
 * assessment is left unknown. Sets `ripple` of every point. BL_ERR_MEMORY. */
bl_status ripple_find(bl_profile_point *points, size_t count,
                      const double *clock, bool is_time, arena *owner,
                      bl_ripple *out);

#endif
