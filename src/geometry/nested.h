/*
 * nested.h - whether one closed contour lies within another, told in one turn.
 */
#ifndef GEOMETRY_NESTED_H
#define GEOMETRY_NESTED_H

#include "geometry/overlay.h"

/* True only when no point of `inner` is beyond `outer`, but for rounding; false
 * also when that is not told so: either is not star-shaped around 0,0. Both
 * counter-clockwise, of count >= 3, consecutive points distinct. */
bool nested_in(const ring *inner, const ring *outer);

#endif
