/*
 * pair_geos_test.c - two contours against each other: thousands of random pairs
 * against GEOS.
 *
 * GEOS gives the areas of overlays, whether a point is inside, and the distance
 * from a point to a ring. Its Hausdorff distance looks at points only; its
 * buffer stands on chords of circles. So a distance is held from both sides: it
 * is that of the place told, and no place on a fine division of the contour is
 * further by more than half a step, as distance grows no faster than one goes.
 * Arcs are held between those of two tolerances that GEOS's buffer lies
 * between.
 */
#include "geometry/pair.h"
#include "support/check.h"
#include "support/shapes.h"

#include <geos_c.h>
#include <math.h>

#define PI 3.14159265358979323846
#define DEG (180.0 / PI)
#define PAIRS 1500
#define DIVISION 16
#define TOLERANCE 0.3
/* A circle's quarter in the buffer; the chords lie 1 - cos(pi / 4 / it) within.
 */
#define QUARTER 64

static shape a;
static shape b;

typedef struct oracle {
    GEOSContextHandle_t geos;
    GEOSGeometry *ring[2]; /* of a and b */
    GEOSGeometry *area[2];
    const GEOSPreparedGeometry *ready_ring[2]; /* to be asked often */
    const GEOSPreparedGeometry *ready_area[2];
} oracle;

static GEOSGeometry *ring_of(GEOSContextHandle_t geos, const shape *of) {
    unsigned count = (unsigned)of->count;
    GEOSCoordSequence *points = GEOSCoordSeq_create_r(geos, count + 1, 2);
    for (unsigned i = 0; i <= count; i++) {
        GEOSCoordSeq_setXY_r(geos, points, i, of->x[i % count],
                             of->y[i % count]);
    }
    return GEOSGeom_createLinearRing_r(geos, points);
}

/* False when one of the two is not a simple contour. */
static bool ask(oracle *out, GEOSContextHandle_t geos) {
    const shape *const shapes[2] = {&a, &b};
    bool valid = true;
    out->geos = geos;
    for (int i = 0; i < 2; i++) {
        out->ring[i] = ring_of(geos, shapes[i]);
        out->area[i] = GEOSGeom_createPolygon_r(
            geos, GEOSGeom_clone_r(geos, out->ring[i]), NULL, 0);
        out->ready_ring[i] = GEOSPrepare_r(geos, out->ring[i]);
        out->ready_area[i] = GEOSPrepare_r(geos, out->area[i]);
        valid = valid && GEOSisValid_r(geos, out->area[i]) == 1;
    }
    return valid;
}

static void dismiss(oracle *of) {
    for (int i = 0; i < 2; i++) {
        GEOSPreparedGeom_destroy_r(of->geos, of->ready_ring[i]);
        GEOSPreparedGeom_destroy_r(of->geos, of->ready_area[i]);
        GEOSGeom_destroy_r(of->geos, of->ring[i]);
        GEOSGeom_destroy_r(of->geos, of->area[i]);
    }
}

static double area_and_free(const oracle *of, GEOSGeometry *area) {
    double size = 0.0;
    assert_non_null(area);
    assert_int_equal(GEOSArea_r(of->geos, area, &size), 1);
    GEOSGeom_destroy_r(of->geos, area);
    return size;
}

/* Pairs of which what is outside was told in one turn. */
static size_t nested;

/* What is outside, asked for alone, is what it is with all the rest. */
static void check_alone(pair_finder *finder, const bl_contour *one,
                        const bl_contour *other, const pair_measures *all) {
    pair_measures alone;
    assert_int_equal(pair_find(finder, one, other, PAIR_OUTSIDE, 0.0, &alone),
                     BL_OK);
    check_close(alone.outside.distance_mm, all->outside.distance_mm, 1e-11,
                "mm");
    check_unknown(alone.gap.distance_mm);
    nested += pair_work(finder) == 0;
}

static pair_measures find(double tolerance_mm) {
    pair_measures out;
    bl_contour one = shape_contour(&a);
    bl_contour other = shape_contour(&b);
    pair_finder *finder = pair_new();
    assert_non_null(finder);
    assert_int_equal(
        pair_find(finder, &one, &other, PAIR_ALL, tolerance_mm, &out), BL_OK);
    check_alone(finder, &one, &other, &out);
    pair_free(finder);
    return out;
}

/* ------------------------------------------------------------------- areas */

