/*
 * jump_test.c - stray frames are flagged; steps, tapers, ends, gaps and frames
 * that do not count are not.
 */
#include "profile/jump.h"

#include "support/check.h"

#include <math.h>
#include <string.h>

#define ROWS 64

/* Rows of these areas, step_mm apart. */
static void fill(bl_row *rows, const double *areas, size_t count,
                 double step_mm) {
    memset(rows, 0, count * sizeof *rows);
    for (size_t i = 0; i < count; i++) {
        rows[i].frame = (int64_t)i;
        rows[i].position_mm = (double)i * step_mm;
        rows[i].kind = BL_KIND_LUMEN;
        rows[i].measures.area_mm2 = areas[i];
    }
}

/* Bit i is set when row i is flagged. */
static uint64_t flagged(bl_row *rows, size_t count) {
    uint64_t bits = 0;
    jump_flag(rows, count);
    for (size_t i = 0; i < count; i++) {
        if ((rows[i].measures.flags & BL_FLAG_JUMP) != 0) {
            bits |= UINT64_C(1) << i;
        }
    }
    return bits;
}

#define BIT(i) (UINT64_C(1) << (i))

static void test_shapes(void **state) {
    (void)state;
    static const struct {
        double areas[9];
        uint64_t expected;
    } cases[] = {
        {{9, 9, 9, 9, 30, 9, 9, 9, 9}, BIT(4)},
        {{9, 9, 9, 9, 2, 9, 9, 9, 9}, BIT(4)},
        {{9, 9, 9, 30, 30, 9, 9, 9, 9}, BIT(3) | BIT(4)},
        {{9, 9, 9, 30, 9, 2, 9, 9, 9}, BIT(3) | BIT(5)},
        {{9, 9, 9, 9, 30, 30, 30, 30, 30}, 0}, /* a step */
        {{90, 90, 90, 90, 9, 9, 9, 9, 9}, 0},
        {{9, 9, 9, 30, 30, 30, 9, 9, 9}, 0}, /* three are a narrowing */
        {{1, 2, 4, 8, 16, 32, 64, 128, 256}, 0},
        {{256, 128, 64, 32, 16, 8, 4, 2, 1}, 0},
        {{30, 30, 9, 9, 9, 9, 9, 30, 30}, 0}, /* no two on either side */
        {{9, 10, 9, 12, 9, 8, 9, 11, 10}, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        bl_row rows[9];
        fill(rows, cases[i].areas, 9, 0.1);
        assert_int_equal(flagged(rows, 9), cases[i].expected);
    }
}

/* 1.5 times the median, and the median over 1.5, are still no jump. */
static void test_threshold(void **state) {
    (void)state;
    static const double areas[][2] = {{12.0, 0},
                                      {12.000000001, 1},
                                      {8.0 / 1.5 + 1e-9, 0},
                                      {8.0 / 1.5 - 1e-9, 1}};
    for (size_t i = 0; i < 4; i++) {
        bl_row rows[5];
        const double row[] = {8, 8, areas[i][0], 8, 8};
        fill(rows, row, 5, 1.0);
        assert_int_equal(flagged(rows, 5), areas[i][1] > 0 ? BIT(2) : 0);
    }
}

/* Two on each side within 5 mm: at the limit and one past it. */
static void test_gap(void **state) {
    (void)state;
    static const double areas[] = {9, 9, 30, 9, 9};
    bl_row rows[5];
    fill(rows, areas, 5, 2.5);
    assert_int_equal(flagged(rows, 5), BIT(2));
    fill(rows, areas, 5, 2.5000001);
    assert_int_equal(flagged(rows, 5), 0);
    for (size_t count = 0; count < 5; count++) {
        fill(rows, areas, count, 0.1);
        assert_int_equal(flagged(rows, count), 0);
    }
}

/* Other kinds and frames left out neither are flagged nor count. */
static void test_others_between(void **state) {
    (void)state;
    static const double areas[] = {9, 9, 500, 9, 30, 500, 9, 500, 9, 9};
    bl_row rows[10];
    fill(rows, areas, 10, 0.1);
    rows[2].kind = BL_KIND_DEVICE;
    rows[5].measures.flags = BL_FLAG_CROSSING;
    rows[7].measures.area_mm2 = (double)NAN;
    assert_int_equal(flagged(rows, 10), BIT(4));
    assert_int_equal(rows[5].measures.flags, BL_FLAG_CROSSING);
}

/* Long random runs against the definition, frame by frame. */
static void test_random(void **state) {
    (void)state;
    dice from = {41};
    for (int round = 0; round < 2000; round++) {
        double areas[ROWS];
        bl_row rows[ROWS];
        uint64_t expected = 0;
        for (size_t i = 0; i < ROWS; i++) {
            areas[i] = exp(dice_between(&from, 0.0, 1.2));
        }
        for (size_t i = 2; i + 2 < ROWS; i++) {
            size_t below = 0;
            double median = 0.0;
            for (size_t k = i - 2; k <= i + 2; k++) {
                below = 0;
                for (size_t m = i - 2; m <= i + 2; m++) {
                    below += areas[m] < areas[k];
                }
                median = below == 2 ? areas[k] : median;
            }
            if (areas[i] > 1.5 * median || areas[i] < median / 1.5) {
                expected |= BIT(i);
            }
        }
        fill(rows, areas, ROWS, 0.5);
        assert_true(flagged(rows, ROWS) == expected);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_shapes), cmocka_unit_test(test_threshold),
        cmocka_unit_test(test_gap),    cmocka_unit_test(test_others_between),
        cmocka_unit_test(test_random),
    };
    return cmocka_run_group_tests_name("jump", tests, NULL, NULL);
}
