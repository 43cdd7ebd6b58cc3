/*
 * telling_test.c - what a plan says of itself: marks and misfits, alternatives
 * held against the rules, other lengths, doubts. Veins and sums by hand.
 */
#include "support/check.h"
#include "support/shelved.h"

static made one;

/* ----------------------------------------------------------------- the vein */

/* Healthy vein ends at a confluence, and a chain of the user that goes over it
 * is told; so are ends near the ligament, which are not avoided. */
static void test_marks(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5,
              "# mark = iliocaval_confluence @ 37\n"
              "# mark = inguinal_ligament @ 114\n");
    made_narrow(&one, 40.0, 100.0);
    bl_stock *stock = shelved("a,16,80,0\n");
    bl_plan_options options = shelved_options(stock);
    const bl_device_wish over = {16.0, 80.0, 30.0};
    options.wishes = &over;
    options.wish_count = 1;
    bl_plan *plan = made_plan(&one, &options);
    const bl_landing *landings = plan->stretches[0].landings;
    assert_false(landings[0].healthy);
    assert_int_equal(landings[0].ends_at, BL_BORDER_CONFLUENCE);
    check_close(landings[0].position_mm, 37.0, 1e-9, "mm");
    assert_null(landings[0].crosses);
    assert_string_equal(landings[1].near->name, "inguinal_ligament");
    assert_null(landings[0].near);
    assert_null(landings[1].crosses);
    made_says(plan, "only 3.0 mm of healthy vein to land in at the cranial "
                    "end, 37.0..40.0 mm, before a confluence");
    made_says(plan, "the caudal end, 117.0 mm, lies 3.0 mm caudal of "
                    "inguinal_ligament, 114.0 mm, which the devices cross");
    made_finds(plan, "lies 7.0 mm past iliocaval_confluence");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* Where the vein that was traced is wider than the device that ends in it,
 * where devices change near the ligament, and where the list jumps. */
static void test_misfit(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5,
              "# mark = inguinal_ligament @ 140\n");
    made_narrow(&one, 60.0, 200.0);
    for (size_t i = 0; i < one.of.profile_count; i++) {
        bl_profile_point *at = &one.profile[i];
        at->equivalent_diameter_mm =
            at->position_mm > 210.0 ? 16.6 : at->equivalent_diameter_mm;
    }
    bl_stock *stock = shelved("a,16,90,0\nb,16,95,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    made_says(plan,
              "the vein is wider than the device: as traced 16.6 mm, device "
              "16 mm; it would not lie against the wall there");
    made_says(plan, "within 10 mm of inguinal_ligament, 140.0 mm");
    bl_plan_free(plan);
    bl_stock_free(stock);
    stock = shelved("a,20,200,0\n");
    options.stock = stock;
    plan = made_plan(&one, &options);
    made_says(plan, "20 x 200 mm is 4.5 mm (29 %, 66 % of area) wider than "
                    "the reference over its stretch, 15.5 mm");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* What is covered lies beyond a mark at one of its ends, or not: the device,
 * the same as a wish, and what is wanted without a stock. */
