/*
 * earlier_test.c - devices that lie in the vein already, and what a plan and a
 * chain of the user have to do with them. Lengths by hand.
 */
#include "support/check.h"
#include "support/shelved.h"
#include "support/table.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static made one;

/* A stretch of device contours, 1 mm apart. */
typedef struct lying {
    int from_mm;
    int to_mm;
} lying;

static bl_study *study_with(const char *notes, const lying *list,
                            size_t count) {
    static char text[60000];
    size_t size = (size_t)snprintf(text, sizeof text,
                                   "%sframe,kind,position_mm,x_mm,y_mm\n"
                                   "0,lumen,0,0,0\n0,lumen,0,9,0\n"
                                   "0,lumen,0,0,9\n",
                                   notes);
    for (size_t i = 0; i < count; i++) {
        for (int at = list[i].from_mm; at <= list[i].to_mm; at++) {
            size += (size_t)snprintf(text + size, sizeof text - size,
                                     "%d,device,%d,0,0\n%d,device,%d,8,0\n"
                                     "%d,device,%d,0,8\n",
                                     at + 1, at, at + 1, at, at + 1, at);
        }
    }
    assert_true(size < sizeof text);
    return table_study(text, BL_COLUMNS_ASSESS);
}

/* Narrowed from 160 to 180 mm, so that devices go from 155 to 185 mm at least;
 * what lies there already. */
static void lying_vein(const char *notes, const lying *list, size_t count) {
    made_vein(&one, 0.0, 300.0, 15.5, 15.5, notes);
    made_narrow(&one, 160.0, 180.0);
    bl_study_free(one.study);
    one.study = study_with(notes, list, count);
}

/* With 16 x 40 mm, which lie at 155..195 mm, and the same as the user's. */
static bl_plan *planned(bl_stock *stock) {
    static const bl_device_wish same = {16.0, 40.0, 155.0};
    bl_plan_options options = bl_plan_defaults();
    options.stock = stock;
    options.wishes = &same;
    options.wish_count = 1;
    return made_plan(&one, &options);
}

typedef struct lying_case {
    lying there;
    double covered_mm;
    bool landed_in;
    const char *doubt; /* NULL: none */
    const char *note;
    const char *finding; /* NULL: it keeps the rules */
} lying_case;

static void check_finds(const bl_plan *plan, const char *words) {
    if (words == NULL) {
        assert_int_equal(plan->wish_finding_count, 0);
    } else {
        made_finds(plan, words);
    }
}

