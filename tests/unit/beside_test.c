/*
 * beside_test.c - contours with fewer points than those beside them, and frames
 * left out beside one. Expected values by hand.
 */
#include "support/check.h"

#include "profile/beside.h"

#include <string.h>

#define ROWS 9

/* A row a letter: a lumen contour of 10 points a digit, 'x' one that is left
 * out, 'v' a contour of the outer wall. */
static size_t rows_of(const char *letters, bl_row rows[ROWS]) {
    size_t count = strlen(letters);
    assert_true(count <= ROWS);
    for (size_t i = 0; i < count; i++) {
        bool digit = letters[i] >= '0' && letters[i] <= '9';
        rows[i] = (bl_row){
            .frame = (int64_t)i,
            .kind = letters[i] == 'v' ? BL_KIND_VESSEL : BL_KIND_LUMEN,
            .points = digit ? 10U * (unsigned)(letters[i] - '0') : 90,
        };
        rows[i].measures.flags = letters[i] == 'x' ? BL_FLAG_CROSSING : 0;
    }
    return count;
}

static void check_cut(const char *letters, const char *cut) {
    bl_row rows[ROWS];
    size_t count = rows_of(letters, rows);
    for (size_t i = 0; i < count; i++) {
        if (beside_is_cut(rows, count, i) != (cut[i] == '^')) {
            fail_msg("'%s': row %zu is told %s", letters, i,
                     cut[i] == '^' ? "whole" : "cut");
        }
    }
}

static void test_cut(void **state) {
    (void)state;
    check_cut("999499999", "   ^     ");
    check_cut("888488888", "         "); /* half is not less than half */
    check_cut("4999", "^   ");
    check_cut("9994", "   ^");
    check_cut("49", "^ ");
    check_cut("4", " ");
    /* One cut contour makes none beside it large, and does not hide. */
    check_cut("994499", "  ^^  ");
    check_cut("949494949", " ^ ^ ^ ^ ");
    /* A steady change of calibre is none: each is near those beside it. */
    check_cut("987654321", "         ");
    check_cut("9v9xx4v99", "     ^   ");
}

static void test_points_beside(void **state) {
    (void)state;
    bl_row rows[ROWS];
    size_t count = rows_of("987123", rows);
    /* Of 9, 8, 7 and of 2, 3: the fewer of the nearest is 2 of 7 and 2, what
     * three of the nearest four, 8, 7, 2, 3, have is 3. */
    assert_int_equal(beside_points(rows, count, 3), 30);
    /* Of the nearest two at an end the fewer. */
    assert_int_equal(beside_points(rows, count, 0), 70);
    assert_int_equal(beside_points(rows, count, 5), 10);
    count = rows_of("x5v", rows);
    assert_int_equal(beside_points(rows, count, 1), 0);
}

static void test_left_out(void **state) {
    (void)state;
    bl_row rows[ROWS];
    size_t count = rows_of("x9xvx9x99", rows);
    assert_int_equal(beside_left_out(rows, count, 1), 3);
    assert_int_equal(beside_left_out(rows, count, 5), 3);
    assert_int_equal(beside_left_out(rows, count, 7), 1);
    assert_int_equal(beside_left_out(rows, count, 8), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cut),
        cmocka_unit_test(test_points_beside),
        cmocka_unit_test(test_left_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
