/*
 * inscribed_test.c - the largest circle in closed forms and against GEOS, and
 * the growth of the search on contours made to be slow, counted in cells.
 */
#include "geometry/inscribed.h"
#include "support/check.h"
#include "support/shapes.h"

#include <geos_c.h>
#include <math.h>
#include <stdlib.h>

#define PI 3.14159265358979323846

static double circle_in(const double *x, const double *y, size_t count,
                        size_t *cells) {
    double diameter = 0.0;
    inscribed_finder *finder = inscribed_new();
    assert_non_null(finder);
    assert_int_equal(inscribed_find(finder, x, y, count, &diameter), BL_OK);
    *cells = inscribed_work(finder);
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
        size_t cells;
        double found = circle_in(one.x, one.y, one.count, &cells);
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
    size_t cells;
    double found = circle_in(one.x, one.y, one.count, &cells);
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
        size_t cells;
        GEOSGeometry *line =
            GEOSMaximumInscribedCircle_r(geos, polygon, tolerance);
        assert_non_null(line);
        GEOSLength_r(geos, line, &radius);
        double found = circle_in(one.x, one.y, one.count, &cells);
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

/* The work on what is traced, thick or pressed flat: the point of the
 * bounds is that these few cells suffice. */
static void test_few_cells(void **state) {
    (void)state;
    dice from = {43};
    size_t total[2] = {0};
    for (int i = 0; i < 200; i++) {
        double flat = i % 2 == 0 ? 6.0 : 0.5;
        size_t cells;
        shape_ellipse(&one, 256, 8.0, flat);
        for (size_t k = 0; k < one.count; k++) {
            double noise = dice_between(&from, 0.99, 1.01);
            one.x[k] *= noise;
            one.y[k] *= noise;
        }
        shape_rotate(&one, dice_between(&from, 0.0, 360.0));
        circle_in(one.x, one.y, one.count, &cells);
        total[i % 2] += cells;
    }
    assert_true(total[0] < (size_t)100 * 100);
    assert_true(total[1] < (size_t)100 * 500);
}

/* A ring of inner radius 4 and outer 7 with a slot: the circle has diameter 3
 * but for the chords' sagitta, 7 (1 - cos(pi/n)) at each wall. */
static void test_ring(void **state) {
    (void)state;
    enum { HALF = 2000 };
    static double x[2 * HALF];
    static double y[2 * HALF];
    size_t cells;
    for (size_t i = 0; i < HALF; i++) {
        double angle = 0.2 + 5.8 * (double)i / (HALF - 1);
        x[i] = 7.0 * cos(angle);
        y[i] = 7.0 * sin(angle);
        x[2 * HALF - 1 - i] = 4.0 * cos(angle);
        y[2 * HALF - 1 - i] = 4.0 * sin(angle);
    }
    double sagitta = 7.0 * (1.0 - cos(2.9 / (HALF - 1)));
    double found = circle_in(x, y, 2 * (size_t)HALF, &cells);
    check_close(found, 3.0, 1e-4 + 2.0 * sagitta, "mm");
    assert_true(found <= 3.0);
}

/* A triangle as thin as a hair: 4 area / perimeter (handbook). */
static void test_hair(void **state) {
    (void)state;
    const double x[] = {0.0, 100.0, 0.0};
    const double y[] = {0.0, 0.005, 0.01};
    size_t cells;
    double perimeter = 0.01 + 2.0 * sqrt(100.0 * 100.0 + 0.005 * 0.005);
    check_circle(circle_in(x, y, 3, &cells), 4.0 * 0.5 / perimeter);
}

/* A comb of 50,000 teeth, 1 wide: every tooth holds nearly the same circle,
 * the worst there is for a search that prunes. Cells stay in proportion. */
static void test_comb(void **state) {
    (void)state;
    enum { TEETH = 25000, COUNT = 4 * TEETH + 2 };
    double *x = malloc(COUNT * sizeof *x);
    double *y = malloc(COUNT * sizeof *y);
    size_t count = 0;
    size_t cells;
    assert_non_null(x);
    assert_non_null(y);
    for (size_t i = 0; i < TEETH; i++) {
        double from = 0.02 * (double)i;
        const double tooth[4][2] = {
            {from, 1.0}, {from, 9.0}, {from + 0.01, 9.0}, {from + 0.01, 1.0}};
        for (size_t k = 0; k < 4; k++) {
            x[count] = tooth[k][0];
            y[count] = tooth[k][1];
            count++;
        }
    }
    x[count] = x[count - 1];
    y[count++] = 0.0;
    x[count] = 0.0;
    y[count++] = 0.0;
    /* Below the teeth lies a strip, 1 high. Its circle bulges into a mouth
     * 0.01 wide until it touches both corners: (1-r)^2 + 0.005^2 = r^2. */
    check_circle(circle_in(x, y, count, &cells), 1.0 + 0.005 * 0.005);
    assert_true(cells < 40 * count);
    free(x);
    free(y);
}

/* 2,000 equal teeth in 20 mm: the search would take minutes; it ends at its
 * bound, and says that it does not know. */
static void test_bound_on_work(void **state) {
    (void)state;
    enum { TEETH = 2000, COUNT = 4 * TEETH };
    static double x[COUNT];
    static double y[COUNT];
    size_t cells;
    for (size_t i = 0; i < TEETH; i++) {
        double from = 0.01 * (double)i;
        for (size_t k = 0; k < 4; k++) {
            x[4 * i + k] = from + (k < 2 ? 0.0 : 0.005);
            y[4 * i + k] = k == 0 || k == 3 ? 0.0 : 20.0;
        }
    }
    y[0] = -0.004;
    y[COUNT - 1] = -0.004;
    check_unknown(circle_in(x, y, COUNT, &cells));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_regular),
        cmocka_unit_test(test_rectangles),
        cmocka_unit_test(test_triangles),
        cmocka_unit_test(test_corner),
        cmocka_unit_test(test_reuleaux),
        cmocka_unit_test(test_against_geos),
        cmocka_unit_test(test_few_cells),
        cmocka_unit_test(test_ring),
        cmocka_unit_test(test_hair),
        cmocka_unit_test(test_comb),
        cmocka_unit_test(test_bound_on_work),
    };
    return cmocka_run_group_tests_name("inscribed", tests, NULL, NULL);
}
