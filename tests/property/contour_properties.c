/*
 * contour_properties.c - what must not change a contour's measures: moving,
 * turning, mirroring, reversing, starting elsewhere, repeating points; and
 * how they scale.
 */
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>

#define CONTOURS 300

static shape one;
static shape other;

static void circle_close(double a, double b, double period, double tolerance) {
    double off = fmod(fabs(a - b), period);
    check_close(fmin(off, period - off), 0.0, tolerance, "deg");
}

/* Lengths scale by `factor`, areas by its square; digits is relative. */
static void check_alike(const bl_measures *a, const bl_measures *b,
                        double factor, double digits) {
    assert_int_equal(a->flags, b->flags);
    check_relative(b->area_mm2, a->area_mm2 * factor * factor, digits);
    check_relative(b->perimeter_mm, a->perimeter_mm * factor, digits);
    check_relative(b->equivalent_diameter_mm,
                   a->equivalent_diameter_mm * factor, digits);
    check_relative(b->min_feret_mm, a->min_feret_mm * factor, digits);
    check_relative(b->max_feret_mm, a->max_feret_mm * factor, digits);
    check_close(b->inscribed_diameter_mm, a->inscribed_diameter_mm * factor,
                5e-5 * (1.0 + factor) + digits * a->max_feret_mm * factor,
                "mm");
    check_relative(b->circularity, a->circularity, digits);
    check_relative(b->solidity, a->solidity, digits);
    if (a->flags & BL_FLAG_CENTRE_OUTSIDE) {
        return;
    }
    /* A chord that grazes a corner moves by digits / sin(angle). */
    check_relative(b->min_diameter_mm, a->min_diameter_mm * factor,
                   1e3 * digits);
    check_relative(b->max_diameter_mm, a->max_diameter_mm * factor,
                   1e3 * digits);
    check_relative(b->aspect_ratio, a->aspect_ratio, 2e3 * digits);
}

typedef void (*change)(shape *of, dice *from, double *factor, double *digits);

static void move_far(shape *of, dice *from, double *factor, double *digits) {
    (void)from;
    (void)factor;
    shape_move(of, 1e6, -1e6);
    /* Coordinates at 1e6 carry 1.2e-10 mm; contours are about 10 mm. */
    *digits = 1e-9;
}

static void turn(shape *of, dice *from, double *factor, double *digits) {
    (void)factor;
    (void)digits;
    shape_rotate(of, dice_between(from, 0.0, 360.0));
}

static void mirror(shape *of, dice *from, double *factor, double *digits) {
    (void)from;
    (void)factor;
    (void)digits;
    shape_mirror(of);
}

static void reverse(shape *of, dice *from, double *factor, double *digits) {
    (void)from;
    (void)factor;
    (void)digits;
    shape_reverse(of);
}

static void restart(shape *of, dice *from, double *factor, double *digits) {
    (void)factor;
    (void)digits;
    shape_restart(of, dice_next(from) % of->count);
}

static void scale(shape *of, dice *from, double *factor, double *digits) {
    (void)digits;
    *factor = dice_between(from, 0.1, 50.0);
    shape_scale(of, *factor);
}

/* Closes by repeating the first point, and doubles some others. */
static void repeat(shape *of, dice *from, double *factor, double *digits) {
    (void)factor;
    (void)digits;
    other = *of;
    of->count = 0;
    for (size_t i = 0; i <= other.count; i++) {
        size_t times = 1 + dice_next(from) % 2;
        for (size_t k = 0; k < times; k++) {
            of->x[of->count] = other.x[i % other.count];
            of->y[of->count] = other.y[i % other.count];
            of->count++;
        }
    }
}

static void check_change(change applied) {
    dice from = {31};
    for (int i = 0; i < CONTOURS; i++) {
        double factor = 1.0;
        double digits = 2e-13;
        if (i % 2 == 0) {
            shape_random_star(&one, &from, 10 + (size_t)i % 70, 0.03);
        } else {
            shape_random_bent(&one, &from, 24 + (size_t)i % 60);
        }
        bl_measures before = shape_measure(&one);
        applied(&one, &from, &factor, &digits);
        bl_measures after = shape_measure(&one);
        check_alike(&before, &after, factor, digits);
    }
}

static void test_move(void **state) {
    (void)state;
    check_change(move_far);
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

static void test_repeat(void **state) {
    (void)state;
    check_change(repeat);
}

/* The long axis turns along with the contour, the centre moves along. */
static void test_axis_and_centre_follow(void **state) {
    (void)state;
    dice from = {32};
    for (int i = 0; i < CONTOURS; i++) {
        shape_random_star(&one, &from, 40, 0.0);
        for (size_t k = 0; k < one.count; k++) {
            one.x[k] *= 1.6; /* a clear long axis */
        }
        bl_measures before = shape_measure(&one);
        double degrees = dice_between(&from, 0.0, 180.0);
        shape_rotate(&one, degrees);
        bl_measures after = shape_measure(&one);
        circle_close(after.long_axis_deg, before.long_axis_deg + degrees, 180.0,
                     1e-9);
        shape_move(&one, 3.25, -7.5);
        bl_measures moved = shape_measure(&one);
        check_close(moved.centroid_x_mm, after.centroid_x_mm + 3.25, 1e-12,
                    "mm");
        check_close(moved.centroid_y_mm, after.centroid_y_mm - 7.5, 1e-12,
                    "mm");
    }
}

/* A tie is decided the same way wherever the points start. */
static void test_axis_of_a_square(void **state) {
    (void)state;
    static const double corners[][2] = {
        {0.1, 0.7}, {3.1, 0.7}, {3.1, 3.7}, {0.1, 3.7}};
    for (size_t start = 0; start < 4; start++) {
        shape_points(&one, 4, corners);
        shape_restart(&one, start);
        check_close(shape_measure(&one).long_axis_deg, 45.0, 1e-9, "deg");
        shape_reverse(&one);
        check_close(shape_measure(&one).long_axis_deg, 45.0, 1e-9, "deg");
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
        cmocka_unit_test(test_repeat),
        cmocka_unit_test(test_axis_of_a_square),
        cmocka_unit_test(test_axis_and_centre_follow),
    };
    return cmocka_run_group_tests_name("contour properties", tests, NULL, NULL);
}
