/*
 * meant.h - whether what a table's notes say of its frames is meant so.
 */
#ifndef PULLBACK_MEANT_H
#define PULLBACK_MEANT_H

#include "pullback/notes.h"
#include "pullback/positions.h"

/* Warns, where positions come from there, of known positions between which the
 * catheter went much faster than between others, of pieces of a speed schedule
 * that hold no frame, and of a step where frame numbers go by more than one.
 * Limits are our own measures. BL_ERR_MEMORY. */
bl_status meant_find(const notes *given, const position_frame *frames,
                     size_t count, bl_position_from from, findings *said);

#endif
