/*
 * ripple.h - is the calibre periodic along the pullback?
 */
#ifndef PROFILE_RIPPLE_H
#define PROFILE_RIPPLE_H

#include "base/arena.h"
#include "boreline.h"

/* The ripple that is most likely there, whether or not it is found. */
typedef struct ripple_guess {
    double *share; /* of every point, as `ripple` of a point would be */
    double swing;  /* peak to trough, median; 0: none is likely */
    double period; /* by the clock */
} ripple_guess;

/* Looks for one breathing period in the equivalent diameters of all stretches
 * without a gap, each by itself.
 *
 * clock: `count` ascending times in seconds, or, where is_time is false,
 * positions. out: its stretches belong to the arena; what it says of an
 * assessment is left unknown. Sets `ripple` of every point. guess: unless it is
 * NULL, the ripple that is found, or else a weaker or less certain one, of
 * which nothing is said; its shares belong to the arena. BL_ERR_MEMORY. */
bl_status ripple_find(bl_profile_point *points, size_t count,
                      const double *clock, bool is_time, arena *owner,
                      ripple_guess *guess, bl_ripple *out);

/* The swing, peak to trough, of a ripple that would be guessed in half of the
 * stretches of so many cycles, where a frame's diameter scatters by
 * frame_share: infinite below seven cycles,
 * among which a narrowing may hide any. */
double ripple_unseen_swing(double cycles, double frames_a_cycle,
                           double frame_share);

#endif
