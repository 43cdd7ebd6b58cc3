/*
 * inscribed_test.c - the largest circle in closed forms and against GEOS, and
 * the growth of the search on contours made to be slow, counted in looks.
 */
#include "base/limits.h"
#include "geometry/inscribed.h"
#include "support/check.h"
#include "support/shapes.h"

#include <geos_c.h>
#include <math.h>
#include <stdlib.h>

#define PI 3.14159265358979323846

static double circle_in(const double *x, const double *y, size_t count,
                        size_t *looks) {
    double diameter = 0.0;
    inscribed_finder *finder = inscribed_new();
    assert_non_null(finder);
    assert_int_equal(inscribed_find(finder, x, y, count, &diameter), BL_OK);
    *looks = inscribed_work(finder);
    inscribed_free(finder);
    return diameter;
}

/* Never too large, and at most 1e-4 mm too small. */
static void check_circle(double found, double exact) {
    assert_true(found <= exact * (1.0 + 1e-12));
    assert_true(found >= exact - 1e-4);
}

static shape one;

/* The shape as it is, turned by odd angles, reversed, started elsewhere. */
static void check_every_way(double exact) {
    for (int way = 0; way < 8; way++) {
        size_t looks;
        double found = circle_in(one.x, one.y, one.count, &looks);
        /* Each turn rounds coordinates of up to 30 mm by 4e-15. */
        assert_true(found <= exact + 1e-13);
        assert_true(found >= exact - 1e-4);
        shape_rotate(&one, 45.0 + 3.7 * way);
        shape_restart(&one, one.count / 2);
        if (way % 3 == 0) {
            shape_reverse(&one);
        }
    }
}

/* Regular n-gon: the apothem, R cos(pi/n) (handbook). */
static void test_regular(void **state) {
    (void)state;
    for (size_t n = 3; n <= 1024; n += 1 + n / 4) {
        shape_ellipse(&one, n, 8.0, 8.0);
        check_every_way(16.0 * cos(PI / (double)n));
    }
}

/* The shorter side, down to slivers of 0.01 mm; in corridors there is no end
 * of best places. */
static void test_rectangles(void **state) {
    (void)state;
    for (double side = 20.0; side > 0.005; side /= 1.7) {
        const double points[][2] = {
            {0.0, 0.0}, {20.0, 0.0}, {20.0, side}, {0.0, side}};
        shape_points(&one, 4, points);
        check_every_way(side);
    }
}

/* 4 area / perimeter (handbook). */
static void test_triangles(void **state) {
    (void)state;
    dice from = {41};
    one.count = 3;
    for (int i = 0; i < 500; i++) {
        for (int k = 0; k < 3; k++) {
            one.x[k] = dice_between(&from, -10.0, 10.0);
            one.y[k] = dice_between(&from, -10.0, 10.0);
        }
        double perimeter = 0.0;
        double twice_area = 0.0;
        for (int k = 0; k < 3; k++) {
            int next = (k + 1) % 3;
            double dx = one.x[next] - one.x[k];
            double dy = one.y[next] - one.y[k];
            perimeter += sqrt(dx * dx + dy * dy);
            twice_area += one.x[k] * one.y[next] - one.x[next] * one.y[k];
        }
        check_every_way(2.0 * fabs(twice_area) / perimeter);
    }
}

/* An L of arms w wide: the circle sits in the corner, touches both outer walls
 * and the inner corner: r = (w - r) sqrt 2, so d = 2 w (2 - sqrt 2). */
static void test_corner(void **state) {
    (void)state;
    for (double w = 4.0; w > 0.01; w /= 3.0) {
        const double points[][2] = {{0.0, 0.0}, {20.0, 0.0}, {20.0, w},
                                    {w, w},     {w, 20.0},   {0.0, 20.0}};
        shape_points(&one, 6, points);
        check_every_way(2.0 * w * (2.0 - sqrt(2.0)));
    }
}

/* Reuleaux triangle of width 10: 2 (1 - 1/sqrt 3) times the width, by its
 * constant width the same as width less circumradius; the polygon inside it
 * loses at most the chords' sagitta on each side, 10 (1 - cos(pi/6/n)). */
