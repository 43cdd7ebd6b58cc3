/*
 * measurer_test.c - the measures of one contour against closed forms and
 * handbook values.
 */
#include "support/check.h"
#include "support/shapes.h"

#include <gsl/gsl_sf_ellint.h>
#include <math.h>

#define PI 3.14159265358979323846
/* A few roundings of sums of 256 terms. */
#define DIGITS 1e-13

static shape one;

/* Perimeters of ellipses: 4 a E(k), NIST Digital Library of Mathematical
 * Functions 19.30, by GSL, whose argument is the modulus k. An inscribed
 * polygon of n points falls short by at most (pi/n)^2 / 6 of each arc's
 * curvature, here below 2 (pi/n)^2. */
static void test_ellipse_perimeter(void **state) {
    (void)state;
    static const struct {
        double a;
        double b;
        double perimeter; /* 4aE(k), to the digits shown */
    } cases[] = {{2, 1, 9.6884482205476762},
                 {3, 1, 13.364893220555258},
                 {10, 5, 48.442241102738381},
                 {12, 4, 53.459572882221033}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double a = cases[i].a;
        double b = cases[i].b;
        double k = sqrt(1.0 - b * b / (a * a));
        double exact = 4.0 * a * gsl_sf_ellint_Ecomp(k, GSL_PREC_DOUBLE);
        check_relative(exact, cases[i].perimeter, 1e-15);
        shape_ellipse(&one, 4096, a, b);
        bl_measures got = shape_measure(&one);
        double short_by = 2.0 * pow(PI / 4096.0, 2.0);
        check_relative(got.perimeter_mm, exact, short_by);
        assert_true(got.perimeter_mm < exact);
    }
}

/* A regular n-gon in a circle of radius 1: area n/2 sin(2 pi/n), perimeter
 * 2 n sin(pi/n), inscribed circle cos(pi/n) (handbook). */
static void test_regular_polygons(void **state) {
    (void)state;
    for (size_t n = 3; n <= 512; n = n < 16 ? n + 1 : n * 2) {
        double part = PI / (double)n;
        shape_ellipse(&one, n, 1.0, 1.0);
        bl_measures got = shape_measure(&one);
        check_relative(got.area_mm2, 0.5 * (double)n * sin(2.0 * part), DIGITS);
        check_relative(got.perimeter_mm, 2.0 * (double)n * sin(part), DIGITS);
        check_close(got.inscribed_diameter_mm, 2.0 * cos(part), 1e-4, "mm");
        check_relative(got.solidity, 1.0, DIGITS);
        /* Widths: across flats for even n, corner to flat for odd n. */
        bool even = n % 2 == 0;
        check_relative(got.min_feret_mm,
                       even ? 2.0 * cos(part) : 1.0 + cos(part), DIGITS);
        check_relative(got.max_feret_mm, even ? 2.0 : 2.0 * cos(0.5 * part),
                       DIGITS);
        /* Odd: from the centre cos(part) / cos(t) to a flat, t off its middle,
         * and part - t off the next one's on the other side; least between. */
        check_relative(got.min_diameter_mm,
                       2.0 * cos(part) / (even ? 1.0 : cos(0.5 * part)),
                       DIGITS);
        check_relative(got.max_diameter_mm, even ? 2.0 : 1.0 + cos(part),
                       DIGITS);
    }
}

/* Corner points of a Reuleaux triangle of width 1, arcs of n points. */
static void reuleaux(shape *out, size_t n) {
    static const double corner[3][2] = {
        {0.0, 0.0}, {1.0, 0.0}, {0.5, 0.86602540378443864676}};
    out->count = 0;
    for (size_t side = 0; side < 3; side++) {
        const double *centre = corner[(side + 2) % 3];
        const double *from = corner[side];
        double start = atan2(from[1] - centre[1], from[0] - centre[0]);
        for (size_t i = 0; i < n; i++) {
            double angle = start + PI / 3.0 * (double)i / (double)n;
            out->x[out->count] = centre[0] + cos(angle);
            out->y[out->count] = centre[1] + sin(angle);
            out->count++;
        }
    }
}

/* Reuleaux triangle of width 1 (handbook): area (pi - sqrt 3)/2, perimeter
 * pi, every Feret diameter 1, inscribed diameter 2 (1 - 1/sqrt 3). */
