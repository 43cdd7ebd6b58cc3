/*
 * rescale.h - places where all sizes change at once, and stay.
 */
#ifndef PROFILE_RESCALE_H
#define PROFILE_RESCALE_H

#include "base/tracing.h"
#include "boreline.h"

/* Zero-initialised, with rows (by position, those of a frame together) and
 * count set, is ready. */
typedef struct rescale_search {
    const bl_row *rows;
    size_t count;
    size_t next;
    const bl_row *window[2 * RESCALE_FRAMES];
} rescale_search;

typedef struct rescale {
    size_t row;    /* the first behind the change */
    int64_t frame; /* of the row before it */
    double before_mm;
    double ratio; /* of areas, behind by before */
} rescale;

/* The next place where the areas of usable lumens are from one frame to the
 * next multiplied or divided, with the same shape, by more than RESCALE_RATIO
 * (base/tracing.h has the other limits), unless device and vessel contours tell
 * that nothing but the lumen changes; false when there is none left. Areas and
 * perimeters are needed. */
bool rescale_next(rescale_search *in, rescale *out);

#endif
