/*
 * warning_test.c - what an assessment tells of a given reference, of its size
 * and of scatter, at each limit of docs/definitions.md and one past it. Areas
 * of the polygons are exact, so that a limit is met to 1e-6 of it.
 */
#include "support/check.h"
#include "support/vein.h"

#include <stdio.h>

#define MORE (1.0 + 1e-6)
#define LESS (1.0 - 1e-6)

static vein one;

/* Whether a warning of the assessment has these words. */
static bool says(const char *words) {
    bl_study *study = vein_study(&one);
    bl_assessment *got = vein_assess(study, BL_RULE_TAPER, 0.0);
    bool said = vein_warns(got, words);
    bl_assessment_free(got);
    bl_study_free(study);
    return said;
}

/* A reference of some share of the diameter beside it, of 60 mm of vein that
 * is as wide only from 0 to `before` and from `behind` on. */
static bool is_wider_beside(double share, double before, double behind) {
    vein_straight(&one, 60.0, 0.5, 100.0);
    one.notes = "# reference = 25..35\n";
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        bool wide = x <= before || x >= behind;
        one.frames[i].area_mm2 = wide ? 100.0 : 100.0 * share * share;
    }
    return says("has wider vein on both sides");
}

static void test_wider_beside(void **state) {
    (void)state;
    assert_true(is_wider_beside(0.92 * LESS, 24.0, 36.0));
    assert_false(is_wider_beside(0.92 * MORE, 24.0, 36.0));
    /* On one side only it may be another vein, or taper. */
    assert_false(is_wider_beside(0.5, -1.0, 36.0));
    assert_false(is_wider_beside(0.5, 24.0, 61.0));
    /* Of a few frames no vein is made: calibre is over 10 mm. */
    assert_false(is_wider_beside(0.5, 1.0, 59.0));
}

/* 265.3 mm2 is the published median of the cava. */
static bool is_larger(double area_mm2) {
    vein_straight(&one, 60.0, 0.5, area_mm2);
    one.notes = "# reference = 25..35\n";
    return says("the inferior vena cava, the widest vein");
}

static void test_large(void **state) {
    (void)state;
    assert_true(is_larger(2.0 * 265.3 * MORE));
    assert_false(is_larger(2.0 * 265.3 * LESS));
}

/* A reference of 70 mm2, well below 125 mm2, the published normal of the common
 * femoral vein (docs/definitions.md), at 25..35 mm. */
static bool is_small(const char *notes, double inflow_mm) {
    char all[128];
    vein_straight(&one, 60.0, 0.5, 70.0);
    (void)snprintf(all, sizeof all, "# reference = 25..35\n%s", notes);
    one.notes = all;
    bl_assess_options options = bl_assess_defaults();
    options.inflow_mm = inflow_mm;
    bl_study *study = vein_study(&one);
    bl_assessment *got = NULL;
    assert_int_equal(bl_assess(study, &options, &got, NULL), BL_OK);
    bool said =
        vein_warns(got, "125 mm2") && vein_warns(got, "common femoral vein)");
    bl_assessment_free(got);
    bl_study_free(study);
    return said;
}

/* No normal of a femoral vein is published: it is held against none. */
static void test_small(void **state) {
    (void)state;
    static const char common[] = "# mark = inguinal_ligament @ 5\n"
                                 "# mark = femoral_confluence @ 55\n";
    assert_true(is_small("", 0.0));
    assert_false(is_small("", 20.0));
    assert_true(is_small(common, 0.0));
    assert_true(is_small(common, 20.0));
    assert_false(is_small("# mark = femoral_confluence @ 5\n", 0.0));
    assert_false(is_small("# mark = femoral_confluence @ 5\n", 20.0));
}

/* Every other frame is larger by a share; 30 % lies between 22 and 38 %. */
static void test_scatter(void **state) {
    (void)state;
    size_t said = 0;
    for (int share = 22; share <= 38; share++) {
        vein_straight(&one, 60.0, 0.5, 100.0);
        for (size_t i = 0; i < one.count; i += 2) {
            one.frames[i].area_mm2 = 100.0 + share;
        }
        one.notes = "# reference = 25..35\n";
        bl_study *study = vein_study(&one);
        bl_assessment *got = vein_assess(study, BL_RULE_TAPER, 0.0);
        bool above = got->intervals.scatter_cv_pct > 30.0;
        assert_int_equal(vein_warns(got, "were two edges traced in turn"),
                         above);
        said += above;
        bl_assessment_free(got);
        bl_study_free(study);
    }
    assert_true(said > 0 && said < 17);
}

/* One frame far below the others, and three. */
static void test_frames_below(void **state) {
    (void)state;
    for (size_t low = 1; low <= 3; low += 2) {
        vein_straight(&one, 60.0, 0.5, 100.0);
        one.notes = "# reference = 25..35\n";
        for (size_t i = 0; i < low; i++) {
            one.frames[20 + 20 * i].area_mm2 = 60.0;
        }
        bl_study *study = vein_study(&one);
        bl_assessment *got = vein_assess(study, BL_RULE_TAPER, 5.0);
        assert_int_equal(vein_warns(got, "one frame reads 60.0 mm2"), low == 1);
        assert_int_equal(
            vein_warns(got, "3 frames read far less, down to 60.0 mm2"),
            low == 3);
        bl_assessment_free(got);
        bl_study_free(study);
    }
}

/* Intervals are made for a median over 1 mm; over 5 mm there are none. */
static void test_long_median(void **state) {
    (void)state;
    vein_straight(&one, 60.0, 0.5, 150.0);
    one.notes = "# reference = 5..20\n";
    bl_study *study = vein_study(&one);
    static const double smooth[] = {1.0, 2.0, 2.0 * MORE, 5.0, 5.0 * MORE};
    for (size_t i = 0; i < 5; i++) {
        bl_assess_options options = bl_assess_defaults();
        options.smooth_mm = smooth[i];
        bl_assessment *got = NULL;
        bl_message message;
        assert_int_equal(bl_assess(study, &options, &got, &message), BL_OK);
        assert_int_equal(vein_warns(got, "made for the usual 1 mm"),
                         i == 2 || i == 3);
        bl_assessment_free(got);
    }
    bl_study_free(study);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_wider_beside),
        cmocka_unit_test(test_large),
        cmocka_unit_test(test_small),
        cmocka_unit_test(test_scatter),
        cmocka_unit_test(test_long_median),
        cmocka_unit_test(test_frames_below),
    };
    return cmocka_run_group_tests_name("warning", tests, NULL, NULL);
}
