/*
 * rescale_test.c - a change of scale is found at each limit of base/tracing.h,
 * and not one past it. Limits are compared as powers and logarithms, so that
 * values are within 1e-9 of them on either side.
 */
#include "profile/rescale.h"

#include "support/check.h"

#include <math.h>
#include <string.h>

#define ROWS 20
#define MORE (1.0 + 1e-9)
#define LESS (1.0 - 1e-9)

static bl_row rows[ROWS];

/* Round frames of 100 mm2, from row 8 on `ratio` times that, 0.5 mm apart. */
static void fill(double ratio) {
    memset(rows, 0, sizeof rows);
    for (size_t i = 0; i < ROWS; i++) {
        double area = i < 8 ? 100.0 : 100.0 * ratio;
        rows[i].frame = (int64_t)(10 + i);
        rows[i].position_mm = 0.5 * (double)i;
        rows[i].kind = BL_KIND_LUMEN;
        rows[i].measures.area_mm2 = area;
        rows[i].measures.perimeter_mm = 3.6 * sqrt(area);
    }
}

/* The places found, with the row of the first. */
static size_t find_of(const bl_row *of, size_t count, rescale *first) {
    rescale_search search = {.rows = of, .count = count};
    rescale found;
    size_t places = 0;
    while (rescale_next(&search, &found)) {
        *first = places == 0 ? found : *first;
        places++;
    }
    return places;
}

static bool is_found(void) {
    rescale first = {0};
    size_t places = find_of(rows, ROWS, &first);
    if (places > 0) {
        assert_int_equal(first.row, 8);
    }
    assert_true(places <= 1);
    return places == 1;
}

