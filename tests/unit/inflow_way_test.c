/*
 * inflow_way_test.c - vein that candidate inflows share, and what lies in the
 * way between it and their stretches; held against docs/inflow.md, rules 5 and
 * 6.
 */
#include "support/inflows.h"

#include <string.h>

/* Candidates of 40..90 mm, the first with these notes. */
static void check_shared(const char *notes, bool named, const char *why) {
    bl_study *marked = inflows_study(notes);
    inflows_set(0, 40.0, 60.0, 0.0, 1.0);
    inflows_set(1, 50.0, 60.0, 0.0, 1.0);
    inflows_inputs[0].study = marked;
    inflows_check(2, "BA", named, why);
    bl_inflow *of = inflows_compare(2);
    bool offered = strstr(of->why, "--within") != NULL;
    assert_int_equal(offered, strstr(why, "--within") != NULL);
    bl_inflow_free(of);
    bl_study_free(marked);
}

/* Cranial of where the candidates part, what is read is none's own. */
static void test_shared_vein(void **state) {
    (void)state;
    static const char with[] = "none is named: the stretch of A runs on "
                               "cranial of the femoral confluence, into vein "
                               "that candidates share; --within 35 leaves";
    check_shared("# mark = femoral_confluence @ 55\n", false, with);
    check_shared("# mark = femoral_confluence @ 55\n"
                 "# mark = inguinal_ligament @ 45\n",
                 false, with);
    check_shared("# mark = femoral_confluence @ 54.2\n", false, with);
    check_shared("# mark = deep_femoral_mouth @ 55\n", false,
                 "of the deep femoral mouth, into vein that candidates share; "
                 "--within 35");
    check_shared("# travel = cranial\n# mark = femoral_confluence @ 55\n",
                 false, "share; --within 15");
    /* At the stretch's cranial end it is in no one's way. */
    check_shared("# mark = femoral_confluence @ 40\n", true, "B (vein.csv)");
    check_shared("# travel = cranial\n# mark = femoral_confluence @ 90\n", true,
                 "B (vein.csv)");
    check_shared("# mark = somewhere @ 55\n", true, "B (vein.csv)");
}

/* Where no length leaves it out, none is offered. */
static void test_all_shared(void **state) {
    (void)state;
    static const char *const notes[] = {"# mark = femoral_confluence @ 85.1\n",
                                        "# mark = femoral_confluence @ 90\n",
                                        "# mark = femoral_confluence @ 95\n",
                                        "# mark = inguinal_ligament @ 55\n"};
    for (size_t i = 0; i < sizeof notes / sizeof notes[0]; i++) {
        check_shared(notes[i], false, "into vein that candidates share");
    }
}

/* Of the first, 0..90 mm: one area, and at 20 mm another. */
#define WAY_POINTS 19
static bl_profile_point way[WAY_POINTS];

static void set_way(double area_mm2, double least_mm2) {
    for (size_t i = 0; i < WAY_POINTS; i++) {
        way[i] = (bl_profile_point){.position_mm = 5.0 * (double)i,
                                    .area_mm2 = i == 4 ? least_mm2 : area_mm2};
    }
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_set(1, 40.0, 60.0, 0.0, 1.0);
    inflows_made[0].profile = way;
    inflows_made[0].profile_count = WAY_POINTS;
}

/* The interval is 4 wide and the other's ends at 42: less than 46 is smaller.
 * With the other's at 47, less than 47 is. */
static void test_smaller_cranially(void **state) {
    (void)state;
    set_way(60.0, 46.0);
    inflows_check(2, "AB", true, "A (vein.csv)");
    set_way(60.0, 45.99);
    inflows_check(2, "AB", false,
                  "none is named: cranial of its stretch A is smaller than in "
                  "it: 46.0 mm2 at 20.0 mm; what comes through");
    set_way(60.0, 46.99);
    inflows_set(1, 44.0, 60.0, 0.0, 1.0);
    inflows_check(2, "AB", true, "A (vein.csv)");
    inflows_made[1].inflow.figures[0].interval.high = 47.0;
    inflows_check(2, "AB", false, "A is smaller than in it: 47.0 mm2");
    /* As large as in the stretch is never smaller. */
    set_way(60.0, 50.0);
    inflows_made[0].inflow.figures[0].interval = (bl_interval){52.0, 53.0};
    inflows_made[1].inflow.figures[0].interval.high = 51.0;
    inflows_check(2, "AB", true, "A (vein.csv)");
    /* That of the smaller one keeps nobody from being named. */
    set_way(60.0, 1.0);
    inflows_made[0].inflow.figures[0] = inflows_figure(30.0, inflows_halves[0]);
    inflows_check(2, "BA", true, "B (vein.csv)");
}

