/*
 * inflow_test.c - candidate inflow veins whose every figure is made by hand:
 * their order, what is told apart, and which is named.
 *
 * What is held against is the rule as docs/inflow.md states it, worked out here
 * anew.
 */
#include "support/inflows.h"

#include <math.h>
#include <string.h>

#define NONE ((double)NAN)

static void test_larger_least_area_is_named(void **state) {
    (void)state;
    inflows_set(0, 40.0, 60.0, 10.0, 2.0);
    inflows_set(1, 50.0, 70.0, 0.0, 1.0);
    inflows_set(2, 30.0, 50.0, 20.0, 3.0);
    inflows_check(3, "BAC", true, "B (vein.csv) is the larger inflow");
}

/* Intervals that touch overlap: 40 + 2 and 44 - 2. */
static void test_touching_is_not_apart(void **state) {
    (void)state;
    inflows_set(0, 40.0, 60.0, 10.0, 2.0);
    inflows_set(1, 44.0, 70.0, 0.0, 1.0);
    inflows_check(2, "BA", false,
                  "B (44.0 mm2, 95 % 42.0 to 46.0) is not told "
                  "apart from A");
    inflows_set(1, 44.001, 70.0, 0.0, 1.0);
    inflows_check(2, "BA", true, "B (vein.csv)");
}

/* All whose intervals meet that of the best are listed. */
static void test_others_are_listed(void **state) {
    (void)state;
    inflows_set(0, 40.0, 60.0, 0.0, 1.0);
    inflows_set(1, 41.0, 60.0, 0.0, 1.0);
    inflows_set(2, 42.0, 60.0, 0.0, 1.0);
    inflows_set(3, 30.0, 60.0, 0.0, 1.0);
    inflows_check(4, "CBAD", false, "is not told apart from B and A:");
    inflows_set(3, 39.5, 60.0, 0.0, 1.0);
    inflows_check(4, "CBAD", false, "is not told apart from B, A and D:");
}

static void test_contradiction(void **state) {
    (void)state;
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_set(1, 40.0, 63.0, 0.0, 1.0);
    inflows_check(2, "AB", false, "least area speaks for A, mean area for B");
    bl_inflow *of = inflows_compare(2);
    assert_null(strstr(of->why, "its own healthy vein"));
    bl_inflow_free(of);
    inflows_set(1, 40.0, 60.0, 0.0, 0.79);
    inflows_check(2, "AB", false,
                  "least area speaks for A, flow index for B; flow "
                  "index holds each against its own healthy vein");
    inflows_set(0, 50.0, 60.0, 9.0, 1.0);
    inflows_set(1, 40.0, 60.0, 2.0, 1.0);
    inflows_check(2, "AB", false,
                  "least area speaks for A, narrowed length for B; narrowed "
                  "length holds each against its own healthy vein");
    inflows_set(1, 40.0, 60.0, 4.0, 1.0);
    inflows_check(2, "AB", true, "no other measure says otherwise");
}

static void test_what_was_not_traced(void **state) {
    (void)state;
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_set(1, 40.0, 60.0, 0.0, 1.0);
    inflows_made[0].inflow.is_shorter = true;
    inflows_made[0].inflow.span.from_mm = 70.0;
    inflows_check(2, "AB", false, "of A only 20.0 of 50 mm were traced");
    inflows_set(0, 50.0, NONE, 0.0, 1.0);
    inflows_check(2, "AB", false, "a gap lies in the stretch of A");
    /* What is smaller as far as it was traced, is. */
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_made[1].inflow.is_shorter = true;
    inflows_check(2, "AB", true, "A (vein.csv)");
    inflows_set(1, 40.0, NONE, NONE, NONE);
    inflows_check(2, "AB", true, "A (vein.csv)");
}

/* That of the smaller one as well: it may not be so small. */
static void test_doubtful_contour(void **state) {
    (void)state;
    for (size_t i = 0; i < 2; i++) {
        inflows_set(0, 50.0, 60.0, 0.0, 1.0);
        inflows_set(1, 40.0, 60.0, 0.0, 1.0);
        inflows_made[i].inflow.minimum.frame = 7;
        inflows_made[i].inflow.minimum.doubt.jump = true;
        inflows_check(2, "AB", false,
                      i == 0 ? "the least area of A is doubtful: the area of "
                               "frame 7"
                             : "the least area of B is doubtful: the area of "
                               "frame 7");
    }
}

static void test_without_intervals(void **state) {
    (void)state;
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_set(1, 40.0, 60.0, 0.0, 1.0);
    for (size_t i = 0; i < 2; i++) {
        for (size_t m = 0; m < BL_INFLOW_MEASURES; m++) {
            inflows_made[i].inflow.figures[m].interval =
                (bl_interval){NONE, NONE};
        }
    }
    inflows_check(2, "AB", false, "without intervals none is told apart");
    /* Nor where only another one's is not known. */
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_check(2, "AB", false, "is not told apart from B");
}