static void test_reuleaux(void **state) {
    (void)state;
    enum { SIDE = 300 };
    double exact = 2.0 * (1.0 - 1.0 / sqrt(3.0)) * 10.0;
    double sagitta = 10.0 * (1.0 - cos(PI / 6.0 / SIDE));
    one.count = 3 * (size_t)SIDE;
    for (size_t i = 0; i < one.count; i++) {
        size_t arc = i / SIDE;
        double about = 2.0 * PI * (double)arc / 3.0;
        double angle =
            about + PI - PI / 6.0 + PI / 3.0 * (double)(i % SIDE) / SIDE;
        one.x[i] = 10.0 / sqrt(3.0) * cos(about) + 10.0 * cos(angle);
        one.y[i] = 10.0 / sqrt(3.0) * sin(about) + 10.0 * sin(angle);
    }
    size_t looks;
    double found = circle_in(one.x, one.y, one.count, &looks);
    assert_true(found <= exact);
    assert_true(found >= exact - 2.0 * sagitta - 1e-4);
}

/* GEOS's circle is real and at most its tolerance short in radius. */
static void check_with_geos(GEOSContextHandle_t geos) {
    unsigned n = (unsigned)one.count;
    GEOSCoordSequence *points = GEOSCoordSeq_create_r(geos, n + 1, 2);
    double size = 0.0;
    for (unsigned i = 0; i <= n; i++) {
        size = fmax(size, fmax(fabs(one.x[i % n]), fabs(one.y[i % n])));
        GEOSCoordSeq_setXY_r(geos, points, i, one.x[i % n], one.y[i % n]);
    }
    GEOSGeometry *polygon = GEOSGeom_createPolygon_r(
        geos, GEOSGeom_createLinearRing_r(geos, points), NULL, 0);
    if (GEOSisValid_r(geos, polygon) == 1) {
        double tolerance = 1e-8 * size;
        double radius = 0.0;
        size_t looks;
        GEOSGeometry *line =
            GEOSMaximumInscribedCircle_r(geos, polygon, tolerance);
        assert_non_null(line);
        GEOSLength_r(geos, line, &radius);
        double found = circle_in(one.x, one.y, one.count, &looks);
        double rounding = 1e-13 * size;
        assert_true(found >= 2.0 * radius - 1e-4);
        assert_true(found <= 2.0 * (radius + tolerance) + rounding);
        GEOSGeom_destroy_r(geos, line);
    }
    GEOSGeom_destroy_r(geos, polygon);
}

static void test_against_geos(void **state) {
    (void)state;
    GEOSContextHandle_t geos = GEOS_init_r();
    dice from = {42};
    for (int i = 0; i < 1500; i++) {
        size_t n = 6 + dice_next(&from) % 30;
        if (i % 3 == 2) {
            shape_random_bent(&one, &from, n);
        } else {
            shape_random_star(&one, &from, n, i % 3 == 0 ? 0.0 : 0.1);
        }
        shape_rotate(&one, dice_between(&from, 0.0, 360.0));
        check_with_geos(geos);
    }
    GEOS_finish_r(geos);
}

/* A noisy ellipse, as traced. */
static void make_traced(dice *from, size_t count, double flat) {
    shape_ellipse(&one, count, 8.0, flat);
    for (size_t k = 0; k < one.count; k++) {
        double noise = dice_between(from, 0.99, 1.01);
        one.x[k] *= noise;
        one.y[k] *= noise;
    }
    shape_rotate(&one, dice_between(from, 0.0, 360.0));
}

/* The work on what is traced, thick or pressed flat: the point of the proof
 * from the circle outward is that these few looks suffice. */
static void test_few_looks(void **state) {
    (void)state;
    dice from = {43};
    size_t total[2] = {0};
    for (int i = 0; i < 200; i++) {
        size_t looks;
        make_traced(&from, 256, i % 2 == 0 ? 6.0 : 0.5);
        circle_in(one.x, one.y, one.count, &looks);
        total[i % 2] += looks;
    }
    assert_true(total[0] < (size_t)100 * 500);
    assert_true(total[1] < (size_t)100 * 5000);
}

/* 64 times the points take at most 64 times the looks at blocks, beside the
 * one pass that lays the blocks. */
static void test_growth(void **state) {
    (void)state;
    dice from = {44};
    size_t total[2] = {0};
    for (int i = 0; i < 100; i++) {
        size_t looks;
        make_traced(&from, i % 2 == 0 ? 64 : 4096, i % 4 < 2 ? 7.0 : 2.0);
        circle_in(one.x, one.y, one.count, &looks);
        total[i % 2] += looks;
    }
    assert_true(total[1] < 64 * total[0]);
}

