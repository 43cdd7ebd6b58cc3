/*
 * place.h - what a place on the profile is called and what speaks against it,
 * in words that notes, reports and pictures share.
 */
#ifndef BASE_PLACE_H
#define BASE_PLACE_H

#include "base/constants.h"
#include "base/text.h"

/* Whether some of what was traced is held against no reference. */
bool place_judged_in_part(const bl_assessment *of);

/* "the 53.0 mm judged, 27 % of the 198.0 mm traced". */
void place_judged_words(text *out, const bl_assessment *of);

/* Whether the area is larger than the reference's, as printed: there is no
 * stenosis then, and its negative percentage would read as one. */
bool place_exceeds(const bl_place *of);

/* A percentage below zero, as printed, is no stenosis, and is not called one.
 */
static inline bool place_is_above(double stenosis_pct) {
    return stenosis_pct < -PRINTED_LEAST;
}

/* " (12.3 % above the reference)", or above what else it is held against. */
void place_above_words(text *out, double stenosis_pct, const char *against);

/* What the worst place is: "worst place", or "worst judged" where some of the
 * vein was not; "greatest loss" where nothing is narrowed, "least excess" where
 * nothing lies below the reference. Needs a reference. */
const char *place_worst_name(const bl_assessment *of);

/* NULL where there is no mark. */
const bl_mark *place_nearest_mark(const bl_pullback *pullback, double x_mm);

/* Whether anything speaks against the contour of a place. */
bool place_is_doubted(const bl_place *of);

/* What does: "frame 60 has 12 points where contours beside it have 32 or more:
 * a part of it may be missing". Nothing where nothing does. */
void place_doubt_words(text *out, const bl_place *of);

/* Whether a perimeter is so much longer than the reference's, or than the
 * circle of an expected area, that it was not only pressed flat. */
bool place_perimeter_is_long(const bl_compression *of);

/* "longer than the reference's, ...": what that means. */
void place_perimeter_words(text *out, const bl_assessment *in);

#endif
