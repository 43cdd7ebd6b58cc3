/*
 * pair_test.c - two contours against each other: closed forms.
 *
 * Polygons are exact to rounding: 1e-12 of lengths of some ten mm and areas of
 * some hundred mm2, unless the check says otherwise. Circles are polygons of N
 * points, whose area is low by 2 pi^2 / (3 N^2) of it and whose edges lie at
 * most R pi^2 / (2 N^2) inside (handbook: area and sagitta of a regular n-gon).
 */
#include "geometry/pair.h"

#include "support/check.h"
#include "support/shapes.h"

#include <math.h>

#define PI 3.14159265358979323846
#define DEG (180.0 / PI)
#define N 4096
#define AREA_LOW (2.0 * PI * PI / (3.0 * N * N))
#define SAGITTA(radius) ((radius)*PI * PI / (2.0 * N * N))
#define DIGITS 1e-12

static shape a;
static shape b;

static pair_measures find(double tolerance_mm) {
    pair_measures out;
    bl_contour one = shape_contour(&a);
    bl_contour other = shape_contour(&b);
    pair_finder *finder = pair_new();
    assert_non_null(finder);
    assert_int_equal(
        pair_find(finder, &one, &other, PAIR_ALL, tolerance_mm, &out), BL_OK);
    pair_free(finder);
    return out;
}

static void box(shape *out, double x0, double y0, double x1, double y1) {
    const double corners[4][2] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    shape_points(out, 4, corners);
}

static void circle(shape *out, double radius, double x) {
    shape_ellipse(out, N, radius, radius);
    shape_move(out, x, 0.0);
}

static void check_areas(const pair_measures *of, double a_mm2, double b_mm2,
                        double both_mm2) {
    check_close(of->a_mm2, a_mm2, DIGITS * a_mm2, "mm2");
    check_close(of->b_mm2, b_mm2, DIGITS * b_mm2, "mm2");
    double rounding = DIGITS * (a_mm2 + b_mm2);
    check_close(of->both_mm2, both_mm2, rounding, "mm2");
    check_close(of->only_a_mm2, a_mm2 - both_mm2, rounding, "mm2");
    check_close(of->only_b_mm2, b_mm2 - both_mm2, rounding, "mm2");
    check_close(of->dice, 2.0 * both_mm2 / (a_mm2 + b_mm2), DIGITS, "");
}

/* shared/definitions: computed from the lens 2 r^2 acos(d/2r) - d/2
 * sqrt(4 r^2 - d^2) (handbook). */
static void test_equal_circles(void **state) {
    (void)state;
    circle(&a, 8.0, 0.0);
    circle(&b, 8.0, 2.0);
    pair_measures got = find(0.3);
    double lens = 128.0 * acos(2.0 / 16.0) - sqrt(4.0 * 64.0 - 4.0);
    double share = lens / (PI * 64.0);
    check_close(share, 0.841260499773, 5e-13, "");
    check_close(got.both_mm2, lens, 64.0 * PI * AREA_LOW, "mm2");
    check_close(got.dice, share, 2.0 * AREA_LOW, "");
    /* Moved by 2 along a line through corners of both. */
    check_close(got.hausdorff_mm, 2.0, DIGITS, "mm");
    check_close(got.outside.distance_mm, 2.0, DIGITS, "mm");
    check_close(got.outside.direction_deg, 180.0, 1e-10, "deg");
    check_close(got.gap.distance_mm, 2.0, SAGITTA(8.0), "mm");
}

static void test_concentric_circles(void **state) {
    (void)state;
    circle(&a, 7.0, 0.0);
    circle(&b, 8.0, 0.0);
    pair_measures got = find(0.3);
    check_close(got.dice, 98.0 / 113.0, DIGITS, "");
    check_close(got.hausdorff_mm, 1.0, DIGITS, "mm");
    /* The edges of alike n-gons are nearer by cos(pi / n) than the corners. */
    check_close(got.gap.distance_mm, cos(PI / N), DIGITS, "mm");
    check_close(got.outside.distance_mm, 0.0, 0.0, "mm");
    check_unknown(got.outside.direction_deg);
    check_close(got.arc_deg, 360.0, 0.0, "deg");
    check_close(got.widest_arc_deg, 360.0, 0.0, "deg");
    check_close(got.widest_from_deg, 0.0, 0.0, "deg");
    assert_int_equal(got.arcs, 1);
    check_close(got.between_mm2, got.b_mm2 - got.a_mm2, 1e-11, "mm2");
}