/* A ring of inner radius 4 and outer 7 with a slot: the circle has diameter 3
 * but for the chords' sagitta, 7 (1 - cos(pi/n)) at each wall. */
static void test_ring(void **state) {
    (void)state;
    enum { HALF = 2000 };
    static double x[2 * HALF];
    static double y[2 * HALF];
    size_t looks;
    for (size_t i = 0; i < HALF; i++) {
        double angle = 0.2 + 5.8 * (double)i / (HALF - 1);
        x[i] = 7.0 * cos(angle);
        y[i] = 7.0 * sin(angle);
        x[2 * HALF - 1 - i] = 4.0 * cos(angle);
        y[2 * HALF - 1 - i] = 4.0 * sin(angle);
    }
    double sagitta = 7.0 * (1.0 - cos(2.9 / (HALF - 1)));
    double found = circle_in(x, y, 2 * (size_t)HALF, &looks);
    check_close(found, 3.0, 1e-4 + 2.0 * sagitta, "mm");
    assert_true(found <= 3.0);
}

/* A triangle as thin as a hair: 4 area / perimeter (handbook). */
static void test_hair(void **state) {
    (void)state;
    const double x[] = {0.0, 100.0, 0.0};
    const double y[] = {0.0, 0.005, 0.01};
    size_t looks;
    double perimeter = 0.01 + 2.0 * sqrt(100.0 * 100.0 + 0.005 * 0.005);
    check_circle(circle_in(x, y, 3, &looks), 4.0 * 0.5 / perimeter);
}

/* Contours of 100,000 points made to be slow. */
enum { LARGE = 100000 };
static double large_x[LARGE];
static double large_y[LARGE];

/* LIMIT_CIRCLE_LOOKS allows five times the work. */
static double circle_in_large(size_t count) {
    size_t looks;
    double found = circle_in(large_x, large_y, count, &looks);
    assert_true(looks < 100 * count);
    return found;
}

/* A comb of 25,000 teeth on a strip, 1 high: everywhere there is nearly the
 * same circle, the worst there is for a search that prunes. It bulges into a
 * mouth 0.01 wide until it touches both corners: (1-r)^2 + 0.005^2 = r^2. */
static void test_comb(void **state) {
    (void)state;
    size_t count = 0;
    for (size_t i = 0; i < LARGE / 4; i++) {
        double from = 0.02 * (double)i;
        const double tooth[4][2] = {
            {from, 1.0}, {from, 9.0}, {from + 0.01, 9.0}, {from + 0.01, 1.0}};
        for (size_t k = 0; k < 4; k++) {
            large_x[count] = tooth[k][0];
            large_y[count] = tooth[k][1];
            count++;
        }
    }
    large_x[0] = 0.0; /* the first and the last tooth close the strip */
    large_y[0] = 0.0;
    large_y[count - 1] = 0.0;
    check_circle(circle_in_large(count), 1.0 + 0.005 * 0.005);
}

/* Equal teeth in 20 mm, up to as many: each holds the circle of its width. */
static void test_fine_combs(void **state) {
    (void)state;
    for (size_t teeth = 250; teeth <= LARGE / 4; teeth *= 10) {
        double pitch = 20.0 / (double)teeth;
        for (size_t i = 0; i < 4 * teeth; i++) {
            bool high = i % 4 == 1 || i % 4 == 2;
            bool right = i % 4 >= 2;
            large_x[i] = pitch * ((double)(i / 4) + (right ? 0.5 : 0.0));
            large_y[i] = high ? 20.0 : 0.0;
        }
        large_y[0] = -0.1 * pitch;
        large_y[4 * teeth - 1] = -0.1 * pitch;
        size_t looks;
        double found = circle_in(large_x, large_y, 4 * teeth, &looks);
        /* Turned coordinates of up to 30 mm are rounded by 4e-15. */
        assert_true(found <= 0.5 * pitch + 1e-13);
        assert_true(found >= 0.5 * pitch - 1e-4);
        assert_true(looks < 1000 * 4 * teeth);
    }
}

/* Spikes about the origin with these radii at equal angles, every second one,
 * or all of them at random. */
static void make_spikes(bool random) {
    dice from = {45};
    for (size_t i = 0; i < LARGE; i++) {
        double angle = 2.0 * PI * (double)i / LARGE;
        double r = i % 2 == 0 ? 3.0 : 10.0;
        r = random ? dice_between(&from, 1.0, 10.0) : r;
        large_x[i] = r * cos(angle);
        large_y[i] = r * sin(angle);
    }
}

