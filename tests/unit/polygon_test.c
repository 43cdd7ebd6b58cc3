/*
 * polygon_test.c - sums along a contour against sums in long double, and the
 * proof that it is star-shaped where a proof is easily wrong.
 */
#include "geometry/polygon.h"
#include "support/check.h"
#include "support/shapes.h"

#include <float.h>
#include <math.h>

static shape one;
static double relative_x[SHAPE_MAX];
static double relative_y[SHAPE_MAX];

static polygon_sums sum(void) {
    return polygon_sum(one.x, one.y, one.count, relative_x, relative_y);
}

/* Every remainder of the count by the lanes, and the last edge. */
static void test_sums(void **state) {
    (void)state;
    dice from = {5};
    for (size_t n = 1; n < 70; n++) {
        shape_random_star(&one, &from, n, 0.1);
        shape_move(&one, 100.0, -50.0);
        polygon_sums got = sum();
        long double twice = 0.0L;
        long double mx = 0.0L;
        long double my = 0.0L;
        long double length = 0.0L;
        double extent = 0.0;
        double nearest = HUGE_VAL;
        double longest = 0.0;
        for (size_t i = 0; i < n; i++) {
            size_t j = (i + 1) % n;
            long double ax = (long double)one.x[i] - (long double)one.x[0];
            long double ay = (long double)one.y[i] - (long double)one.y[0];
            long double bx = (long double)one.x[j] - (long double)one.x[0];
            long double by = (long double)one.y[j] - (long double)one.y[0];
            long double cross = ax * by - ay * bx;
            twice += cross;
            mx += cross * (ax + bx);
            my += cross * (ay + by);
            length += hypotl(bx - ax, by - ay);
            double far = fmax(fabs(one.x[i]), fabs(one.y[i]));
            extent = fmax(extent, far);
            nearest = fmin(nearest, far);
            longest =
                fmax(longest, hypot(one.x[j] - one.x[i], one.y[j] - one.y[i]));
            check_close(relative_x[i], one.x[i] - one.x[0], 0.0, "mm");
            check_close(relative_y[i], one.y[i] - one.y[0], 0.0, "mm");
        }
        check_close(got.extent, extent, 0.0, "mm");
        check_close(got.nearest, nearest, 0.0, "mm");
        check_relative(got.longest, longest, 1e-15);
        check_relative(got.perimeter, (double)length, 1e-15);
        if (n >= 3) {
            /* A few roundings of products up to 20 mm squared. */
            check_close(got.twice_area, (double)twice, 1e-12, "mm2");
            double narrow = 1e-11 / fabs((double)twice);
            check_close(got.centre_x, (double)(mx / (3.0L * twice)),
                        20.0 * narrow, "mm");
            check_close(got.centre_y, (double)(my / (3.0L * twice)),
                        20.0 * narrow, "mm");
        }
    }
}

/* Wherever it lies, a repeat is seen, and the least step there is is none. */
static void test_repeats(void **state) {
    (void)state;
    for (size_t n = 3; n < 20; n++) {
        for (size_t i = 0; i < n; i++) {
            shape_ellipse(&one, n, 3.0, 2.0);
            assert_true(sum().least_step > 0.0);
            size_t j = (i + 1) % n;
            one.x[i] = one.x[j];
            one.y[i] = one.y[j];
            check_close(sum().least_step, 0.0, 0.0, "mm");
            one.x[i] = 0.0;
            one.x[j] = DBL_TRUE_MIN;
            assert_true(sum().least_step > 0.0);
        }
    }
}

static void test_not_finite(void **state) {
    (void)state;
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    for (size_t n = 1; n < 20; n++) {
        for (size_t i = 0; i < 2 * n; i++) {
            for (size_t k = 0; k < 3; k++) {
                shape_ellipse(&one, n, 3.0, 2.0);
                *(i < n ? &one.x[i] : &one.y[i - n]) = bad[k];
                assert_true(!isfinite(sum().perimeter));
            }
        }
    }
}

static bool is_star(bool left, double cx, double cy) {
    return polygon_is_star(one.x, one.y, one.count, left, cx, cy);
}

static void test_star(void **state) {
    (void)state;
    static const double square[][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    shape_points(&one, 4, square); /* two points on the centre's level */
    assert_true(is_star(true, 0.0, 0.0));
    assert_true(is_star(true, 0.25, 0.25));
    assert_false(is_star(false, 0.0, 0.0));
    assert_false(is_star(true, 0.5, 0.5)); /* on an edge */
    assert_false(is_star(true, 1.0, 0.0)); /* on a point */
    assert_false(is_star(true, 2.0, 0.0));
    assert_false(is_star(true, (double)NAN, 0.0));
    shape_reverse(&one);
    assert_true(is_star(false, 0.0, 0.0));
    assert_false(is_star(true, 0.0, 0.0));
}

/* Every edge turns left, but more than once round: {n/k} star polygons. */
static void test_more_than_once_round(void **state) {
    (void)state;
    static shape round;
    for (size_t n = 5; n < 40; n++) {
        for (size_t k = 1; k <= (n - 1) / 2; k++) {
            shape_ellipse(&round, n, 1.0, 1.0);
            one.count = n;
            for (size_t i = 0; i < n; i++) {
                one.x[i] = round.x[i * k % n];
                one.y[i] = round.y[i * k % n];
            }
            assert_int_equal(is_star(true, 0.0, 0.0), k == 1);
            shape_mirror(&one);
            assert_int_equal(is_star(false, 0.0, 0.0), k == 1);
        }
    }
}

/* Where products overflow nothing is proved. */
static void test_star_of_any_size(void **state) {
    (void)state;
    for (double size = 1e-140; size < 1e140; size *= 1e7) {
        shape_ellipse(&one, 33, size, size);
        assert_true(is_star(true, 0.0, 0.0));
    }
    shape_ellipse(&one, 33, 1e200, 1e200);
    assert_false(is_star(true, 0.0, 0.0));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sums),
        cmocka_unit_test(test_repeats),
        cmocka_unit_test(test_not_finite),
        cmocka_unit_test(test_star),
        cmocka_unit_test(test_more_than_once_round),
        cmocka_unit_test(test_star_of_any_size),
    };
    return cmocka_run_group_tests_name("polygon", tests, NULL, NULL);
}