/* Device of radius r off centre by e in a vein of radius R. */
typedef struct lie {
    double r;
    double e;
    double outer;
} lie;

/* Half the arc in which the gap R - |e + r u| exceeds the tolerance. */
static double half_arc(const lie *of, double tolerance) {
    double reach = of->outer - tolerance;
    double cosine =
        (reach * reach - of->e * of->e - of->r * of->r) / (2.0 * of->e * of->r);
    return PI - acos(cosine);
}

/* Area between the circles over that arc, which is about the direction away
 * from the shift. From A's centre a piece of circle B sweeps R^2 angle / 2
 * less e / 2 times its height (Green's theorem). */
static double area_over(const lie *of, double half) {
    double from = PI - half;
    /* Where that ray from A's centre meets circle B, seen from B's. */
    double inner = of->e * sin(from);
    double along =
        -of->e * cos(from) + sqrt(of->outer * of->outer - inner * inner);
    double angle = atan2(along * sin(from), of->e + along * cos(from));
    double swept =
        of->outer * of->outer * (PI - angle) + of->e * of->outer * sin(angle);
    return swept - of->r * of->r * half;
}

static void test_one_arc(void **state) {
    (void)state;
    const lie lies[] = {{7.0, 0.5, 8.0},
                        {7.0, 0.95, 8.0},
                        {3.0, 2.0, 8.0},
                        {7.5, 0.45, 8.0},
                        {1.0, 6.9, 8.0}};
    const double tolerances[] = {0.9, 0.3, 4.0, 0.2, 0.5};
    for (size_t i = 0; i < sizeof lies / sizeof lies[0]; i++) {
        const lie *of = &lies[i];
        circle(&a, of->r, of->e);
        circle(&b, of->outer, 0.0);
        pair_measures got = find(tolerances[i]);
        double half = half_arc(of, tolerances[i]);
        double reach = of->outer - tolerances[i];
        /* d gap / d angle where the arc ends */
        double slope = of->e * of->r * sin(half) / reach;
        double error = (SAGITTA(of->r) + SAGITTA(of->outer)) / slope * DEG;
        check_close(got.arc_deg, 2.0 * half * DEG, 2.0 * error, "deg");
        check_close(got.widest_arc_deg, got.arc_deg, DIGITS, "deg");
        check_close(got.widest_from_deg, 180.0 - half * DEG, error, "deg");
        assert_int_equal(got.arcs, 1);
        check_close(got.between_mm2, area_over(of, half),
                    PI * of->outer * of->outer * (AREA_LOW + error / 360.0),
                    "mm2");
        /* Furthest away from the shift. */
        check_close(got.gap.distance_mm, of->outer - fabs(of->r - of->e),
                    SAGITTA(of->outer), "mm");
        /* Where the gap is flat an error moves it by far: the gap falls by
         * bend / 2 times the angle squared. */
        double bend = of->e * of->r / fabs(of->r - of->e);
        double angle = sqrt(2.0 * (SAGITTA(of->r) + SAGITTA(of->outer)) / bend);
        check_close(got.gap.direction_deg, 180.0, angle * DEG, "deg");
        check_close(got.gap.x_mm, of->e - of->r, of->r * angle * angle, "mm");
    }
}

