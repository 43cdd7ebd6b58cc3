/*
 * finder_score_test.c - which stretch of healthy vein is chosen and why others
 * are not, what the runner-up would say, and whether the call depends on it.
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>
#include <stdio.h>

#define LENGTH_MM 200.0
#define STEP_MM 0.5

static vein one;

/* The last stretch of that verdict on the side of lower positions, which is in
 * the piece beside the worst place; NULL for none. */
static const bl_candidate *before_worst(const bl_assessment *of,
                                        bl_verdict verdict) {
    const bl_candidate *found = NULL;
    for (size_t i = 0; i < of->candidate_count; i++) {
        const bl_candidate *at = &of->candidates[i];
        if (at->verdict == verdict &&
            at->segment.span.to_mm < of->worst.position_mm) {
            found = at;
        }
    }
    return found;
}

static bool holds(const bl_candidate *of, double x) {
    return of != NULL && of->segment.span.from_mm <= x &&
           of->segment.span.to_mm >= x;
}

/* Straight round vein: all parts of the score but nearness are known, and the
 * stretch nearest to the narrowing is best. */
static void test_score_of_straight_vein(void **state) {
    (void)state;
    vein_narrowed_middle(&one);
    bl_study *study;
    bl_assessment *got = vein_explain(&one, "", &study);
    const bl_candidate *best = before_worst(got, BL_VERDICT_CHOSEN);
    const bl_candidate *next = before_worst(got, BL_VERDICT_RUNNER_UP);
    assert_non_null(best);
    assert_non_null(next);
    for (size_t k = 0; k < 2; k++) {
        const bl_candidate *at = k == 0 ? best : next;
        /* The running sums keep 12 digits of squares, the spread 6. */
        check_close(at->score.calibre, 1.0, 1e-9, "");
        check_close(at->score.steadiness, 1.0, 1e-4, "");
        check_close(at->score.roundness, 1.0, 1e-9, "");
        check_close(at->score.length,
                    (at->segment.span.to_mm - at->segment.span.from_mm) / 10.0 -
                        1.0,
                    1e-9, "");
        check_close(at->score.nearness, 50.0 / (50.0 + at->away_mm), 1e-12, "");
        check_close(at->score.total,
                    0.35 + 0.2 + 0.15 + 0.1 * at->score.length +
                        0.2 * at->score.nearness,
                    1e-4, "");
    }
    /* The calibre over 5 mm falls up to half of that before the vein does. */
    check_close(best->away_mm, 0.0, 2.5, "mm");
    assert_true(next->segment.span.to_mm < best->segment.span.from_mm);
    assert_true(next->score.total < best->score.total);
    vein_done(study, got);
}

/* Of two stretches the one that is worse in one thing only is not chosen,
 * though it is the nearer one: 20 mm before the narrowing's margin. The piece
 * begins at 66.7 mm. */
static void check_passed_over(void (*spoil)(vein_frame *at, size_t number)) {
    vein_straight(&one, LENGTH_MM, STEP_MM, 150.0);
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        one.frames[i].area_mm2 = x > 115.0 && x < 130.0 ? 30.0 : 150.0;
        if (x > 92.0 && x < 115.0) {
            spoil(&one.frames[i], i);
        }
    }
    bl_study *study;
    bl_assessment *got = vein_explain(&one, "", &study);
    const bl_candidate *best = before_worst(got, BL_VERDICT_CHOSEN);
    assert_true(holds(best, 85.0) && !holds(best, 100.0));
    vein_done(study, got);
}

/* 7.8 % less diameter: above the shoulder level. */
static void spoil_calibre(vein_frame *at, size_t number) {
    (void)number;
    at->area_mm2 *= 0.85;
}

static void spoil_roundness(vein_frame *at, size_t number) {
    (void)number;
    at->aspect = 1.45;
}

static void test_narrower_is_passed_over(void **state) {
    (void)state;
    check_passed_over(spoil_calibre);
}

static void test_flatter_is_passed_over(void **state) {
    (void)state;
    check_passed_over(spoil_roundness);
}

/* Along a vein that tapers by 1 mm in 50 all of it is at the envelope,
 * whichever way the catheter went. */
static void test_envelope_tapers(void **state) {
    (void)state;
    for (size_t k = 0; k < 2; k++) {
        vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
        for (size_t i = 0; i < one.count; i++) {
            double d = 17.0 - 0.015 * one.frames[i].position_mm;
            one.frames[i].area_mm2 = 3.14159265358979 / 4.0 * d * d;
        }
        if (k == 1) {
            vein_turn_around(&one);
        }
        bl_study *study;
        bl_assessment *got =
            vein_explain(&one, k == 1 ? "# travel = cranial\n" : "", &study);
        /* Two sides of three pieces of 66.7 mm. */
        assert_int_equal(got->segment_count, 6);
        size_t scored = 0;
        for (size_t i = 0; i < got->candidate_count; i++) {
            const bl_candidate *at = &got->candidates[i];
            if (!isnan(at->score.total)) {
                /* A tenth of a half is met to within a frame, 0.0075 mm. */
                check_close(at->score.calibre, 1.0, 0.01, "");
                scored++;
            }
        }
        assert_true(scored >= 8);
        vein_done(study, got);
    }
}

