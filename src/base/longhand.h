/*
 * longhand.h - decimal digits of any number as the nearest double.
 */
#ifndef BASE_LONGHAND_H
#define BASE_LONGHAND_H

#include <stddef.h>
#include <stdint.h>

/* digits: `size` bytes of digits and at most one other byte, the point, which
 * is passed over; the value is the digits as an integer times 10^power. The
 * nearest double, ties to even; infinity when that is too large. Exact. */
double longhand_value(const char *digits, size_t size, int64_t power);

#endif