/* From corner to corner the diamond would seem 1 mm away. */
static void test_gap_on_an_edge(void **state) {
    (void)state;
    const double diamond[4][2] = {{3, 0}, {0, 3}, {-3, 0}, {0, -3}};
    shape_points(&a, 4, diamond);
    box(&b, -4.0, -4.0, 4.0, 4.0);
    pair_measures got = find(2.0);
    check_areas(&got, 18.0, 64.0, 18.0);
    check_close(got.gap.distance_mm, 2.5, DIGITS, "mm");
    check_close(fabs(got.gap.x_mm), 1.5, DIGITS, "mm");
    check_close(fabs(got.gap.y_mm), 1.5, DIGITS, "mm");
    /* The box's corner to the middle of an edge. */
    check_close(got.hausdorff_mm, 2.5 * sqrt(2.0), DIGITS, "mm");
    /* More than 2 mm where neither |x| nor |y| exceeds 2: from (2, 1) to
     * (1, 2), in each quarter. */
    double arc = (atan2(2.0, 1.0) - atan2(1.0, 2.0)) * DEG;
    assert_int_equal(got.arcs, 4);
    check_close(got.arc_deg, 4.0 * arc, 1e-10, "deg");
    check_close(got.widest_arc_deg, arc, 1e-10, "deg");
    /* In each: the box's (0,0), (4,2), (4,4), (2,4), of 8 mm2, less the
     * triangle (0,0), (2,1), (1,2). */
    check_close(got.between_mm2, 4.0 * (8.0 - 1.5), 1e-11, "mm2");
}

static void test_boxes(void **state) {
    (void)state;
    const double lies[][4] = {               /* b; a is 0 .. 4 x 0 .. 3 */
                              {1, 1, 6, 7},  /* across a corner */
                              {1, -1, 2, 9}, /* right through */
                              {1, 1, 2, 2},  /* within */
                              {-1, -1, 9, 9}, {4, 0, 8, 3}, /* beside */
                              {4, 3, 5, 5},                 /* at a corner */
                              {0, 0, 4, 3},                 /* the same */
                              {2, 0, 4, 3},                 /* half of it */
                              {0, 0, 9, 3},   {1, 3, 2, 5}, {7, 7, 9, 9}};
    box(&a, 0.0, 0.0, 4.0, 3.0);
    for (size_t i = 0; i < sizeof lies / sizeof lies[0]; i++) {
        const double *of = lies[i];
        box(&b, of[0], of[1], of[2], of[3]);
        double wide = fmax(0.0, fmin(4.0, of[2]) - fmax(0.0, of[0]));
        double high = fmax(0.0, fmin(3.0, of[3]) - fmax(0.0, of[1]));
        pair_measures got = find(0.3);
        check_areas(&got, 12.0, (of[2] - of[0]) * (of[3] - of[1]), wide * high);
    }
}

static void check_distances(double gap, double outside, double hausdorff) {
    pair_measures got = find(0.3);
    check_close(got.gap.distance_mm, gap, DIGITS, "mm");
    check_close(got.outside.distance_mm, outside, DIGITS, "mm");
    check_close(got.hausdorff_mm, hausdorff, DIGITS, "mm");
}

/* By hand; gap and outside are those of a box 4 by 3. */
static void test_box_distances(void **state) {
    (void)state;
    box(&a, 0.0, 0.0, 4.0, 3.0);
    box(&b, 0.0, 0.0, 4.0, 3.0);
    check_distances(0.0, 0.0, 0.0);
    box(&b, 4.0, 0.0, 8.0, 3.0); /* beside: half of a's sides is 4 away */
    check_distances(0.0, 4.0, 4.0);
    box(&b, -1.0, -2.0, 7.0, 4.0); /* around: 1, 2, 3 and 1 */
    check_distances(3.0, 0.0, sqrt(13.0));
    box(&b, 2.0, -9.0, 9.0, 9.0); /* a's right part is 2 within */
    check_distances(2.0, 2.0, sqrt(5.0 * 5.0 + 9.0 * 9.0));
    box(&b, 1.0, 1.0, 2.0, 2.0); /* wholly within the device */
    check_distances(0.0, sqrt(5.0), sqrt(5.0));
    box(&b, 4.0, 3.0, 5.0, 5.0);
    check_distances(0.0, 5.0, 5.0);
}

/* A U whose centre lies between its arms; b fills it and lies over parts of
 * it. */