static void test_reuleaux(void **state) {
    (void)state;
    reuleaux(&one, 1024);
    bl_measures got = shape_measure(&one);
    double flat = pow(PI / 3.0 / 1024.0, 2.0); /* sagitta, relative */
    check_close(got.area_mm2, (PI - sqrt(3.0)) / 2.0, flat, "mm2");
    check_close(got.perimeter_mm, PI, PI * flat, "mm");
    check_close(got.min_feret_mm, 1.0, flat, "mm");
    check_close(got.max_feret_mm, 1.0, flat, "mm");
    check_close(got.circularity, 0.897342209156416, 2.0 * flat, "");
    check_close(got.inscribed_diameter_mm, 2.0 * (1.0 - 1.0 / sqrt(3.0)),
                1e-4 + flat, "mm");
}

static void test_rectangle(void **state) {
    (void)state;
    static const double corners[][2] = {{0, 0}, {4, 0}, {4, 2}, {0, 2}};
    shape_points(&one, 4, corners);
    bl_measures got = shape_measure(&one);
    check_close(got.area_mm2, 8.0, 0.0, "mm2");
    check_close(got.perimeter_mm, 12.0, 0.0, "mm");
    check_close(got.equivalent_diameter_mm, 2.0 * sqrt(8.0 / PI), 1e-15, "mm");
    check_close(got.perimeter_diameter_mm, 12.0 / PI, 1e-15, "mm");
    check_close(got.min_diameter_mm, 2.0, 1e-15, "mm");
    check_close(got.max_diameter_mm, sqrt(20.0), 1e-15, "mm");
    check_close(got.min_feret_mm, 2.0, 0.0, "mm");
    check_close(got.max_feret_mm, sqrt(20.0), 1e-15, "mm");
    check_close(got.inscribed_diameter_mm, 2.0, 1e-4, "mm");
    check_close(got.aspect_ratio, sqrt(5.0), 1e-14, "");
    check_close(got.eccentricity, 1.0 - 1.0 / sqrt(5.0), 1e-14, "");
    check_close(got.circularity, 4.0 * PI * 8.0 / 144.0, 1e-15, "");
    check_close(got.solidity, 1.0, 0.0, "");
    check_close(got.centroid_x_mm, 2.0, 1e-15, "mm");
    check_close(got.centroid_y_mm, 1.0, 1e-15, "mm");
    assert_int_equal(got.flags, 0);
}

/* The long axis of a turned ellipse is its turning angle. */
static void test_long_axis(void **state) {
    (void)state;
    for (int degrees = 0; degrees < 180; degrees += 15) {
        shape_ellipse(&one, 360, 9.0, 4.0);
        shape_rotate(&one, degrees);
        double axis = shape_measure(&one).long_axis_deg;
        double off = fabs(axis - degrees);
        check_close(fmin(off, 180.0 - off), 0.0, 1e-10, "deg");
        assert_true(axis >= 0.0 && axis < 180.0);
    }
}

/* A triangle's inscribed circle has diameter 4 area / perimeter (handbook). */
static void test_triangle_circle(void **state) {
    (void)state;
    dice from = {7};
    for (int i = 0; i < 500; i++) {
        one.count = 3;
        for (size_t k = 0; k < 3; k++) {
            one.x[k] = dice_between(&from, -10.0, 10.0);
            one.y[k] = dice_between(&from, -10.0, 10.0);
        }
        bl_measures got = shape_measure(&one);
        check_close(got.inscribed_diameter_mm,
                    4.0 * got.area_mm2 / got.perimeter_mm, 1e-4, "mm");
    }
}

/* A U and an L whose centres of gravity lie outside: diameters through the
 * centre are unknown, everything else is known. */
static void test_centre_outside(void **state) {
    (void)state;
    static const double u[][2] = {{0, 0}, {6, 0}, {6, 6}, {5, 6},
                                  {5, 1}, {1, 1}, {1, 6}, {0, 6}};
    shape_points(&one, 8, u);
    bl_measures got = shape_measure(&one);
    assert_int_equal(got.flags, BL_FLAG_CENTRE_OUTSIDE);
    check_close(got.area_mm2, 16.0, 1e-14, "mm2");
    check_close(got.solidity, 16.0 / 36.0, 1e-15, "");
    check_unknown(got.min_diameter_mm);
    check_unknown(got.max_diameter_mm);
    check_unknown(got.aspect_ratio);
    check_unknown(got.eccentricity);
    check_unknown(got.long_axis_deg);
}

