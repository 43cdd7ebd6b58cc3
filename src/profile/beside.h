/*
 * beside.h - what the contours beside one tell of it.
 */
#ifndef PROFILE_BESIDE_H
#define PROFILE_BESIDE_H

#include "boreline.h"

/* The points that contours beside row i have: most of the two usable lumen
 * contours to either side, or both of the nearest. 0 where there is none. */
uint32_t beside_points(const bl_row *rows, size_t count, size_t i);

/* Whether row i has less than half of these: a part of it may be missing. */
bool beside_is_cut(const bl_row *rows, size_t count, size_t i);

/* Lumen frames left out between row i and the next usable ones. */
size_t beside_left_out(const bl_row *rows, size_t count, size_t i);

#endif
