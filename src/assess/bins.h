/*
 * bins.h - the profile in short bins, and made calm enough to stand for what is
 * true while it is made to scatter again.
 */
#ifndef ASSESS_BINS_H
#define ASSESS_BINS_H

#include "base/arena.h"
#include "profile/profile.h"

/* Bins in position order. Of a point only position, equivalent diameter and gap
 * are set. */
typedef struct bins {
    profile along;
    double *frames;      /* in each */
    double *root_frames; /* its square root */
} bins;

/* width_mm: of a bin, 0: a frame each. middle_mm2: of each point an area that
 * the one traced is held to, as far as a single frame is likely to stand off;
 * frame_share: its standard deviation, as a share. bin_of: of each point the
 * number of its bin, unless NULL. BL_ERR_MEMORY. */
bl_status bins_make(const profile *along, const double *middle_mm2,
                    double width_mm, double frame_share, arena *owner,
                    size_t *bin_of, bins *out);

/* calm[i]: diameter_mm, one of each bin, without its scatter, as far as it is
 * no more than scatter: a short narrowing stays. */
void bins_calm(const bins *of, const double *diameter_mm, double frame_share,
               double *calm);

/* What a running median makes of scatter of single frames: at bin i it is
 * scale * the sum over bins from .. to - 1 of root_frames * (a bell of the
 * frames' standard deviation). */
typedef struct bins_window {
    size_t from;
    size_t to;
    double scale;
} bins_window;

/* BL_ERR_MEMORY. */
bl_status bins_windows(const bins *of, double smooth_mm, arena *owner,
                       bins_window *out);

#endif
