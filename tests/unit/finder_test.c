/*
 * finder_test.c - healthy vein found in vessels whose healthy calibre is known
 * by construction: steps with and without marks, parts without healthy vein,
 * and scar throughout.
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define LENGTH_MM 200.0
#define STEP_MM 0.5

static vein one;

static bl_assessment *assess_with(const char *notes, bl_study **study) {
    one.notes = notes;
    *study = vein_study(&one);
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_FIND;
    options.explain = true;
    bl_message message;
    bl_assessment *out = NULL;
    assert_int_equal(bl_assess(*study, &options, &out, &message), BL_OK);
    return out;
}

static void done(bl_study *study, bl_assessment *got) {
    bl_assessment_free(got);
    bl_study_free(study);
}

/* 200 mm2 to 100 mm, 150 beyond; from a to b a share of that is left. */
static void two_veins(double a, double b, double left) {
    vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        double healthy = x < 100.0 ? 200.0 : 150.0;
        one.frames[i].area_mm2 = x > a && x < b ? left * healthy : healthy;
    }
}

static void turn_around(void) {
    for (size_t i = 0; i < one.count / 2; i++) {
        vein_frame *a = &one.frames[i];
        vein_frame *b = &one.frames[one.count - 1 - i];
        double area = a->area_mm2;
        a->area_mm2 = b->area_mm2;
        b->area_mm2 = area;
    }
}

static double reference_at(const bl_assessment *of, double x) {
    size_t i = 0;
    while (of->profile[i].position_mm < x - 1e-9) {
        i++;
    }
    return of->profile[i].reference_area_mm2;
}

/* No mark: the step is found, whichever way the catheter went, and whatever
 * lies on either side of it. */
static void test_step_without_marks(void **state) {
    (void)state;
    static const double lesions[][2] = {
        {0.0, 0.0}, {30.0, 60.0}, {130.0, 160.0}, {50.0, 80.0}};
    for (size_t i = 0; i < 8; i++) {
        bool cranially = i % 2 == 1;
        two_veins(lesions[i / 2][0], lesions[i / 2][1], 0.3);
        if (cranially) {
            turn_around();
        }
        bl_study *study;
        bl_assessment *got =
            assess_with(cranially ? "# travel = cranial\n" : "", &study);
        for (double x = 5.0; x < LENGTH_MM; x += 10.0) {
            /* Within a bin of the step either may be meant. */
            double caudally = cranially ? LENGTH_MM - x : x;
            check_close(reference_at(got, x), caudally < 100.0 ? 200.0 : 150.0,
                        1e-9, "mm2");
        }
        assert_int_equal(got->narrowing_count, i / 2 == 0 ? 0 : 1);
        if (i / 2 > 0) {
            check_close(got->worst.area_stenosis_pct, 70.0, 1e-9, "%");
        }
        done(study, got);
    }
}

/* A straight taper has no step, and is followed: stretches are means of areas,
 * which 20 mm of it curve by 0.1 mm2, and ends are level from the middle of a
 * stretch on, up to 10 mm or 0.2 mm of 12. */
static void test_taper_is_no_step(void **state) {
    (void)state;
    vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
    for (size_t i = 0; i < one.count; i++) {
        double d = 16.0 - 4.0 * one.frames[i].position_mm / LENGTH_MM;
        one.frames[i].area_mm2 = 3.14159265358979 / 4.0 * d * d;
    }
    bl_study *study;
    bl_assessment *got = assess_with("", &study);
    assert_int_equal(got->step_count, 0);
    for (size_t i = 0; i < got->profile_count; i++) {
        const bl_profile_point *at = &got->profile[i];
        bool inside = at->position_mm > 15.0 && at->position_mm < 185.0;
        check_close(at->reference_area_mm2, at->area_mm2, inside ? 0.5 : 7.0,
                    "mm2");
    }
    done(study, got);
}

/* The wall of a confluence is followed where it lies, not where it is marked:
 * from 16 to 14 mm over 96 to 104 mm, marked at 98. */