static void check_areas(const oracle *of, const pair_measures *got) {
    GEOSGeometry *one = of->area[0];
    GEOSGeometry *other = of->area[1];
    double both = area_and_free(of, GEOSIntersection_r(of->geos, one, other));
    double only_a = area_and_free(of, GEOSDifference_r(of->geos, one, other));
    double only_b = area_and_free(of, GEOSDifference_r(of->geos, other, one));
    /* Places where edges cross are rounded; sizes are some ten mm. */
    double rounding = 1e-13 * (got->a_mm2 + got->b_mm2 + 1000.0);
    check_close(got->both_mm2, both, rounding, "mm2");
    check_close(got->only_a_mm2, only_a, rounding, "mm2");
    check_close(got->only_b_mm2, only_b, rounding, "mm2");
    check_close(got->dice, 2.0 * both / (2.0 * both + only_a + only_b),
                2.0 * rounding / (got->a_mm2 + got->b_mm2), "");
}

/* --------------------------------------------------------------- distances */

static GEOSGeometry *point_at(const oracle *of, double x, double y) {
    return GEOSGeom_createPointFromXY_r(of->geos, x, y);
}

static double distance_to(const oracle *of, int ring, double x, double y) {
    double distance = -1.0;
    GEOSGeometry *point = point_at(of, x, y);
    assert_int_equal(GEOSDistance_r(of->geos, point, of->ring[ring], &distance),
                     1);
    GEOSGeom_destroy_r(of->geos, point);
    return distance;
}

static bool is_inside(const oracle *of, int area, double x, double y) {
    GEOSGeometry *point = point_at(of, x, y);
    char inside = GEOSPreparedContains_r(of->geos, of->ready_area[area], point);
    GEOSGeom_destroy_r(of->geos, point);
    assert_true(inside == 0 || inside == 1);
    return inside == 1;
}

/* The greatest distances of the places of a division to the other ring, within
 * the other and beyond it; and the longest step. */
typedef struct division {
    double within;
    double beyond;
    double step;
} division;

static division divide(const oracle *of, const shape *one, int other) {
    division out = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < one->count; i++) {
        size_t next = (i + 1) % one->count;
        double dx = (one->x[next] - one->x[i]) / DIVISION;
        double dy = (one->y[next] - one->y[i]) / DIVISION;
        out.step = fmax(out.step, sqrt(dx * dx + dy * dy));
        for (int k = 0; k < DIVISION; k++) {
            double x = one->x[i] + k * dx;
            double y = one->y[i] + k * dy;
            double distance = distance_to(of, other, x, y);
            double *most =
                is_inside(of, other, x, y) ? &out.within : &out.beyond;
            *most = fmax(*most, distance);
        }
    }
    return out;
}

static void check_reach(const oracle *of, const pair_reach *got, bool within,
                        double sampled, double step) {
    assert_true(got->distance_mm >= sampled - 1e-11);
    assert_true(got->distance_mm <= sampled + 0.5 * step + 1e-11);
    if (got->distance_mm <= 0.0) {
        check_unknown(got->x_mm);
        return;
    }
    check_close(distance_to(of, 0, got->x_mm, got->y_mm), 0.0, 1e-12, "mm");
    check_close(got->distance_mm, distance_to(of, 1, got->x_mm, got->y_mm),
                1e-12, "mm");
    /* On the other's edge either may be said. */
    assert_true(got->distance_mm < 1e-9 ||
                is_inside(of, 1, got->x_mm, got->y_mm) == within);
}

static void check_distances(const oracle *of, const pair_measures *got) {
    division there = divide(of, &a, 1);
    division back = divide(of, &b, 0);
    check_reach(of, &got->gap, true, there.within, there.step);
    check_reach(of, &got->outside, false, there.beyond, there.step);
    double step = fmax(there.step, back.step);
    double sampled =
        fmax(fmax(there.within, there.beyond), fmax(back.within, back.beyond));
    assert_true(got->hausdorff_mm >= sampled - 1e-11);
    assert_true(got->hausdorff_mm <= sampled + 0.5 * step + 1e-11);
    double points = 0.0;
    assert_int_equal(
        GEOSHausdorffDistance_r(of->geos, of->area[0], of->area[1], &points),
        1);
    assert_true(got->hausdorff_mm >= points - 1e-11);
}

/* -------------------------------------------------------------------- arcs */

/* The angle that a line of points is seen under from A's centre, which it goes
 * round once at most, never back. */
