/*
 * reach_test.c - which rows a pullback reaches over: stray rows of few points
 * at either end do not count, at the limit of a gap and one past it.
 */
#include "profile/reach.h"

#include "base/constants.h"
#include "support/check.h"

#define ROWS 8

/* Rows at these positions; those of which `few` has a 1 hold too few points. */
static void check_reach(const double *positions, const char *few, size_t count,
                        size_t first, size_t end) {
    bl_row rows[ROWS] = {{0}};
    for (size_t i = 0; i < count; i++) {
        rows[i].position_mm = positions[i];
        rows[i].measures.flags = few[i] == '1' ? BL_FLAG_FEW_POINTS : 0;
    }
    reach over = reach_of(rows, count);
    assert_int_equal(over.first, first);
    assert_int_equal(over.end, end);
}

static void test_ends(void **state) {
    (void)state;
    const double near[] = {0.0, GAP_MM, GAP_MM + 1.0, GAP_MM + 2.0,
                           2.0 * GAP_MM + 2.0};
    check_reach(near, "10001", 5, 0, 5);
    const double far[] = {0.0, GAP_MM + 0.001, 9.0, 10.0,
                          10.0 + GAP_MM + 0.001};
    check_reach(far, "10001", 5, 1, 4);
    check_reach(far, "00001", 5, 0, 4);
    check_reach(far, "10000", 5, 1, 5);
    check_reach(far, "00000", 5, 0, 5);
}

/* Two strays near each other are no less stray; one that is near the contours
 * and leads on to the next is none. */
static void test_several(void **state) {
    (void)state;
    const double pair[] = {0.0, 1.0, 100.0, 101.0};
    check_reach(pair, "0011", 4, 0, 2);
    check_reach(pair, "1100", 4, 2, 4);
    const double chain[] = {0.0, 4.0, 8.0, 12.0, 20.0};
    check_reach(chain, "01111", 5, 0, 4);
    check_reach(chain, "00100", 5, 0, 5);
}

static void test_no_contour(void **state) {
    (void)state;
    const double positions[] = {0.0, 50.0};
    check_reach(positions, "11", 2, 0, 2);
    check_reach(positions, "1", 1, 0, 1);
    check_reach(positions, "01", 2, 0, 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ends),
        cmocka_unit_test(test_several),
        cmocka_unit_test(test_no_contour),
    };
    return cmocka_run_group_tests_name("reach", tests, NULL, NULL);
}