/* The chord through a centre in a direction, edge by edge: the reference for
 * what is not star-shaped, of which no closed form is at hand. */
static double chord_by_turning(const shape *of, double cx, double cy,
                               double degrees) {
    double ux = cos(degrees * PI / 180.0);
    double uy = sin(degrees * PI / 180.0);
    double front = HUGE_VAL;
    double back = HUGE_VAL;
    for (size_t i = 0; i < of->count; i++) {
        size_t j = (i + 1) % of->count;
        double ax = of->x[i] - cx;
        double ay = of->y[i] - cy;
        double bx = of->x[j] - cx;
        double by = of->y[j] - cy;
        double sa = ux * ay - uy * ax;
        double sb = ux * by - uy * bx;
        if ((sa < 0.0) == (sb < 0.0)) {
            continue;
        }
        double part = sa / (sa - sb);
        double at = (ax + part * (bx - ax)) * ux + (ay + part * (by - ay)) * uy;
        if (at > 0.0) {
            front = fmin(front, at);
        } else {
            back = fmin(back, -at);
        }
    }
    return front + back;
}

/* Exact extremes bound every sampled direction, and sampling comes close. */
static void check_chords_by_turning(const shape *of) {
    bl_measures got = shape_measure(of);
    if (got.flags != 0) {
        return;
    }
    double least = HUGE_VAL;
    double greatest = 0.0;
    for (int i = 0; i < 7200; i++) {
        double chord = chord_by_turning(of, got.centroid_x_mm,
                                        got.centroid_y_mm, 0.025 * i + 0.0071);
        least = fmin(least, chord);
        greatest = fmax(greatest, chord);
    }
    assert_true(got.min_diameter_mm <= least * (1.0 + 1e-12));
    assert_true(got.max_diameter_mm >= greatest * (1.0 - 1e-12));
    /* A direction within 0.0125 degrees is sampled. About its middle the radius
     * of a star changes by at most 9 (6 x 0.25 + 83 x 0.02 / pi) = 18.3 mm/rad
     * (shapes.c), the chord by twice that: 0.0080 mm; the centre lies not
     * far from that middle. The largest met is 0.0018. */
    check_close(got.min_diameter_mm, least, 0.0088, "mm");
    check_close(got.max_diameter_mm, greatest, 0.0088, "mm");
}

static void test_chords_against_turning(void **state) {
    (void)state;
    static const double t[][2] = {{-1, 0}, {1, 0},  {1, 6},  {6, 6},
                                  {6, 8},  {-6, 8}, {-6, 6}, {-1, 6}};
    shape_points(&one, 8, t);
    check_chords_by_turning(&one);
    dice from = {11};
    for (int i = 0; i < 60; i++) {
        shape_random_star(&one, &from, 24 + (size_t)i, 0.02);
        check_chords_by_turning(&one);
        shape_random_bent(&one, &from, 60);
        check_chords_by_turning(&one);
    }
}

static void test_faulty_contours(void **state) {
    (void)state;
    static const struct {
        double points[6][2];
        size_t count;
        uint32_t flags;
    } cases[] = {
        {{{0, 0}}, 0, BL_FLAG_FEW_POINTS},
        {{{1, 1}, {1, 1}, {1, 1}}, 3, BL_FLAG_FEW_POINTS},
        {{{0, 0}, {1, 0}, {0, 0}}, 3, BL_FLAG_FEW_POINTS},
        {{{0, 0}, {1, 1}, {2, 2}, {3, 3}}, 4, BL_FLAG_NO_AREA},
        {{{0.1, 0.3}, {0.2, 0.6}, {0.3, 0.9}}, 3, BL_FLAG_NO_AREA},
        {{{100.1, 50.3}, {100.2, 50.6}, {100.3, 50.9}}, 3, BL_FLAG_NO_AREA},
        {{{0, 0}, {2, 2}, {2, 0}, {0, 2}}, 4, BL_FLAG_CROSSING},
        {{{0, 0}, {4, 0}, {2, 0}, {4, 3}}, 4, BL_FLAG_CROSSING},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        shape_points(&one, cases[i].count, cases[i].points);
        bl_measures got = shape_measure(&one);
        assert_int_equal(got.flags, cases[i].flags);
        check_unknown(got.area_mm2);
        check_unknown(got.perimeter_mm);
        check_unknown(got.inscribed_diameter_mm);
        check_unknown(got.centroid_x_mm);
    }
}

