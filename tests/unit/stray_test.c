/*
 * stray_test.c - points and edges of a contour that are unlike all others, at
 * each limit of base/tracing.h and one past it.
 *
 * Contours are squares and rectangles with edges of 1 mm, so that means and
 * perimeters are known; what a limit is compared with is then within 1e-9 of
 * it on either side, far above rounding.
 */
#include "geometry/stray.h"

#include "base/tracing.h"
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>

#define PI 3.14159265358979323846
#define MORE (1.0 + 1e-9)
#define LESS (1.0 - 1e-9)

static shape one;

static stray find(void) {
    static double x[SHAPE_MAX];
    static double y[SHAPE_MAX];
    polygon_sums sums = polygon_sum(one.x, one.y, one.count, x, y);
    return stray_find(one.x, one.y, one.count, &sums);
}

static void add(double x, double y) {
    one.x[one.count] = x;
    one.y[one.count] = y;
    one.count++;
}

/* The other three sides of a rectangle of such sides, from (width, 0) on to
 * (0, 0), which are not added; points 1 mm apart. */
static void add_sides(unsigned width, unsigned height) {
    for (unsigned i = 1; i <= height; i++) {
        add(width, i);
    }
    for (unsigned i = width; i-- > 0;) {
        add(i, height);
    }
    for (unsigned i = height - 1; i > 0; i--) {
        add(0.0, i);
    }
}

/* A square with points 1 mm apart but between `from` and `to` on its lowest
 * side, where there is one that lies `out` mm below it. It is point from + 1.
 */
static void spike(unsigned side, unsigned from, unsigned to, double out) {
    one.count = 0;
    for (unsigned i = 0; i <= from; i++) {
        add(i, 0.0);
    }
    add(0.5 * (from + to), -out);
    for (unsigned i = to; i <= side; i++) {
        add(i, 0.0);
    }
    add_sides(side, side);
}

/* How far out a point is with edges of that length over a span. */
static double height(double edge, double span) {
    return sqrt(edge * edge - 0.25 * span * span);
}

static bool is_point(double times) {
    stray got = find();
    if (got.what == STRAY_POINT) {
        check_relative(got.times, times, 1e-8);
    }
    return got.what == STRAY_POINT;
}

/* 41 points, 39 edges of 1 mm; out of the square, and into it. */
static void test_edges_of_a_point(void **state) {
    (void)state;
    spike(10, 4, 5, height(5.0 * MORE, 1.0));
    assert_true(is_point(5.0));
    assert_int_equal(find().point, 5);
    spike(10, 4, 5, height(5.0 * LESS, 1.0));
    assert_int_equal(find().what, STRAY_NONE);
    spike(10, 4, 5, -height(2.0 * MORE, 1.0));
    assert_true(is_point(2.0));
    spike(10, 4, 5, -height(2.0 * LESS, 1.0));
    assert_int_equal(find().what, STRAY_NONE);
}

/* A point beside them is missing: that edge is 2 mm. */
static void test_edges_beside(void **state) {
    (void)state;
    for (int i = 0; i < 2; i++) {
        spike(10, 4, 5, -height(4.0 * (i == 0 ? MORE : LESS), 1.0));
        for (size_t k = 3; k + 1 < one.count; k++) {
            one.x[k] = one.x[k + 1];
            one.y[k] = one.y[k + 1];
        }
        one.count--;
        assert_int_equal(is_point(2.0), i == 0);
    }
}

/* 21 points of a square of 5 mm; 25 of one of 6 mm. */
static void test_few_points(void **state) {
    (void)state;
    spike(5, 2, 3, height(12.0 * MORE, 1.0));
    assert_true(is_point(12.0));
    spike(5, 2, 3, height(12.0 * LESS, 1.0));
    assert_int_equal(find().what, STRAY_NONE);
    spike(5, 2, 3, -height(2.0 * MORE, 1.0));
    assert_true(is_point(2.0));
    spike(6, 2, 3, height(12.0 * LESS, 1.0));
    assert_true(is_point(12.0));
}

/* 6 mm apart, with edges of 5 mm: 3, 4, 5. Inwards. */
static void test_span(void **state) {
    (void)state;
    spike(10, 2, 8, -4.0);
    assert_true(is_point(5.0));
    spike(10, 2, 8, -4.0 * LESS);
    assert_int_equal(find().what, STRAY_NONE);
}

