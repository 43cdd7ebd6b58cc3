/*
 * unjudged_test.c - vein without a reference, and ends without healthy vein:
 * what a plan must not claim of them. Veins and sums by hand.
 */
#include "support/check.h"
#include "support/shelved.h"

#include <math.h>

#define MARKS                                                                  \
    "# mark = iliocaval_confluence @ 10\n"                                     \
    "# mark = internal_iliac_confluence @ 80\n"

static made one;

/* 15.5 mm throughout, 188.7 mm2; no reference up to 80 mm; narrowed from 100 to
 * 130 mm. */
static void half_judged(const char *notes) {
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, notes);
    made_narrow(&one, 100.0, 130.0);
    for (size_t i = 0; i < one.of.profile_count; i++) {
        if (one.profile[i].position_mm < 80.0) {
            one.profile[i].reference_area_mm2 = (double)NAN;
        }
    }
}

static bl_plan *treated(bl_stock *stock, double from_mm, double to_mm) {
    bl_plan_options options = bl_plan_defaults();
    options.stock = stock;
    options.treat_given = true;
    options.treat = (bl_span){from_mm, to_mm};
    return made_plan(&one, &options);
}

static void check_doubts(const bl_plan *plan, const char *words) {
    check_told(plan->doubts, plan->doubt_count, words);
}

/* Of 15..95 mm only 80..95 have a reference. */
static void test_sized_by_vein_elsewhere(void **state) {
    (void)state;
    half_judged(MARKS);
    bl_stock *stock = shelved("a,16,80,0\n");
    bl_plan *plan = treated(stock, 15.0, 85.0);
    const bl_stretch *own = &plan->stretches[0];
    check_close(own->chain.devices[0].unjudged_mm, 65.0, 1e-9, "mm");
    assert_int_equal(own->landings[0].ends_at, BL_BORDER_REFERENCE);
    made_says(plan, "65.0 mm of 16 x 80 mm at 15.0..95.0 mm have no reference: "
                    "it is sized by what lies in 80.0..95.0 mm only");
    made_says(plan, "no narrowing is known in the stretch to treat, but 65.0 "
                    "mm of its 70.0 mm have no reference");
    made_says(plan, "whether healthy vein lies cranially of the treated vein "
                    "is not known, since 15.0 mm there have no reference");
    check_doubts(plan, "the diameters, since 65.0 of the 80.0 mm to be covered "
                       "have no reference");
    check_doubts(plan, "the cranial end, beside which it is not known whether "
                       "healthy vein lies");
    check_no_doubt(plan, "beside which no healthy vein lies");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* As much to be covered without a stock: 15 to 90 mm. */
static void test_wanted_without_a_reference(void **state) {
    (void)state;
    half_judged("");
    bl_plan *plan = treated(NULL, 15.0, 85.0);
    check_doubts(plan, "the diameters, since 65.0 of the 75.0 mm to be covered "
                       "have no reference");
    bl_plan_free(plan);
    plan = treated(NULL, 85.0, 140.0);
    check_no_doubt(plan, "the diameters");
    made_free(&one);
    bl_plan_free(plan);
}

/* 188.7 of 200 mm2 (Jayaraj et al. 2021) are 94 %. The cava is told further
 * down only. */
static void test_veins_that_were_not_judged(void **state) {
    (void)state;
    bl_plan_options options = bl_plan_defaults();
    half_judged(MARKS);
    bl_plan *plan = made_plan(&one, &options);
    check_doubts(plan, "70.0 mm of common iliac vein not judged, least area 94 "
                       "% of normal");
    check_no_doubt(plan, "cava");
    bl_plan_free(plan);
    made_free(&one);
    half_judged("");
    plan = made_plan(&one, &options);
    check_doubts(plan, "80.0 mm of vein not judged, least area 188.7 mm2");
    bl_plan_free(plan);
    made_free(&one);
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, MARKS);
    made_narrow(&one, 100.0, 130.0);
    plan = made_plan(&one, &options);
    check_no_doubt(plan, "not judged");
    bl_plan_free(plan);
    made_free(&one);
}