static void test_wall_is_followed(void **state) {
    (void)state;
    for (int cranially = 0; cranially < 2; cranially++) {
        vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
        for (size_t i = 0; i < one.count; i++) {
            double into = (one.frames[i].position_mm - 96.0) / 8.0;
            double d = 16.0 - 2.0 * fmin(fmax(into, 0.0), 1.0);
            one.frames[i].area_mm2 = PI / 4.0 * d * d;
        }
        if (cranially) {
            turn_around();
        }
        bl_study *study;
        bl_assessment *got =
            assess_with(cranially ? "# travel = cranial\n"
                                    "# mark = iliocaval_confluence @ 200\n"
                                    "# mark = internal_iliac_confluence @ 102\n"
                                    "# mark = inguinal_ligament @ 0\n"
                                  : "# mark = iliocaval_confluence @ 0\n"
                                    "# mark = internal_iliac_confluence @ 98\n"
                                    "# mark = inguinal_ligament @ 200\n",
                        &study);
        for (size_t i = 0; i < got->profile_count; i++) {
            const bl_profile_point *at = &got->profile[i];
            check_close(at->reference_area_mm2, at->area_mm2, 1e-6, "mm2");
        }
        done(study, got);
    }
}

static bool warns(const bl_assessment *of, const char *part) {
    bool found = false;
    for (size_t i = 0; i < of->warning_count; i++) {
        found = found || strstr(of->warnings[i], part) != NULL;
    }
    return found;
}

#define MARKS                                                                  \
    "# mark = iliocaval_confluence @ 20\n"                                     \
    "# mark = internal_iliac_confluence @ 70\n"                                \
    "# mark = inguinal_ligament @ 140\n"                                       \
    "# mark = femoral_confluence @ 190\n"

/* Cava 300, common iliac 200, external iliac 150, common femoral 125 mm2; of
 * the veins named only 40 % are left. */
static void four_veins(bool common, bool external, bool femoral) {
    vein_straight(&one, LENGTH_MM, STEP_MM, 300.0);
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        double *area = &one.frames[i].area_mm2;
        if (x >= 140.0) {
            *area = femoral ? 50.0 : 125.0;
        } else if (x >= 70.0) {
            *area = external ? 60.0 : 150.0;
        } else if (x >= 20.0) {
            *area = common ? 80.0 : 200.0;
        }
    }
}

/* Between two veins the equivalent diameter is linear from the middle of one's
 * stretch to that of the other. */
static void test_part_between(void **state) {
    (void)state;
    four_veins(false, true, false);
    bl_study *study;
    bl_assessment *got = assess_with(MARKS, &study);
    assert_true(warns(got, "external iliac vein: no healthy vein was found in "
                           "it, so its reference lies between"));
    double inside = reference_at(got, 105.0);
    assert_true(inside < 200.0 && inside > 125.0);
    check_close(reference_at(got, 50.0), 200.0, 1e-9, "mm2");
    check_close(reference_at(got, 160.0), 125.0, 1e-9, "mm2");
    assert_int_equal(got->narrowing_count, 1);
    done(study, got);
}

/* The cava lends nothing, nor does the vein after the next. What is lent is
 * scaled as the published normals are. */
static void test_what_is_not_lent(void **state) {
    (void)state;
    bl_study *study;
    four_veins(true, false, false);
    bl_assessment *got = assess_with(MARKS, &study);
    check_close(reference_at(got, 40.0), 200.0, 1e-9, "mm2");
    assert_true(warns(got, "so it is held against the vein beside it"));
    assert_true(warns(got, " of the external iliac vein, its area times "
                           "200/150, the normal areas of the two veins"));
    done(study, got);
    four_veins(false, true, true);
    got = assess_with(MARKS, &study);
    check_close(reference_at(got, 100.0), 150.0, 1e-9, "mm2");
    /* In the wall between them, 5 mm to either side of the mark. */
    check_close(sqrt(reference_at(got, 70.0)),
                0.5 * (sqrt(200.0) + sqrt(150.0)), 1e-9, "mm");
    check_unknown(reference_at(got, 160.0));
    assert_true(warns(got, "common femoral vein: no healthy vein was found in "
                           "it, and none beside it may serve"));
    done(study, got);
    four_veins(true, true, true);
    got = assess_with(MARKS, &study);
    check_close(reference_at(got, 10.0), 300.0, 1e-9, "mm2");
    /* 0 to 19.5 mm, and half of the step to the first frame of the next. */
    check_close(got->judged_mm, 19.75, 1e-9, "mm");
    check_close(got->traced_mm, LENGTH_MM, 1e-9, "mm");
    for (double x = 25.0; x < 190.0; x += 10.0) {
        check_unknown(reference_at(got, x));
    }
    done(study, got);
}

/* Scar from end to end is steady and round, and is not taken. */
static void test_scar_throughout(void **state) {
    (void)state;
    vein_straight(&one, LENGTH_MM, STEP_MM, 70.0);
    one.notes = "";
    bl_study *study = vein_study(&one);
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_FIND;
    bl_message message;
    bl_assessment *out = NULL;
    assert_int_equal(bl_assess(study, &options, &out, &message),
                     BL_ERR_REFERENCE);
    assert_non_null(strstr(message.text, "has 70.0 mm2, less than 60 % of the "
                                         "normal area"));
    bl_study_free(study);
}

