/*
 * positions.h - where along the pullback each frame was taken.
 */
#ifndef PULLBACK_POSITIONS_H
#define PULLBACK_POSITIONS_H

#include "boreline.h"
#include "pullback/notes.h"

/* A frame of the table; NaN for a time or position that it does not give. */
typedef struct position_frame {
    int32_t frame; /* 0 .. LIMIT_FRAME */
    uint32_t row;  /* among the rows that lines are given for */
    double time_s;
    double position_mm;
} position_frame;

/* Fills position_mm of `count` >= 1 frames, rising by frame number, from the
 * first of: their own positions, `at`, step_mm, times and speed, frame numbers
 * with rate and speed; *from says which. lines: where each row begins. Nothing
 * is guessed: what is missing is BL_ERR_INPUT with the cure; where faults are
 * findings, every one is told and all positions become unknown. What is
 * doubtful is warned of (doubts.h). */
bl_status positions_find(const notes *given, position_frame *frames,
                         size_t count, const uint64_t *lines,
                         bl_position_from *from, findings *said,
                         bl_message *message);

/* Millimetres of a place, a frame without contour lying between its
 * neighbours in proportion; false outside the table's frames. */
bool positions_place(const position_frame *frames, size_t count,
                     note_place place, double *mm);

#endif
