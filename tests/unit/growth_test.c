/*
 * growth_test.c - hull and chords of contours of 100,000 points: their work is
 * counted, not timed, and stays a small multiple of the points.
 */
#include "geometry/chord.h"
#include "geometry/hull.h"
#include "geometry/polygon.h"
#include "geometry/visible.h"
#include "support/check.h"

#include <math.h>

#define PI 3.14159265358979323846
#define N 100000

static double x[N + 2]; /* closed by the first two */
static double y[N + 2];

static void put(size_t i, double radius, double angle) {
    x[i] = radius * cos(angle);
    y[i] = radius * sin(angle);
}

/* Looks from a point inside. */
static void check_chords(bool star, double cx, double cy) {
    visible view = {0};
    chord_finder chords = {0};
    chord_extremes found;
    assert_true(star ? visible_star(&view, x, y, N, true, cx, cy)
                     : visible_from(&view, x, y, N, cx, cy));
    assert_true(chord_find(&chords, &view, NULL, &found));
    /* Each edge is cut at the jumps, of which there are at most two an edge,
     * and the line comes to each start of a piece once. */
    assert_true(view.count >= 3 && view.count <= 2 * N);
    assert_true(chords.events >= 1 && chords.events <= view.count + 1);
    assert_true(found.least > 0.0 && found.greatest < 100.0);
    visible_free(&view);
    chord_free(&chords);
}

static void check_star(void) {
    assert_true(polygon_is_star(x, y, N, true, 0.0, 0.0));
    for (size_t i = 0; i < 2; i++) {
        x[N + i] = x[i];
        y[N + i] = y[i];
    }
    hull found = {0};
    assert_true(hull_of_star(&found, x, y, N));
    /* All points twice, then those in doubt and two more for each dropped. */
    assert_true(found.turns <= 5 * N);
    hull_free(&found);
    check_chords(true, 0.0, 0.0);
}

static void test_stars(void **state) {
    (void)state;
    dice from = {51};
    for (int kind = 0; kind < 5; kind++) {
        for (size_t i = 0; i < N; i++) {
            double angle = 2.0 * PI * (double)i / N;
            const double radius[] = {
                7.0,                                  /* convex */
                7.0 + 2.0 * cos(3.0 * angle),         /* hollow runs */
                7.0 + 0.01 * sin(500.0 * angle),      /* many of them */
                7.0 + dice_between(&from, -0.5, 0.5), /* teeth */
                3.0 + angle,                          /* one long turn */
            };
            put(i, radius[kind], angle);
        }
        check_star();
    }
}

/* There along one line and back along another, a little higher. */
static void band(double (*line)(double part), double thick, bool spiral) {
    size_t half = N / 2;
    for (size_t i = 0; i < half; i++) {
        double part = (double)i / (double)(half - 1);
        double at = line(part);
        size_t back = N - 1 - i;
        if (spiral) {
            put(i, at + thick, 20.0 * PI * part);
            put(back, at, 20.0 * PI * part);
        } else {
            x[i] = x[back] = 20.0 * part - 10.0;
            y[i] = (i % 2 == 0 ? 0.0 : at);
            y[back] = y[i] + thick;
        }
    }
}

static double one(double part) {
    return 1.0 + 0.0 * part;
}

static double wide(double part) {
    return 2.0 + 8.0 * part;
}

static void test_zigzag(void **state) {
    (void)state;
    band(one, 2.0, false);
    check_chords(false, 0.0, 1.5);
}

static void test_spiral(void **state) {
    (void)state;
    band(wide, 0.2, true);
    check_chords(false, 6.1, 0.0); /* after five of ten turns */
}

/* Teeth on a bar: from inside it every gap is looked into. */
static void test_comb(void **state) {
    (void)state;
    for (size_t i = 0; i < N - 2; i++) {
        x[i] = 10.0 - 20.0 * (double)i / (N - 3);
        y[i] = i % 2 == 0 ? 1.0 : 10.0;
    }
    x[N - 2] = -10.0;
    y[N - 2] = -1.0;
    x[N - 1] = 10.0;
    y[N - 1] = -1.0;
    check_chords(false, 0.0, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_stars),
        cmocka_unit_test(test_zigzag),
        cmocka_unit_test(test_spiral),
        cmocka_unit_test(test_comb),
    };
    return cmocka_run_group_tests_name("growth", tests, NULL, NULL);
}