/* A vein pressed flat touches itself: that is no crossing. */
static void test_touching_is_measured(void **state) {
    (void)state;
    static const double eight[][2] = {{0, 0}, {2, 1}, {4, 0},
                                      {4, 2}, {2, 1}, {0, 2}};
    shape_points(&one, 6, eight);
    bl_measures got = shape_measure(&one);
    check_close(got.area_mm2, 4.0, 1e-15, "mm2");
    assert_int_equal(got.flags, BL_FLAG_CENTRE_OUTSIDE);
}

static void test_public_limits(void **state) {
    (void)state;
    bl_measurer *measurer = NULL;
    bl_measures got;
    assert_int_equal(bl_measurer_new(BL_COLUMNS_ALL, &measurer), BL_OK);
    shape_ellipse(&one, 64, 3.0, 2.0);
    bl_contour contour = shape_contour(&one);
    shape_move(&one, 997.0, 0.0);
    assert_int_equal(bl_measurer_measure(measurer, &contour, &got), BL_OK);
    assert_int_equal(got.flags, 0);
    shape_move(&one, 1e-9, 0.0);
    assert_int_equal(bl_measurer_measure(measurer, &contour, &got), BL_OK);
    assert_int_equal(got.flags, BL_FLAG_OUT_OF_RANGE);
    check_unknown(got.area_mm2);
    got.area_mm2 = 42.0;
    one.x[5] = (double)NAN;
    assert_int_equal(bl_measurer_measure(measurer, &contour, &got),
                     BL_ERR_ARGUMENT);
    one.x[5] = (double)INFINITY;
    assert_int_equal(bl_measurer_measure(measurer, &contour, &got),
                     BL_ERR_ARGUMENT);
    check_close(got.area_mm2, 42.0, 0.0, "mm2"); /* untouched on error */
    contour.x_mm = NULL;
    assert_int_equal(bl_measurer_measure(measurer, &contour, &got),
                     BL_ERR_ARGUMENT);
    contour.count = 1000001;
    assert_int_equal(bl_measurer_measure(measurer, &contour, &got),
                     BL_ERR_LIMIT);
    bl_measurer_free(measurer);
}

/* What is not asked for is unknown, and asking for less changes nothing. */
static void test_columns_do_not_matter(void **state) {
    (void)state;
    bl_measurer *some = NULL;
    uint32_t wanted = BL_BIT(BL_COL_AREA_MM2) | BL_BIT(BL_COL_SOLIDITY) |
                      BL_BIT(BL_COL_MIN_DIAMETER_MM);
    assert_int_equal(bl_measurer_new(wanted, &some), BL_OK);
    dice from = {3};
    for (int i = 0; i < 50; i++) {
        shape_random_star(&one, &from, 48, 0.01);
        bl_contour contour = shape_contour(&one);
        bl_measures all = shape_measure(&one);
        bl_measures got;
        assert_int_equal(bl_measurer_measure(some, &contour, &got), BL_OK);
        check_close(got.area_mm2, all.area_mm2, 0.0, "mm2");
        check_close(got.solidity, all.solidity, 0.0, "");
        check_close(got.min_diameter_mm, all.min_diameter_mm, 0.0, "mm");
        check_unknown(got.perimeter_mm);
        check_unknown(got.max_diameter_mm);
        check_unknown(got.inscribed_diameter_mm);
    }
    bl_measurer_free(some);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ellipse_perimeter),
        cmocka_unit_test(test_regular_polygons),
        cmocka_unit_test(test_reuleaux),
        cmocka_unit_test(test_rectangle),
        cmocka_unit_test(test_long_axis),
        cmocka_unit_test(test_triangle_circle),
        cmocka_unit_test(test_centre_outside),
        cmocka_unit_test(test_chords_against_turning),
        cmocka_unit_test(test_faulty_contours),
        cmocka_unit_test(test_touching_is_measured),
        cmocka_unit_test(test_public_limits),
        cmocka_unit_test(test_columns_do_not_matter),
    };
    return cmocka_run_group_tests_name("measurer", tests, NULL, NULL);
}