static double seen_deg(const oracle *of, const GEOSGeometry *line, double cx,
                       double cy) {
    const GEOSCoordSequence *points = GEOSGeom_getCoordSeq_r(of->geos, line);
    unsigned count = 0;
    double sum = 0.0;
    double x[2];
    double y[2];
    GEOSCoordSeq_getSize_r(of->geos, points, &count);
    for (unsigned i = 0; i < count; i++) {
        x[0] = x[1];
        y[0] = y[1];
        GEOSCoordSeq_getXY_r(of->geos, points, i, &x[1], &y[1]);
        x[1] -= cx;
        y[1] -= cy;
        if (i > 0) {
            sum += fabs(
                atan2(x[0] * y[1] - y[0] * x[1], x[0] * x[1] + y[0] * y[1]));
        }
    }
    return sum * DEG;
}

/* What of ring A is inside B and outside GEOS's buffer about ring B. */
static double off_deg(const oracle *of, double cx, double cy) {
    GEOSGeometry *band =
        GEOSBuffer_r(of->geos, of->ring[1], TOLERANCE, QUARTER);
    GEOSGeometry *within =
        GEOSIntersection_r(of->geos, of->ring[0], of->area[1]);
    GEOSGeometry *off = GEOSDifference_r(of->geos, within, band);
    double sum = 0.0;
    int parts = GEOSGetNumGeometries_r(of->geos, off);
    for (int i = 0; i < parts; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(of->geos, off, i);
        if (GEOSisEmpty_r(of->geos, part) == 0 &&
            GEOSGeom_getDimensions_r(of->geos, part) == 1) {
            sum += seen_deg(of, part, cx, cy);
        }
    }
    GEOSGeom_destroy_r(of->geos, off);
    GEOSGeom_destroy_r(of->geos, within);
    GEOSGeom_destroy_r(of->geos, band);
    return sum;
}

static void centre_of(const oracle *of, double *x, double *y) {
    GEOSGeometry *centre = GEOSGetCentroid_r(of->geos, of->area[0]);
    assert_int_equal(GEOSGeomGetX_r(of->geos, centre, x), 1);
    assert_int_equal(GEOSGeomGetY_r(of->geos, centre, y), 1);
    GEOSGeom_destroy_r(of->geos, centre);
}

/* What is in B and not in A in the directions of one arc: cut out by a fan that
 * reaches further than both. */
static double fan_mm2(const oracle *of, const pair_measures *got, double cx,
                      double cy) {
    static shape fan;
    size_t steps = 64;
    fan.count = steps + 2;
    fan.x[0] = cx;
    fan.y[0] = cy;
    for (size_t i = 0; i <= steps; i++) {
        double angle = (got->widest_from_deg +
                        got->widest_arc_deg * (double)i / (double)steps) /
                       DEG;
        fan.x[i + 1] = cx + 100.0 * cos(angle);
        fan.y[i + 1] = cy + 100.0 * sin(angle);
    }
    GEOSGeometry *sector =
        GEOSGeom_createPolygon_r(of->geos, ring_of(of->geos, &fan), NULL, 0);
    GEOSGeometry *only = GEOSDifference_r(of->geos, of->area[1], of->area[0]);
    double area = area_and_free(of, GEOSIntersection_r(of->geos, only, sector));
    GEOSGeom_destroy_r(of->geos, only);
    GEOSGeom_destroy_r(of->geos, sector);
    return area;
}

/* Of an A that goes once round its centre. Counts what had one arc. */
static size_t check_arcs(const oracle *of, const pair_measures *got) {
    double cx;
    double cy;
    centre_of(of, &cx, &cy);
    double expected = off_deg(of, cx, cy);
    double chord = TOLERANCE * (1.0 - cos(PI / 4.0 / QUARTER));
    pair_measures more = find(TOLERANCE - 1.01 * chord);
    assert_true(got->arc_deg <= expected + 1e-6);
    assert_true(more.arc_deg >= expected - 1e-6);
    assert_true(got->widest_arc_deg <= got->arc_deg + 1e-12);
    assert_true(got->widest_arc_deg * (double)got->arcs >= got->arc_deg - 1e-9);
    assert_int_equal(got->arcs > 0, got->arc_deg > 0.0);
    assert_int_equal(got->arc_deg > 0.0, got->gap.distance_mm > TOLERANCE);
    if (got->arcs != 1 || got->arc_deg >= 360.0) {
        return 0;
    }
    check_close(got->between_mm2, fan_mm2(of, got, cx, cy), 1e-10, "mm2");
    return 1;
}

