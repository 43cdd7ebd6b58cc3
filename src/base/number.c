/*
 * number.c - text to double, without locale.
 *
 * Digits go into an integer mantissa, which with its power of ten decides
 * (decimal.h). Of more than 19 digits the first 19 do, unless their value and
 * that of their successor, between which the number lies, round differently:
 * then all digits are divided out (longhand.h).
 */
#include "base/number.h"

#include "base/decimal.h"
#include "base/digit.h"
#include "base/longhand.h"

#include <stdbool.h>
#include <stdint.h>

/* Digits that always fit 64 bits. */
#define DIGITS_MOST 19
/* Exponents saturate here, far beyond what any number of digits can undo. */
#define EXPONENT_MOST INT64_C(1000000000000)

static bool is_digit(const char *at, const char *end) {
    return at != end && digit_is(*at);
}

/* Reads an exponent at `at` if there is one; returns its end, or `at`. */
static const char *exponent_scan(const char *at, const char *end,
                                 int64_t *exponent) {
    *exponent = 0;
    if (at == end || (*at != 'e' && *at != 'E')) {
        return at;
    }
    const char *digit = at + 1;
    bool negative = digit != end && *digit == '-';
    if (digit != end && (*digit == '-' || *digit == '+')) {
        digit++;
    }
    if (!is_digit(digit, end)) {
        return at;
    }
    int64_t value = 0;
    for (; is_digit(digit, end); digit++) {
        if (value < EXPONENT_MOST) {
            value = value * 10 + (*digit - '0');
        }
    }
    *exponent = negative ? -value : value;
    return digit;
}

/* More than 19 digits, leading zeros counted: `size` bytes of digits and
 * perhaps a point, as longhand_value takes them. */
static double many_digits(const char *digits, size_t size, int64_t power) {
    uint64_t mantissa = 0;
    int kept = 0;
    int64_t dropped = 0;
    bool more = false;
    for (size_t i = 0; i < size; i++) {
        unsigned digit = (unsigned)digits[i] - '0';
        if (digit > 9 || (digit == 0 && kept == 0)) {
            continue;
        }
        if (kept < DIGITS_MOST) {
            mantissa = mantissa * 10 + digit;
            kept++;
        } else {
            dropped++;
            more = more || digit != 0;
        }
    }
    double below = decimal_value(mantissa, power + dropped);
    if (more) {
        double above = decimal_value(mantissa + 1, power + dropped);
        return above > below ? longhand_value(digits, size, power) : below;
    }
    return below;
}

size_t number_scan(const char *bytes, size_t size, char point, double *value) {
    const char *at = bytes;
    const char *end = bytes + size;
    bool negative = at != end && *at == '-';
    if (at != end && (*at == '-' || *at == '+')) {
        at++;
    }
    const char *digits = at;
    uint64_t mantissa = 0;
    for (; is_digit(at, end); at++) {
        mantissa = mantissa * 10 + ((unsigned)*at - '0');
    }
    size_t count = (size_t)(at - digits);
    int64_t power = 0;
    if (at != end && *at == point && is_digit(at + 1, end)) {
        const char *decimals = ++at;
        for (; is_digit(at, end); at++) {
            mantissa = mantissa * 10 + ((unsigned)*at - '0');
        }
        count += (size_t)(at - decimals);
        power = -(int64_t)(at - decimals);
    }
    if (count == 0) {
        return 0;
    }
    const char *digits_end = at;
    if (at != end && (*at == 'e' || *at == 'E')) {
        int64_t exponent = 0;
        at = exponent_scan(at, end, &exponent);
        power += exponent;
    }
    /* With more digits the mantissa may have wrapped. */
    double result =
        count <= DIGITS_MOST
            ? decimal_value(mantissa, power)
            : many_digits(digits, (size_t)(digits_end - digits), power);
    *value = negative ? -result : result;
    return (size_t)(at - bytes);
}
