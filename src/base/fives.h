/*
 * fives.h - the leading 128 bits of powers of five, for decimal.c.
 */
#ifndef BASE_FIVES_H
#define BASE_FIVES_H

#include <stdint.h>

#define FIVES_LEAST (-342)
#define FIVES_MOST 308

/* fives[q - FIVES_LEAST] is 5^q scaled by a power of two into [2^127, 2^128):
 * high word, low word. Rounded down; from 5^-27 to 5^-1, whose reciprocals fit
 * 64 bits, rounded up, so that a product with a multiple of theirs is exact
 * (Lemire 2021, sections 7 and 8). Written by tools/fives/make. */
extern const uint64_t fives[FIVES_MOST - FIVES_LEAST + 1][2];

#endif
