/*
 * plan_wish_test.c - a chain that the user names: where it lies, what of the
 * rules it breaks, and what of it cannot be judged. Worked by hand.
 */
#include "support/check.h"
#include "support/shelved.h"

#include <string.h>

#include <math.h>

static made one;

static bl_plan *wished(const bl_stock *stock, const bl_device_wish *wishes,
                       size_t count) {
    bl_plan_options options = shelved_options(stock);
    options.wishes = wishes;
    options.wish_count = count;
    return made_plan(&one, &options);
}

static void test_wishes(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    made_narrow(&one, 40.0, 100.0); /* 35 to 105 to be covered */
    bl_stock *stock = shelved("a,16,80,0,1\nb,16,50,10,9999\nc,14,90,0,9999\n");
    const bl_device_wish good[] = {{16.0, 80.0, 30.0}};
    bl_plan *plan = wished(stock, good, 1);
    assert_int_equal(plan->wish_finding_count, 0);
    check_label(&plan->wish.devices[0], "a");
    check_span(plan->wish.devices[0].span, 30.0, 110.0);
    check_close(plan->wish.beyond_mm, 10.0, 1e-9, "mm");
    bl_plan_free(plan);
    /* Given in any order; foreshortening is the list's. */
    const bl_device_wish two[] = {{16.0, 50.0, 65.0}, {16.0, 50.0, 35.0}};
    plan = wished(stock, two, 2);
    assert_int_equal(plan->wish_finding_count, 0);
    check_span(plan->wish.devices[0].span, 35.0, 80.0);
    check_span(plan->wish.devices[1].span, 65.0, 110.0);
    check_close(plan->wish.overlaps_mm[0], 15.0, 1e-9, "mm");
    bl_plan_free(plan);
    const bl_device_wish bad[] = {{16.0, 80.0, 40.0},
                                  {16.0, 80.0, 115.0},
                                  {18.5, 30.0, 180.0},
                                  {14.0, 90.0, 112.0}};
    plan = wished(stock, bad, 4);
    made_finds(plan, "35.0..40.0 mm, between the landing points, is not "
                     "covered");
    made_finds(plan, "16 x 80 mm: 1 on the list, 2 wanted");
    made_finds(plan, "18.5 x 30 mm is not on the list: no foreshortening is "
                     "assumed");
    made_finds(plan, "14 x 90 mm at 112.0..202.0 mm covers nothing of what is "
                     "to be treated");
    made_finds(plan, "14 x 90 mm at 112.0..202.0 mm is 1.5 mm narrower than "
                     "the reference over its stretch, 15.5 mm");
    made_finds(plan, "differ by 2.5 mm, more than 2 mm");
    bl_plan_free(plan);
    const bl_device_wish short_overlap[] = {{16.0, 50.0, 35.0},
                                            {16.0, 50.0, 70.0}};
    plan = wished(stock, short_overlap, 2);
    made_finds(plan, "neighbouring devices overlap by 10.0 mm at 70.0 mm, "
                     "less than 15.0 mm");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* Nothing to treat: what can be checked is. */
static void test_wish_without_a_stretch(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5,
              "# mark = iliocaval_confluence @ 4\n");
    const bl_device_wish outside = {16.0, 40.0, -5.0};
    bl_plan *plan = wished(NULL, &outside, 1);
    made_finds(plan, "the cranial end of the devices, -5.0 mm, lies 9.0 mm "
                     "past iliocaval_confluence, 4.0 mm");
    made_finds(plan, "of what the devices cover, -5.0..35.0 mm, 5.0 mm were "
                     "not traced");
    made_finds(plan, "16 x 40 mm at -5.0..35.0 mm covers nothing of what is "
                     "to be treated");
    assert_int_equal(plan->wish_finding_count, 3);
    assert_int_equal(plan->wish_unjudged_count, 0);
    bl_plan_free(plan);
    made_free(&one);
}

/* No reference from 50 mm on: no rule of width can be kept or broken there. */
static void test_wish_without_a_reference(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    for (size_t i = 0; i < one.of.profile_count; i++) {
        if (one.profile[i].position_mm > 50.0) {
            one.profile[i].reference_area_mm2 = (double)NAN;
        }
    }
    const bl_device_wish there = {16.0, 40.0, 60.0};
    bl_plan *plan = wished(NULL, &there, 1);
    assert_int_equal(plan->wish_finding_count, 0);
    assert_int_equal(plan->wish_unjudged_count, 1);
    assert_string_equal(plan->wish_unjudged[0],
                        "the width of 16 x 40 mm at 60.0..100.0 mm, and "
                        "whether it covers what is to be treated: no reference "
                        "is known there");
    bl_plan_free(plan);
    made_free(&one);
}

/* Two narrowings 35 mm apart, which one device of 100 mm would treat together:
 * two of 40 mm leave healthy vein between them, which is no gap. */