/* Healthy vein that ends at a confluence, beyond which there is no reference,
 * ends at the confluence. */
static void test_confluence_before_no_reference(void **state) {
    (void)state;
    half_judged("# mark = iliocaval_confluence @ 80\n");
    bl_plan_options options = bl_plan_defaults();
    bl_plan *plan = made_plan(&one, &options);
    const bl_landing *cranial = &plan->stretches[0].landings[0];
    check_close(cranial->healthy_vein.from_mm, 80.0, 1e-9, "mm");
    assert_int_equal(cranial->ends_at, BL_BORDER_CONFLUENCE);
    bl_plan_free(plan);
    made_free(&one);
    half_judged("");
    plan = made_plan(&one, &options);
    assert_int_equal(plan->stretches[0].landings[0].ends_at,
                     BL_BORDER_REFERENCE);
    bl_plan_free(plan);
    made_free(&one);
}

static void narrow_all(double to_mm) {
    for (size_t i = 0; i < one.of.profile_count; i++) {
        if (one.profile[i].position_mm < to_mm) {
            one.profile[i].equivalent_diameter_mm = 7.0;
        }
    }
}

/* Narrowed up to 100 mm, a gap from 10 to 20 mm: what lies there is not known,
 * of judged vein it is, and where the pullback begins nothing is. */
static void test_no_healthy_vein(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    narrow_all(100.0);
    bl_plan *plan = treated(NULL, 30.0, 60.0);
    made_says(plan, "no healthy vein lies cranially of the treated vein: "
                    "the landing point is its end, 30.0 mm");
    check_doubts(plan, "the cranial end, beside which no healthy vein lies");
    check_doubts(plan, "the caudal end, beside which healthy vein lies further "
                       "off only");
    bl_plan_free(plan);
    plan = treated(NULL, 0.0, 60.0);
    made_says(plan, "what lies cranially of the treated vein was not traced");
    check_doubts(plan, "the cranial end, beside which it is not known");
    bl_plan_free(plan);
    made_gap(&one, 10.0, 20.0);
    plan = treated(NULL, 30.0, 60.0);
    made_says(plan, "whether healthy vein lies cranially of the treated vein "
                    "is not known, since 10.0 mm there were not traced");
    bl_plan_free(plan);
    made_free(&one);
}

/* 50 to 55 mm of a narrowing are named, and 16 x 40 mm end at 90 mm. */
static void check_past(double narrow_to_mm, double judged_to_mm,
                       const char *words) {
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    narrow_all(narrow_to_mm);
    for (size_t i = 0; i < one.of.profile_count; i++) {
        if (one.profile[i].position_mm > judged_to_mm) {
            one.profile[i].reference_area_mm2 = (double)NAN;
        }
    }
    bl_stock *stock = shelved("a,16,40,0\n");
    bl_plan *plan = treated(stock, 50.0, 55.0);
    made_says(plan, words);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

static void test_end_past_the_landing_point(void **state) {
    (void)state;
    check_past(75.0, 200.0,
               "the caudal end of the devices, 90.0 mm, lies 35.0 mm past the "
               "landing point, in the healthy vein at 74.9..200.0 mm");
    check_past(100.0, 200.0,
               "past the landing point, in vein that is not healthy");
    check_past(100.0, 60.0,
               "past the landing point, in vein without a reference");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sized_by_vein_elsewhere),
        cmocka_unit_test(test_wanted_without_a_reference),
        cmocka_unit_test(test_veins_that_were_not_judged),
        cmocka_unit_test(test_confluence_before_no_reference),
        cmocka_unit_test(test_no_healthy_vein),
        cmocka_unit_test(test_end_past_the_landing_point),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
