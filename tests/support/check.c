/*
 * check.c - comparison of doubles for cmocka, and repeatable chance.
 */
#include "support/check.h"

#include <math.h>

void check_close_at(double actual, double expected, double tolerance,
                    const char *unit, const char *file, int line) {
    double off = fabs(actual - expected);
    if (!(off <= tolerance)) {
        print_error("%.17g %s, expected %.17g, off by %.3g, allowed %.3g\n",
                    actual, unit, expected, off, tolerance);
        _fail(file, line);
    }
}

void check_relative_at(double actual, double expected, double tolerance,
                       const char *file, int line) {
    double size = fmax(fabs(actual), fabs(expected));
    check_close_at(actual, expected, tolerance * size, "", file, line);
}

void check_unknown_at(double value, const char *file, int line) {
    if (!isnan(value)) {
        print_error("%.17g, expected unknown\n", value);
        _fail(file, line);
    }
}

uint64_t dice_next(dice *from) {
    uint64_t x = from->state;
    x ^= x >> 12;
    x ^= x << 25;
    x ^= x >> 27;
    from->state = x;
    return x * UINT64_C(2685821657736338717);
}

double dice_between(dice *from, double low, double high) {
    double unit = (double)(dice_next(from) >> 11) * 0x1p-53;
    return low + unit * (high - low);
}

double dice_half(dice *from, double low, double high) {
    return floor(2.0 * dice_between(from, low, high)) / 2.0;
}

double dice_pick(dice *from, const double *list, size_t count) {
    return list[dice_next(from) % count];
}

double dice_about_one(dice *from, double deviation) {
    double sum = 0.0;
    for (int i = 0; i < 12; i++) {
        sum += dice_between(from, 0.0, 1.0);
    }
    return 1.0 + deviation * (sum - 6.0);
}
