/*
 * lanes_test.c - what is compiled twice (geometry/lanes.h) measures the same
 * bits both ways: plain, and as this processor lets it.
 */
#include "boreline.h"
#include "support/check.h"
#include "support/shapes.h"

#include <stddef.h>

/* The geometry compiled without wider vectors: see the Makefile. */
bl_status plain_measurer_new(uint32_t columns, bl_measurer **out);
void plain_measurer_free(bl_measurer *measurer);
bl_status plain_measurer_measure(bl_measurer *measurer,
                                 const bl_contour *contour, bl_measures *out);

static shape one;
static bl_measurer *measurer;
static bl_measurer *plain;

static void check_both(void) {
    bl_contour contour = {one.x, one.y, one.count};
    bl_measures a;
    bl_measures b;
    assert_int_equal(bl_measurer_measure(measurer, &contour, &a), BL_OK);
    assert_int_equal(plain_measurer_measure(plain, &contour, &b), BL_OK);
    assert_memory_equal(&a, &b, offsetof(bl_measures, flags));
    assert_int_equal(a.flags, b.flags);
}

/* Every remainder of the points by the lanes and by the blocks, rough and
 * smooth, turned both ways. */
static void test_same_bits(void **state) {
    (void)state;
    dice from = {71};
    for (size_t n = 3; n < 400; n++) {
        const double rough[] = {0.0, 0.01, 0.3};
        for (int i = 0; i < 3; i++) {
            shape_random_star(&one, &from, n, rough[i]);
            shape_move(&one, dice_between(&from, -50.0, 50.0), 3.0);
            check_both();
            shape_reverse(&one);
            check_both();
        }
        shape_random_bent(&one, &from, n + 5);
        check_both();
    }
}

static int begin(void **state) {
    (void)state;
    return bl_measurer_new(BL_COLUMNS_ALL, &measurer) != BL_OK ||
           plain_measurer_new(BL_COLUMNS_ALL, &plain) != BL_OK;
}

static int end(void **state) {
    (void)state;
    bl_measurer_free(measurer);
    plain_measurer_free(plain);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same_bits),
    };
    return cmocka_run_group_tests_name("lanes", tests, begin, end);
}