static bl_verdict verdict_at(const bl_assessment *of, double x) {
    for (size_t i = 0; i < of->candidate_count; i++) {
        if (holds(&of->candidates[i], x)) {
            return of->candidates[i].verdict;
        }
    }
    fail_msg("nothing is said of %.1f mm", x);
    return BL_VERDICT_CHOSEN;
}

/* What is wrong with each stretch of this vein is beyond doubt. */
static void test_why_not(void **state) {
    (void)state;
    vein_narrowed_middle(&one);
    for (size_t i = 0; i < one.count; i++) {
        vein_frame *at = &one.frames[i];
        double x = at->position_mm;
        if (x >= 8.0 && x < 25.0) {
            at->aspect = 4.0; /* and before it lie 8 mm */
        } else if (x > 150.0 && x < 165.0) {
            at->area_mm2 = 100.0; /* a third less */
        } else if (x >= 165.0 && x < 180.0) {
            at->area_mm2 = 130.0; /* 7 % less diameter than beside it */
        }
    }
    bl_study *study;
    bl_assessment *got = vein_explain(&one, "", &study);
    assert_int_equal(verdict_at(got, 4.0), BL_VERDICT_SHORT);
    assert_int_equal(verdict_at(got, 15.0), BL_VERDICT_FLATTENED);
    assert_int_equal(verdict_at(got, 88.5), BL_VERDICT_SHOULDER);
    assert_int_equal(verdict_at(got, 100.0), BL_VERDICT_NARROWED);
    assert_int_equal(verdict_at(got, 155.0), BL_VERDICT_NARROWED);
    assert_int_equal(verdict_at(got, 172.0), BL_VERDICT_FLANK);
    assert_int_equal(verdict_at(got, 80.0), BL_VERDICT_CHOSEN);
    assert_int_equal(verdict_at(got, 120.0), BL_VERDICT_CHOSEN);
    vein_done(study, got);
}

/* One frame half as large again as its neighbours: no stretch goes across. */
static void test_flagged_frame(void **state) {
    (void)state;
    vein_straight(&one, LENGTH_MM, STEP_MM, 150.0);
    one.frames[60].area_mm2 = 240.0;
    bl_study *study;
    bl_assessment *got = vein_explain(&one, "", &study);
    assert_int_equal(verdict_at(got, 30.0), BL_VERDICT_FLAGGED);
    vein_done(study, got);
}

/* Of three veins 40 % of the normal area is left, steady and round: only what
 * is beyond the cava can serve, and only for it. */
static void test_too_small(void **state) {
    (void)state;
    vein_four(&one, true, true, true);
    bl_study *study;
    bl_assessment *got = vein_explain(&one, VEIN_FOUR_MARKS, &study);
    assert_int_equal(verdict_at(got, 5.0), BL_VERDICT_CHOSEN);
    assert_int_equal(verdict_at(got, 45.0), BL_VERDICT_SMALL);
    assert_int_equal(verdict_at(got, 105.0), BL_VERDICT_SMALL);
    assert_int_equal(verdict_at(got, 165.0), BL_VERDICT_SMALL);
    vein_done(study, got);
}

/* Cranial of the narrowing 200 mm2 and, near it, 180; caudal of it 160. */
static void two_candidates(double least) {
    vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        one.frames[i].area_mm2 = x > 120.0    ? 160.0
                                 : x >= 100.0 ? least
                                 : x > 76.0   ? 180.0
                                              : 200.0;
    }
}

/* Everything under the runner-up follows from its own stretches. 74 mm are one
 * piece, so that there are two of them; in front of the narrowing the area
 * falls, so that they differ. */
