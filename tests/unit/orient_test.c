/*
 * orient_test.c - the side of a line against integer arithmetic of 128 bits,
 * on and next to the line, where doubles alone give any answer.
 */
#include "geometry/orient.h"
#include "support/check.h"

#include <stdlib.h>

__extension__ typedef __int128 wide;

typedef struct whole_point {
    int64_t x;
    int64_t y;
} whole_point;

/* Coordinates within 2^53 and differences within 2^54: the products fit. */
static int exact_sign(whole_point a, whole_point b, whole_point c) {
    wide turn =
        (wide)(b.x - a.x) * (c.y - a.y) - (wide)(b.y - a.y) * (c.x - a.x);
    return (turn > 0) - (turn < 0);
}

/* unit is a power of two, so the doubles are the integers exactly. */
static int sign_of(whole_point a, whole_point b, whole_point c, double unit) {
    return orient_sign((double)a.x * unit, (double)a.y * unit,
                       (double)b.x * unit, (double)b.y * unit,
                       (double)c.x * unit, (double)c.y * unit);
}

/* Every order of the points, and the mirror image. */
static void check_sign(whole_point a, whole_point b, whole_point c,
                       double unit) {
    int expected = exact_sign(a, b, c);
    assert_int_equal(sign_of(a, b, c, unit), expected);
    assert_int_equal(sign_of(b, c, a, unit), expected);
    assert_int_equal(sign_of(c, a, b, unit), expected);
    assert_int_equal(sign_of(b, a, c, unit), -expected);
    assert_int_equal(sign_of(a, c, b, unit), -expected);
    assert_int_equal(sign_of(c, b, a, unit), -expected);
    a.x = -a.x;
    b.x = -b.x;
    c.x = -c.x;
    assert_int_equal(sign_of(a, b, c, unit), -expected);
}

/* Uniform in -2^bits .. 2^bits - 1. */
static int64_t between(dice *from, int bits) {
    return (int64_t)(dice_next(from) >> (63 - bits)) - (INT64_C(1) << bits);
}

/* c on the line of a and b, give or take one unit. */
static void test_next_to_the_line(void **state) {
    (void)state;
    dice from = {9};
    size_t straight = 0;
    for (int i = 0; i < 100000; i++) {
        whole_point a = {between(&from, 50), between(&from, 50)};
        int64_t dx = between(&from, 47);
        int64_t dy = between(&from, 47);
        int64_t k = 1 + (int64_t)(dice_next(&from) % 5);
        whole_point b = {a.x + dx, a.y + dy};
        whole_point c = {a.x + k * dx + between(&from, 1) / 2,
                         a.y + k * dy + between(&from, 1) / 2};
        straight += exact_sign(a, b, c) == 0;
        check_sign(a, b, c, 0x1p-27); /* to 1e7 mm, all digits in use */
    }
    assert_in_range(straight, 1000, 99000);
}

/* c rounded onto the line somewhere about a and b. */
static void test_rounded_onto_the_line(void **state) {
    (void)state;
    dice from = {10};
    for (int i = 0; i < 100000; i++) {
        whole_point a = {between(&from, 51), between(&from, 51)};
        whole_point b = {between(&from, 51), between(&from, 51)};
        double share = dice_between(&from, -0.2, 1.2);
        whole_point c = {(int64_t)((double)a.x + share * (double)(b.x - a.x)),
                         (int64_t)((double)a.y + share * (double)(b.y - a.y))};
        check_sign(a, b, c, 0x1p-28);
    }
}

/* Coordinates of very different size in one triangle. */
static void test_mixed_sizes(void **state) {
    (void)state;
    dice from = {11};
    for (int i = 0; i < 100000; i++) {
        whole_point p[3];
        for (int k = 0; k < 3; k++) {
            p[k].x = between(&from, (int)(dice_next(&from) % 53));
            p[k].y = between(&from, (int)(dice_next(&from) % 53));
        }
        check_sign(p[0], p[1], p[2], 0x1p-30);
    }
}

/* Points a few units in the last place about (0.5, 0.5) and the line through
 * (12, 12) and (24, 24): Kettner et al., Comput Geom 2008;40:61-78. */
static void test_points_about_a_half(void **state) {
    (void)state;
    for (int i = 0; i < 256; i++) {
        for (int k = 0; k < 256; k++) {
            double x = 0.5 + i * 0x1p-53;
            double y = 0.5 + k * 0x1p-53;
            assert_int_equal(orient_sign(12.0, 12.0, 24.0, 24.0, x, y),
                             (y > x) - (y < x));
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_next_to_the_line),
        cmocka_unit_test(test_rounded_onto_the_line),
        cmocka_unit_test(test_mixed_sizes),
        cmocka_unit_test(test_points_about_a_half),
    };
    return cmocka_run_group_tests_name("orient", tests, NULL, NULL);
}
