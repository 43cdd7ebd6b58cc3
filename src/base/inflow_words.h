/*
 * inflow_words.h - how the figures of inflow veins print, wherever they do.
 */
#ifndef BASE_INFLOW_WORDS_H
#define BASE_INFLOW_WORDS_H

#include "base/text.h"

/* Decimals that a measure's figure prints with. */
unsigned inflow_decimals(unsigned measure);

/* Its unit: "mm2", "mm", or "" for a ratio. */
const char *inflow_unit(unsigned measure);

/* "55.0 to 66.1", or "not known". */
void inflow_interval_words(text *out, unsigned measure, bl_interval of);

#endif
