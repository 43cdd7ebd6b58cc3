/*
 * crossing_test.c - the sweep against the definition, pair by pair, on small
 * integer grids where touches and overlaps abound; sketches decided by eye;
 * GEOS on doubles of any digits; growth on hostile contours.
 */
#include "geometry/crossing.h"
#include "support/check.h"

#include <geos_c.h>
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

typedef struct sketch {
    const char *name;
    bool crosses;
    size_t count;
    grid_point p[MOST];
} sketch;

/* What a touch is and what not, decided by eye. */
static const sketch sketches[] = {
    {"pinched", false, 6, {{0, 0}, {2, 1}, {4, 0}, {4, 2}, {2, 1}, {0, 2}}},
    {"bow through a vertex",
     true,
     6,
     {{0, 0}, {2, 1}, {4, 2}, {4, 0}, {2, 1}, {0, 2}}},
    {"tip on an edge",
     false,
     6,
     {{0, 0}, {6, 0}, {6, 3}, {3, 0}, {1, 3}, {0, 3}}},
    {"tip through an edge",
     true,
     6,
     {{0, 0}, {6, 0}, {6, 3}, {3, -1}, {1, 3}, {0, 3}}},
    {"two tips on one point of an edge",
     false,
     8,
     {{0, 0}, {6, 0}, {6, 3}, {3, 0}, {4, 3}, {2, 3}, {3, 0}, {0, 3}}},
    {"spike that folds back",
     true,
     5,
     {{0, 0}, {4, 0}, {4, 4}, {6, 6}, {2, 2}}},
    {"edge along an edge",
     true,
     7,
     {{0, 0}, {6, 0}, {6, 3}, {4, 0}, {2, 0}, {2, 3}, {0, 3}}},
    {"triangle twice",
     true,
     6,
     {{0, 0}, {4, 0}, {0, 4}, {0, 0}, {4, 0}, {0, 4}}},
    {"all on a line", true, 3, {{0, 0}, {4, 0}, {2, 0}}},
    {"point on a straight edge", false, 4, {{0, 0}, {2, 0}, {4, 0}, {0, 4}}},
};

/* Eight ways to lay it, both turning directions, every starting point. */
static bool sweep_laid(const sketch *of, size_t way, size_t start) {
    grid_point p[MOST];
    for (size_t i = 0; i < of->count; i++) {
        size_t from = (i + start) % of->count;
        grid_point q = of->p[way & 8 ? of->count - 1 - from : from];
        q = way & 4 ? (grid_point){q.y, q.x} : q;
        p[i].x = way & 1 ? -q.x : q.x;
        p[i].y = way & 2 ? -q.y : q.y;
    }
    return sweep(p, of->count);
}

static void check_every_way(const sketch *of) {
    for (size_t way = 0; way < 16; way++) {
        for (size_t start = 0; start < of->count; start++) {
            if (sweep_laid(of, way, start) != of->crosses) {
                fail_msg("%s: way %zu, start %zu", of->name, way, start);
            }
        }
    }
}

static void test_touches(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof sketches / sizeof *sketches; i++) {
        const sketch *of = &sketches[i];
        if (crosses_by_definition(of->p, of->count) != of->crosses) {
            fail_msg("%s: the definition disagrees", of->name);
        }
        check_every_way(of);
    }
}

/* Turned, mirrored, reversed, started elsewhere: the same answer. */
static void test_laid_otherwise(void **state) {
    (void)state;
    dice from = {6};
    size_t crossing = 0;
    enum { CASES = 2000 };
    for (size_t cases = 0; cases < CASES;) {
        sketch one = {.name = "grid",
                      .count = 3 + dice_next(&from) % (MOST - 2)};
        bool distinct = true;
        for (size_t i = 0; i < one.count; i++) {
            one.p[i].x = (long)(dice_next(&from) % GRID);
            one.p[i].y = (long)(dice_next(&from) % GRID);
        }
        for (size_t i = 0; i < one.count; i++) {
            distinct = distinct && !same(one.p[i], one.p[(i + 1) % one.count]);
        }
        if (distinct) {
            one.crosses = sweep(one.p, one.count);
            check_every_way(&one);
            crossing += one.crosses;
            cases++;
        }
    }
    assert_in_range(crossing, CASES / 20, CASES - CASES / 20);
}

/* Doubles of any digits, where touches do not happen: a ring is simple in the
 * sense of OGC 06-103r4, decided by GEOS, exactly when it does not cross
 * itself. */
static bool simple_by_geos(GEOSContextHandle_t geos, const double *x,
                           const double *y, size_t n) {
    GEOSCoordSequence *points = GEOSCoordSeq_create_r(geos, (unsigned)n + 1, 2);
    for (size_t i = 0; i <= n; i++) {
        GEOSCoordSeq_setXY_r(geos, points, (unsigned)i, x[i % n], y[i % n]);
    }
    GEOSGeometry *ring = GEOSGeom_createLinearRing_r(geos, points);
    char simple = GEOSisSimple_r(geos, ring);
    assert_in_range(simple, 0, 1);
    GEOSGeom_destroy_r(geos, ring);
    return simple == 1;
}

enum { GEOS_CASES = 6000, GEOS_POINTS = 120 };

/* A few points anywhere, or a ring whose neighbours may change places. */
static size_t draw_any(dice *from, int i, double *x, double *y) {
    bool few = i % 2 == 0;
    size_t n = few ? 4 + (size_t)(i / 2 % 4) : GEOS_POINTS;
    double rough = i % 4 == 1 ? 0.045 : 0.025;
    double far = i % 3 == 0 ? 1e7 : 0.0;
    for (size_t k = 0; k < n; k++) {
        double angle = 6.283185307179586 * (double)k / (double)n +
                       dice_between(from, -rough, rough);
        double radius =
            few ? dice_between(from, 0.0, 9.0) : dice_between(from, 5.0, 6.0);
        angle = few ? dice_between(from, 0.0, 6.283185307179586) : angle;
        x[k] = far + radius * cos(angle);
        y[k] = radius * sin(angle) - far;
    }
    return n;
}

static void test_against_geos(void **state) {
    (void)state;
    GEOSContextHandle_t geos = GEOS_init_r();
    crossing_finder *finder = crossing_new();
    dice from = {7};
    size_t crossing[2] = {0};
    for (int i = 0; i < GEOS_CASES; i++) {
        double x[GEOS_POINTS];
        double y[GEOS_POINTS];
        size_t n = draw_any(&from, i, x, y);
        bool found = false;
        assert_int_equal(crossing_find(finder, x, y, n, &found), BL_OK);
        assert_int_equal(found, !simple_by_geos(geos, x, y, n));
        crossing[i % 2] += found;
    }
    /* Both answers were put to the test, in both kinds. */
    assert_in_range(crossing[0], GEOS_CASES / 20, GEOS_CASES / 2 * 9 / 10);
    assert_in_range(crossing[1], GEOS_CASES / 20, GEOS_CASES / 2 * 9 / 10);
    crossing_free(finder);
    GEOS_finish_r(geos);
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

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_definition),
        cmocka_unit_test(test_touches),
        cmocka_unit_test(test_laid_otherwise),
        cmocka_unit_test(test_against_geos),
        cmocka_unit_test(test_growth),
    };
    return cmocka_run_group_tests_name("crossing", tests, NULL, NULL);
}
