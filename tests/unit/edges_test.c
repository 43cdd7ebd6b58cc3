/*
 * edges_test.c - the tree over the edges against all edges one by one.
 */
#include "geometry/edges.h"
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>
#include <string.h>

static shape one;
static edge_set set;

/* Distance to the turned contour, from its points alone. */
static double distance_of(double x, double y) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < set.count; i++) {
        double dx = set.x[i + 1] - set.x[i];
        double dy = set.y[i + 1] - set.y[i];
        double t =
            ((x - set.x[i]) * dx + (y - set.y[i]) * dy) / (dx * dx + dy * dy);
        t = fmin(fmax(t, 0.0), 1.0);
        least =
            fmin(least, hypot(set.x[i] + t * dx - x, set.y[i] + t * dy - y));
    }
    return least;
}

/* Even-odd rule over the turned contour, from its points alone. */
static bool holds(double x, double y) {
    bool odd = false;
    for (size_t i = 0; i < set.count; i++) {
        double from = set.y[i] - y;
        double to = set.y[i + 1] - y;
        if ((from > 0.0) != (to > 0.0)) {
            double at =
                set.x[i] + from / (from - to) * (set.x[i + 1] - set.x[i]);
            odd ^= at > x;
        }
    }
    return odd;
}

static void check_shape(dice *from) {
    assert_true(edges_load(&set, one.x, one.y, one.count));
    double size = fmax(set.high_x - set.low_x, set.high_y - set.low_y);
    double far = fmax(fmax(fabs(set.low_x), fabs(set.high_x)),
                      fmax(fabs(set.low_y), fabs(set.high_y)));
    for (int i = 0; i < 40; i++) {
        double x =
            dice_between(from, set.low_x - 0.1 * size, set.high_x + 0.1 * size);
        double y =
            dice_between(from, set.low_y - 0.1 * size, set.high_y + 0.1 * size);
        const uint32_t hint = (uint32_t)(dice_next(from) % one.count);
        edge_view seen = edges_nearest(&set, &hint, 1, x, y);
        double nearest = distance_of(x, y);
        check_close(seen.distance, nearest, 1e-14 * (far + size), "mm");
        check_close(edges_distance(&set, seen.edge, x, y), nearest,
                    1e-14 * (far + size), "mm");
        if (nearest > 1e-12 * (far + size)) {
            assert_int_equal(edges_inside(&set, x, y), holds(x, y));
        }
    }
}

/* Smooth, rough and bent contours, of every number of points that fills blocks
 * and levels or just does not. */
static void test_random(void **state) {
    (void)state;
    static const size_t counts[] = {3,   4,   7,    8,    9,    63,  64,  65,
                                    71,  72,  73,   256,  511,  512, 513, 520,
                                    577, 800, 1000, 2048, 4090, 4096};
    dice from = {51};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        for (int k = 0; k < 12; k++) {
            if (k % 3 == 2 && counts[i] > 5) {
                shape_random_bent(&one, &from, counts[i]);
            } else {
                shape_random_star(&one, &from, counts[i], k % 3 ? 0.3 : 0.0);
            }
            shape_rotate(&one, dice_between(&from, 0.0, 360.0));
            check_shape(&from);
        }
    }
}

/* Blocks as long as the contour, combs and spikes, near and far from the
 * origin, where single precision is coarse. */
static void test_long_blocks(void **state) {
    (void)state;
    dice from = {52};
    for (int k = 0; k < 60; k++) {
        one.count = 40 + dice_next(&from) % 3000;
        for (size_t i = 0; i < one.count; i++) {
            double t = (double)i / (double)one.count;
            double r = i % 2 == 0 ? dice_between(&from, 0.1, 0.2) : 10.0;
            double tall = i % 4 == 1 || i % 4 == 2 ? 20.0 : 0.0;
            one.x[i] = k % 2 == 0 ? r * cos(6.283 * t) : 20.0 * t;
            one.y[i] = k % 2 == 0 ? r * sin(6.283 * t) : tall + 0.1 * t;
        }
        if (k % 3 == 0) {
            shape_move(&one, dice_between(&from, -1e3, 1e3), 1e3);
        }
        check_shape(&from);
    }
    edges_free(&set);
    memset(&set, 0, sizeof set);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random),
        cmocka_unit_test(test_long_blocks),
    };
    return cmocka_run_group_tests_name("edges", tests, NULL, NULL);
}
