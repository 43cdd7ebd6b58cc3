/*
 * fuzz.h - what the fuzz targets share.
 *
 * Every file of this folder has one function, LLVMFuzzerTestOneInput, which
 * aborts when a property does not hold. Built for `make fuzz` libFuzzer calls
 * it; built for the ordinary tests the Makefile renames it to fuzz_FILE, and
 * tests/program/fuzz_replay_test.c calls it with the files of the corpus.
 */
#ifndef FUZZ_FUZZ_H
#define FUZZ_FUZZ_H

#include "boreline.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

/* Stops with the place unless it holds. */
#define must(holds)                                                            \
    do {                                                                       \
        if (!(holds)) {                                                        \
            (void)fprintf(stderr, "%s:%d: %s does not hold\n", __FILE__,       \
                          __LINE__, #holds);                                   \
            abort();                                                           \
        }                                                                      \
    } while (0)

/* The input, taken from its front; zeros behind its end. */
typedef struct bites {
    const uint8_t *at;
    size_t left;
} bites;

static inline uint8_t bite(bites *from) {
    if (from->left == 0) {
        return 0;
    }
    from->left--;
    return *from->at++;
}

/* From the bytes as they are: NaN and infinities too. */
static inline double bite_double(bites *from) {
    uint8_t bytes[sizeof(double)];
    for (size_t i = 0; i < sizeof bytes; i++) {
        bytes[i] = bite(from);
    }
    double value;
    memcpy(&value, bytes, sizeof value);
    return value;
}

/* Where to cut something into pieces, from one byte: 0 not at all, below 16
 * into pieces of that size, else of 1 .. 16 or 1 .. 512 by a linear
 * congruential generator (Knuth, MMIX). */
static inline size_t next_piece(uint64_t *cut, size_t left) {
    size_t piece = *cut == 0 ? left : (size_t)*cut;
    if (*cut >= 16) {
        *cut = *cut * UINT64_C(6364136223846793005) +
               UINT64_C(1442695040888963407);
        size_t most = (*cut >> 40 & 1) != 0 ? 16 : 512;
        piece = 1 + (size_t)(*cut >> 48) % most;
    }
    return piece < left ? piece : left;
}

/* Equal, or both unknown. */
static inline bool same_double(double a, double b) {
    return a != a ? b != b : !(a < b || a > b || b != b);
}

#endif