/* It adds 4 mm to 80. */
static void test_share_of_perimeter(void **state) {
    (void)state;
    spike(20, 9, 10, -height(2.5 * MORE, 1.0));
    assert_true(is_point(2.5));
    spike(20, 9, 10, -height(2.5 * LESS, 1.0));
    assert_int_equal(find().what, STRAY_NONE);
}

/* The same with a row of points 0.5 mm apart between edges of one length. */
static void bay(unsigned side, unsigned from, unsigned points, double out) {
    one.count = 0;
    for (unsigned i = 0; i <= from; i++) {
        add(i, 0.0);
    }
    double inset = 0.5 - 0.25 * (points - 1.0);
    for (unsigned k = 0; k < points; k++) {
        add(from + inset + 0.5 * k, -out);
    }
    for (unsigned i = from + 1; i <= side; i++) {
        add(i, 0.0);
    }
    add_sides(side, side);
}

/* How far out points are with edges of that length; they begin and end so far
 * from the two beside them. */
static double reach(double length, unsigned points) {
    double inset = 0.5 - 0.25 * (points - 1.0);
    return sqrt(length * length - inset * inset);
}

/* Two and four points; others are 1 mm apart. */
static void test_edges_of_a_run(void **state) {
    (void)state;
    for (unsigned points = 2; points <= 4; points += 2) {
        bay(12, 5, points, reach(RUN_OUT * MORE, points));
        stray got = find();
        assert_int_equal(got.what, STRAY_RUN);
        assert_int_equal(got.point, 6);
        assert_int_equal(got.points, points);
        check_relative(got.times, RUN_OUT, 1e-8);
        bay(12, 5, points, reach(RUN_OUT * LESS, points));
        assert_int_equal(find().what, STRAY_NONE);
        bay(12, 5, points, -reach(RUN_IN * MORE, points));
        got = find();
        assert_int_equal(got.what, STRAY_RUN);
        check_relative(got.times, RUN_IN, 1e-8);
        bay(12, 5, points, -reach(RUN_IN * LESS, points));
        assert_int_equal(find().what, STRAY_NONE);
    }
}

/* Five are more than a run; so are four of fifteen, a quarter and more. */
static void test_points_of_a_run(void **state) {
    (void)state;
    bay(12, 5, 5, 8.0);
    assert_int_equal(find().what, STRAY_NONE);
    bay(3, 1, 3, -2.99);
    assert_int_equal(one.count, 15);
    assert_int_equal(find().what, STRAY_NONE);
    bay(12, 5, 3, 8.0);
    for (size_t start = 0; start < 51; start++) {
        shape_restart(&one, 1);
        assert_int_equal(find().points, 3);
        shape_reverse(&one);
        assert_int_equal(find().what, STRAY_RUN);
        assert_int_equal(find().points, 3);
    }
}

/* A circle of `count` points of which each of `arcs` arcs lacks `lost`. */
static void arcs_lost(size_t count, size_t arcs, size_t lost) {
    one.count = 0;
    for (size_t i = 0; i < count; i++) {
        if (i % (count / arcs) >= lost) {
            double angle = 2.0 * PI * (double)i / (double)count;
            add(8.0 * cos(angle), 8.0 * sin(angle));
        }
    }
}

/* Of 144 points 15 are lost, or 13: chords over 40 and 35 degrees, which are
 * 11 and 9.6 % of the perimeter. Four chords are no lost arcs. */
static void test_arcs(void **state) {
    (void)state;
    for (size_t arcs = 2; arcs <= 3; arcs++) {
        arcs_lost(144, arcs, 15);
        stray got = find();
        assert_int_equal(got.what, STRAY_EDGES);
        assert_int_equal(got.points, arcs);
        arcs_lost(144, arcs, 13);
        assert_int_equal(find().what, STRAY_NONE);
    }
    arcs_lost(144, 4, 15);
    assert_int_equal(find().what, STRAY_NONE);
}

/* Two long sides between rounded ends, 15 points over all but `lack` degrees
 * at either side of each: sides turn by lack + (90 - lack) / 14. */