/* The cava is no narrower than the common iliac vein: 110 mm2 of it, more than
 * 60 % of the smallest normal, are less than 60 % of 200. */
static void test_scarred_cava(void **state) {
    (void)state;
    four_veins(false, true, true);
    for (size_t i = 0; i < one.count; i++) {
        if (one.frames[i].position_mm < 20.0) {
            one.frames[i].area_mm2 = 110.0;
        }
    }
    bl_study *study;
    bl_assessment *got = assess_with(MARKS, &study);
    check_unknown(reference_at(got, 10.0));
    check_close(reference_at(got, 50.0), 200.0, 1e-9, "mm2");
    done(study, got);
}

/* A raised cosine over 40 to 120 mm takes `depth` of the area. */
static double cosine_loss(double x, double depth) {
    double away = fabs(x - 80.0);
    return away >= 40.0 ? 0.0 : depth * 0.5 * (1.0 + cos(PI * away / 40.0));
}

/* The flank of a lesion is steady and round, and less than the shoulder level
 * is lost there: wider vein beside it tells it. Whether the lesion is called a
 * narrowing or not. */
static void test_flank_is_no_reference(void **state) {
    (void)state;
    for (int i = 0; i < 4; i++) {
        double depth = i < 2 ? 0.4 : 0.7;
        bool cranially = i % 2 == 1;
        vein_straight(&one, LENGTH_MM, STEP_MM, 150.0);
        for (size_t k = 0; k < one.count; k++) {
            one.frames[k].area_mm2 *=
                1.0 - cosine_loss(one.frames[k].position_mm, depth);
        }
        bl_study *study;
        bl_assessment *got =
            assess_with(cranially ? "# travel = cranial\n" : "", &study);
        assert_true(got->segment_count >= 2);
        for (size_t k = 0; k < got->segment_count; k++) {
            bl_span span = got->segments[k].span;
            assert_true(cosine_loss(span.from_mm, depth) < 0.05);
            assert_true(cosine_loss(span.to_mm, depth) < 0.05);
        }
        check_close(got->worst.area_stenosis_pct, 100.0 * depth, 1.0, "%");
        done(study, got);
    }
}

/* Frames off by up to 10 % of the diameter, 6 % in the mean square, are not
 * steady each by itself; the vein that they are of is. Which stretches are
 * found is chance: of 20 such veins each has some, and they have two in the
 * mean. */
static void test_noise_is_not_unsteady(void **state) {
    (void)state;
    size_t found = 0;
    for (uint64_t seed = 17; seed < 37; seed++) {
        dice from = {seed};
        vein_straight(&one, LENGTH_MM, STEP_MM, 150.0);
        for (size_t i = 0; i < one.count; i++) {
            double d = 1.0 + dice_between(&from, -0.10, 0.10);
            one.frames[i].area_mm2 *= d * d;
        }
        bl_study *study;
        bl_assessment *got = assess_with("", &study);
        assert_true(got->segment_count > 0);
        found += got->segment_count;
        for (size_t i = 0; i < got->segment_count; i++) {
            /* The mean of 20 frames or more: 11.5 % of 150 over the root of
             * 20, and three times that, of some 60 such that read high. */
            check_close(got->segments[i].area_mm2, 150.0, 11.6, "mm2");
        }
        done(study, got);
    }
    assert_true(found >= 40);
}

/* ------------------------------------------------------------------- score */

/* 150 mm2, of which a fifth is left from 90 to 110 mm: the reference is on
 * either side of it. */
static void narrowed_middle(void) {
    vein_straight(&one, LENGTH_MM, STEP_MM, 150.0);
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        one.frames[i].area_mm2 = x > 90.0 && x < 110.0 ? 30.0 : 150.0;
    }
}

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
    narrowed_middle();
    bl_study *study;
    bl_assessment *got = assess_with("", &study);
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
    done(study, got);
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
    bl_assessment *got = assess_with("", &study);
    const bl_candidate *best = before_worst(got, BL_VERDICT_CHOSEN);
    assert_true(holds(best, 85.0) && !holds(best, 100.0));
    done(study, got);
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
            turn_around();
        }
        bl_study *study;
        bl_assessment *got =
            assess_with(k == 1 ? "# travel = cranial\n" : "", &study);
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
        done(study, got);
    }
}