/* Equals as printed go by the next measure; what is unknown comes last. */
static void test_order_of_equals(void **state) {
    (void)state;
    inflows_set(0, 50.04, 60.0, 0.0, 1.0);
    inflows_set(1, 49.96, 61.0, 0.0, 1.0);
    inflows_set(2, 50.0, 61.04, 3.0, 1.0);
    inflows_set(3, 50.0, 61.0, 0.04, 0.994);
    inflows_set(4, 50.0, 61.0, 0.0, 1.004);
    inflows_set(5, 50.0, 61.0, NONE, NONE);
    inflows_check(6, "DBECFA", false, "by least area");
}

static void test_ranks_are_shared(void **state) {
    (void)state;
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_set(1, 40.0, 70.0, 0.0, 2.0);
    inflows_set(2, 45.0, 65.0, NONE, 1.0);
    static const char letters[] = "ACB";
    static const size_t ranks[][BL_INFLOW_MEASURES] = {
        {1, 3, 1, 1}, {2, 2, 0, 1}, {3, 1, 1, 3}};
    bl_inflow *of = inflows_compare(3);
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(of->candidates[i].letter, letters[i]);
        for (size_t m = 0; m < BL_INFLOW_MEASURES; m++) {
            assert_int_equal(of->candidates[i].ranks[m], ranks[i][m]);
        }
    }
    /* What is not known of one is told apart from nothing. */
    assert_false(of->verdicts[BL_INFLOW_NARROWED].told_apart);
    assert_non_null(strstr(of->verdicts[BL_INFLOW_NARROWED].words,
                           "not known of C: it is not known here"));
    bl_inflow_free(of);
}

static void test_not_known_of_any(void **state) {
    (void)state;
    inflows_set(0, 50.0, 60.0, NONE, NONE);
    inflows_set(1, 40.0, 60.0, NONE, NONE);
    bl_inflow *of = inflows_compare(2);
    assert_int_equal(of->verdicts[BL_INFLOW_FLOW].best, 2);
    assert_string_equal(of->verdicts[BL_INFLOW_FLOW].words,
                        "not known of any: it is not known here");
    assert_true(of->named);
    bl_inflow_free(of);
}

/* What is known of one alone is better than nothing: no verdict, no rank. */
static void test_known_of_one_alone(void **state) {
    (void)state;
    inflows_set(0, 50.0, 60.0, NONE, NONE);
    inflows_set(1, 40.0, 60.0, 20.0, 6.8);
    bl_inflow *of = inflows_compare(2);
    const bl_inflow_verdict *narrowed = &of->verdicts[BL_INFLOW_NARROWED];
    assert_int_equal(narrowed->best, 2);
    assert_false(narrowed->told_apart);
    assert_string_equal(
        narrowed->words,
        "only that of B (20.0 mm, 95 % 17.0 to 23.0) is known, so there is "
        "nothing to hold it against; not known of A: it is not known here");
    assert_int_equal(of->candidates[1].ranks[BL_INFLOW_NARROWED], 0);
    assert_int_equal(of->candidates[1].ranks[BL_INFLOW_MEAN_AREA], 1);
    assert_true(of->named);
    assert_non_null(
        strstr(of->why, "; no other measure that could be compared says "
                        "otherwise; narrowed length and flow index could not "
                        "be compared, not being known of every vein"));
    bl_inflow_free(of);
    inflows_set(1, 40.0, NONE, NONE, NONE);
    inflows_check(2, "AB", true,
                  "above all others; mean area, narrowed length and flow index "
                  "could not be compared");
}