static void test_wish_apart(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    made_narrow(&one, 60.0, 80.0);
    made_narrow(&one, 125.0, 145.0);
    bl_stock *stock = shelved("a,16,100,0\nb,16,30,0\n");
    bl_plan_options options = shelved_options(stock);
    const bl_device_wish two[] = {{16.0, 30.0, 55.0}, {16.0, 30.0, 120.0}};
    options.wishes = two;
    options.wish_count = 2;
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->stretch_count, 1);
    assert_int_equal(plan->wish_stretch_count, 2);
    assert_int_equal(plan->wish_finding_count, 0);
    bl_plan_free(plan);
    /* 35 mm were bare; 29.9 mm are less than is joined. */
    const bl_device_wish nearer[] = {{16.0, 30.0, 60.1}, {16.0, 30.0, 120.0}};
    options.wishes = nearer;
    plan = made_plan(&one, &options);
    assert_int_equal(plan->wish_stretch_count, 2);
    made_finds(plan, "29.9 mm of vein lie bare between devices at 90.1..120.0 "
                     "mm, less than 30.0 mm (--join)");
    bl_plan_free(plan);
    /* Joined they are treated together, and overlap by too little. */
    const bl_device_wish joined[] = {{16.0, 40.0, 55.0}, {16.0, 60.0, 85.0}};
    options.wishes = joined;
    plan = made_plan(&one, &options);
    assert_int_equal(plan->wish_stretch_count, 1);
    made_finds(plan, "neighbouring devices overlap by 10.0 mm at 85.0 mm, "
                     "less than 15.0 mm");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* 150 to 190 mm within 105 to 205 mm: 40 mm are shared, not 205 - 150. */
static void test_wish_within_another(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 110.0, 200.0);
    const bl_device_wish two[] = {{16.0, 100.0, 105.0}, {16.0, 40.0, 150.0}};
    bl_plan *plan = wished(NULL, two, 2);
    check_close(plan->wish.overlaps_mm[0], 40.0, 1e-9, "mm");
    assert_int_equal(plan->wish_finding_count, 1);
    made_finds(plan, "16 x 40 mm at 150.0..190.0 mm lies wholly in 16 x 100 mm "
                     "at 105.0..205.0 mm: it covers nothing more");
    bl_plan_free(plan);
    made_free(&one);
}

/* 85..125 mm lie in 20..100 and 100..180 mm, or miss 1 mm of them. */
static void test_wish_within_two(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 30.0, 160.0);
    for (size_t i = 0; i < 2; i++) {
        const bl_device_wish three[] = {{16.0, 80.0, 20.0},
                                        {16.0, 40.0, 85.0},
                                        {16.0, 80.0, 100.0 + (double)i}};
        bl_plan *plan = wished(NULL, three, 3);
        size_t told = 0;
        for (size_t k = 0; k < plan->wish_finding_count; k++) {
            told += strcmp(plan->wish_findings[k],
                           "16 x 40 mm at 85.0..125.0 mm lies wholly in its "
                           "neighbours: it covers nothing more") == 0;
        }
        assert_int_equal(told, 1 - i);
        bl_plan_free(plan);
    }
    made_free(&one);
}

/* The plan's own devices as a chain of the user's: the same is said of it, all
 * of which is of its ends. */
static void check_fed_back(const char *lines, size_t told) {
    bl_stock *stock = shelved(lines);
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    bl_device_wish wishes[4];
    size_t count = 0;
    for (size_t i = 0; i < plan->stretch_count; i++) {
        const bl_chain *chain = &plan->stretches[i].chain;
        for (size_t k = 0; k < chain->device_count; k++) {
            const bl_device *device = &chain->devices[k];
            wishes[count++] = (bl_device_wish){
                device->diameter_mm, device->length_mm, device->span.from_mm};
        }
    }
    options.wishes = wishes;
    options.wish_count = count;
    bl_plan *fed = made_plan(&one, &options);
    assert_int_equal(plan->warning_count, told);
    assert_int_equal(fed->wish_finding_count, told);
    for (size_t i = 0; i < told; i++) {
        made_finds(fed, plan->warnings[i]);
    }
    bl_plan_free(fed);
    bl_plan_free(plan);
    bl_stock_free(stock);
}

static void test_plan_fed_back(void **state) {
    (void)state;
    /* Traced 1 mm wider between two narrowings, where two devices end. */
    made_vein(&one, 0.0, 300.0, 14.0, 14.0, "");
    for (size_t i = 0; i < one.of.profile_count; i++) {
        double x = one.profile[i].position_mm;
        if (x > 70.0 && x < 180.0) {
            one.profile[i].equivalent_diameter_mm = 15.0;
        }
    }
    made_narrow(&one, 40.0, 70.0);
    made_narrow(&one, 180.0, 210.0);
    check_fed_back("a,14,60,0\n", 2);
    made_free(&one);
    /* Healthy vein of 5 mm at one end; the other end is open, and 5 mm of the
     * device lie past it. */
    made_vein(&one, 0.0, 100.0, 16.0, 16.0, "");
    made_narrow(&one, 5.0, 95.0);
    one.narrowings[0].open_to = true;
    check_fed_back("a,16,100,0\nb,16,140,0\n", 3);
    made_free(&one);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_wishes),
        cmocka_unit_test(test_wish_without_a_stretch),
        cmocka_unit_test(test_wish_without_a_reference),
        cmocka_unit_test(test_wish_apart),
        cmocka_unit_test(test_wish_within_another),
        cmocka_unit_test(test_wish_within_two),
        cmocka_unit_test(test_plan_fed_back),
    };
    return cmocka_run_group_tests_name("plan wishes", tests, NULL, NULL);
}
