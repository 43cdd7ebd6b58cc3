/*
 * geos_test.c - the measures of thousands of random contours against GEOS.
 *
 * GEOS's rings repeat their first point; its inscribed circle is a lower bound
 * to the tolerance it is given.
 */
#include "support/check.h"
#include "support/shapes.h"

#include <geos_c.h>
#include <math.h>

#define CONTOURS 2000

static shape one;

static GEOSGeometry *polygon_of(GEOSContextHandle_t geos, const shape *of) {
    unsigned count = (unsigned)of->count;
    GEOSCoordSequence *points = GEOSCoordSeq_create_r(geos, count + 1, 2);
    for (unsigned i = 0; i <= count; i++) {
        GEOSCoordSeq_setXY_r(geos, points, i, of->x[i % count],
                             of->y[i % count]);
    }
    GEOSGeometry *ring = GEOSGeom_createLinearRing_r(geos, points);
    return GEOSGeom_createPolygon_r(geos, ring, NULL, 0);
}

static double length_of(GEOSContextHandle_t geos, GEOSGeometry *line) {
    double length = 0.0;
    assert_non_null(line);
    assert_int_equal(GEOSLength_r(geos, line, &length), 1);
    GEOSGeom_destroy_r(geos, line);
    return length;
}

static void check_one(GEOSContextHandle_t geos, bool circle) {
    bl_measures got = shape_measure(&one);
    GEOSGeometry *polygon = polygon_of(geos, &one);
    if (GEOSisValid_r(geos, polygon) != 1) {
        assert_int_equal(got.flags, BL_FLAG_CROSSING);
        GEOSGeom_destroy_r(geos, polygon);
        return;
    }
    assert_int_equal(got.flags & BL_FLAGS_LEFT_OUT, 0);
    double area = 0.0;
    double length = 0.0;
    double hull_area = 0.0;
    GEOSArea_r(geos, polygon, &area);
    GEOSLength_r(geos, polygon, &length);
    GEOSGeometry *hull = GEOSConvexHull_r(geos, polygon);
    GEOSArea_r(geos, hull, &hull_area);
    /* Both sums round products as large as the extent squared. */
    double rounding = 1e-15 * got.max_feret_mm * got.max_feret_mm;
    check_close(got.area_mm2, area, rounding, "mm2");
    check_relative(got.perimeter_mm, length, 1e-13);
    check_close(got.solidity, area / hull_area, 2.0 * rounding / hull_area, "");
    /* GEOS computes the width through a constructed point. */
    check_relative(got.min_feret_mm,
                   length_of(geos, GEOSMinimumWidth_r(geos, polygon)), 1e-10);
    if (circle) {
        double radius =
            length_of(geos, GEOSMaximumInscribedCircle_r(geos, polygon, 1e-7));
        check_close(got.inscribed_diameter_mm, 2.0 * radius, 1e-4, "mm");
    }
    GEOSGeom_destroy_r(geos, hull);
    GEOSGeom_destroy_r(geos, polygon);
}

static void test_random_stars(void **state) {
    GEOSContextHandle_t geos = *state;
    dice from = {20};
    for (int i = 0; i < CONTOURS; i++) {
        shape_random_star(&one, &from, 8 + (size_t)(i % 120), 0.05);
        check_one(geos, i % 4 == 0);
    }
}

static void test_random_bent(void **state) {
    GEOSContextHandle_t geos = *state;
    dice from = {21};
    for (int i = 0; i < CONTOURS; i++) {
        shape_random_bent(&one, &from, 20 + (size_t)(i % 80));
        check_one(geos, i % 4 == 0);
    }
}

/* Points at random: nearly all cross; those of few points often do not. */
static void test_random_points(void **state) {
    GEOSContextHandle_t geos = *state;
    dice from = {22};
    size_t simple = 0;
    for (int i = 0; i < CONTOURS; i++) {
        one.count = 4 + (size_t)(i % 5);
        for (size_t k = 0; k < one.count; k++) {
            one.x[k] = dice_between(&from, -9.0, 9.0);
            one.y[k] = dice_between(&from, -9.0, 9.0);
        }
        check_one(geos, i % 4 == 0);
        simple += shape_measure(&one).flags == 0;
    }
    /* Both answers were put to the test. */
    assert_in_range(simple, CONTOURS / 10, CONTOURS - CONTOURS / 10);
}

static void test_slivers(void **state) {
    GEOSContextHandle_t geos = *state;
    for (double thin = 1.0; thin > 1e-3; thin /= 2.0) {
        shape_ellipse(&one, 128, 11.0, thin);
        shape_rotate(&one, 33.0);
        check_one(geos, true);
    }
}

static int geos_begin(void **state) {
    *state = GEOS_init_r();
    return *state == NULL;
}

static int geos_end(void **state) {
    GEOS_finish_r(*state);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random_stars),
        cmocka_unit_test(test_random_bent),
        cmocka_unit_test(test_random_points),
        cmocka_unit_test(test_slivers),
    };
    return cmocka_run_group_tests_name("geos", tests, geos_begin, geos_end);
}
