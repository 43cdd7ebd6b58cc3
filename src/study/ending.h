/*
 * ending.h - ending a study whose table cannot be read further.
 */
#ifndef STUDY_ENDING_H
#define STUDY_ENDING_H

#include "boreline.h"

/* Makes this the study's message. */
void study_tell(bl_study *study, const bl_message *why);

/* Ends the reading: measures what is not measured yet, so that a check can tell
 * of it, and takes no more if `why` is an error. feed and finish do so; a file
 * that cannot be read further must be told of. why, or BL_ERR_MEMORY. */
bl_status study_end(bl_study *study, bl_status why);

#endif