static void test_narrowed_cranially(void **state) {
    (void)state;
    bl_narrowing narrowings[] = {
        {.span = {18.0, 22.0},
         .worst = {.position_mm = 20.0,
                   .area_mm2 = 51.0,
                   .area_stenosis_pct = 60.0}},
        {.span = {25.0, 42.0},
         .worst = {.position_mm = 39.0,
                   .area_mm2 = 7.9,
                   .area_stenosis_pct = 90.0}},
    };
    set_way(60.0, 55.0);
    inflows_made[0].narrowings = narrowings;
    inflows_made[0].narrowing_count = 1;
    inflows_check(2, "AB", false,
                  "cranial of its stretch A is narrowed by 60 % of area, to "
                  "51.0 mm2, at 20.0 mm; what");
    inflows_made[0].narrowing_count = 2;
    inflows_check(2, "AB", false, "by 90 % of area, to 7.9 mm2, at 39.0 mm");
    /* Worst in the stretch, it is among the stretch's own figures. */
    narrowings[1].worst.position_mm = 41.0;
    inflows_made[0].narrowings = &narrowings[1];
    inflows_made[0].narrowing_count = 1;
    inflows_check(2, "AB", true, "A (vein.csv)");
}

static void test_gap_cranially(void **state) {
    (void)state;
    bl_span gap = {10.0, 30.0};
    bl_narrowing narrowing = {
        .span = {31.0, 33.0},
        .worst = {.position_mm = 32.0, .area_stenosis_pct = 70.0}};
    set_way(60.0, 60.0);
    inflows_made[0].gaps = &gap;
    inflows_made[0].gap_count = 1;
    inflows_check(2, "AB", false,
                  "A has no usable frame over 10.0..30.0 mm, occluded or not "
                  "traced; what");
    inflows_made[0].narrowings = &narrowing;
    inflows_made[0].narrowing_count = 1;
    inflows_check(2, "AB", false,
                  "at 32.0 mm and has no usable frame over 10.0..30.0 mm");
}

/* Shared vein is in the way of all alike; without a mark it is not known. */
static void check_way_to(const char *notes, bool named, bool bordered) {
    bl_study *marked = inflows_study(notes);
    set_way(60.0, 10.0);
    inflows_inputs[0].study = marked;
    bl_inflow *of = inflows_compare(2);
    bool unknown = strstr(of->why, "no mark tells where its own") != NULL;
    assert_int_equal(of->named, named);
    assert_int_equal(unknown, !named && !bordered);
    assert_int_equal(of->candidates[0].note_count, named ? 0 : 1);
    bl_inflow_free(of);
    bl_study_free(marked);
}

static void test_way_ends_at_shared_vein(void **state) {
    (void)state;
    check_way_to("", false, false);
    check_way_to("# mark = somewhere @ 25\n", false, false);
    check_way_to("# mark = femoral_confluence @ 25\n", true, true);
    check_way_to("# mark = femoral_confluence @ 40\n", true, true);
    check_way_to("# mark = femoral_confluence @ 15\n", false, true);
    check_way_to("# mark = deep_femoral_mouth @ 25\n"
                 "# mark = iliocaval_confluence @ 2\n",
                 true, true);
}

/* Pulled the other way, cranial is at higher positions. */
static void test_way_of_cranial_travel(void **state) {
    (void)state;
    bl_study *marked =
        inflows_study("# travel = cranial\n# mark = femoral_confluence @ 85\n");
    set_way(60.0, 60.0);
    inflows_inputs[0].study = marked;
    inflows_made[0].inflow.span = (bl_span){0.0, 50.0};
    way[18].area_mm2 = 10.0;
    inflows_check(2, "AB", true, "A (vein.csv)");
    way[16].area_mm2 = 12.0;
    inflows_check(2, "AB", false, "smaller than in it: 12.0 mm2 at 80.0 mm");
    bl_study_free(marked);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_shared_vein),
        cmocka_unit_test(test_all_shared),
        cmocka_unit_test(test_smaller_cranially),
        cmocka_unit_test(test_narrowed_cranially),
        cmocka_unit_test(test_gap_cranially),
        cmocka_unit_test(test_way_ends_at_shared_vein),
        cmocka_unit_test(test_way_of_cranial_travel),
    };
    return cmocka_run_group_tests(tests, inflows_set_up, inflows_tear_down);
}
