/*
 * opposite_test.c - what lies opposite to each vector, against looking at all
 * of them in exact arithmetic, and the comparisons that takes.
 */
#include "geometry/opposite.h"
#include "support/check.h"

#include <math.h>
#include <stdlib.h>

#define PI 3.14159265358979323846
#define MOST 100000

static double x[MOST];
static double y[MOST];
static uint32_t across[MOST];

static double turn(size_t a, size_t b) {
    return x[a] * y[b] - y[a] * x[b];
}

/* Integers below 2^26: every turn is exact. */
static void check_all(size_t n) {
    size_t made = opposite_find(x, y, n, across);
    assert_true(made <= n + 2);
    for (size_t i = 0; i < n; i++) {
        size_t last = i;
        for (size_t k = 1; k < n && turn(i, (i + k) % n) >= 0.0; k++) {
            last = (i + k) % n;
        }
        assert_int_equal(across[i], last);
    }
}

/* Points of a polygon round the origin, many of them in line with it. */
static void test_whole_numbers(void **state) {
    (void)state;
    dice from = {17};
    for (int i = 0; i < 2000; i++) {
        size_t n = 0;
        size_t steps = 3 + dice_next(&from) % 60;
        double radius = i % 2 == 0 ? 4.0 : 60000.0;
        for (size_t k = 0; k < steps; k++) {
            double angle = 2.0 * PI * ((double)k + 0.4) / (double)steps;
            double reach = radius * dice_between(&from, 0.7, 1.0);
            x[n] = nearbyint(reach * cos(angle));
            y[n] = nearbyint(reach * sin(angle));
            n += n == 0 || turn(n - 1, n) > 0.0;
        }
        if (n >= 3 && turn(n - 1, 0) > 0.0) {
            check_all(n);
        }
    }
}

static void test_square(void **state) {
    (void)state;
    for (size_t n = 4; n <= 8; n += 4) {
        for (size_t i = 0; i < n; i++) {
            x[i] = nearbyint(1.0 * cos(2.0 * PI * (double)i / (double)n));
            y[i] = nearbyint(1.0 * sin(2.0 * PI * (double)i / (double)n));
        }
        check_all(n);
        for (size_t i = 0; i < n; i++) {
            assert_int_equal(across[i], (i + n / 2) % n);
        }
    }
}

/* Vectors in no order: any answer, within the bounds. */
static void test_no_order(void **state) {
    (void)state;
    dice from = {18};
    for (size_t n = 1; n < 500; n++) {
        for (size_t i = 0; i < n; i++) {
            x[i] = n % 3 == 0 ? (double)NAN : dice_between(&from, -1.0, 1.0);
            y[i] = n % 5 == 0 ? 0.0 : dice_between(&from, -1.0, 1.0);
            across[i] = UINT32_MAX;
        }
        assert_true(opposite_find(x, y, n, across) <= 2 * n);
        for (size_t i = 0; i < n; i++) {
            assert_true(across[i] < n);
        }
    }
}

/* One comparison a vector, however the directions are spread. */
static void test_growth(void **state) {
    (void)state;
    for (double power = 0.2; power < 6.0; power *= 1.7) {
        for (size_t i = 0; i < MOST; i++) {
            double part = pow((double)i / (double)MOST, power);
            double angle = part * 2.0 * PI;
            x[i] = cos(angle);
            y[i] = sin(angle);
        }
        assert_true(opposite_find(x, y, MOST, across) <= MOST);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_whole_numbers),
        cmocka_unit_test(test_square),
        cmocka_unit_test(test_no_order),
        cmocka_unit_test(test_growth),
    };
    return cmocka_run_group_tests_name("opposite", tests, NULL, NULL);
}
