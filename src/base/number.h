/*
 * number.h - text to double, without locale.
 */
#ifndef BASE_NUMBER_H
#define BASE_NUMBER_H

#include <stddef.h>

/* Reads a decimal number at the start of bytes: [+-] digits [point digits]
 * [e|E [+-] digits], with at least one digit before the exponent; `point` is
 * '.' or ','. No blanks, no hex, no "inf" or "nan". Returns the bytes used, 0
 * when there is no number; *value is the double nearest to the decimal, ties
 * to even; an overflow gives infinity, which callers refuse. */
size_t number_scan(const char *bytes, size_t size, char point, double *value);

#endif