/* Of three, two are known: apart from each other, not from the third. */
static void test_known_of_some(void **state) {
    (void)state;
    inflows_set(0, 50.0, 60.0, 0.0, NONE);
    inflows_set(1, 40.0, 60.0, 0.0, 1.0);
    inflows_set(2, 30.0, 60.0, 0.0, 3.0);
    bl_inflow *of = inflows_compare(3);
    const bl_inflow_verdict *flow = &of->verdicts[BL_INFLOW_FLOW];
    assert_int_equal(flow->best, 1);
    assert_false(flow->told_apart);
    assert_non_null(strstr(flow->words, "meets no other that is known; not "
                                        "known of A"));
    assert_non_null(strstr(of->why, "otherwise; flow index could not be"));
    bl_inflow_free(of);
}
static void test_notes(void **state) {
    (void)state;
    bl_study *marked = inflows_study("# mark = femoral_confluence @ 55\n"
                                     "# side = left\n# stage = before\n");
    bl_narrowing open = {.span = {70.0, 90.0}, .span_open_to = true};
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_set(1, 40.0, 60.0, 0.0, 1.0);
    inflows_inputs[0].study = marked;
    inflows_inputs[1].no_reference = "nothing is healthy";
    inflows_made[0].narrowings = &open;
    inflows_made[0].narrowing_count = 1;
    inflows_made[0].inflow.left_out = 2;
    inflows_made[1].inflow.left_out = 1;
    inflows_made[1].reference_from = BL_FROM_NOTHING;
    inflows_sources[1].crc32 = inflows_sources[0].crc32;
    bl_inflow *of = inflows_compare(2);
    assert_true(inflows_notes(of, 0,
                              "the femoral confluence lies in its stretch, "
                              "at 55.0 mm"));
    assert_true(
        inflows_notes(of, 0, "it is narrowed to the end of the pullback"));
    assert_true(inflows_notes(of, 0, "2 frames in its stretch"));
    assert_true(inflows_notes(of, 1, "1 frame in its stretch"));
    assert_true(inflows_notes(of, 1, "not known: nothing is healthy"));
    assert_true(inflows_warns(of, "A and B are one table"));
    assert_true(inflows_warns(of, "not all tables give a side (A left, B not "
                                  "given): whether all drain one side is not "
                                  "known"));
    assert_false(inflows_warns(of, "different sides"));
    assert_true(inflows_warns(of, "different stages (A before, B not given)"));
    assert_true(inflows_warns(of, "(A given, B none)"));
    bl_inflow_free(of);
    inflows_set(0, 50.0, 60.0, 0.0, 1.0);
    inflows_set(1, 40.0, 60.0, 0.0, 1.0);
    of = inflows_compare(2);
    assert_int_equal(of->warning_count, 0);
    assert_int_equal(of->candidates[0].note_count, 0);
    bl_inflow_free(of);
    bl_study_free(marked);
}

static void check_refused(size_t count, bl_status status, const char *why) {
    bl_inflow *out = NULL;
    bl_message message;
    assert_int_equal(bl_inflow_new(inflows_inputs, count, &out, &message),
                     status);
    assert_null(out);
    assert_non_null(strstr(message.text, why));
}

/* At the limit and one past it, and what cannot be meant. */
static void test_refused(void **state) {
    (void)state;
    for (size_t i = 0; i < INFLOWS_MANY; i++) {
        inflows_set(i, 50.0 + 5.0 * (double)i, 90.0, 0.0, 1.0);
    }
    check_refused(0, BL_ERR_ARGUMENT, "give two or more");
    check_refused(1, BL_ERR_ARGUMENT, "give two or more");
    check_refused(INFLOWS_MANY, BL_ERR_LIMIT,
                  "17 inflow veins are more than the limit "
                  "of 16");
    inflows_check(BL_INFLOW_MOST, "PONMLKJIHGFEDCBA", true, "P (vein.csv)");
    inflows_made[1].options.inflow_mm = 40.0;
    check_refused(2, BL_ERR_ARGUMENT, "over one length");
    inflows_made[1].options.inflow_mm = 0.0;
    check_refused(2, BL_ERR_ARGUMENT, "over one length");
}

/* Thousands at random, held against the rule once more. */
static void test_rule_at_random(void **state) {
    (void)state;
    dice by = {77};
    size_t named = 0;
    for (int round = 0; round < 5000; round++) {
        size_t count = 2 + dice_next(&by) % 4;
        for (size_t i = 0; i < count; i++) {
            inflows_set(i, dice_between(&by, 20, 60), dice_between(&by, 60, 64),
                        dice_between(&by, 0, 8), dice_between(&by, 1, 1.3));
        }
        bl_inflow *of = inflows_compare(count);
        size_t first = (size_t)(of->candidates[0].letter - 'A');
        bool expected = true;
        for (size_t i = 0; i < count; i++) {
            for (size_t m = 0; i != first && m < BL_INFLOW_MEASURES; m++) {
                double ahead = inflows_made[first].inflow.figures[m].value -
                               inflows_made[i].inflow.figures[m].value;
                ahead = m >= 2 ? -ahead : ahead;
                bool ok = m == 0 ? ahead > 2 * inflows_halves[m]
                                 : ahead >= -2 * inflows_halves[m];
                expected = expected && ok;
            }
        }
        assert_int_equal(of->named, expected);
        named += of->named;
        bl_inflow_free(of);
    }
    /* Both happen. */
    assert_true(named > 200 && named < 4800);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_larger_least_area_is_named),
        cmocka_unit_test(test_touching_is_not_apart),
        cmocka_unit_test(test_others_are_listed),
        cmocka_unit_test(test_contradiction),
        cmocka_unit_test(test_what_was_not_traced),
        cmocka_unit_test(test_doubtful_contour),
        cmocka_unit_test(test_without_intervals),
        cmocka_unit_test(test_order_of_equals),
        cmocka_unit_test(test_ranks_are_shared),
        cmocka_unit_test(test_not_known_of_any),
        cmocka_unit_test(test_known_of_one_alone),
        cmocka_unit_test(test_known_of_some),
        cmocka_unit_test(test_notes),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_rule_at_random),
    };
    return cmocka_run_group_tests(tests, inflows_set_up, inflows_tear_down);
}
