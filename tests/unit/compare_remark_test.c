/*
 * compare_remark_test.c - what a comparison says of itself: devices that moved,
 * are too long, swapped or across a confluence, calibres that differ, and what
 * stands before any figure. Tables as in implanted.h.
 */
#include "support/implanted.h"

#include <math.h>
#include <stdlib.h>

#define EXACT 1e-9 /* rounding in sums of some hundred terms of 200 mm2 */

static bool is_told(const implanted_pair *tables, const bl_nominal *sizes,
                    size_t count, const char *words) {
    bl_compare_options options = implanted_unshifted();
    options.nominals = sizes;
    options.nominal_count = count;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    bool out = implanted_says(pair.of->warnings, pair.of->warning_count, words);
    compared_pair_free(&pair);
    return out;
}

/* Ends that are 5 mm apart are told of no more than equal ones; 6 mm are. */
static void test_moved(void **state) {
    (void)state;
    static const char words[] = "the device moved or shortened";
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 75; i <= 130; i++) {
        tables->before.frames[i].device.area_mm2 = 50.0;
    }
    assert_false(is_told(tables, NULL, 0, words));
    tables->before.frames[75].device.area_mm2 = 0.0;
    assert_true(is_told(tables, NULL, 0, words));
    for (size_t i = 0; i <= 200; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    assert_true(is_told(tables, NULL, 0, "device contours and the second has"));
    free(tables);
}

/* 60 mm of device: two of 120 do not go into them, two of 60 do. */
static void test_too_long(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    const bl_nominal longer[] = {{16.0, 120.0}, {14.0, 120.0}};
    const bl_nominal fitting[] = {{16.0, 60.0}, {14.0, 60.0}};
    assert_true(is_told(tables, longer, 2, "The nominal lengths are"));
    assert_false(is_told(tables, fitting, 2, "The nominal lengths are"));
    free(tables);
}

/* The lumen 1.25 times as wide as the device all along it, and in a third. */
static void test_swapped(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 70; i <= 130; i++) {
        implanted_frame *frame = &tables->after.frames[i];
        frame->vessel.area_mm2 = 240.0;
        if (i < 90) {
            frame->lumen.area_mm2 = 1.25 * frame->device.area_mm2;
        }
    }
    assert_false(is_told(tables, NULL, 0, "are swapped"));
    for (size_t i = 70; i <= 130; i++) {
        implanted_frame *frame = &tables->after.frames[i];
        frame->lumen.area_mm2 = 1.25 * frame->device.area_mm2;
    }
    assert_true(is_told(tables, NULL, 0, "are swapped"));
    free(tables);
}

static void test_foremost_device(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 96; i <= 106; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    assert_true(implanted_leads(tables, "No device contours over 12.0 mm"));
    assert_true(implanted_leads(tables, "no device lies there"));
    for (size_t i = 70; i <= 130; i++) {
        tables->before.frames[i].device.area_mm2 = 50.0;
    }
    assert_true(implanted_leads(tables, "the device came apart"));
    assert_false(implanted_leads(tables, "not where they were"));
    for (size_t i = 70; i <= 75; i++) {
        tables->before.frames[i].device.area_mm2 = 0.0;
    }
    assert_true(implanted_leads(tables, "not where they were, 76.0..130.0 mm"));
    for (size_t i = 70; i <= 130; i++) {
        implanted_frame *frame = &tables->after.frames[i];
        frame->vessel.area_mm2 = 240.0;
        frame->lumen.area_mm2 = 1.25 * frame->device.area_mm2;
    }
    assert_true(implanted_leads(tables, "may be swapped"));
    free(tables);
}

/* A device of 70..130: marks within it are crossed, by either travel; one at
 * its end, or in the other order, is not. */
static void check_crossed(const char *before, const char *after, size_t count,
                          const char *mark, double past_mm) {
    implanted_pair *tables = implanted_pair_new();
    tables->before.notes = before;
    tables->after.notes = after;
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    assert_int_equal(of->crossed_count, count);
    if (count > 0) {
        assert_string_equal(of->crossed[0].mark, mark);
        check_close(of->crossed[0].past_mm, past_mm, EXACT, "mm");
    }
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "end of the device lies") == (count > 0));
    compared_pair_free(&pair);
    free(tables);
}

static void test_crossed(void **state) {
    (void)state;
    check_crossed("# mark = iliocaval_confluence @ 83\n", "", 1,
                  "iliocaval_confluence", 13.0);
    check_crossed("", "# mark = femoral_confluence @ 118\n", 1,
                  "femoral_confluence", 12.0);
    check_crossed("# mark = iliocaval_confluence @ 83\n"
                  "# mark = femoral_confluence @ 118\n",
                  "", 2, "iliocaval_confluence", 13.0);
    check_crossed("# mark = iliocaval_confluence @ 70\n"
                  "# mark = femoral_confluence @ 140\n",
                  "", 0, "", 0.0);
    check_crossed("# travel = cranial\n# mark = iliocaval_confluence @ 118\n",
                  "# travel = cranial\n", 1, "iliocaval_confluence", 12.0);
}

/* Lumens of constant area: the ratio of diameters is the root of that of areas.
 * Told where it is over 5 % on both sides. */
static void check_calibre(double low_mm2, double high_mm2, bool told) {
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 0; i <= 200; i++) {
        if (i < 70 || i > 130) {
            tables->after.frames[i].lumen.area_mm2 =
                i < 70 ? low_mm2 : high_mm2;
        }
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_alignment *of = &pair.of->alignment;
    check_close(of->calibre_ratio[0], sqrt(low_mm2 / 200.0), EXACT, "");
    check_close(of->calibre_ratio[1], sqrt(high_mm2 / 200.0), EXACT, "");
    assert_true(implanted_says(pair.of->foremost, pair.of->foremost_count,
                               "On both sides of the treated") == told);
    compared_pair_free(&pair);
    free(tables);
}

static void test_calibre(void **state) {
    (void)state;
    check_calibre(200.0 * 1.15 * 1.15, 200.0 * 1.15 * 1.15, true);
    check_calibre(200.0 * 0.9 * 0.9, 200.0 * 0.94 * 0.94, true);
    check_calibre(200.0 * 1.15 * 1.15, 200.0 * 1.04 * 1.04, false);
    check_calibre(200.0, 200.0, false);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_moved),   cmocka_unit_test(test_too_long),
        cmocka_unit_test(test_swapped), cmocka_unit_test(test_crossed),
        cmocka_unit_test(test_calibre), cmocka_unit_test(test_foremost_device),
    };
    return cmocka_run_group_tests_name("compare remarks", tests, NULL, NULL);
}
