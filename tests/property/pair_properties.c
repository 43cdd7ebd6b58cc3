/*
 * pair_properties.c - what must not change what two contours are to each other:
 * moving, turning and mirroring both, reversing either, starting elsewhere,
 * repeating points, points on edges; how it scales, and what changing places
 * does.
 */
#include "geometry/pair.h"
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>

#define PAIRS 400
#define TOLERANCE 0.35

static shape a;
static shape b;
static shape spare;

static pair_measures find(const shape *one, const shape *other,
                          double tolerance_mm) {
    pair_measures out;
    bl_contour first = shape_contour(one);
    bl_contour second = shape_contour(other);
    pair_finder *finder = pair_new();
    assert_non_null(finder);
    assert_int_equal(
        pair_find(finder, &first, &second, PAIR_ALL, tolerance_mm, &out),
        BL_OK);
    pair_free(finder);
    return out;
}

/* What a change does to directions: angle = sign * angle + turn_deg; to
 * lengths: factor; and the digits that it leaves, of contours about 20 mm
 * across. */
typedef struct effect {
    double sign;
    double turn_deg;
    double factor;
    double digits;
} effect;

static void circle_close(double got, double expected, double tolerance) {
    double off = fmod(fabs(got - expected), 360.0);
    check_close(fmin(off, 360.0 - off), 0.0, tolerance, "deg");
}

static void check_reach(const pair_reach *before, const pair_reach *after,
                        const effect *by) {
    double size = by->digits * by->factor;
    check_close(after->distance_mm, by->factor * before->distance_mm,
                20.0 * size + 1e-11, "mm");
    assert_int_equal(before->distance_mm > 1e-9, after->distance_mm > 1e-9);
}

/* Where a gap only just exceeds the tolerance the arc moves by the root of an
 * error: 1e-12 mm on an edge that grazes is 1e-6 mm along it. */
static void check_arcs(const pair_measures *before, const pair_measures *after,
                       const effect *by) {
    double grazing = sqrt(by->digits) * 10.0;
    check_close(after->arc_deg, before->arc_deg, grazing, "deg");
    check_close(after->between_mm2,
                by->factor * by->factor * before->between_mm2,
                by->factor * by->factor * grazing, "mm2");
    if (before->arcs != after->arcs || before->arcs != 1 ||
        before->arc_deg >= 360.0) {
        return; /* which of two equal ones is widest may change */
    }
    double from = before->widest_from_deg;
    double first = by->sign > 0.0 ? from : from + before->widest_arc_deg;
    circle_close(after->widest_from_deg, by->sign * first + by->turn_deg,
                 grazing);
}

static void check_alike(const pair_measures *before, const pair_measures *after,
                        const effect *by) {
    double area = by->factor * by->factor;
    double rounding = 1000.0 * by->digits * area;
    check_close(after->a_mm2, area * before->a_mm2, rounding, "mm2");
    check_close(after->b_mm2, area * before->b_mm2, rounding, "mm2");
    check_close(after->both_mm2, area * before->both_mm2, rounding, "mm2");
    check_close(after->only_a_mm2, area * before->only_a_mm2, rounding, "mm2");
    check_close(after->only_b_mm2, area * before->only_b_mm2, rounding, "mm2");
    check_close(after->dice, before->dice, 100.0 * by->digits, "");
    check_close(after->hausdorff_mm, by->factor * before->hausdorff_mm,
                20.0 * by->digits * by->factor + 1e-11, "mm");
    check_reach(&before->gap, &after->gap, by);
    check_reach(&before->outside, &after->outside, by);
    check_arcs(before, after, by);
}

typedef effect (*change)(dice *from);

static effect move(dice *from) {
    double dx = dice_between(from, -900.0, 900.0);
    double dy = dice_between(from, -900.0, 900.0);
    shape_move(&a, dx, dy);
    shape_move(&b, dx, dy);
    /* Coordinates at 900 carry 1e-13 mm, 20 mm make it relative. */
    return (effect){1.0, 0.0, 1.0, 1e-14};
}

static effect turn(dice *from) {
    double degrees = dice_between(from, 0.0, 360.0);
    shape_rotate(&a, degrees);
    shape_rotate(&b, degrees);
    return (effect){1.0, degrees, 1.0, 1e-15};
}

static effect mirror(dice *from) {
    double x = a.x[0];
    (void)from;
    shape_mirror(&a);
    shape_mirror(&b);
    /* Over the y axis or the x axis. */
    double turned = a.x[0] > x || a.x[0] < x ? 180.0 : 0.0;
    return (effect){-1.0, turned, 1.0, 1e-15};
}

static effect reverse(dice *from) {
    uint64_t which = dice_next(from) % 3;
    if (which != 0) {
        shape_reverse(&a);
    }
    if (which != 1) {
        shape_reverse(&b);
    }
    return (effect){1.0, 0.0, 1.0, 1e-15};
}

