/*
 * origin.h - how positions and scale of a table were known, in words that
 * reports and pictures share.
 */
#ifndef BASE_ORIGIN_H
#define BASE_ORIGIN_H

#include "base/text.h"

/* "frame numbers, 30 frames/s and speed 1 mm/s" and the like. */
void origin_position_words(text *out, const bl_pullback *pullback);

/* "mm", or "pixels of 0.02 by 0.02 mm (option)". */
void origin_units_words(text *out, const bl_pullback *pullback);

/* "position from ...; coordinates in ...", both of the above. */
void origin_words(text *out, const bl_pullback *pullback);

#endif
