/*
 * decimal.h - an integer times a power of ten as the nearest double.
 */
#ifndef BASE_DECIMAL_H
#define BASE_DECIMAL_H

#include <stdint.h>

/* Powers of ten that doubles hold: the quotient or product of one with an
 * integer up to DECIMAL_PLAIN is rounded once, so it is right (Clinger 1990,
 * PLDI, "How to read floating point numbers accurately"). */
#define DECIMAL_TENS 22
#define DECIMAL_PLAIN (UINT64_C(1) << 53)
extern const double decimal_tens[DECIMAL_TENS + 1];

/* The double nearest to mantissa * 10^power, ties to even; infinity when that
 * is too large. Exact for every argument. */
double decimal_nearest(uint64_t mantissa, int64_t power);

/* The same, with the plain case in line. */
static inline double decimal_value(uint64_t mantissa, int64_t power) {
    if (mantissa <= DECIMAL_PLAIN && power >= -DECIMAL_TENS &&
        power <= DECIMAL_TENS) {
        return power < 0 ? (double)mantissa / decimal_tens[-power]
                         : (double)mantissa * decimal_tens[power];
    }
    return decimal_nearest(mantissa, power);
}

#endif