static void long_sides(double lack) {
    one.count = 0;
    for (int end = 0; end < 2; end++) {
        for (int k = 0; k < 15; k++) {
            double degrees = lack - 90.0 + (180.0 - 2.0 * lack) * k / 14.0;
            double angle = (degrees + 180.0 * end) / 180.0 * PI;
            add((end == 0 ? 9.0 : -9.0) + 3.0 * cos(angle), 3.0 * sin(angle));
        }
    }
}

/* Such sides are those of a vein pressed flat; where 20 degrees are reached,
 * of one whose sides are lost. */
static void test_long_sides(void **state) {
    (void)state;
    double lack = (20.0 - 90.0 / 14.0) * 14.0 / 13.0;
    long_sides(lack - 1e-9);
    assert_int_equal(find().what, STRAY_NONE);
    long_sides(lack + 1e-9);
    assert_int_equal(find().what, STRAY_EDGES);
    assert_int_equal(find().points, 2);
}

/* A rectangle whose lowest side is one edge. */
static void open_side(unsigned width, unsigned height_mm) {
    one.count = 0;
    add(width, 0.0);
    add_sides(width, height_mm);
    add(0.0, 0.0);
}

static void test_open(void **state) {
    (void)state;
    /* 5 mm of 50, others 1 mm. */
    open_side(5, 20);
    assert_int_equal(find().what, STRAY_EDGE);
    assert_int_equal(find().point, one.count - 1);
    check_relative(find().times, 5.0, 1e-14);
    /* 5 mm of 52. */
    open_side(5, 21);
    assert_int_equal(find().what, STRAY_NONE);
    /* All of one width: the edge is less than 5 times the mean. */
    for (int i = 0; i < 2; i++) {
        open_side(5, 10);
        for (size_t k = 0; k < one.count; k++) {
            one.x[k] *= i == 0 ? MORE : LESS;
        }
        assert_int_equal(find().what, i == 0 ? STRAY_EDGE : STRAY_NONE);
    }
}

/* One other edge is 2 mm, a third of 6. */
static void test_second_edge(void **state) {
    (void)state;
    for (int i = 0; i < 2; i++) {
        open_side(6, 10);
        for (size_t k = 4; k + 1 < one.count; k++) {
            one.x[k] = one.x[k + 1];
            one.y[k] = one.y[k + 1];
        }
        one.count--;
        one.y[4] += i == 0 ? -1e-9 : 1e-9;
        assert_int_equal(find().what, i == 0 ? STRAY_EDGE : STRAY_NONE);
    }
}

/* Twelve points are traced, eleven made by hand. */
static void test_traced_points(void **state) {
    (void)state;
    open_side(5, 3);
    assert_int_equal(one.count, TRACED_POINTS);
    assert_int_equal(find().what, STRAY_EDGE);
    open_side(6, 2);
    assert_int_equal(one.count, TRACED_POINTS - 1);
    assert_int_equal(find().what, STRAY_NONE);
}

static void to_origin(size_t point) {
    shape_move(&one, -one.x[point], -one.y[point]);
    one.x[point] = 0.0;
    one.y[point] = 0.0;
}

/* Two edges of 3 mm that span 4. */
static void test_origin(void **state) {
    (void)state;
    for (int i = 0; i < 2; i++) {
        spike(10, 3, 7, height(3.0 * (i == 0 ? MORE : LESS), 4.0));
        assert_int_equal(find().what, STRAY_NONE);
        to_origin(4);
        assert_int_equal(find().what, i == 0 ? STRAY_ORIGIN : STRAY_NONE);
    }
    spike(10, 3, 7, height(3.1, 4.0));
    to_origin(4);
    assert_int_equal(find().point, 4);
    one.x[4] = 1e-300;
    assert_int_equal(find().what, STRAY_NONE);
}

/* Coordinates may count from a contour's own first point, or from a corner of
 * it on a grid. */
static void test_own_origin(void **state) {
    (void)state;
    for (size_t n = TRACED_POINTS; n < 100; n++) {
        shape_ellipse(&one, n, 8.0, 7.0);
        to_origin(0);
        assert_int_equal(find().what, STRAY_NONE);
    }
    open_side(9, 9);
    for (unsigned i = 1; i < 9; i++) {
        add(i, 0.0);
    }
    to_origin(one.count - 9);
    assert_int_equal(find().what, STRAY_NONE);
}