static void test_ratio(void **state) {
    (void)state;
    static const struct {
        double ratio;
        bool found;
    } cases[] = {{1.6 * MORE, true},
                 {1.6 * LESS, false},
                 {1.0 / (1.6 * MORE), true},
                 {1.0 / (1.6 * LESS), false},
                 {4.0, true},
                 {0.01, true},
                 {1.0, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        fill(cases[i].ratio);
        assert_int_equal(is_found(), cases[i].found);
    }
    fill(2.0);
    rescale first = {0};
    assert_int_equal(find_of(rows, ROWS, &first), 1);
    assert_int_equal(first.frame, 17);
    check_close(first.before_mm, 3.5, 0.0, "mm");
    check_relative(first.ratio, 2.0, 1e-14);
}

static void move_behind(double by_mm) {
    for (size_t i = 8; i < ROWS; i++) {
        rows[i].position_mm += by_mm;
    }
}

/* A step of 0.5 mm becomes one of 1 mm; positions miss that by rounding. */
static void test_distance(void **state) {
    (void)state;
    fill(2.0);
    move_behind(0.5 + 1e-10);
    assert_true(is_found());
    fill(2.0);
    move_behind(0.5 + 1e-8);
    assert_false(is_found());
}

/* Between other frames of the ten there may be no gap over 5 mm. */
static void test_gaps(void **state) {
    (void)state;
    static const size_t starts[] = {3, 4, 7, 9, 12, 13};
    for (size_t k = 0; k < 6; k++) {
        bool inside = starts[k] > 3 && starts[k] < 13;
        for (int over = 0; over < 2; over++) {
            fill(2.0);
            for (size_t i = starts[k]; i < ROWS; i++) {
                rows[i].position_mm += over ? 4.6 : 4.5;
            }
            assert_int_equal(is_found(), !(inside && over));
        }
    }
}

static void test_shape(void **state) {
    (void)state;
    for (int i = 0; i < 4; i++) {
        fill(2.0);
        double share = (i < 2 ? 1.05 : 0.95);
        share += (i % 2 == 0 ? -1e-9 : 1e-9) * (i < 2 ? 1.0 : -1.0);
        for (size_t k = 8; k < ROWS; k++) {
            rows[k].measures.perimeter_mm /= sqrt(share);
        }
        assert_int_equal(is_found(), i % 2 == 0);
    }
}

/* The middle of the change lies in one frame, which belongs to the part
 * behind, so that at most 0.2 of the change as a power is before the step. */
static void test_abrupt(void **state) {
    (void)state;
    for (int i = 0; i < 2; i++) {
        fill(4.0);
        rows[7].measures.area_mm2 =
            100.0 * pow(4.0, i == 0 ? 0.2 - 1e-9 : 0.2 + 1e-9);
        rescale first = {0};
        assert_int_equal(find_of(rows, ROWS, &first), i == 0);
    }
}

/* One frame of each side, a quarter of the change from the median. */
static void test_steady(void **state) {
    (void)state;
    static const size_t at[] = {3, 6, 9, 12};
    for (size_t k = 0; k < 4; k++) {
        for (int i = 0; i < 4; i++) {
            double power = i % 2 == 0 ? 0.25 - 1e-9 : 0.25 + 1e-9;
            fill(3.0);
            rows[at[k]].measures.area_mm2 *= pow(3.0, i < 2 ? power : -power);
            assert_int_equal(is_found(), i % 2 == 0);
        }
    }
    /* Those further away do not count. */
    static const size_t away[] = {2, 13};
    for (size_t k = 0; k < 2; k++) {
        fill(3.0);
        rows[away[k]].measures.area_mm2 *= 1.4;
        assert_true(is_found());
    }
}

static void test_five_frames(void **state) {
    (void)state;
    rescale first;
    fill(2.0);
    assert_int_equal(find_of(rows, 13, &first), 1);
    assert_int_equal(find_of(rows, 12, &first), 0);
    assert_int_equal(find_of(rows + 3, ROWS - 3, &first), 1);
    assert_int_equal(find_of(rows + 4, ROWS - 4, &first), 0);
}

/* Contours that are left out and other kinds stand for nothing. */
static void test_other_rows(void **state) {
    (void)state;
    for (size_t i = 3; i < 13; i++) {
        for (int k = 0; k < 3; k++) {
            fill(2.0);
            rows[i].measures.area_mm2 = k == 2 ? (double)NAN : 1.0;
            rows[i].kind = k == 0 ? BL_KIND_DEVICE : BL_KIND_LUMEN;
            rows[i].measures.flags = k == 1 ? BL_FLAG_CROSSING : 0;
            rescale first = {0};
            assert_int_equal(find_of(rows, ROWS, &first), 1);
            assert_int_equal(first.row, i == 8 ? 9 : 8);
        }
    }
}

/* What a vein does: narrowings however steep within two frames, tapers, a
 * vein pressed flat at once. */
static void test_veins(void **state) {
    (void)state;
    for (int frames = 2; frames < 8; frames++) {
        fill(1.0);
        for (int i = 0; i < ROWS; i++) {
            double part = fmin(fmax((i - 6.5) / frames, 0.0), 1.0);
            rows[i].measures.area_mm2 = 200.0 * pow(0.2, part);
            rows[i].measures.perimeter_mm =
                3.6 * sqrt(rows[i].measures.area_mm2);
        }
        assert_false(is_found());
    }
    fill(0.3);
    for (int i = 8; i < ROWS; i++) {
        rows[i].measures.perimeter_mm = 3.6 * sqrt(100.0);
    }
    assert_false(is_found());
}

/* ------------------------------------------------- other contours of a frame
 */

/* A lumen of 100 mm2, from frame 8 on of 200, and around it what there is:
 * areas before and behind, 0 where it is not traced. */
typedef struct beside_case {
    double device_mm2[2];
    double vessel_mm2[2];
    bool found;
} beside_case;

static size_t add_row(bl_row *to, size_t frame, bl_kind kind, double area) {
    if (!(area > 0.0)) {
        return 0;
    }
    *to = (bl_row){
        .frame = (int64_t)frame,
        .position_mm = 0.5 * (double)frame,
        .kind = kind,
        .measures = {.area_mm2 = area, .perimeter_mm = 3.6 * sqrt(area)}};
    return 1;
}

/* turned: another order of kinds, which is that of the table. */
static bool is_found_beside(const beside_case *of, bool turned) {
    static bl_row all[3 * ROWS];
    size_t count = 0;
    for (size_t i = 0; i < ROWS; i++) {
        bool behind = i >= 8;
        double lumen = behind ? 200.0 : 100.0;
        bl_kind first = turned ? BL_KIND_VESSEL : BL_KIND_DEVICE;
        bl_kind last = turned ? BL_KIND_DEVICE : BL_KIND_VESSEL;
        const double *before = turned ? of->vessel_mm2 : of->device_mm2;
        const double *after = turned ? of->device_mm2 : of->vessel_mm2;
        count += add_row(&all[count], i, first, before[behind]);
        count += add_row(&all[count], i, BL_KIND_LUMEN, lumen);
        count += add_row(&all[count], i, last, after[behind]);
    }
    rescale first;
    return find_of(all, count, &first) == 1;
}

/* A scale changes all contours alike: half of the lumen's change, as a power,
 * is the square root of its ratio, 1.414. */
static void test_contours_beside(void **state) {
    (void)state;
    static const beside_case cases[] = {
        {{0.0, 0.0}, {300.0, 600.0}, true},
        {{0.0, 0.0}, {300.0, 300.0}, false},
        {{0.0, 0.0}, {300.0, 424.3}, true},
        {{0.0, 0.0}, {300.0, 424.2}, false},
        {{0.0, 0.0}, {300.0, 150.0}, false},
        {{0.0, 0.0}, {300.0, 0.0}, true},
        {{120.0, 240.0}, {0.0, 0.0}, true},
        {{120.0, 120.0}, {0.0, 0.0}, false},
        /* The device ends, or begins. */
        {{120.0, 0.0}, {0.0, 0.0}, false},
        {{0.0, 240.0}, {0.0, 0.0}, false},
        {{120.0, 0.0}, {300.0, 300.0}, false},
        {{120.0, 0.0}, {300.0, 600.0}, true},
        /* Not all change along. */
        {{120.0, 240.0}, {300.0, 300.0}, false},
        {{120.0, 240.0}, {300.0, 600.0}, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(is_found_beside(&cases[i], false), cases[i].found);
        assert_int_equal(is_found_beside(&cases[i], true), cases[i].found);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ratio),
        cmocka_unit_test(test_distance),
        cmocka_unit_test(test_gaps),
        cmocka_unit_test(test_shape),
        cmocka_unit_test(test_abrupt),
        cmocka_unit_test(test_steady),
        cmocka_unit_test(test_five_frames),
        cmocka_unit_test(test_other_rows),
        cmocka_unit_test(test_veins),
        cmocka_unit_test(test_contours_beside),
    };
    return cmocka_run_group_tests_name("rescale", tests, NULL, NULL);
}
