/*
 * finder_test.c - healthy vein found in vessels whose healthy calibre is known
 * by construction: steps with and without marks, parts without healthy vein,
 * and scar throughout.
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846
#define LENGTH_MM 200.0
#define STEP_MM 0.5

static vein one;

/* 200 mm2 to 100 mm, 150 beyond; from a to b a share of that is left. */
static void two_veins(double a, double b, double left) {
    vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
    for (size_t i = 0; i < one.count; i++) {
        double x = one.frames[i].position_mm;
        double healthy = x < 100.0 ? 200.0 : 150.0;
        one.frames[i].area_mm2 = x > a && x < b ? left * healthy : healthy;
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
            vein_turn_around(&one);
        }
        bl_study *study;
        bl_assessment *got =
            vein_explain(&one, cranially ? "# travel = cranial\n" : "", &study);
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
        vein_done(study, got);
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
    bl_assessment *got = vein_explain(&one, "", &study);
    assert_int_equal(got->step_count, 0);
    for (size_t i = 0; i < got->profile_count; i++) {
        const bl_profile_point *at = &got->profile[i];
        bool inside = at->position_mm > 15.0 && at->position_mm < 185.0;
        check_close(at->reference_area_mm2, at->area_mm2, inside ? 0.5 : 7.0,
                    "mm2");
    }
    vein_done(study, got);
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
            vein_turn_around(&one);
        }
        bl_study *study;
        bl_assessment *got = vein_explain(
            &one,
            cranially ? "# travel = cranial\n"
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
        vein_done(study, got);
    }
}

/* Between two veins the equivalent diameter is linear from the middle of one's
 * stretch to that of the other. */
static void test_part_between(void **state) {
    (void)state;
    vein_four(&one, false, true, false);
    bl_study *study;
    bl_assessment *got = vein_explain(&one, VEIN_FOUR_MARKS, &study);
    assert_true(vein_warns(got,
                           "external iliac vein: no healthy vein was found in "
                           "it, so its reference lies between"));
    double inside = reference_at(got, 105.0);
    assert_true(inside < 200.0 && inside > 125.0);
    check_close(reference_at(got, 50.0), 200.0, 1e-9, "mm2");
    check_close(reference_at(got, 160.0), 125.0, 1e-9, "mm2");
    assert_int_equal(got->narrowing_count, 1);
    vein_done(study, got);
}

/* The cava lends nothing, nor does the vein after the next. What is lent is
 * scaled as the published normals are. */
