/*
 * median_test.c - the running median against sorting every window, and over
 * windows that hold whole tables.
 */
#include "profile/median.h"
#include "support/check.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#define SMALL 60
#define EDGE_MM 1e-9

static int by_value(const void *left, const void *right) {
    double a = *(const double *)left;
    double b = *(const double *)right;
    return (a > b) - (a < b);
}

/* The contract in median.h, word by word. */
static double plain_median(const double *x, const double *values, size_t count,
                           double width, size_t i) {
    double reach =
        fmin(width / 2.0, fmin(x[i] - x[0], x[count - 1] - x[i])) + EDGE_MM;
    bool beside = i > 0 && i + 1 < count &&
                  x[i] - x[i - 1] <= width + EDGE_MM &&
                  x[i + 1] - x[i] <= width + EDGE_MM;
    double from = beside ? x[i - 1] : x[i];
    double to = beside ? x[i + 1] : x[i];
    double sorted[SMALL];
    size_t held = 0;
    for (size_t k = 0; k < count; k++) {
        bool within =
            x[k] >= fmin(x[i] - reach, from) && x[k] <= fmax(x[i] + reach, to);
        if (within && !isnan(values[k])) {
            sorted[held++] = values[k];
        }
    }
    qsort(sorted, held, sizeof *sorted, by_value);
    return 0.5 * (sorted[(held - 1) / 2] + sorted[held / 2]);
}

/* Frames in heaps at one place, steps of the window's own width, values that
 * are equal, rise, or are not known: the same to the last bit. */
static void test_against_sorting(void **state) {
    (void)state;
    dice from = {41};
    for (int round = 0; round < 4000; round++) {
        double x[SMALL];
        double values[SMALL];
        double out[SMALL];
        median_slot slots[SMALL];
        size_t count = 1 + dice_next(&from) % SMALL;
        double width = (double)(dice_next(&from) % 9) / 2.0;
        unsigned levels = 1 + (unsigned)(dice_next(&from) % 12);
        for (size_t i = 0; i < count; i++) {
            double step = (double)(dice_next(&from) % 4) / 2.0;
            x[i] = i == 0 ? -3.0 : x[i - 1] + step;
            values[i] =
                levels == 12 ? (double)i : (double)(dice_next(&from) % levels);
            if (dice_next(&from) % 8 == 0) {
                values[i] = (double)NAN;
            }
        }
        median_running(x, values, count, width, slots, out);
        for (size_t i = 0; i < count; i++) {
            if (isnan(values[i])) {
                check_unknown(out[i]);
            } else {
                double wanted = width > 0.0
                                    ? plain_median(x, values, count, width, i)
                                    : values[i];
                check_close(out[i], wanted, 0.0, "");
            }
        }
    }
}

/* A stray value is passed over where frames are up to the window's width apart,
 * and a straight line stays what it is; further apart each stands for itself.
 */
static void test_never_of_one(void **state) {
    (void)state;
    double values[] = {10.0, 11.0, 4.0, 13.0, 14.0};
    double x[5];
    double out[5];
    median_slot slots[5];
    for (int k = 0; k < 3; k++) {
        static const double steps[] = {0.6, 1.0, 1.1};
        for (int i = 0; i < 5; i++) {
            x[i] = steps[k] * i;
        }
        median_running(x, values, 5, 1.0, slots, out);
        check_close(out[0], 10.0, 0.0, "");
        check_close(out[1], k < 2 ? 10.0 : 11.0, 0.0, "");
        check_close(out[2], k < 2 ? 11.0 : 4.0, 0.0, "");
        check_close(out[3], 13.0, 0.0, "");
        check_close(out[4], 14.0, 0.0, "");
    }
}

#define MANY ((size_t)1000000)
/* Coprime to MANY: i * STRIDE runs through all remainders once. */
#define STRIDE 618033

/* A million frames within one window: with a sorted array to shift, hours. */
static void test_one_window(void **state) {
    (void)state;
    double *x = calloc(MANY, sizeof *x);
    double *values = calloc(MANY, sizeof *values);
    double *out = calloc(MANY, sizeof *out);
    median_slot *slots = calloc(MANY, sizeof *slots);
    assert_true(x != NULL && values != NULL && out != NULL && slots != NULL);
    for (size_t i = 0; i < MANY; i++) {
        values[i] = (double)(i * STRIDE % MANY);
    }
    median_running(x, values, MANY, 1.0, slots, out);
    for (size_t i = 0; i < MANY; i++) {
        assert_true(fabs(out[i] - 0.5 * (double)(MANY - 1)) < 1e-6);
    }
    /* Rising values a millionth apart: every window is cut alike on both
     * sides, so that each median is its own middle. */
    for (size_t i = 0; i < MANY; i++) {
        x[i] = 1e-6 * (double)i;
        values[i] = (double)i;
    }
    median_running(x, values, MANY, 50.0, slots, out);
    for (size_t i = 0; i < MANY; i++) {
        assert_true(fabs(out[i] - (double)i) < 1e-6);
    }
    free(x);
    free(values);
    free(out);
    free(slots);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_sorting),
        cmocka_unit_test(test_never_of_one),
        cmocka_unit_test(test_one_window),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