/* --------------------------------------------------------------- rejections */

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
    narrowed_middle();
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
    bl_assessment *got = assess_with("", &study);
    assert_int_equal(verdict_at(got, 4.0), BL_VERDICT_SHORT);
    assert_int_equal(verdict_at(got, 15.0), BL_VERDICT_FLATTENED);
    assert_int_equal(verdict_at(got, 88.5), BL_VERDICT_SHOULDER);
    assert_int_equal(verdict_at(got, 100.0), BL_VERDICT_NARROWED);
    assert_int_equal(verdict_at(got, 155.0), BL_VERDICT_NARROWED);
    assert_int_equal(verdict_at(got, 172.0), BL_VERDICT_FLANK);
    assert_int_equal(verdict_at(got, 80.0), BL_VERDICT_CHOSEN);
    assert_int_equal(verdict_at(got, 120.0), BL_VERDICT_CHOSEN);
    done(study, got);
}

/* One frame half as large again as its neighbours: no stretch goes across. */
static void test_flagged_frame(void **state) {
    (void)state;
    vein_straight(&one, LENGTH_MM, STEP_MM, 150.0);
    one.frames[60].area_mm2 = 240.0;
    bl_study *study;
    bl_assessment *got = assess_with("", &study);
    assert_int_equal(verdict_at(got, 30.0), BL_VERDICT_FLAGGED);
    done(study, got);
}

/* Of three veins 40 % of the normal area is left, steady and round: only what
 * is beyond the cava can serve, and only for it. */
static void test_too_small(void **state) {
    (void)state;
    four_veins(true, true, true);
    bl_study *study;
    bl_assessment *got = assess_with(MARKS, &study);
    assert_int_equal(verdict_at(got, 5.0), BL_VERDICT_CHOSEN);
    assert_int_equal(verdict_at(got, 45.0), BL_VERDICT_SMALL);
    assert_int_equal(verdict_at(got, 105.0), BL_VERDICT_SMALL);
    assert_int_equal(verdict_at(got, 165.0), BL_VERDICT_SMALL);
    done(study, got);
}

/* No two overlap, those that serve come best first on either side, and every
 * stretch chosen is a segment of the reference. */
static void check_list(const bl_assessment *of) {
    size_t chosen = 0;
    for (size_t i = 0; i < of->candidate_count; i++) {
        const bl_candidate *a = &of->candidates[i];
        for (size_t k = 0; k < i; k++) {
            const bl_candidate *b = &of->candidates[k];
            assert_true(a->segment.span.from_mm >= b->segment.span.to_mm ||
                        b->segment.span.from_mm >= a->segment.span.to_mm);
        }
        bool same = i > 0 && a[-1].part == a->part && !isnan(a->score.total) &&
                    a[-1].segment.where == a->segment.where;
        assert_true(!same || a->score.total <= a[-1].score.total);
        if (a->verdict == BL_VERDICT_CHOSEN) {
            const bl_segment *used = &of->segments[chosen++];
            check_close(used->span.from_mm, a->segment.span.from_mm, 0.0, "mm");
            check_close(used->span.to_mm, a->segment.span.to_mm, 0.0, "mm");
        }
    }
    assert_int_equal(chosen, of->segment_count);
}

static void test_list_is_in_order(void **state) {
    (void)state;
    bl_study *study;
    narrowed_middle();
    bl_assessment *got = assess_with("", &study);
    check_list(got);
    done(study, got);
    four_veins(false, false, false);
    got = assess_with(MARKS, &study);
    check_list(got);
    done(study, got);
    two_veins(50.0, 80.0, 0.3);
    got = assess_with("", &study);
    check_list(got);
    done(study, got);
}

/* -------------------------------------------------------------- sensitivity */

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
    bl_assessment *got = assess_with("", &study);
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
    done(again, wanted);
    done(study, got);
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
    done(study, all);
}

/* 88 mm2 of 200 is 56 %, of 160 45 %. */
static void test_call_depends(void **state) {
    (void)state;
    two_candidates(88.0);
    one.notes = "# reference = 10..60\n# reference = 130..190\n";
    bl_study *study = vein_study(&one);
    bl_assessment *got = vein_assess(study, BL_RULE_TAPER, 1.0);
    assert_true(warns(got,
                      "the call depends on the reference: at a threshold "
                      "of 50.0 % area stenosis there is a narrowing under "));
    assert_true(warns(got, "cranial (56.0 %)"));
    assert_true(warns(got, ", and none under caudal (45.0 %)"));
    done(study, got);
    two_candidates(60.0); /* 70 and 62.5 % */
    one.notes = "# reference = 10..60\n# reference = 130..190\n";
    study = vein_study(&one);
    got = vein_assess(study, BL_RULE_TAPER, 1.0);
    assert_false(warns(got, "the call depends"));
    done(study, got);
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
    bl_assessment *got = assess_with("", &study);
    assert_true(warns(got, "did not settle on each other"));
    done(study, got);
    narrowed_middle();
    got = assess_with("", &study);
    assert_false(warns(got, "did not settle on each other"));
    done(study, got);
}