static void check_beyond(const char *notes, bool caudal, const char *name,
                         const char *words) {
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, notes);
    made_narrow(&one, 60.0, 100.0);
    bl_stock *stock = shelved("a,16,50,0\n");
    bl_plan_options options = shelved_options(stock);
    const bl_device_wish same = {16.0, 50.0, 55.0};
    options.wishes = &same;
    options.wish_count = 1;
    bl_plan *plan = made_plan(&one, &options);
    const bl_landing *landings = plan->stretches[0].landings;
    assert_null(landings[caudal ? 0 : 1].beyond);
    if (name == NULL) {
        assert_null(landings[caudal].beyond);
    } else {
        assert_string_equal(landings[caudal].beyond->name, name);
        made_says(plan, words);
        made_finds(plan, words);
    }
    bl_plan_free(plan);
    options.stock = NULL;
    plan = made_plan(&one, &options);
    if (name != NULL) {
        made_says(plan, "all that is to be covered, 55.0..105.0 mm, lies "
                        "wholly c");
        made_says(plan, name);
    }
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* 55 to 105 mm are covered; a mark at the end itself lies outside. */
static void test_beyond_marks(void **state) {
    (void)state;
    check_beyond("# mark = iliocaval_confluence @ 105\n", false,
                 "iliocaval_confluence",
                 "16 x 50 mm at 55.0..105.0 mm lies wholly cranial of "
                 "iliocaval_confluence, 105.0 mm, in the cava");
    check_beyond("# mark = iliocaval_confluence @ 90\n", false, NULL, NULL);
    check_beyond(
        "# mark = inguinal_ligament @ 20\n", true, "inguinal_ligament",
        "lies wholly caudal of inguinal_ligament, 20.0 mm, in the groin");
    check_beyond(
        "# mark = inguinal_ligament @ 20\n"
        "# mark = femoral_confluence @ 30\n",
        true, "femoral_confluence",
        "lies wholly caudal of femoral_confluence, 30.0 mm, in the femoral "
        "vein");
}