static void check_lying(const lying_case *of) {
    lying_vein("", &of->there, 1);
    bl_stock *stock = shelved("a,16,40,0\n");
    bl_plan *plan = planned(stock);
    assert_int_equal(plan->earlier_count, 1);
    const bl_earlier *there = &plan->earlier[0];
    check_close(there->span.from_mm, of->there.from_mm, 1e-9, "mm");
    check_close(there->span.to_mm, of->there.to_mm, 1e-9, "mm");
    assert_int_equal(there->contours, of->there.to_mm - of->there.from_mm + 1);
    check_close(there->covered_mm, of->covered_mm, 1e-9, "mm");
    assert_int_equal(there->landed_in, of->landed_in);
    made_says(plan, of->note);
    if (of->doubt == NULL) {
        check_no_doubt(plan, "already");
    } else {
        check_told(plan->doubts, plan->doubt_count, of->doubt);
    }
    check_finds(plan, of->finding);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

static void test_meetings(void **state) {
    (void)state;
    static const lying_case cases[] = {
        {{66, 157},
         2.0,
         true,
         "a device lies at 66.0..157.0 mm already: the cranial end lands in "
         "it, overlap 2.0 mm, less than 15.0 mm",
         "91.0 of the 160.0 mm of healthy vein at the cranial end are the "
         "lumen of that device",
         "a device lies at 66.0..157.0 mm already: overlap 2.0 mm, less than "
         "15.0 mm"},
        {{66, 175},
         20.0,
         true,
         "the cranial end lands in it, overlap 20.0 mm",
         "overlap 20.0 mm; 94.0 of the 160.0 mm",
         NULL},
        {{66, 146},
         0.0,
         false,
         "a device lies at 66.0..146.0 mm already: 9.0 mm of vein lie bare "
         "between",
         "9.0 mm of vein lie bare between; 80.0 of the 160.0 mm",
         "9.0 mm of vein lie bare between"},
        {{100, 250},
         40.0,
         true,
         "both ends land in it, all that is covered lies in it",
         "70.0 of the 120.0 mm of healthy vein at the caudal end",
         "a device lies at 100.0..250.0 mm already: all that is covered lies "
         "in it"},
        {{165, 170},
         5.0,
         false,
         "a device lies at 165.0..170.0 mm already: all of it is covered "
         "again",
         "all of it is covered again",
         "all of it is covered again"},
        {{20, 60},
         0.0,
         false,
         NULL,
         "a device lies at 20.0..60.0 mm already",
         NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        check_lying(&cases[i]);
    }
}

/* What is to be covered counts: 155 to 185 mm, and the device as it lies. */
static void test_without_a_stock(void **state) {
    (void)state;
    const lying there = {183, 250};
    lying_vein("", &there, 1);
    bl_plan *plan = planned(NULL);
    check_close(plan->earlier[0].covered_mm, 2.0, 1e-9, "mm");
    check_told(plan->doubts, plan->doubt_count,
               "the caudal end lands in it, overlap 2.0 mm, less than 15.0 mm");
    bl_plan_free(plan);
    made_free(&one);
    lying_vein("# travel = cranial\n", &there, 1);
    plan = planned(NULL);
    check_told(plan->doubts, plan->doubt_count,
               "a device lies at 183.0..250.0 mm already: the cranial end "
               "lands in it, overlap 2.0 mm, less than 15.0 mm");
    bl_plan_free(plan);
    made_free(&one);
}

/* Contours more than 5 mm apart are of two devices. */
static void test_two_devices(void **state) {
    (void)state;
    static const lying apart[] = {{20, 60}, {66, 80}};
    static const lying near[] = {{20, 60}, {65, 80}};
    lying_vein("", apart, 2);
    bl_plan *plan = planned(NULL);
    assert_int_equal(plan->earlier_count, 2);
    made_says(plan, "a device lies at 20.0..60.0 mm already, and 1 elsewhere");
    bl_plan_free(plan);
    made_free(&one);
    lying_vein("", near, 2);
    plan = planned(NULL);
    assert_int_equal(plan->earlier_count, 1);
    bl_plan_free(plan);
    made_free(&one);
    lying_vein("", NULL, 0);
    plan = planned(NULL);
    assert_int_equal(plan->earlier_count, 0);
    assert_int_equal(plan->warning_count, 0);
    bl_plan_free(plan);
    made_free(&one);
}

/* Contours so far apart each, from 60 mm on, with one distance of its own. */
static size_t lie_spaced(int step_mm, int own_mm, lying *out) {
    int at = 60;
    for (size_t i = 0; i < 14; i++) {
        out[i] = (lying){at, at};
        at += i == 6 ? own_mm : step_mm;
    }
    return 14;
}

/* 6 mm apart each: one device, as far as 1.5 times that. */
static void test_few_frames(void **state) {
    (void)state;
    static const struct {
        int own_mm;
        size_t devices;
    } cases[] = {{6, 1}, {9, 1}, {10, 2}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        lying list[14];
        size_t count = lie_spaced(6, cases[i].own_mm, list);
        lying_vein("", list, count);
        bl_plan *plan = planned(NULL);
        assert_int_equal(plan->earlier_count, cases[i].devices);
        if (cases[i].devices == 1) {
            assert_int_equal(plan->earlier[0].contours, 14);
            check_span(plan->earlier[0].span, 60.0, 132.0 + cases[i].own_mm);
        } else {
            check_span(plan->earlier[0].span, 60.0, 96.0);
            check_span(plan->earlier[1].span, 106.0, 142.0);
        }
        bl_plan_free(plan);
        made_free(&one);
    }
}

static size_t count_doubts(const bl_plan *plan, const char *words) {
    size_t out = 0;
    for (size_t i = 0; i < plan->doubt_count; i++) {
        out += strstr(plan->doubts[i], words) != NULL;
    }
    return out;
}

static void check_nearest(const char *notes, const lying *list, size_t count,
                          bl_stock *stock, const char *doubt) {
    lying_vein(notes, list, count);
    bl_plan *plan = planned(stock);
    assert_int_equal(plan->earlier_count, count);
    assert_int_equal(count_doubts(plan, " already"), 1);
    check_told(plan->doubts, plan->doubt_count, doubt);
    for (size_t i = 0; i < count; i++) {
        char words[64];
        (void)snprintf(words, sizeof words, "a device lies at %d.0..%d.0 mm",
                       list[i].from_mm, list[i].to_mm);
        made_says(plan, words);
    }
    bl_plan_free(plan);
    made_free(&one);
}

/* The first lines tell the nearest, the notes each. 16 x 40 mm lie at 155..195
 * mm: 25, 5 and no millimetres away from the first three of these. */
static void test_nearest(void **state) {
    (void)state;
    static const lying around[] = {
        {100, 130}, {140, 150}, {190, 230}, {240, 260}};
    bl_stock *stock = shelved("a,16,40,0\n");
    check_nearest("", around, 4, stock,
                  "a device lies at 190.0..230.0 mm already: overlap 5.0 mm, "
                  "less than 15.0 mm, and 2 more near");
    check_nearest("", around, 2, stock,
                  "a device lies at 140.0..150.0 mm already: 5.0 mm of vein "
                  "lie bare between, and 1 more near");
    /* Of two that touch it: 15 mm are enough, 3 mm are not. */
    static const lying touching[] = {{100, 170}, {192, 230}};
    check_nearest("", touching, 2, stock,
                  "a device lies at 192.0..230.0 mm already: overlap 3.0 mm, "
                  "less than 15.0 mm, and 1 more near");
    bl_stock_free(stock);
    /* Equally near to 155..185 mm: the cranial one, whichever way it runs. */
    static const lying alike[] = {{100, 160}, {180, 230}};
    check_nearest("", alike, 2, NULL, "a device lies at 100.0..160.0 mm");
    check_nearest("# travel = cranial\n", alike, 2, NULL,
                  "a device lies at 180.0..230.0 mm");
}

/* Where nothing is to be treated it is noted all the same. */
static void test_nothing_to_treat(void **state) {
    (void)state;
    const lying there = {100, 150};
    lying_vein("", &there, 1);
    one.of.narrowing_count = 0;
    bl_plan_options options = bl_plan_defaults();
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->stretch_count, 0);
    made_says(plan, "a device lies at 100.0..150.0 mm already");
    bl_plan_free(plan);
    made_free(&one);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_meetings),
        cmocka_unit_test(test_without_a_stock),
        cmocka_unit_test(test_two_devices),
        cmocka_unit_test(test_few_frames),
        cmocka_unit_test(test_nearest),
        cmocka_unit_test(test_nothing_to_treat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
