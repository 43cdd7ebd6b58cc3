/*
 * scatter.h - how far areas stand off from what they stand for: from frame to
 * frame, and in the mean of a stretch.
 */
#ifndef ASSESS_SCATTER_H
#define ASSESS_SCATTER_H

#include "base/arena.h"
#include "base/chance.h"
#include "boreline.h"

/* Share by which single areas as traced stand off from the line between their
 * neighbours, as a standard deviation; NaN when fewer than SCATTER_FRAMES tell.
 * What neighbours share is not in it. BL_ERR_MEMORY. */
#define SCATTER_FRAMES ((size_t)20)
bl_status scatter_of_frames(const bl_profile_point *points, size_t count,
                            double *share);

/* The error of a stretch's mean area, as a share of it. */
typedef struct scatter_mean {
    double share;     /* standard error */
    unsigned freedom; /* degrees of freedom it was told with; 0: many */
} scatter_mean;

/* Of the points in the span, of which there is one or more; frame_share is the
 * least that a single frame stands off. */
scatter_mean scatter_of_mean(const bl_profile_point *points, size_t count,
                             bl_span span, double frame_share);

/* 1 and such an error, drawn; never below FACTOR_LEAST. */
double scatter_draw(const scatter_mean *of, chance *by);

#endif
