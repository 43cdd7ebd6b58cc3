/*
 * stencil.h - rows that are the same bytes but for the digits of two numbers.
 */
#ifndef READ_STENCIL_H
#define READ_STENCIL_H

#include "read/plain.h"

/* Digits of a number at a stencil, and those of them before the point, which a
 * word reaches with it. */
#define WORD_DIGITS 8
#define WHOLE_MOST 7

/* Rows: block, number, block, number, block. Blocks are the same bytes in each
 * row; `row` is the last that was read. */
typedef struct likeness {
    const char *row;
    size_t blocks[3];    /* bytes of each */
    spelling numbers[2]; /* in the order of the row */
    double *values[2];   /* where the next go */
} likeness;

/* What is left of a piece and of a contour's room. */
typedef struct rest {
    const char *row;
    const char *end;
    size_t taken;
    size_t room;
} rest;

static inline size_t spelling_size(const spelling *of) {
    return of->negative + of->whole + (of->decimals > 0) + of->decimals;
}

/* Whether a number's digits fit a word. */
static inline bool spelling_is_word(const spelling *of) {
    return of->whole > 0 && of->whole <= WHOLE_MOST &&
           of->whole + of->decimals <= WORD_DIGITS;
}

/* Two rows at a time want a processor with AVX2, which is asked for when the
 * program runs. */
#if OCTETS_HERE && defined(__x86_64__) && defined(__has_builtin)
#if __has_builtin(__builtin_shufflevector)
#define STENCIL_PAIRS
#endif
#endif
bool stencil_can_pair(void);

/* Takes the rows that have their digits where the last one read has them; what
 * is read is the same, in pairs or not. Stops before one that has not, or where
 * the piece may end within a row. False when that row is none for a stencil.
 * For little-endian machines. */
bool stencil_take(const likeness *of, bool pairs, rest *left);

#endif
