/*
 * wide.h - the 128-bit product of two 64-bit numbers.
 */
#ifndef BASE_WIDE_H
#define BASE_WIDE_H

#include <stdint.h>

typedef struct wide {
    uint64_t high;
    uint64_t low;
} wide;

/* By 32-bit halves (Knuth, The Art of Computer Programming 2, 4.3.1 M). */
static inline wide wide_by_halves(uint64_t a, uint64_t b) {
    const uint64_t half = UINT64_C(0xffffffff);
    uint64_t low = (a & half) * (b & half);
    uint64_t left = (a >> 32) * (b & half) + (low >> 32);
    uint64_t right = (a & half) * (b >> 32) + (left & half);
    return (wide){(a >> 32) * (b >> 32) + (left >> 32) + (right >> 32),
                  (right << 32) | (low & half)};
}

static inline wide wide_product(uint64_t a, uint64_t b) {
#ifdef __SIZEOF_INT128__
    __extension__ typedef unsigned __int128 integer;
    integer product = (integer)a * b;
    return (wide){(uint64_t)(product >> 64), (uint64_t)product};
#else
    return wide_by_halves(a, b);
#endif
}

#endif
