/*
 * hull_test.c - the hull of points in order round an inner one against the
 * hull of the same points sorted, and widths against all pairs and edges.
 */
#include "geometry/hull.h"
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>

static shape one;
static hull scanned;
static hull sorted;

/* As hull_of_star wants its points. */
static void close_shape(void) {
    assert_true(one.count + 2 <= SHAPE_MAX);
    for (size_t i = 0; i < 2; i++) {
        one.x[one.count + i] = one.x[i];
        one.y[one.count + i] = one.y[i];
    }
}

/* Both find the same corners in the same order. */
static void check_same(void) {
    close_shape();
    assert_true(hull_of_star(&scanned, one.x, one.y, one.count));
    assert_true(hull_find(&sorted, one.x, one.y, one.count));
    assert_int_equal(scanned.count, sorted.count);
    size_t shift = 0;
    while (shift < scanned.count &&
           (scanned.x[shift] < sorted.x[0] || scanned.x[shift] > sorted.x[0] ||
            scanned.y[shift] < sorted.y[0] || scanned.y[shift] > sorted.y[0])) {
        shift++;
    }
    for (size_t i = 0; i < sorted.count; i++) {
        size_t at = (shift + i) % scanned.count;
        check_close(scanned.x[at], sorted.x[i], 0.0, "mm");
        check_close(scanned.y[at], sorted.y[i], 0.0, "mm");
    }
}

static void test_random_stars(void **state) {
    (void)state;
    dice from = {41};
    for (int i = 0; i < 3000; i++) {
        double rough = i % 3 == 0 ? 0.0 : i % 3 == 1 ? 0.02 : 0.5;
        shape_random_star(&one, &from, 3 + (size_t)(i % 200), rough);
        if (one.count < 8) {
            shape_ellipse(&one, one.count, 5.0, 3.0);
        }
        check_same();
    }
}

/* Points on the edges of a square, and some a rounding inside or outside. */
static void test_straight_runs(void **state) {
    (void)state;
    dice from = {42};
    for (int i = 0; i < 500; i++) {
        size_t side = 1 + (size_t)(i % 20);
        one.count = 4 * side;
        for (size_t k = 0; k < one.count; k++) {
            double along = 0.1 + 0.3 * (double)(k % side) / (double)side;
            double off = 0.1;
            if (i % 2 == 1 && dice_next(&from) % 3 == 0) {
                off = nextafter(0.1, dice_between(&from, 0.0, 0.2));
            }
            double x[] = {along, 0.4, 0.5 - along, off};
            double y[] = {off, along, 0.4, 0.5 - along};
            one.x[k] = x[k / side];
            one.y[k] = y[k / side];
        }
        check_same();
        if (i % 2 == 0 && side == 1) {
            assert_int_equal(scanned.count, 4);
        }
    }
}

/* The greatest distance is one of two corners; the least width is the least
 * over edges of the greatest height above (Shamos 1978). */
static void test_ferets(void **state) {
    (void)state;
    dice from = {43};
    for (int i = 0; i < 1000; i++) {
        if (i % 4 == 0) { /* pairs of parallel edges */
            shape_ellipse(&one, 4 + 2 * (size_t)(i % 50), 9.0, 4.0);
        } else {
            shape_random_star(&one, &from, 10 + (size_t)(i % 300),
                              i % 4 == 1 ? 0.0 : 0.03);
        }
        close_shape();
        assert_true(hull_of_star(&scanned, one.x, one.y, one.count));
        double least;
        double greatest;
        assert_true(hull_ferets(&scanned, &least, &greatest));
        double width = HUGE_VAL;
        double length = 0.0;
        for (size_t k = 0; k < scanned.count; k++) {
            size_t next = (k + 1) % scanned.count;
            double ex = scanned.x[next] - scanned.x[k];
            double ey = scanned.y[next] - scanned.y[k];
            double height = 0.0;
            for (size_t j = 0; j < scanned.count; j++) {
                double dx = scanned.x[j] - scanned.x[k];
                double dy = scanned.y[j] - scanned.y[k];
                height = fmax(height, (ex * dy - ey * dx) / hypot(ex, ey));
                length = fmax(length, hypot(dx, dy));
            }
            width = fmin(width, height);
        }
        check_relative(least, width, 1e-14);
        check_relative(greatest, length, 1e-15);
    }
}

static int release(void **state) {
    (void)state;
    hull_free(&scanned);
    hull_free(&sorted);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random_stars),
        cmocka_unit_test(test_straight_runs),
        cmocka_unit_test(test_ferets),
    };
    return cmocka_run_group_tests_name("hull", tests, NULL, release);
}