/* 50..70 and 110..130 mm by one device of 100 mm: 40 mm between are healthy. */
static void test_healthy_vein_between(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 50.0, 70.0);
    made_narrow(&one, 110.0, 130.0);
    bl_stock *stock = shelved("a,16,30,0\nb,16,100,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    const char *words = "40.0 mm of healthy vein, within 70.0..110.0 mm, lie "
                        "between narrowings that are treated together";
    assert_int_equal(plan->stretch_count, 1);
    check_close(plan->stretches[0].healthy_between_mm, 40.0, 1e-9, "mm");
    made_says(plan, words);
    /* Apart nothing lies between, and nothing is told. */
    assert_int_equal(plan->alternatives[0].chain_count, 2);
    assert_int_equal(plan->alternatives[0].finding_count, 0);
    bl_plan_free(plan);
    bl_stock_free(stock);
    stock = shelved("a,16,30,0\nb,16,80,0\n");
    options.stock = stock;
    plan = made_plan(&one, &options);
    assert_int_equal(plan->stretch_count, 2);
    check_close(plan->stretches[0].healthy_between_mm, 0.0, 1e-9, "mm");
    assert_int_equal(plan->warning_count, 0);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* -------------------------------------------------------- one over another */

/* Landing points 45, 75 and 105, 135 mm, healthy vein of 5 mm outside them and
 * of 40 between: of 60 mm 30 are too many. The first begins at 45 mm, where
 * the pullback does, the second half way between 75 and 105 mm. */
static void test_stretches_that_meet(void **state) {
    (void)state;
    made_vein(&one, 45.0, 135.0, 15.5, 15.5, "");
    made_narrow(&one, 50.0, 70.0);
    made_narrow(&one, 110.0, 130.0);
    bl_stock *stock = shelved("a,16,60,0,2\n");
    bl_plan_options options = shelved_options(stock);
    options.landing_mm = 5.0;
    options.overlap_mm = 50.0;
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->stretch_count, 2);
    const bl_stretch *list = plan->stretches;
    check_close(list[0].chain.devices[0].span.to_mm, 105.0, 1e-9, "mm");
    check_close(list[1].chain.devices[0].span.from_mm, 90.0, 1e-9, "mm");
    made_says(plan, "devices of two stretches lie over each other at "
                    "90.0..105.0 mm");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* --------------------------------------------------------- what is missing */

static void check_missing(const char *lines, const char *words) {
    made_vein(&one, 0.0, 300.0, 17.2, 17.2, "");
    made_narrow(&one, 40.0, 260.0);
    bl_stock *stock = shelved(lines);
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    assert_string_equal(plan->stretches[0].missing, words);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* 230 mm: of at most 80 mm four, (230 + 3 x 15) / 4 = 68.75 mm each; of 60 mm,
 * of which five reach 60 + 4 x 45 = 240 mm, five of 58 mm; of 30 mm it would be
 * fifteen, so two of up to 200 mm, 245 / 2 = 122.5 mm each. */
static void test_missing_in_pieces(void **state) {
    (void)state;
    check_missing("a,16,80,0\n",
                  "the widest on the list has 16 mm: no one device is so long; "
                  "from 35.0 mm on 4 devices that cover 68.8 mm or more each "
                  "and overlap by 15.0 mm would do, cranial first of 17.2 mm "
                  "or more in diameter, then 17.2 mm or more, then 17.2 mm or "
                  "more, then 17.2 mm or more");
    check_missing("a,18,60,0,2\n",
                  "there are too few on the list: no one device is so long; "
                  "from 35.0 mm on 5 devices that cover 58.0 mm or more each "
                  "and overlap by 15.0 mm would do, cranial first of 17.2 mm "
                  "or more in diameter, then 17.2 mm or more, then 17.2 mm or "
                  "more, then 17.2 mm or more, then 17.2 mm or more");
    check_missing("a,16,30,0\n",
                  "the widest on the list has 16 mm: no one device is so long; "
                  "from 35.0 mm on 2 devices that cover 122.5 mm or more each "
                  "and overlap by 15.0 mm would do, cranial first of 17.2 mm "
                  "or more in diameter, then 17.2 mm or more");
    /* A device that the list has, though none is in stock, exists. */
    check_missing("a,18,240,0,0\n",
                  "nothing on the list is in stock: from 35.0 mm on a device "
                  "of 17.2 mm or more in diameter that covers 230.0 mm or "
                  "more would do");
}

/* Straight vein of 16 mm that is traced at 17.2 mm where 16 x 80 mm begins:
 * 18 mm there and 16 mm after it fit, 80 + 60 - 15 = 125 mm. */
static void test_ends_that_fit(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 16.0, 16.0, "");
    made_narrow(&one, 40.0, 100.0); /* 35 to 105 to be covered */
    for (size_t i = 0; i < one.of.profile_count; i++) {
        if (one.profile[i].position_mm < 40.0) {
            one.profile[i].equivalent_diameter_mm = 17.2;
        }
    }
    bl_stock *stock = shelved("a,16,80,0\nb,18,40,0\nc,16,60,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->stretches[0].chain.device_count, 1);
    made_says(plan, "at the cranial end, 35.0 mm, the vein is wider than the "
                    "device: as traced 17.2 mm, device 16 mm");
    check_told(plan->doubts, plan->doubt_count,
               "the cranial end, where the vein was traced at 17.2 mm, wider "
               "than the device");
    bool offered = false;
    for (size_t i = 0; i < plan->alternative_count; i++) {
        const bl_alternative *other = &plan->alternatives[i];
        const bl_device *first = &other->chains[0].devices[0];
        offered =
            offered || (other->finding_count == 0 && other->device_count == 2 &&
                        first->diameter_mm > 17.0);
    }
    assert_true(offered);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* From 17 to 12 mm over 300 mm: 16 mm over 85 to 185 mm are 16 - 17 + 185/60 =
 * 2.1 mm wider at the caudal end, and 16 - 17 + 135/60 = 1.2 mm in the mean. */
static void test_wide_at_an_end(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 17.0, 12.0, "");
    made_narrow(&one, 90.0, 180.0);
    bl_stock *stock = shelved("a,16,100,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    made_says(plan, "at the caudal end, 185.0 mm, the device is 2.1 mm wider "
                    "than the reference there, 13.9 mm");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* ----------------------------------------------------- what the user gives */

/* Healthy vein is there, 29.9 mm (the shoulder level is met within the half
 * millimetre between two frames) from what the user named. */
static void test_healthy_vein_too_far(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    made_narrow(&one, 60.0, 130.0);
    bl_plan_options options = shelved_options(NULL);
    options.treat_given = true;
    options.treat = (bl_span){50.0, 100.0};
    bl_plan *plan = made_plan(&one, &options);
    made_says(plan, "healthy vein lies caudally of the treated vein only from "
                    "129.9 mm on, 29.9 mm away from the stretch that was "
                    "named");
    check_told(plan->doubts, plan->doubt_count,
               "the caudal end, beside which healthy vein lies further off "
               "only");
    bl_plan_free(plan);
    made_free(&one);
}

/* A list in fractions of 1: 4 % are hardly anything then. */
static void test_fractions_of_length(void **state) {
    (void)state;
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    made_narrow(&one, 40.0, 100.0);
    bl_stock *stock = shelved("a,16,80,0.04\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    made_says(plan, "foreshortening_pct of the list is in percent and says "
                    "0.04: if that is a fraction");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* ------------------------------------------------------------ alternatives */

/* 140 mm of 15.5 mm: 80 + 80 - 15 = 145 mm of 16 mm are 3.2 % wider; were the
 * limit let go, one of 18 mm would do, 2.5 / 15.5 = 16.1 % wider. */
static void test_alternatives_are_held_against_the_rules(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 50.0, 180.0);
    bl_stock *stock = shelved("a,16,80,0\nb,18,150,0\n");
    bl_plan_options options = shelved_options(stock);
    options.oversize_limit_pct = 10.0;
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->stretches[0].chain.device_count, 2);
    const bl_alternative *fewer = &plan->alternatives[0];
    assert_int_equal(fewer->device_count, 1);
    check_told(fewer->findings, fewer->finding_count,
               "18 x 150 mm at 45.0..195.0 mm is 16.1 % wider than the "
               "reference over its stretch, past the limit of 10 %");
    assert_int_equal(fewer->finding_count, 1);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* What breaks no rule is told of none: 80 + 85 - 15 = 150 mm cover what
 * 16 x 160 mm do alone. */
static void test_alternative_that_keeps_the_rules(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 50.0, 190.0);
    bl_stock *stock = shelved("a,16,160,0\nb,16,80,0\nc,16,85,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->alternative_count, 1);
    assert_int_equal(plan->alternatives[0].device_count, 2);
    assert_int_equal(plan->alternatives[0].finding_count, 0);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* What is noted of the plan is told of other devices too: both end where the
 * vein is wide. */
static void test_alternative_shares_findings(void **state) {
    (void)state;
    made_vein(&one, 0.0, 196.0, 15.5, 15.5, "");
    made_narrow(&one, 50.0, 190.0);
    bl_stock *stock = shelved("a,16,160,0\nb,16,80,0\nc,16,85,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    const char *words = "only 6.0 mm of healthy vein to land in at the caudal";
    made_says(plan, words);
    assert_int_equal(plan->alternative_count, 1);
    check_told(plan->alternatives[0].findings,
               plan->alternatives[0].finding_count, words);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* ------------------------------------------------------------ other lengths */

static void check_change(const char *shelf, double narrowed_mm,
                         const char *what) {
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 50.0, 50.0 + narrowed_mm);
    one.of.options.speed_cv_pct = 10.0;
    bl_stock *stock = shelved(shelf);
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->stretches[0].chain.device_count, 0);
    assert_non_null(plan->stretches[0].missing);
    assert_int_equal(plan->change_count, what != NULL);
    if (what != NULL) {
        assert_string_equal(plan->changes[0].what, what);
    }
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* Where nothing fits as read, something may at another length: 140 mm times
 * 0.804 are 112.56, 17 mm are 13.668. */
static void test_speed_without_plan(void **state) {
    (void)state;
    check_change("a,16,120,0,1\n", 130.0,
                 "if the pullback was really 20 % shorter, 112.6 mm are to be "
                 "covered: 1 device (16 x 120 mm) would fit, where now nothing "
                 "does");
    /* As long as its overlap, so that a second one leads nowhere. */
    check_change("a,16,15,0\n", 7.0,
                 "if the pullback was really 20 % shorter, 13.7 mm are to be "
                 "covered: 1 device (16 x 15 mm) would fit, where now nothing "
                 "does");
    /* None is wide enough at any length. */
    check_change("a,14,160,0\n", 130.0, NULL);
}

/* ------------------------------------------------------------------ doubts */

static void check_doubt(const bl_plan *plan, const char *words) {
    check_told(plan->doubts, plan->doubt_count, words);
}

/* Nothing that is not certain of a plan is missing in its first line, and
 * nothing is there that is. */
static void test_doubts(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 50.0, 180.0);
    bl_stock *stock = shelved("a,16,150,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_narrowing *narrowing = &one.narrowings[0];
    narrowing->area_stenosis_interval_pct = (bl_interval){50.0, 60.0};
    one.of.intervals.next_area_stenosis_interval_pct =
        (bl_interval){20.0, 49.0};
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->doubt_count, 0);
    bl_plan_free(plan);

    narrowing->area_stenosis_interval_pct.low = 49.9;
    narrowing->worst.doubt.jump = true;
    one.of.intervals.next_area_stenosis_interval_pct.high = 52.4;
    one.of.intervals.next_position_mm = 220.0;
    one.of.call_depends = true;
    one.of.ripple = (bl_ripple){.found = true,
                                .share_of_diameter_pct = 14.0,
                                .with.narrowing_count = 1,
                                .without.narrowing_count = 0};
    one.of.options.speed_cv_pct = 10.0;
    plan = made_plan(&one, &options);
    assert_int_equal(plan->doubt_count, 6);
    check_doubt(plan, "whether the vein is narrowed at all");
    check_doubt(plan, "the narrowing at 50.0..180.0 mm, whose area stenosis "
                      "may be 49.9 to 60.0 %");
    check_doubt(plan, "hangs on a doubtful contour");
    check_doubt(plan, "nothing else is narrowed: at 220.0 mm the area stenosis "
                      "may be 52 %");
    check_doubt(plan, "breathing moves the diameter by 14 % (narrowings with "
                      "it: 1, with it taken off: 0)");
    /* 150 mm for 140. */
    check_doubt(plan, "whether the devices are long enough, since the vein may "
                      "be 20 % longer than measured and they reach up to 7 % "
                      "longer");
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* The runner-up's calibre moves the size from a millimetre on. */
static void test_doubted_sizes(void **state) {
    (void)state;
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, "");
    made_narrow(&one, 50.0, 180.0);
    one.narrowings[0].area_stenosis_interval_pct = (bl_interval){60.0, 70.0};
    one.segments[0].serves_worst = true;
    bl_segment others[2] = {one.segments[0], one.segments[1]};
    others[1].equivalent_diameter_mm = 9.0; /* serves another place */
    bl_runner_up next = {
        .segments = others, .segment_count = 2, .narrowing_count = 1};
    one.of.runner_up = &next;
    bl_plan_options options = shelved_options(NULL);
    others[0].equivalent_diameter_mm = 14.6;
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->doubt_count, 0);
    bl_plan_free(plan);
    others[0].equivalent_diameter_mm = 14.5;
    next.narrowing_count = 3;
    one.narrowings[0].open_to = true;
    plan = made_plan(&one, &options);
    assert_int_equal(plan->doubt_count, 3);
    check_doubt(plan, "1 under the chosen reference, 3 under the runner-up");
    check_doubt(plan, "the runner-up reference is up to 1.0 mm narrower");
    check_doubt(plan, "runs out of what is known at its caudal end");
    bl_plan_free(plan);
    made_free(&one);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_marks),
        cmocka_unit_test(test_misfit),
        cmocka_unit_test(test_beyond_marks),
        cmocka_unit_test(test_healthy_vein_between),
        cmocka_unit_test(test_stretches_that_meet),
        cmocka_unit_test(test_missing_in_pieces),
        cmocka_unit_test(test_alternatives_are_held_against_the_rules),
        cmocka_unit_test(test_ends_that_fit),
        cmocka_unit_test(test_wide_at_an_end),
        cmocka_unit_test(test_healthy_vein_too_far),
        cmocka_unit_test(test_fractions_of_length),
        cmocka_unit_test(test_alternative_that_keeps_the_rules),
        cmocka_unit_test(test_alternative_shares_findings),
        cmocka_unit_test(test_speed_without_plan),
        cmocka_unit_test(test_doubts),
        cmocka_unit_test(test_doubted_sizes),
    };
    return cmocka_run_group_tests_name("telling", tests, NULL, NULL);
}
