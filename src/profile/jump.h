/*
 * jump.h - single frames whose area is unlike that of their neighbours.
 */
#ifndef PROFILE_JUMP_H
#define PROFILE_JUMP_H

#include "boreline.h"

/* Sets BL_FLAG_JUMP in rows (sorted by position) that are usable lumen frames
 * with an area more than 1.5 times, or less than 1/1.5 of, the median of five:
 * their own and the two usable lumen frames on either side, all within GAP_MM
 * of each other. Without all five nothing is flagged. Our own measure. */
void jump_flag(bl_row *rows, size_t count);

#endif
