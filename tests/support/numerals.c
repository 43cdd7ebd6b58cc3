/*
 * numerals.c - decimal numbers of every kind that is hard to round.
 */
#include "support/numerals.h"

#include "base/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double double_of(uint64_t bits) {
    double value = 0;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static int between(dice *from, int low, int high) {
    return low + (int)(dice_next(from) % (uint64_t)(high - low + 1));
}

/* Any finite bit pattern. */
static double any_double(dice *from) {
    double value = double_of(dice_next(from));
    while (!isfinite(value)) {
        value = double_of(dice_next(from));
    }
    return value;
}

/* 17 digits are enough to come back to the same double. */
static void write_17_digits(dice *from, char text[NUMERAL_BYTES]) {
    snprintf(text, NUMERAL_BYTES, "%.17g", any_double(from));
}

static void write_rounded(dice *from, char text[NUMERAL_BYTES]) {
    snprintf(text, NUMERAL_BYTES, "%.*e", between(from, 0, 20),
             any_double(from));
}

static void write_subnormal(dice *from, char text[NUMERAL_BYTES]) {
    uint64_t bits = dice_next(from) >> between(from, 9, 62);
    snprintf(text, NUMERAL_BYTES, "%.*e", between(from, 0, 22),
             double_of(bits));
}

/* The greatest doubles, and a little more. */
static void write_overflow(dice *from, char text[NUMERAL_BYTES]) {
    long double most = 0x1.fffffffffffffp1023L;
    long double least = most - ldexpl(1.0L, between(from, 965, 1022));
    long double value = between(from, 0, 1) ? least : 2 * most - least;
    snprintf(text, NUMERAL_BYTES, "%.*Le", between(from, 10, 25), value);
}

/* What a table holds. */
static void write_coordinate(dice *from, char text[NUMERAL_BYTES]) {
    snprintf(text, NUMERAL_BYTES, "%.*f", between(from, 0, 18),
             dice_between(from, -1000, 1000));
}

/* The midpoint of two neighbouring doubles; a long double of 64 bits holds it
 * exactly. */
static long double midpoint(double low) {
    return ((long double)low + (long double)nextafter(low, (double)INFINITY)) /
           2;
}

/* Adds `step` to the last digit before the exponent, if it stays a digit. */
static void step_last_digit(char *text, int step) {
    char *last = text + strcspn(text, "e") - 1;
    if (*last + step >= '0' && *last + step <= '9') {
        *last = (char)(*last + step);
    }
}

/* A midpoint written out to its end, or the same moved in its last place. */
static void write_halfway(dice *from, char text[NUMERAL_BYTES]) {
    double low = fabs(any_double(from));
    if (between(from, 0, 2) == 0) {
        low = double_of(dice_next(from) >> between(from, 9, 12));
    }
    if (low >= 0x1.fffffffffffffp1023) {
        low = 1;
    }
    snprintf(text, NUMERAL_BYTES, "%.*Le", between(from, 765, 780),
             midpoint(low));
    step_last_digit(text, between(from, -1, 1));
}

/* Midpoints with so few digits that a 64-bit mantissa, or nearly, holds them
 * whole. */
static void write_short_halfway(dice *from, char text[NUMERAL_BYTES]) {
    uint64_t odd = (UINT64_C(1) << 53) | (dice_next(from) >> 11) | 1;
    int power = between(from, -12, 24);
    snprintf(text, NUMERAL_BYTES, "%.*Lf", power < 0 ? -power : 0,
             ldexpl((long double)odd, power));
    step_last_digit(text, between(from, -1, 1));
}

/* A midpoint cut to some 15 to 24 digits: as near as such a number gets. */
static void write_near_halfway(dice *from, char text[NUMERAL_BYTES]) {
    double low = fabs(any_double(from));
    if (low >= 0x1.fffffffffffffp1023) {
        low = 1;
    }
    snprintf(text, NUMERAL_BYTES, "%.*Le", between(from, 14, 23),
             midpoint(low));
    step_last_digit(text, between(from, -1, 1));
}

static void write_nines(dice *from, char text[NUMERAL_BYTES]) {
    int size = between(from, 1, 30);
    if (between(from, 0, 15) == 0) {
        size = between(from, 31, 1000);
    }
    memset(text, '9', (size_t)size);
    snprintf(text + size, 20, "e%d", between(from, -350, 310) - size);
}

/* A power of ten, or one with another digit far behind. */
static void write_power_of_ten(dice *from, char text[NUMERAL_BYTES]) {
    int size = between(from, 1, 30);
    memset(text, '0', (size_t)size);
    text[size - 1] = (char)('0' + between(from, 0, 1));
    text[0] = '1';
    snprintf(text + size, 20, "e%d", between(from, -350, 310) - size + 1);
}

static void write_digits(dice *from, char text[NUMERAL_BYTES]) {
    int digits = between(from, 1, 25);
    int point = between(from, 0, digits - 1);
    char *at = text;
    for (int i = 0; i < digits; i++) {
        if (i == point && i != 0) {
            *at++ = '.';
        }
        *at++ = (char)('0' + between(from, 0, 9));
    }
    snprintf(at, 20, "e%d", between(from, -350, 310));
}

const numeral_kind numeral_kinds[] = {
    {"any double, 17 digits", write_17_digits, 250},
    {"any double, 1 to 21 digits", write_rounded, 150},
    {"1 to 25 digits, any exponent", write_digits, 200},
    {"near a midpoint, 15 to 24 digits", write_near_halfway, 140},
    {"short midpoints and beside", write_short_halfway, 100},
    {"subnormals", write_subnormal, 50},
    {"coordinates, 0 to 18 decimals", write_coordinate, 60},
    {"strings of nines", write_nines, 20},
    {"powers of ten and beside", write_power_of_ten, 15},
    {"about the greatest double", write_overflow, 10},
    {"whole midpoints and beside", write_halfway, 5},
};
const size_t numeral_kind_count =
    sizeof numeral_kinds / sizeof numeral_kinds[0];

bool numeral_reads_right(const char *text) {
    double value = -1;
    size_t size = strlen(text);
    size_t used = number_scan(text, size, '.', &value);
    double expected = strtod(text, NULL);
    return used == size && memcmp(&value, &expected, sizeof value) == 0;
}