/* The least radius in each of so many equal sectors: the greatest of them, or
 * the least. */
static double least_in_sectors(size_t sectors, bool greatest) {
    double out = greatest ? 0.0 : HUGE_VAL;
    for (size_t k = 0; k < sectors; k++) {
        double least = HUGE_VAL;
        for (size_t i = k * LARGE / sectors; i < (k + 1) * LARGE / sectors;
             i++) {
            least = fmin(least, hypot(large_x[i], large_y[i]));
        }
        out = greatest ? fmax(out, least) : fmin(out, least);
    }
    return out;
}

/* 50,000 spikes from 3 to 10 mm: the circle through the inner corners. */
static void test_spikes(void **state) {
    (void)state;
    make_spikes(false);
    check_circle(circle_in_large(LARGE), 6.0);
}

/* From 1 to 10 mm at random. The circle about the origin touches the least
 * corner, or an edge that passes by it at an angle of 2 pi / LARGE. No circle
 * of radius R holds a corner. One that holds the origin reaches R or further
 * within 60 degrees of where its centre lies, so over one of six sectors. One
 * that does not reaches 1.41 R within half the angle at which it is seen, 0.05
 * rad or more for an R of 1 within 10 mm, so over one of 128. */
static void test_random_spikes(void **state) {
    (void)state;
    make_spikes(true);
    double least = 2.0 * least_in_sectors(1, false) * cos(2.0 * PI / LARGE);
    double most = 2.0 * least_in_sectors(6, true);
    assert_true(least_in_sectors(128, true) < 1.41);
    assert_true(most - least < 0.01);
    double found = circle_in_large(LARGE);
    assert_true(found >= least - 1e-4);
    assert_true(found <= most + 1e-13);
}

/* A channel along an Archimedean spiral, `wide` across on every ray, with
 * count points on both walls together. */
static void make_spiral(size_t count, double turns, double pitch, double wide) {
    size_t half = count / 2;
    for (size_t i = 0; i < half; i++) {
        double angle =
            2.0 * PI * (1.0 + turns * (double)i / (double)(half - 1));
        double r = pitch * angle / (2.0 * PI);
        large_x[i] = r * cos(angle);
        large_y[i] = r * sin(angle);
        large_x[count - 1 - i] = (r - wide) * cos(angle);
        large_y[count - 1 - i] = (r - wide) * sin(angle);
    }
}

/* The channel is as wide as on a ray but for the slope of the walls, least at
 * the outer end, where its tangent is 1 / angle. */
static void test_spiral(void **state) {
    (void)state;
    const double turns = 5.0;
    make_spiral(LARGE, turns, 1.0, 0.5);
    double found = circle_in_large(LARGE);
    double slope = 1.0 / (2.0 * PI * (turns + 1.0));
    assert_true(found < 0.5);
    assert_true(found > 0.5 / sqrt(1.0 + slope * slope) - 2e-4);
}

/* Eighty turns, every place as good as any other: the search ends at its bound,
 * and says that it does not know. */
static void test_bound_on_work(void **state) {
    (void)state;
    size_t looks;
    make_spiral(4000, 80.0, 0.05, 0.03);
    check_unknown(circle_in(large_x, large_y, 4000, &looks));
    const size_t allowed =
        LIMIT_CIRCLE_LOOKS + (size_t)LIMIT_CIRCLE_LOOKS_PER_POINT * 4000;
    /* Asked before each halving, which looks at some of the 500 blocks. */
    assert_in_range(looks, allowed + 1, allowed + 4000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_regular),   cmocka_unit_test(test_rectangles),
        cmocka_unit_test(test_triangles), cmocka_unit_test(test_corner),
        cmocka_unit_test(test_reuleaux),  cmocka_unit_test(test_against_geos),
        cmocka_unit_test(test_few_looks), cmocka_unit_test(test_growth),
        cmocka_unit_test(test_ring),      cmocka_unit_test(test_hair),
        cmocka_unit_test(test_comb),      cmocka_unit_test(test_fine_combs),
        cmocka_unit_test(test_spikes),    cmocka_unit_test(test_random_spikes),
        cmocka_unit_test(test_spiral),    cmocka_unit_test(test_bound_on_work),
    };
    return cmocka_run_group_tests_name("inscribed", tests, NULL, NULL);
}
