/*
 * number.h - text to double, without locale.
 */
#ifndef BASE_NUMBER_H
#define BASE_NUMBER_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/* Reads a decimal number at the start of bytes: [+-] digits [point digits]
 * [e|E [+-] digits], with at least one digit before the exponent; `point` is
 * '.' or ','. No blanks, no hex, no "inf" or "nan". Returns the bytes used, 0
 * when there is no number; *value is the double nearest to the decimal, ties
 * to even; an overflow gives infinity, which callers refuse. */
size_t number_scan(const char *bytes, size_t size, char point, double *value);

/* Whether two numbers of a table are not the same; unknown (NaN) is the same as
 * unknown. Exact on purpose: they come from the same text or do not. */
static inline bool number_differ(double a, double b) {
    return isnan(a) != isnan(b) || a < b || a > b;
}

#endif