/* Whichever point comes first, and either way round. */
static void test_any_start(void **state) {
    (void)state;
    for (size_t start = 0; start < 41; start++) {
        spike(10, 4, 5, -height(2.5, 1.0));
        double x = one.x[5];
        shape_restart(&one, start);
        assert_true(is_point(2.5));
        check_close(one.x[find().point], x, 0.0, "mm");
        shape_reverse(&one);
        assert_true(is_point(2.5));
        check_close(one.x[find().point], x, 0.0, "mm");
        open_side(8, 4);
        shape_restart(&one, start % one.count);
        assert_int_equal(find().what, STRAY_EDGE);
        size_t next = (find().point + 1) % one.count;
        check_close(one.x[find().point] - one.x[next], -8.0, 0.0, "mm");
    }
}

/* A decimal point that slipped in one of these points of a round contour. */
static void test_slips(void **state) {
    (void)state;
    static const size_t counts[] = {24, 32, 56, 256};
    for (size_t i = 0; i < 4; i++) {
        for (size_t k = 0; k < counts[i]; k++) {
            for (int way = 0; way < 2; way++) {
                double by = way == 0 ? 10.0 : 0.1;
                shape_ellipse(&one, counts[i], 8.0, 7.5);
                one.x[k] *= by;
                one.y[k] *= by;
                stray got = find();
                assert_int_equal(got.what, STRAY_POINT);
                assert_int_equal(got.point, k);
            }
        }
    }
}

/* Radii of an ellipse at equal angles, seen from a point on its long axis. */
static void polar(size_t count, double a, double b, double turn, double off) {
    one.count = 0;
    for (size_t i = 0; i < count; i++) {
        double angle = 2.0 * PI * (double)i / (double)count;
        double c = cos(angle - turn);
        double s = sin(angle - turn);
        double square = c * c / (a * a) + s * s / (b * b);
        double half = off * c / (a * a);
        double rest = off * off / (a * a) - 1.0;
        double r = (sqrt(half * half - square * rest) - half) / square;
        add(r * cos(angle), r * sin(angle));
    }
}

/* No vein pressed flat around a catheter of 2 mm is doubted. */
static void test_tips_pressed_flat(void **state) {
    (void)state;
    for (size_t n = TRACED_POINTS; n <= 64; n += 4) {
        for (int turn = 0; turn < 90; turn++) {
            for (int off = -4; off <= 4; off++) {
                polar(n, 8.0, 1.0, turn * PI / 180.0, off);
                assert_int_equal(find().what, STRAY_NONE);
            }
        }
    }
}

/* Contours of every roughness that a hand can make have neither. */
static void test_rough_contours(void **state) {
    (void)state;
    dice from = {17};
    for (size_t n = 24; n < 300; n += 3) {
        for (int k = 0; k < 20; k++) {
            shape_ellipse(&one, n, 8.0, dice_between(&from, 2.0, 8.0));
            for (size_t i = 0; i < n; i++) {
                one.x[i] += dice_between(&from, -0.2, 0.2);
                one.y[i] += dice_between(&from, -0.2, 0.2);
            }
            assert_int_equal(find().what, STRAY_NONE);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_edges_of_a_point),
        cmocka_unit_test(test_edges_beside),
        cmocka_unit_test(test_few_points),
        cmocka_unit_test(test_span),
        cmocka_unit_test(test_share_of_perimeter),
        cmocka_unit_test(test_edges_of_a_run),
        cmocka_unit_test(test_points_of_a_run),
        cmocka_unit_test(test_arcs),
        cmocka_unit_test(test_long_sides),
        cmocka_unit_test(test_open),
        cmocka_unit_test(test_second_edge),
        cmocka_unit_test(test_traced_points),
        cmocka_unit_test(test_origin),
        cmocka_unit_test(test_own_origin),
        cmocka_unit_test(test_any_start),
        cmocka_unit_test(test_slips),
        cmocka_unit_test(test_tips_pressed_flat),
        cmocka_unit_test(test_rough_contours),
    };
    return cmocka_run_group_tests_name("stray", tests, NULL, NULL);
}