static void test_hollow(void **state) {
    (void)state;
    const double letter[8][2] = {{0, 0}, {6, 0}, {6, 9}, {5, 9},
                                 {5, 1}, {1, 1}, {1, 9}, {0, 9}};
    shape_points(&a, 8, letter);
    box(&b, 0.5, 0.5, 5.5, 12.0);
    pair_measures got = find(0.2);
    /* 6 x 9 less 4 x 8; in b: 5 x 8.5 less 4 x 8 */
    check_areas(&got, 22.0, 57.5, 10.5);
    /* The middle of the bar's inner edge is 0.5 above b's, its arms' inner
     * edges are 0.5 from b's sides, the arms' inner corners too. */
    check_close(got.gap.distance_mm, 0.5, DIGITS, "mm");
    check_close(got.outside.distance_mm, sqrt(0.5), DIGITS, "mm");
    /* Turned around, what is in the hollow is far from the letter's edge. */
    shape kept = a;
    a = b;
    b = kept;
    got = find(0.2);
    check_areas(&got, 57.5, 22.0, 10.5);
    check_close(got.gap.distance_mm, 0.5, DIGITS, "mm");
    check_close(got.outside.distance_mm, sqrt(2.0 * 2.0 + 3.0 * 3.0), DIGITS,
                "mm");
}

/* Two semi-axes a, b and b, a: four quarters of 4 a b atan(b / a) / 2
 * (handbook; area in common of an ellipse and itself turned by 90 degrees). */
static void test_crossed_ellipses(void **state) {
    (void)state;
    shape_ellipse(&a, N, 9.0, 4.0);
    shape_ellipse(&b, N, 4.0, 9.0);
    pair_measures got = find(0.3);
    check_close(got.both_mm2, 4.0 * 36.0 * atan2(4.0, 9.0),
                36.0 * PI * AREA_LOW, "mm2");
    /* End of the long axis to the other's end of the short one; what is within
     * is nearest at the other long end likewise, from (0, 4) at the side. */
    check_close(got.outside.distance_mm, 5.0, DIGITS, "mm");
    check_close(got.hausdorff_mm, 5.0, DIGITS, "mm");
}

/* A strut that was traced through the wall. */
static void test_spike(void **state) {
    (void)state;
    circle(&b, 8.0, 0.0);
    shape_ellipse(&a, 360, 7.9, 7.9);
    a.x[90] = 0.0;
    a.y[90] = 9.25;
    pair_measures got = find(0.3);
    check_close(got.outside.distance_mm, 1.25, DIGITS, "mm");
    check_close(got.outside.x_mm, 0.0, DIGITS, "mm");
    check_close(got.outside.y_mm, 9.25, DIGITS, "mm");
    check_close(got.arc_deg, 0.0, 0.0, "deg");
    check_unknown(got.widest_from_deg);
    assert_int_equal(got.arcs, 0);
}

/* One point is off by the tolerance and by no more than rounding: a stretch of
 * some last bits, if there is one, has a beginning too. */
static void test_sliver(void **state) {
    (void)state;
    const double tip[3][2] = {{1.0, 2.0}, {3.0, 2.0}, {2.0, 0.0}};
    const double round_tip[4][2] = {
        {3.0, 0.0}, {2.0, 0.0}, {1.0, 1.0}, {3.0, 1.0}};
    shape_points(&a, 3, tip);
    shape_points(&b, 4, round_tip);
    pair_measures got = find(0.5);
    check_close(got.gap.distance_mm, 0.5, 1e-11, "mm");
    check_close(got.arc_deg, 0.0, 1e-9, "deg");
    assert_int_equal(isfinite(got.widest_from_deg) != 0, got.arcs > 0);
}

/* What is not asked for is unknown. */
static void test_parts(void **state) {
    (void)state;
    pair_finder *finder = pair_new();
    pair_measures got;
    box(&a, 0.0, 0.0, 2.0, 2.0);
    box(&b, 1.0, 1.0, 3.0, 3.0);
    bl_contour one = shape_contour(&a);
    bl_contour other = shape_contour(&b);
    assert_int_equal(pair_find(finder, &one, &other, PAIR_AREAS, 0.0, &got),
                     BL_OK);
    check_close(got.both_mm2, 1.0, DIGITS, "mm2");
    check_unknown(got.gap.distance_mm);
    check_unknown(got.arc_deg);
    check_unknown(got.hausdorff_mm);
    assert_int_equal(pair_find(finder, &one, &other, PAIR_GAP, 0.0, &got),
                     BL_OK);
    check_unknown(got.a_mm2);
    check_unknown(got.both_mm2);
    check_close(got.gap.distance_mm, 1.0, DIGITS, "mm");
    check_unknown(got.between_mm2);
    check_unknown(got.hausdorff_mm);
    assert_int_equal(pair_find(finder, &one, &other, PAIR_OUTSIDE, 0.0, &got),
                     BL_OK);
    check_unknown(got.gap.distance_mm);
    check_close(got.outside.distance_mm, sqrt(2.0), DIGITS, "mm");
    pair_free(finder);
}

