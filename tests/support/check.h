/*
 * check.h - what every test program includes: cmocka, and a comparison of
 * doubles (cmocka's own is single precision).
 */
#ifndef SUPPORT_CHECK_H
#define SUPPORT_CHECK_H

/* cmocka needs these four before it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* Fails unless |actual - expected| <= tolerance, printing all with the unit.
 * NaN is close to nothing. */
#define check_close(actual, expected, tolerance, unit)                         \
    check_close_at(actual, expected, tolerance, unit, __FILE__, __LINE__)

void check_close_at(double actual, double expected, double tolerance,
                    const char *unit, const char *file, int line);

/* The same, relative to the larger magnitude. */
#define check_relative(actual, expected, tolerance)                            \
    check_relative_at(actual, expected, tolerance, __FILE__, __LINE__)

void check_relative_at(double actual, double expected, double tolerance,
                       const char *file, int line);

/* Fails unless value is NaN, which is how boreline says "unknown". */
#define check_unknown(value) check_unknown_at(value, __FILE__, __LINE__)

void check_unknown_at(double value, const char *file, int line);

/* A small generator (xorshift64*, Vigna 2016) so that every run sees the same
 * cases; seed must not be 0. */
typedef struct dice {
    uint64_t state;
} dice;

uint64_t dice_next(dice *from);
/* Uniform in [low, high). */
double dice_between(dice *from, double low, double high);
/* The same taken down to halves, so that frames lie there. */
double dice_half(dice *from, double low, double high);
/* One of a list. */
double dice_pick(dice *from, const double *list, size_t count);
/* About 1, with this standard deviation: near enough a normal distribution (the
 * sum of twelve uniform numbers). */
double dice_about_one(dice *from, double deviation);

#endif
