/*
 * plan_options_test.c - options of a plan: which are refused, and the stretch
 * that the user names.
 */
#include "support/check.h"
#include "support/shelved.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static made one;

static void check_refused(bl_plan_options options, bl_status status,
                          const char *words) {
    bl_plan *plan = NULL;
    bl_message message;
    assert_int_equal(bl_plan_new(one.study, &one.of, &options, &plan, &message),
                     status);
    assert_null(plan);
    assert_int_equal(message.status, status);
    assert_non_null(strstr(message.text, words));
}

static void test_options(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    made_narrow(&one, 40.0, 100.0);
    bl_plan_options options = bl_plan_defaults();
    options.landing_mm = 100.1;
    check_refused(options, BL_ERR_ARGUMENT, "landing length");
    options = bl_plan_defaults();
    options.overlap_mm = -0.1;
    check_refused(options, BL_ERR_ARGUMENT, "overlap");
    options = bl_plan_defaults();
    options.margin_mm = (double)NAN;
    check_refused(options, BL_ERR_ARGUMENT, "margin");
    options = bl_plan_defaults();
    options.join_mm = 301.0;
    check_refused(options, BL_ERR_ARGUMENT, "join");
    options = bl_plan_defaults();
    options.step_mm = 21.0;
    check_refused(options, BL_ERR_ARGUMENT, "step");
    options = bl_plan_defaults();
    options.oversize_limit_pct = 101.0;
    check_refused(options, BL_ERR_ARGUMENT, "limit of oversize");
    options = bl_plan_defaults();
    options.treat_given = true;
    options.treat = (bl_span){150.0, 200.1};
    check_refused(options, BL_ERR_ARGUMENT,
                  "150.0..200.1 mm, is not within what was traced, "
                  "0.0..200.0 mm");
    options.treat = (bl_span){60.0, 60.0};
    check_refused(options, BL_ERR_ARGUMENT, "has no length");
    options = bl_plan_defaults();
    bl_device_wish wishes[] = {{41.0, 80.0, 0.0}};
    options.wishes = wishes;
    options.wish_count = 1;
    check_refused(options, BL_ERR_ARGUMENT, "device 1");
    one.of.reference_from = BL_FROM_NOTHING;
    check_refused(bl_plan_defaults(), BL_ERR_REFERENCE, "no reference");
    made_free(&one);
    bl_plan_free(NULL);
    assert_string_equal(bl_size_by_name(BL_SIZE_BY_PERIMETER), "perimeter");
    assert_string_equal(bl_border_name(BL_BORDER_REFERENCE),
                        "vein without a reference");
    assert_string_equal(bl_border_name(BL_BORDER_CONFLUENCE), "confluence");
}

/* A stretch of the user's, with and without narrowings. */
static void test_treat(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 40.0, 60.0);
    made_narrow(&one, 140.0, 160.0);
    bl_plan_options options = shelved_options(NULL);
    options.treat_given = true;
    options.treat = (bl_span){38.0, 100.0};
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->stretch_count, 1);
    assert_int_equal(plan->stretches[0].narrowing_count, 1);
    assert_int_equal(plan->untreated_count, 1);
    check_close(plan->stretches[0].cover_mm, 72.0, 1e-9, "mm");
    made_says(plan, "1 narrowing lies outside the stretch to treat");
    bl_plan_free(plan);
    options.treat = (bl_span){200.0, 220.0};
    plan = made_plan(&one, &options);
    assert_int_equal(plan->stretches[0].narrowing_count, 0);
    made_says(plan, "the stretch to treat holds no narrowing");
    bl_plan_free(plan);
    made_free(&one);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_options),
        cmocka_unit_test(test_treat),
    };
    return cmocka_run_group_tests_name("plan options", tests, NULL, NULL);
}