static effect restart(dice *from) {
    shape_restart(&a, dice_next(from) % a.count);
    shape_restart(&b, dice_next(from) % b.count);
    return (effect){1.0, 0.0, 1.0, 1e-15};
}

static effect scale(dice *from) {
    double factor = dice_between(from, 0.5, 20.0);
    shape_scale(&a, factor);
    shape_scale(&b, factor);
    return (effect){1.0, 0.0, factor, 1e-15};
}

/* Closed by a repeat, some points doubled, some edges parted. */
static void add_points(shape *of, dice *from) {
    spare = *of;
    of->count = 0;
    for (size_t i = 0; i <= spare.count; i++) {
        size_t at = i % spare.count;
        size_t next = (at + 1) % spare.count;
        size_t times = 1 + dice_next(from) % 2;
        for (size_t k = 0; k < times; k++) {
            of->x[of->count] = spare.x[at];
            of->y[of->count++] = spare.y[at];
        }
        if (i < spare.count && dice_next(from) % 3 == 0) {
            of->x[of->count] = 0.5 * (spare.x[at] + spare.x[next]);
            of->y[of->count++] = 0.5 * (spare.y[at] + spare.y[next]);
        }
    }
}

static effect more_points(dice *from) {
    add_points(&a, from);
    add_points(&b, from);
    return (effect){1.0, 0.0, 1.0, 1e-15};
}

static void make(int i, dice *from) {
    shape_random_star(&b, from, 10 + (size_t)i % 70, 0.03);
    if (i % 3 == 0) {
        shape_random_bent(&b, from, 24 + (size_t)i % 60);
    }
    if (i % 2 == 0) {
        a = b;
        shape_scale(&a, dice_between(from, 0.8, 1.0));
        shape_move(&a, dice_between(from, -0.5, 0.5),
                   dice_between(from, -0.5, 0.5));
    } else {
        shape_random_star(&a, from, 8 + (size_t)i % 90, 0.05);
    }
}

static void check_change(change applied) {
    dice from = {41};
    for (int i = 0; i < PAIRS; i++) {
        make(i, &from);
        pair_measures before = find(&a, &b, TOLERANCE);
        effect by = applied(&from);
        pair_measures after = find(&a, &b, TOLERANCE * by.factor);
        check_alike(&before, &after, &by);
    }
}

static void test_move(void **state) {
    (void)state;
    check_change(move);
}

static void test_turn(void **state) {
    (void)state;
    check_change(turn);
}

static void test_mirror(void **state) {
    (void)state;
    check_change(mirror);
}

static void test_reverse(void **state) {
    (void)state;
    check_change(reverse);
}

static void test_restart(void **state) {
    (void)state;
    check_change(restart);
}

static void test_scale(void **state) {
    (void)state;
    check_change(scale);
}

static void test_more_points(void **state) {
    (void)state;
    check_change(more_points);
}

/* Areas, Dice and Hausdorff distance do not ask which comes first. */
static void test_change_places(void **state) {
    (void)state;
    dice from = {42};
    for (int i = 0; i < PAIRS; i++) {
        make(i, &from);
        pair_measures one = find(&a, &b, TOLERANCE);
        pair_measures other = find(&b, &a, TOLERANCE);
        check_close(other.both_mm2, one.both_mm2, 1e-12, "mm2");
        check_close(other.only_b_mm2, one.only_a_mm2, 1e-12, "mm2");
        check_close(other.dice, one.dice, 1e-14, "");
        check_close(other.hausdorff_mm, one.hausdorff_mm, 1e-11, "mm");
    }
}

/* The same tolerance or a larger one: fewer directions, less between. */
static void test_tolerances(void **state) {
    (void)state;
    dice from = {43};
    for (int i = 0; i < PAIRS; i++) {
        make(i, &from);
        pair_measures before = find(&a, &b, 0.0);
        for (double tolerance = 0.1; tolerance < 2.0; tolerance *= 1.7) {
            pair_measures after = find(&a, &b, tolerance);
            assert_true(after.arc_deg <= before.arc_deg + 1e-9);
            assert_true(after.between_mm2 <= before.between_mm2 + 1e-11);
            assert_true(after.widest_arc_deg <= after.arc_deg + 1e-12);
            assert_int_equal(after.arcs > 0, after.gap.distance_mm > tolerance);
            before = after;
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_move),
        cmocka_unit_test(test_turn),
        cmocka_unit_test(test_mirror),
        cmocka_unit_test(test_reverse),
        cmocka_unit_test(test_restart),
        cmocka_unit_test(test_scale),
        cmocka_unit_test(test_more_points),
        cmocka_unit_test(test_change_places),
        cmocka_unit_test(test_tolerances),
    };
    return cmocka_run_group_tests_name("pair properties", tests, NULL, NULL);
}
