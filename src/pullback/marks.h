/*
 * marks.h - marks that cannot be meant as they stand.
 */
#ifndef PULLBACK_MARKS_H
#define PULLBACK_MARKS_H

#include "boreline.h"
#include "pullback/findings.h"

/* Warns of borders in an order that contradicts the travel, of a name that
 * misses a border's by a letter or two, of two names that differ in case or
 * blanks only, and of a mark far outside the lumen frames, which lie within
 * `traced`. The study's marks are placed.
 * BL_ERR_MEMORY. */
bl_status marks_doubt(const bl_pullback *pullback, bl_span traced,
                      findings *said);

#endif