/* A round contour of so many points as a vein's, three of them wavy. */
static void wavy(shape *out, dice *from, double radius) {
    double phase = dice_between(from, 0.0, 2.0 * PI);
    for (size_t i = 0; i < out->count; i++) {
        double angle = 2.0 * PI * (double)i / (double)out->count;
        double at = radius * (1.0 + 0.1 * cos(3.0 * angle + phase)) +
                    dice_between(from, -0.02, 0.02);
        out->x[i] = at * cos(angle);
        out->y[i] = at * sin(angle);
    }
}

static size_t work_of(size_t points) {
    dice from = {77};
    a.count = points;
    b.count = points;
    wavy(&a, &from, 7.6);
    wavy(&b, &from, 8.0);
    pair_measures got;
    bl_contour one = shape_contour(&a);
    bl_contour other = shape_contour(&b);
    pair_finder *finder = pair_new();
    assert_int_equal(pair_find(finder, &one, &other, PAIR_ALL, 0.3, &got),
                     BL_OK);
    size_t work = pair_work(finder);
    pair_free(finder);
    return work;
}

/* Counted, not timed. */
static void test_growth(void **state) {
    (void)state;
    for (size_t points = 64; points <= 4096; points *= 2) {
        assert_in_range(work_of(points), points, 80 * points);
    }
}

/* Teeth between two levels, on a bar. */
static void comb(shape *out, size_t count) {
    double level = 100.0 / (double)count;
    out->count = count;
    for (size_t i = 0; i + 2 < count; i++) {
        out->x[i] = level * (double)i;
        out->y[i] = i % 2 == 0 ? -50.0 : 150.0;
    }
    out->x[count - 2] = level * (double)(count - 3);
    out->y[count - 2] = -50.0 - level;
    out->x[count - 1] = 0.0;
    out->y[count - 1] = -50.0 - level;
}

/* Combs across each other: every tooth crosses all of the other's. What would
 * take too long is given up: first distances, then areas in common too. */
static void test_limit(void **state) {
    (void)state;
    const struct {
        size_t teeth;
        bool distances;
        bool areas;
    } combs[] = {{64, true, true}, {512, false, true}, {4096, false, false}};
    for (size_t i = 0; i < sizeof combs / sizeof combs[0]; i++) {
        comb(&a, combs[i].teeth);
        comb(&b, combs[i].teeth);
        shape_rotate(&b, 90.0);
        shape_move(&b, 100.0, 0.0);
        pair_measures got = find(0.3);
        assert_true(isfinite(got.a_mm2) && isfinite(got.b_mm2));
        assert_int_equal(isfinite(got.gap.distance_mm) != 0,
                         combs[i].distances);
        assert_int_equal(isfinite(got.arc_deg) != 0, combs[i].distances);
        assert_int_equal(isfinite(got.between_mm2) != 0, combs[i].distances);
        assert_int_equal(isfinite(got.hausdorff_mm) != 0, combs[i].distances);
        assert_int_equal(isfinite(got.both_mm2) != 0, combs[i].areas);
        assert_int_equal(isfinite(got.dice) != 0, combs[i].areas);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_equal_circles),
        cmocka_unit_test(test_concentric_circles),
        cmocka_unit_test(test_one_arc),
        cmocka_unit_test(test_gap_on_an_edge),
        cmocka_unit_test(test_boxes),
        cmocka_unit_test(test_box_distances),
        cmocka_unit_test(test_hollow),
        cmocka_unit_test(test_crossed_ellipses),
        cmocka_unit_test(test_spike),
        cmocka_unit_test(test_sliver),
        cmocka_unit_test(test_parts),
        cmocka_unit_test(test_growth),
        cmocka_unit_test(test_limit),
    };
    return cmocka_run_group_tests_name("pair", tests, NULL, NULL);
}