#define COMMON                                                                 \
    "# mark = iliocaval_confluence @ 0\n"                                      \
    "# mark = internal_iliac_confluence @ 200\n"

/* 70 % of the normal of a known vein is taken, and said. */
static void test_best_of_a_bad_lot(void **state) {
    (void)state;
    vein_straight(&one, LENGTH_MM, STEP_MM, 140.0);
    bl_study *study;
    bl_assessment *got = assess_with(COMMON, &study);
    assert_true(warns(got, "it may be the best of a bad lot"));
    done(study, got);
    vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
    got = assess_with(COMMON, &study);
    assert_false(warns(got, "bad lot"));
    done(study, got);
}

/* Without marks 80 % of the smallest normal, 100 mm2, are the least: a wide
 * vein that is scarred looks like that. */
static void test_small_without_marks(void **state) {
    (void)state;
    bl_study *study;
    vein_straight(&one, LENGTH_MM, STEP_MM, 101.0);
    bl_assessment *got = assess_with("", &study);
    check_close(got->segments[0].area_mm2, 101.0, 1e-9, "mm2");
    done(study, got);
    vein_straight(&one, LENGTH_MM, STEP_MM, 99.0);
    one.notes = "";
    study = vein_study(&one);
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_FIND;
    bl_message message;
    assert_int_equal(bl_assess(study, &options, &got, &message),
                     BL_ERR_REFERENCE);
    assert_non_null(strstr(message.text, "80 % of the smallest where marks do "
                                         "not tell the vein"));
    bl_study_free(study);
}

/* Disease to the caudal end, no marks: from 100 mm on, where healthy vein ends,
 * the reference falls by 0.02 mm a mm, and it is said. */
static void test_falls_beyond_healthy_vein(void **state) {
    (void)state;
    vein_straight(&one, LENGTH_MM, STEP_MM, 201.06192982974676); /* 16 mm */
    for (size_t i = 0; i < one.count; i++) {
        if (one.frames[i].position_mm >= 100.0) {
            one.frames[i].area_mm2 = 50.0;
        }
    }
    bl_study *study;
    bl_assessment *got = assess_with("", &study);
    check_close(reference_at(got, 90.0), PI / 4.0 * 256.0, 1e-6, "mm2");
    /* The calibre over 5 mm falls up to half of that before the vein does. */
    double d = sqrt(4.0 / PI * reference_at(got, 199.5));
    check_close(d, 16.0 - 0.02 * 100.0, 0.02 * 2.5 + 0.02, "mm");
    assert_true(warns(got, "the reference there changes by 0.02 mm a mm"));
    done(study, got);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_step_without_marks),
        cmocka_unit_test(test_taper_is_no_step),
        cmocka_unit_test(test_wall_is_followed),
        cmocka_unit_test(test_part_between),
        cmocka_unit_test(test_what_is_not_lent),
        cmocka_unit_test(test_scar_throughout),
        cmocka_unit_test(test_scarred_cava),
        cmocka_unit_test(test_flank_is_no_reference),
        cmocka_unit_test(test_noise_is_not_unsteady),
        cmocka_unit_test(test_score_of_straight_vein),
        cmocka_unit_test(test_narrower_is_passed_over),
        cmocka_unit_test(test_flatter_is_passed_over),
        cmocka_unit_test(test_envelope_tapers),
        cmocka_unit_test(test_why_not),
        cmocka_unit_test(test_flagged_frame),
        cmocka_unit_test(test_too_small),
        cmocka_unit_test(test_list_is_in_order),
        cmocka_unit_test(test_runner_up),
        cmocka_unit_test(test_narrowed_by_rule),
        cmocka_unit_test(test_call_depends),
        cmocka_unit_test(test_does_not_settle),
        cmocka_unit_test(test_best_of_a_bad_lot),
        cmocka_unit_test(test_small_without_marks),
        cmocka_unit_test(test_falls_beyond_healthy_vein),
    };
    return cmocka_run_group_tests_name("finder", tests, NULL, NULL);
}