/* ------------------------------------------------------------------- pairs */

/* A device as it lies: a vein a little larger, elsewhere, less round. */
static void device_in_vein(dice *from, size_t count) {
    shape_random_star(&b, from, count, 0.02);
    a = b;
    shape_scale(&a, dice_between(from, 0.7, 1.02));
    shape_rotate(&a, dice_between(from, -20.0, 20.0));
    shape_move(&a, dice_between(from, -1.0, 1.0),
               dice_between(from, -1.0, 1.0));
}

static void anywhere(shape *of, dice *from) {
    shape_rotate(of, dice_between(from, 0.0, 360.0));
    shape_move(of, dice_between(from, -8.0, 8.0),
               dice_between(from, -8.0, 8.0));
}

static void test_devices(void **state) {
    dice from = {91};
    size_t single = 0;
    nested = 0;
    for (int i = 0; i < PAIRS / 3; i++) {
        oracle of;
        device_in_vein(&from, 8 + (size_t)i % 90);
        if (ask(&of, *state)) {
            pair_measures got = find(TOLERANCE);
            check_areas(&of, &got);
            check_distances(&of, &got);
            single += check_arcs(&of, &got);
        }
        dismiss(&of);
    }
    /* The area between was put to the test. */
    assert_true(single > PAIRS / 20);
    assert_in_range(nested, PAIRS / 20, PAIRS / 3 - PAIRS / 20);
}

static void test_any_pair(void **state) {
    dice from = {92};
    for (int i = 0; i < PAIRS; i++) {
        oracle of;
        size_t count = 6 + (size_t)i % 60;
        shape *const both[2] = {&a, &b};
        for (int k = 0; k < 2; k++) {
            if ((i >> k) % 2 == 0) {
                shape_random_star(both[k], &from, count, 0.05);
            } else {
                shape_random_bent(both[k], &from, count + 14);
            }
            anywhere(both[k], &from);
        }
        if (ask(&of, *state)) {
            pair_measures got = find(TOLERANCE);
            check_areas(&of, &got);
            if (i % 4 == 0) {
                check_distances(&of, &got);
            }
        }
        dismiss(&of);
    }
}

/* Corners on a grid: they often share points and run along each other. */
static void on_grid(shape *out, dice *from, size_t count) {
    out->count = count;
    for (size_t i = 0; i < count; i++) {
        out->x[i] = (double)(dice_next(from) % 5);
        out->y[i] = (double)(dice_next(from) % 5);
    }
}

static void test_shared_points(void **state) {
    dice from = {93};
    size_t simple = 0;
    for (int i = 0; i < 20 * PAIRS; i++) {
        oracle of;
        on_grid(&a, &from, 3 + (size_t)i % 4);
        on_grid(&b, &from, 3 + (size_t)(i / 4) % 4);
        if (ask(&of, *state)) {
            pair_measures got = find(TOLERANCE);
            check_areas(&of, &got);
            if (simple % 4 == 0) {
                check_distances(&of, &got);
            }
            simple++;
        }
        dismiss(&of);
    }
    assert_true(simple > 2 * PAIRS);
}

/* Next to each other all round, by the last digits of the coordinates too. */
static void test_nearly_same(void **state) {
    dice from = {94};
    const double shifts[] = {0.0, 1e-15, 1e-12, 1e-10, 1e-6, 1e-3};
    for (int i = 0; i < PAIRS / 3; i++) {
        oracle of;
        double shift = shifts[(size_t)i % 6];
        shape_random_star(&a, &from, 12 + (size_t)i % 90, 0.02);
        b = a;
        if (i % 2 == 0) {
            shape_move(&b, shift, -0.5 * shift);
        } else {
            shape_scale(&b, 1.0 + shift);
        }
        if (ask(&of, *state)) {
            pair_measures got = find(TOLERANCE);
            check_areas(&of, &got);
            if (i % 4 < 2) {
                check_distances(&of, &got);
            }
        }
        dismiss(&of);
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
        cmocka_unit_test(test_devices),
        cmocka_unit_test(test_any_pair),
        cmocka_unit_test(test_shared_points),
        cmocka_unit_test(test_nearly_same),
    };
    return cmocka_run_group_tests_name("pair_geos", tests, geos_begin,
                                       geos_end);
}
