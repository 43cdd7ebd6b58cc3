/*
 * aligned.h - how one table is moved onto the axis of another, as reports and
 * pictures say it.
 */
#ifndef BASE_ALIGNED_H
#define BASE_ALIGNED_H

#include "boreline.h"

/* Shifts are printed to a tenth: those that are less apart are told as one. */
#define SHIFTS_APART_MM 0.1

/* Whether what is added to positions is told from the least to the most. */
static inline bool aligned_by_several(const bl_alignment *of) {
    return of->shift_range_mm.high - of->shift_range_mm.low >= SHIFTS_APART_MM;
}

#endif
