/*
 * plan_source_test.c - what the sizes of a plan are taken from: a reference in
 * another vein, on one side only, or a mean of two veins. Worked by hand.
 */
#include "support/check.h"
#include "support/shelved.h"

#include <string.h>

static made one;

static void check_doubted(const bl_plan *plan, const char *words, bool told) {
    if (told) {
        check_told(plan->doubts, plan->doubt_count, words);
        return;
    }
    for (size_t i = 0; i < plan->doubt_count; i++) {
        assert_null(strstr(plan->doubts[i], words));
    }
}

static void narrowed_vein(double wide_mm, const char *notes) {
    made_vein(&one, 0.0, 200.0, wide_mm, wide_mm, notes);
    made_narrow(&one, 60.0, 100.0);
    one.narrowings[0].area_stenosis_interval_pct = (bl_interval){60.0, 70.0};
    one.segments[0].serves_worst = true;
    one.segments[1].serves_worst = true;
}

/* A reference that was given in the cava sizes what lies outside it; one that
 * was found beside others is led down to them. */
static void test_reference_in_the_cava(void **state) {
    (void)state;
    static const struct {
        bl_reference_from from;
        bool other_serves;
        bool told;
    } cases[] = {{BL_FROM_GIVEN, true, true},
                 {BL_FROM_FOUND, true, false},
                 {BL_FROM_FOUND, false, true}};
    for (size_t i = 0; i < 3; i++) {
        narrowed_vein(16.0, "# mark = iliocaval_confluence @ 30\n");
        one.of.reference_from = cases[i].from;
        one.segments[0].vein = BL_VEIN_CAVA;
        one.segments[1].serves_worst = cases[i].other_serves;
        bl_plan_options options = shelved_options(NULL);
        bl_plan *plan = made_plan(&one, &options);
        check_doubted(plan, "the reference lies in the inferior vena cava",
                      cases[i].told);
        assert_int_equal(plan->warning_count, cases[i].told);
        if (cases[i].told) {
            made_says(plan, "sized by the reference at 0.0..0.0 mm, which "
                            "lies in the inferior vena cava");
        }
        bl_plan_free(plan);
        made_free(&one);
    }
}

/* Without marks: the median of cavas without disease is 18.4 mm (Phlebology,
 * iliac vein morphometry by intravascular ultrasound). In the cava itself
 * nothing is wrong with it. */
static void test_reference_as_wide_as_a_cava(void **state) {
    (void)state;
    static const struct {
        double wide_mm;
        const char *notes;
        bool told;
    } cases[] = {{18.3, "", false},
                 {18.5, "", true},
                 {18.5, "# mark = iliocaval_confluence @ 30\n", true},
                 {18.5, "# mark = iliocaval_confluence @ 150\n", false}};
    for (size_t i = 0; i < 4; i++) {
        narrowed_vein(cases[i].wide_mm, cases[i].notes);
        bl_plan_options options = shelved_options(NULL);
        bl_plan *plan = made_plan(&one, &options);
        check_doubted(plan, "as wide as an inferior vena cava", cases[i].told);
        if (cases[i].told) {
            made_says(plan, "a reference of 18.5 mm, as wide as the inferior "
                            "vena cava is (median without disease 18.4 mm");
        }
        bl_plan_free(plan);
        made_free(&one);
    }
}

static void test_reference_on_one_side(void **state) {
    (void)state;
    static const char *const caudal = "all reference lies caudal";
    bl_plan_options options = shelved_options(NULL);
    narrowed_vein(15.5, "");
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->doubt_count, 0);
    bl_plan_free(plan);
    one.segments[0].span = (bl_span){110.0, 130.0};
    plan = made_plan(&one, &options);
    check_doubted(plan, caudal, true);
    bl_plan_free(plan);
    made_free(&one);
    /* Of the vein that is treated it counts from either side. */
    narrowed_vein(15.5, "# mark = iliocaval_confluence @ 30\n"
                        "# mark = internal_iliac_confluence @ 150\n");
    one.segments[0].span = (bl_span){110.0, 130.0};
    one.segments[0].vein = BL_VEIN_COMMON_ILIAC;
    plan = made_plan(&one, &options);
    assert_int_equal(plan->doubt_count, 0);
    bl_plan_free(plan);
    made_free(&one);
}

/* 20 mm up to 80 mm and 16 from there on: 55..105 mm are half and half. */
static void test_one_size_for_two_veins(void **state) {
    (void)state;
    narrowed_vein(16.0, "# mark = iliocaval_confluence @ 80\n");
    for (size_t i = 0; i < one.of.profile_count; i++) {
        if (one.profile[i].position_mm < 80.0) {
            one.profile[i].reference_area_mm2 *= 400.0 / 256.0;
            one.profile[i].equivalent_diameter_mm *= 20.0 / 16.0;
        }
    }
    bl_stock *stock = shelved("a,20,50,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    made_says(plan, "20 x 50 mm at 55.0..105.0 mm lies on both sides of "
                    "iliocaval_confluence, 80.0 mm: its reference, 18.0 mm, "
                    "is a mean of 20.0 mm in the cava and 16.0 mm in the "
                    "iliac vein");
    check_doubted(plan,
                  "the diameter of 20 x 50 mm, which lies on both sides "
                  "of iliocaval_confluence: a mean of 20.0 mm",
                  true);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* Nothing is narrowed of what was judged. */
static void test_unjudged_vein(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    one.of.traced_mm = 200.0;
    one.of.judged_mm = 170.0;
    bl_plan_options options = shelved_options(NULL);
    bl_plan *plan = made_plan(&one, &options);
    check_doubted(plan, "whether 30.0 mm without a reference are narrowed",
                  true);
    bl_plan_free(plan);
    made_free(&one);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_reference_in_the_cava),
        cmocka_unit_test(test_reference_as_wide_as_a_cava),
        cmocka_unit_test(test_reference_on_one_side),
        cmocka_unit_test(test_one_size_for_two_veins),
        cmocka_unit_test(test_unjudged_vein),
    };
    return cmocka_run_group_tests_name("plan sources", tests, NULL, NULL);
}
