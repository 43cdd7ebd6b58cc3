/*
 * figure_plan_test.c - a plan in the figure: its devices keep clear of each
 * other, and what was planned, where, and what is wrong with it is said on
 * every page. All cases are invented.
 */
#include "support/check.h"
#include "support/drawn.h"
#include "support/picture.h"

static void test_devices_keep_clear(void **state) {
    (void)state;
    static const double lengths[] = {5.0, 60.0, 200.0, 600.0};
    size_t wrong = 0;
    for (size_t i = 0; i < 4; i++) {
        for (size_t each = 0; each <= 4; each++) {
            drawn_fill(lengths[i], each % 2 == 1, 2);
            drawn_add_plan(lengths[i], each, false);
            wrong += drawn_check_pages("a plan");
            drawn_add_plan(lengths[i], each, true);
            drawn_add_marks(drawn_plain_names, 4, 4, 0.05, 0.3);
            wrong +=
                drawn_check_pages("a plan, marks and a chain to be checked");
            drawn_add_ripple(lengths[i], false);
            wrong += drawn_check_pages("the same that ripples");
        }
    }
    assert_int_equal(wrong, 0);
}

static void test_plan_says_what_and_where(void **state) {
    (void)state;
    bl_figure *figure = NULL;
    drawn_fill(200.0, false, 2);
    drawn_add_plan(200.0, 2, true);
    assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "if the operator decides to treat"));
    /* A landing point is not where a device ends. */
    assert_true(picture_says(figure, "land 24"));
    assert_true(picture_says(figure, "174 ?"));
    assert_true(picture_says(figure, "what if: keeps rules"));
    bl_figure_free(figure);
    drawn_add_plan(200.0, 0, false);
    assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "70.0\xC2\xA0mm to cover, no device"));
    bl_figure_free(figure);
    drawn_one.plan.stretch_count = 0;
    assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "Plan: nothing reaches the threshold."));
    bl_figure_free(figure);
}

/* A chain that breaks rules looks like none that keeps them, at any size; and
 * what is not certain is on the page too. */
static void test_plan_says_what_is_wrong(void **state) {
    (void)state;
    static const char *const doubts[] = {"the length", "the devices"};
    size_t wrong = 0;
    drawn_fill(200.0, false, 2);
    drawn_add_plan(200.0, 2, true);
    drawn_one.plan.wish_finding_count = 3;
    drawn_one.plan.doubts = doubts;
    drawn_one.plan.doubt_count = 2;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        bl_figure *figure = NULL;
        assert_int_equal(
            drawn_figure(picture_pages[i][0], picture_pages[i][1], &figure),
            BL_OK);
        assert_true(picture_says(figure, "if: 3 findings "));
        assert_true(picture_says(figure, "land "));
        bl_figure_free(figure);
    }
    wrong += drawn_check_pages("a plan and a chain that breaks rules");
    assert_int_equal(wrong, 0);
    bl_figure *figure = NULL;
    assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "what if: 3 findings "));
    assert_true(picture_says(figure, ": 3 findings, see the report."));
    assert_true(
        picture_says(figure, "Not certain: the length; and 1 more, see the"));
    bl_figure_free(figure);
    assert_int_equal(drawn_figure(80, 60, &figure), BL_OK);
    assert_true(picture_says(figure, "What if: 3 findings."));
    assert_true(
        picture_says(figure, "operator treats (not certain): 18\xC2\xA0"));
    bl_figure_free(figure);
    drawn_one.plan.wish_finding_count = 0;
    drawn_one.plan.wish_unjudged_count = 1;
    assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "what if: not judged"));
    assert_true(picture_says(figure, ": cannot be judged, no reference."));
    bl_figure_free(figure);
}

/* A device that lies there already has its word on every page, also where
 * nothing is to be treated. */
static void test_device_there_already(void **state) {
    (void)state;
    const bl_earlier there = {{110.0, 190.0}, 81, 0.0, false};
    for (size_t stretches = 0; stretches < 2; stretches++) {
        drawn_fill(200.0, false, 2);
        drawn_add_plan(200.0, 1, false);
        drawn_one.plan.stretch_count = stretches;
        drawn_one.plan.earlier = &there;
        drawn_one.plan.earlier_count = 1;
        bl_figure *figure = NULL;
        assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
        assert_true(picture_says(figure, "there already"));
        bl_figure_free(figure);
        assert_int_equal(drawn_check_pages("a device that lies there already"),
                         0);
    }
}

/* Four of 16 mm and five of 14 mm where there is no room for nine numbers:
 * both are said, and neither alone. */
static void test_plan_of_many_devices(void **state) {
    (void)state;
    bl_device nine[9];
    double overlaps[8];
    drawn_fill(300.0, false, 2);
    drawn_add_plan(300.0, 1, false);
    for (size_t i = 0; i < 9; i++) {
        double at = 20.0 + 25.0 * (double)i;
        nine[i] = (bl_device){.diameter_mm = i < 4 ? 16.0 : 14.0,
                              .length_mm = 40.0,
                              .span = {at, at + 40.0}};
        overlaps[i < 8 ? i : 7] = 15.0;
    }
    drawn_one.plan.stretch_count = 1;
    drawn_one.stretches[0].chain = (bl_chain){nine, 9, overlaps, 0.0};
    bl_figure *figure = NULL;
    assert_int_equal(drawn_figure(80, 60, &figure), BL_OK);
    assert_true(picture_says(figure, "4 of\xC2\xA0"
                                     "16"));
    assert_true(picture_says(figure, "5 of\xC2\xA0"
                                     "14"));
    assert_true(picture_says(figure, "4 of 16"));
    bl_figure_free(figure);
    assert_int_equal(drawn_check_pages("a plan of many devices"), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_devices_keep_clear),
        cmocka_unit_test(test_plan_says_what_and_where),
        cmocka_unit_test(test_plan_says_what_is_wrong),
        cmocka_unit_test(test_device_there_already),
        cmocka_unit_test(test_plan_of_many_devices),
    };
    return cmocka_run_group_tests(tests, NULL, picture_release);
}
