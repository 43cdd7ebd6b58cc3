/*
 * apposing.h - devices held against the vein around them.
 */
#ifndef STUDY_APPOSING_H
#define STUDY_APPOSING_H

#include "boreline.h"

/* Fills the study's appositions, when its rows are in order and their points
 * are kept, and warns of what was given up. BL_ERR_MEMORY. */
bl_status apposing_find(bl_study *study);

#endif
