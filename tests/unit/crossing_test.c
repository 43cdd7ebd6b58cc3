/*
 * crossing_test.c - the sweep against the definition, pair by pair, on small
 * integer grids where touches and overlaps abound; exact side-of-line
 * against integer arithmetic; growth on hostile contours.
 */
#include "geometry/crossing.h"
#include "geometry/orient.h"
#include "support/check.h"

#include <math.h>
#include <stdlib.h>

#define GRID 7
#define MOST 9

typedef struct grid_point {
    long x;
    long y;
} grid_point;

static long turn(grid_point a, grid_point b, grid_point c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static int sign(long value) {
    return (value > 0) - (value < 0);
}

static bool same(grid_point a, grid_point b) {
    return a.x == b.x && a.y == b.y;
}

static bool on_edge(grid_point a, grid_point b, grid_point p) {
    return turn(a, b, p) == 0 && labs(2 * p.x - a.x - b.x) <= labs(a.x - b.x) &&
           labs(2 * p.y - a.y - b.y) <= labs(a.y - b.y);
}

/* Two edges share more than a point. */
static bool runs_along(grid_point a, grid_point b, grid_point c, grid_point d) {
    if (turn(a, b, c) != 0 || turn(a, b, d) != 0) {
        return false;
    }
    int shared = on_edge(a, b, c) + on_edge(a, b, d) + on_edge(c, d, a) +
                 on_edge(c, d, b);
    bool common = same(a, c) || same(a, d) || same(b, c) || same(b, d);
    return common ? shared > 2 : shared > 0;
}

static bool cross_inside(grid_point a, grid_point b, grid_point c,
                         grid_point d) {
    return sign(turn(a, b, c)) * sign(turn(a, b, d)) < 0 &&
           sign(turn(c, d, a)) * sign(turn(c, d, b)) < 0;
}

/* Directions p->a and p->b split the plane; is p->q in the part that is met
 * first turning left from a to b? */
static bool between(grid_point p, grid_point a, grid_point b, grid_point q) {
    bool left_of_a = turn(p, a, q) > 0;
    bool right_of_b = turn(p, b, q) < 0;
    return turn(p, a, b) > 0 ? left_of_a && right_of_b
                             : left_of_a || right_of_b;
}

/* Both chains pass through p, with arms a, b and c, d, no two of them in one
 * direction: they cross when c and d lie in different parts. */
static bool pass_through(grid_point p, grid_point a, grid_point b, grid_point c,
                         grid_point d) {
    return between(p, a, b, c) != between(p, a, b, d);
}

/* The definition: crossings of edges, edges along each other, and every pair
 * of chains through a point. */
static bool crosses_by_definition(const grid_point *p, size_t n) {
    for (size_t i = 0; i < n; i++) {
        grid_point a = p[i];
        grid_point b = p[(i + 1) % n];
        for (size_t j = i + 1; j < n; j++) {
            grid_point c = p[j];
            grid_point d = p[(j + 1) % n];
            if (runs_along(a, b, c, d) || cross_inside(a, b, c, d)) {
                return true;
            }
        }
        grid_point before = p[(i + n - 1) % n];
        for (size_t j = 0; j < n; j++) {
            grid_point c = p[j];
            grid_point d = p[(j + 1) % n];
            bool inside = on_edge(c, d, a) && !same(a, c) && !same(a, d);
            if (inside && pass_through(a, before, b, c, d)) {
                return true;
            }
            if (j != i && same(a, c) &&
                pass_through(a, before, b, p[(j + n - 1) % n], d)) {
                return true;
            }
        }
    }
    return false;
}

static bool sweep(const grid_point *p, size_t n) {
    static crossing_finder *finder;
    finder = finder == NULL ? crossing_new() : finder;
    double x[MOST];
    double y[MOST];
    for (size_t i = 0; i < n; i++) {
        x[i] = (double)p[i].x;
        y[i] = (double)p[i].y;
    }
    bool found = false;
    assert_int_equal(crossing_find(finder, x, y, n, &found), BL_OK);
    return found;
}

static void test_against_definition(void **state) {
    (void)state;
    dice from = {5};
    size_t crossing = 0;
    size_t cases = 0;
    while (cases < 60000) {
        size_t n = 3 + dice_next(&from) % (MOST - 2);
        grid_point p[MOST];
        for (size_t i = 0; i < n; i++) {
            p[i].x = (long)(dice_next(&from) % GRID);
            p[i].y = (long)(dice_next(&from) % GRID);
        }
        bool distinct = true;
        for (size_t i = 0; i < n; i++) {
            distinct = distinct && !same(p[i], p[(i + 1) % n]);
        }
        if (!distinct) {
            continue;
        }
        bool expected = crosses_by_definition(p, n);
        if (sweep(p, n) != expected) {
            for (size_t i = 0; i < n; i++) {
                print_error("(%ld,%ld) ", p[i].x, p[i].y);
            }
            fail_msg("expected %d", expected);
        }
        crossing += expected;
        cases++;
    }
    assert_in_range(crossing, 1000, cases - 1000);
}

/* Touching contours that must not count, each with its mirror images. */
static void test_touches(void **state) {
    (void)state;
    static const grid_point cases[][MOST] = {
        {{0, 0}, {2, 1}, {4, 0}, {4, 2}, {2, 1}, {0, 2}}, /* pinched */
        {{0, 0}, {6, 0}, {6, 3}, {3, 0}, {0, 3}},         /* tip on edge */
        {{0, 0}, {3, 0}, {3, 3}, {0, 3}, {0, 2}, {2, 2}}, /* closed pocket */
    };
    static const size_t counts[] = {6, 5, 6};
    for (size_t i = 0; i < 2; i++) {
        assert_false(crosses_by_definition(cases[i], counts[i]));
        assert_false(sweep(cases[i], counts[i]));
    }
    assert_int_equal(sweep(cases[2], counts[2]),
                     crosses_by_definition(cases[2], counts[2]));
}

/* Comparisons grow as n log n, counted, on contours made to be slow. */
static size_t work_for(const double *x, const double *y, size_t n,
                       bool expected) {
    crossing_finder *finder = crossing_new();
    bool found = !expected;
    assert_int_equal(crossing_find(finder, x, y, n, &found), BL_OK);
    assert_int_equal(found, expected);
    size_t work = crossing_work(finder);
    crossing_free(finder);
    return work;
}

static void test_growth(void **state) {
    (void)state;
    enum { N = 100000 };
    double *x = malloc(N * sizeof *x);
    double *y = malloc(N * sizeof *y);
    double bound = 40.0 * N * log2(N);
    for (size_t i = 0; i < N; i++) { /* a comb of long teeth */
        x[i] = i + 2 < N ? (double)i : i + 2 == N ? N : -1.0;
        y[i] = i + 2 < N ? (i % 2 == 0 ? 0.0 : 1e5) : -1.0;
    }
    assert_true((double)work_for(x, y, N, false) < bound);
    for (size_t i = 0; i < N / 2; i++) { /* a spiral, out and back */
        double angle = 200.0 * 3.14159265358979 * (double)i / N;
        double radius = 1.0 + angle;
        x[i] = radius * cos(angle);
        y[i] = radius * sin(angle);
        x[N - 1 - i] = (radius + 1.0) * cos(angle);
        y[N - 1 - i] = (radius + 1.0) * sin(angle);
    }
    assert_true((double)work_for(x, y, N, false) < bound);
    for (size_t i = 0; i < N; i++) { /* long parallel diagonals */
        double far = i % 2 == 0 ? 0.0 : 1e6;
        x[i] = far + (i + 2 < N ? (double)i : i + 2 == N ? 1e7 : -1e7);
        y[i] = i + 2 < N ? far : -1e6;
    }
    assert_true((double)work_for(x, y, N, false) < bound);
    free(x);
    free(y);
}

/* Doubles as integers times 2^-40: the determinant fits 128 bits. */
static void test_orient_is_exact(void **state) {
    (void)state;
    dice from = {9};
    size_t straight = 0;
    for (int i = 0; i < 400000; i++) {
        long ax = (long)(dice_next(&from) % 4096);
        long ay = (long)(dice_next(&from) % 4096);
        long dx = (long)(dice_next(&from) % (1L << 40));
        long dy = (long)(dice_next(&from) % (1L << 40));
        long k = (long)(dice_next(&from) % 5);
        long bx = ax + dx;
        long by = ay + dy;
        long cx = ax + k * dx + (long)(dice_next(&from) % 3) - 1;
        long cy = ay + k * dy + (long)(dice_next(&from) % 3) - 1;
        __extension__ typedef __int128 wide;
        wide exact = (wide)(bx - ax) * (cy - ay) - (wide)(by - ay) * (cx - ax);
        int expected = (exact > 0) - (exact < 0);
        straight += expected == 0;
        assert_int_equal(orient_sign((double)ax * 0x1p-40, (double)ay * 0x1p-40,
                                     (double)bx * 0x1p-40, (double)by * 0x1p-40,
                                     (double)cx * 0x1p-40,
                                     (double)cy * 0x1p-40),
                         expected);
    }
    assert_true(straight > 1000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_definition),
        cmocka_unit_test(test_touches),
        cmocka_unit_test(test_growth),
        cmocka_unit_test(test_orient_is_exact),
    };
    return cmocka_run_group_tests_name("crossing", tests, NULL, NULL);
}
