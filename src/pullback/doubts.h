/*
 * doubts.h - what about the positions that were found cannot be meant.
 */
#ifndef PULLBACK_DOUBTS_H
#define PULLBACK_DOUBTS_H

#include "pullback/positions.h"

/* Warns of notes and options that positions from `from` do not use and, where
 * frames are placed, of times in another unit, of those that contradict the
 * frame rate, and of a column of positions that falls or goes back as frame
 * numbers grow. frames: `count`
 * >= 1, rising by number; lines: where each row begins. BL_ERR_MEMORY. */
bl_status doubts_find(const notes *given, const position_frame *frames,
                      size_t count, const uint64_t *lines,
                      bl_position_from from, bool placed, findings *said);

#endif