static void test_runner_up(void **state) {
    (void)state;
    vein_straight(&one, 74.0, STEP_MM, 200.0);
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        one.frames[i].area_mm2 = x > 53.0    ? 190.0
                                 : x >= 41.0 ? 60.0
                                             : 205.0 - 0.2 * x;
    }
    bl_study *study;
    bl_assessment *got = vein_explain(&one, "", &study);
    const bl_runner_up *next = got->runner_up;
    assert_non_null(next);
    assert_int_equal(next->segment_count, got->segment_count);
    const bl_candidate *second = before_worst(got, BL_VERDICT_RUNNER_UP);
    assert_non_null(second);
    check_close(next->segments[0].span.from_mm, second->segment.span.from_mm,
                0.0, "mm");
    /* The same figures as when these stretches are given. */
    char given[128];
    (void)snprintf(given, sizeof given,
                   "# reference = %.17g..%.17g\n# reference = %.17g..%.17g\n",
                   next->segments[0].span.from_mm, next->segments[0].span.to_mm,
                   next->segments[1].span.from_mm,
                   next->segments[1].span.to_mm);
    one.notes = given;
    bl_study *again = vein_study(&one);
    bl_assessment *wanted = vein_assess(again, BL_RULE_TAPER, 1.0);
    check_close(next->worst.area_stenosis_pct, wanted->worst.area_stenosis_pct,
                1e-12, "%");
    check_close(next->worst.position_mm, wanted->worst.position_mm, 0.0, "mm");
    check_close(next->minimum_area_stenosis_pct,
                wanted->minimum.area_stenosis_pct, 1e-12, "%");
    assert_int_equal(next->narrowing_count, wanted->narrowing_count);
    check_close(next->narrowed_mm, wanted->narrowed_by_rule_mm[BL_RULE_TAPER],
                1e-12, "mm");
    vein_done(again, wanted);
    vein_done(study, got);
}

/* Under each rule the same as when that rule is asked for. */
static void test_narrowed_by_rule(void **state) {
    (void)state;
    two_candidates(60.0);
    one.notes = "# reference = 10..60\n# reference = 130..190\n";
    bl_study *study = vein_study(&one);
    bl_assessment *all = vein_assess(study, BL_RULE_TAPER, 1.0);
    for (unsigned rule = 0; rule < BL_RULE_COUNT; rule++) {
        bl_assessment *alone = vein_assess(study, (bl_rule)rule, 1.0);
        double sum = 0.0;
        for (size_t i = 0; i < alone->narrowing_count; i++) {
            sum += alone->narrowings[i].span.to_mm -
                   alone->narrowings[i].span.from_mm;
        }
        check_close(all->narrowed_by_rule_mm[rule], sum, 1e-12, "mm");
        assert_int_equal(all->narrowings_by_rule[rule], alone->narrowing_count);
        check_close(all->worst_by_rule_pct[rule],
                    alone->worst.area_stenosis_pct, 1e-12, "%");
        bl_assessment_free(alone);
    }
    assert_null(all->runner_up);
    vein_done(study, all);
}

/* 88 mm2 of 200 is 56 %, of 160 45 %. */
static void test_call_depends(void **state) {
    (void)state;
    two_candidates(88.0);
    one.notes = "# reference = 10..60\n# reference = 130..190\n";
    bl_study *study = vein_study(&one);
    bl_assessment *got = vein_assess(study, BL_RULE_TAPER, 1.0);
    assert_true(
        vein_warns(got, "the call depends on the reference: at a threshold "
                        "of 50.0 % area stenosis there is a narrowing under "));
    assert_true(vein_warns(got, "cranial (56.0 %)"));
    assert_true(vein_warns(got, ", and none under caudal (45.0 %)"));
    vein_done(study, got);
    two_candidates(60.0); /* 70 and 62.5 % */
    one.notes = "# reference = 10..60\n# reference = 130..190\n";
    study = vein_study(&one);
    got = vein_assess(study, BL_RULE_TAPER, 1.0);
    assert_false(vein_warns(got, "the call depends"));
    vein_done(study, got);
}

/* Two narrowings of 70 mm2 between 155, 160 and 155 mm2. Held against what lies
 * on both sides of the one, the other is the worse: against 160 mm2 it has lost
 * more than against the taper, so the search goes to and fro. */
static void test_does_not_settle(void **state) {
    (void)state;
    vein_straight(&one, 74.0, STEP_MM, 155.0);
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        bool narrow = (x > 17.0 && x < 25.0) || (x > 49.0 && x < 57.0);
        one.frames[i].area_mm2 = narrow                   ? 70.0
                                 : x >= 25.0 && x <= 49.0 ? 160.0
                                                          : 155.0;
    }
    bl_study *study;
    bl_assessment *got = vein_explain(&one, "", &study);
    assert_true(vein_warns(got, "did not settle on each other"));
    vein_done(study, got);
    vein_narrowed_middle(&one);
    got = vein_explain(&one, "", &study);
    assert_false(vein_warns(got, "did not settle on each other"));
    vein_done(study, got);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_score_of_straight_vein),
        cmocka_unit_test(test_narrower_is_passed_over),
        cmocka_unit_test(test_flatter_is_passed_over),
        cmocka_unit_test(test_envelope_tapers),
        cmocka_unit_test(test_why_not),
        cmocka_unit_test(test_flagged_frame),
        cmocka_unit_test(test_too_small),
        cmocka_unit_test(test_runner_up),
        cmocka_unit_test(test_narrowed_by_rule),
        cmocka_unit_test(test_call_depends),
        cmocka_unit_test(test_does_not_settle),
    };
    return cmocka_run_group_tests_name("finder score", tests, NULL, NULL);
}