static void test_what_is_not_lent(void **state) {
    (void)state;
    bl_study *study;
    vein_four(&one, true, false, false);
    bl_assessment *got = vein_explain(&one, VEIN_FOUR_MARKS, &study);
    check_close(reference_at(got, 40.0), 200.0, 1e-9, "mm2");
    assert_true(vein_warns(got, "so it is held against the vein beside it"));
    assert_true(vein_warns(got, " of the external iliac vein, its area times "
                                "200/150, the normal areas of the two veins"));
    vein_done(study, got);
    vein_four(&one, false, true, true);
    got = vein_explain(&one, VEIN_FOUR_MARKS, &study);
    check_close(reference_at(got, 100.0), 150.0, 1e-9, "mm2");
    /* In the wall between them, 5 mm to either side of the mark. */
    check_close(sqrt(reference_at(got, 70.0)),
                0.5 * (sqrt(200.0) + sqrt(150.0)), 1e-9, "mm");
    check_unknown(reference_at(got, 160.0));
    assert_true(vein_warns(got,
                           "common femoral vein: no healthy vein was found in "
                           "it, and none beside it may serve"));
    vein_done(study, got);
    vein_four(&one, true, true, true);
    got = vein_explain(&one, VEIN_FOUR_MARKS, &study);
    check_close(reference_at(got, 10.0), 300.0, 1e-9, "mm2");
    /* 0 to 19.5 mm, and half of the step to the first frame of the next. */
    check_close(got->judged_mm, 19.75, 1e-9, "mm");
    check_close(got->traced_mm, LENGTH_MM, 1e-9, "mm");
    for (double x = 25.0; x < 190.0; x += 10.0) {
        check_unknown(reference_at(got, x));
    }
    vein_done(study, got);
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
    vein_four(&one, false, true, true);
    for (size_t i = 0; i < one.count; i++) {
        if (one.frames[i].position_mm < 20.0) {
            one.frames[i].area_mm2 = 110.0;
        }
    }
    bl_study *study;
    bl_assessment *got = vein_explain(&one, VEIN_FOUR_MARKS, &study);
    check_unknown(reference_at(got, 10.0));
    check_close(reference_at(got, 50.0), 200.0, 1e-9, "mm2");
    vein_done(study, got);
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
            vein_explain(&one, cranially ? "# travel = cranial\n" : "", &study);
        assert_true(got->segment_count >= 2);
        for (size_t k = 0; k < got->segment_count; k++) {
            bl_span span = got->segments[k].span;
            assert_true(cosine_loss(span.from_mm, depth) < 0.05);
            assert_true(cosine_loss(span.to_mm, depth) < 0.05);
        }
        check_close(got->worst.area_stenosis_pct, 100.0 * depth, 1.0, "%");
        vein_done(study, got);
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
        bl_assessment *got = vein_explain(&one, "", &study);
        assert_true(got->segment_count > 0);
        found += got->segment_count;
        for (size_t i = 0; i < got->segment_count; i++) {
            /* The mean of 20 frames or more: 11.5 % of 150 over the root of
             * 20, and three times that, of some 60 such that read high. */
            check_close(got->segments[i].area_mm2, 150.0, 11.6, "mm2");
        }
        vein_done(study, got);
    }
    assert_true(found >= 40);
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
    vein_narrowed_middle(&one);
    bl_assessment *got = vein_explain(&one, "", &study);
    check_list(got);
    vein_done(study, got);
    vein_four(&one, false, false, false);
    got = vein_explain(&one, VEIN_FOUR_MARKS, &study);
    check_list(got);
    vein_done(study, got);
    two_veins(50.0, 80.0, 0.3);
    got = vein_explain(&one, "", &study);
    check_list(got);
    vein_done(study, got);
}

#define COMMON                                                                 \
    "# mark = iliocaval_confluence @ 0\n"                                      \
    "# mark = internal_iliac_confluence @ 200\n"

/* 70 % of the normal of a known vein is taken, and said. */
static void test_best_of_a_bad_lot(void **state) {
    (void)state;
    vein_straight(&one, LENGTH_MM, STEP_MM, 140.0);
    bl_study *study;
    bl_assessment *got = vein_explain(&one, COMMON, &study);
    assert_true(vein_warns(got, "it may be the best of a bad lot"));
    vein_done(study, got);
    vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
    got = vein_explain(&one, COMMON, &study);
    assert_false(vein_warns(got, "bad lot"));
    vein_done(study, got);
}

/* Without marks 80 % of the smallest normal, 100 mm2, are the least: a wide
 * vein that is scarred looks like that. */
static void test_small_without_marks(void **state) {
    (void)state;
    bl_study *study;
    vein_straight(&one, LENGTH_MM, STEP_MM, 101.0);
    bl_assessment *got = vein_explain(&one, "", &study);
    check_close(got->segments[0].area_mm2, 101.0, 1e-9, "mm2");
    vein_done(study, got);
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
    bl_assessment *got = vein_explain(&one, "", &study);
    check_close(reference_at(got, 90.0), PI / 4.0 * 256.0, 1e-6, "mm2");
    /* The calibre over 5 mm falls up to half of that before the vein does. */
    double d = sqrt(4.0 / PI * reference_at(got, 199.5));
    check_close(d, 16.0 - 0.02 * 100.0, 0.02 * 2.5 + 0.02, "mm");
    assert_true(vein_warns(got, "the reference there changes by 0.02 mm a mm"));
    vein_done(study, got);
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
        cmocka_unit_test(test_list_is_in_order),
        cmocka_unit_test(test_best_of_a_bad_lot),
        cmocka_unit_test(test_small_without_marks),
        cmocka_unit_test(test_falls_beyond_healthy_vein),
    };
    return cmocka_run_group_tests_name("finder", tests, NULL, NULL);
}
