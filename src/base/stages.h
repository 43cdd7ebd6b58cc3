/*
 * stages.h - what the two tables of a comparison are called, by when they were
 * pulled, in words that notes, reports and pictures share.
 */
#ifndef BASE_STAGES_H
#define BASE_STAGES_H

#include "boreline.h"

/* "before" or "after treatment"; "after", "at follow-up" or "later". */
const char *stages_first(const bl_comparison *of);
const char *stages_second(const bl_comparison *of);

/* "before" or "after"; "after", "follow-up" or "later": where there is little
 * room, and nothing follows. */
const char *stages_first_short(const bl_comparison *of);
const char *stages_second_short(const bl_comparison *of);

/* "after treatment", "at follow-up" or "later": within a sentence that names no
 * other table. */
const char *stages_second_alone(const bl_comparison *of);

#endif
