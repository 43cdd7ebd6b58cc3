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

static bl_assessment *assess_with(const char *notes, bl_study **study) {
    one.notes = notes;
    *study = vein_study(&one);
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_FIND;
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

/* A straight taper has no step. */
static void test_taper_is_no_step(void **state) {
    (void)state;
    vein_straight(&one, LENGTH_MM, STEP_MM, 200.0);
    for (size_t i = 0; i < one.count; i++) {
        double d = 16.0 - 4.0 * one.frames[i].position_mm / LENGTH_MM;
        one.frames[i].area_mm2 = 3.14159265358979 / 4.0 * d * d;
    }
    bl_study *study;
    bl_assessment *got = assess_with("", &study);
    assert_int_equal(got->segment_count, 2);
    done(study, got);
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

/* The cava lends nothing, nor does the vein after the next. */
static void test_what_is_not_lent(void **state) {
    (void)state;
    bl_study *study;
    four_veins(true, false, false);
    bl_assessment *got = assess_with(MARKS, &study);
    check_close(reference_at(got, 40.0), 150.0, 1e-9, "mm2");
    assert_true(warns(got, "so it is held against the vein beside it"));
    done(study, got);
    four_veins(false, true, true);
    got = assess_with(MARKS, &study);
    check_close(reference_at(got, 100.0), 200.0, 1e-9, "mm2");
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
        assert_int_equal(got->segment_count, 2);
        for (size_t k = 0; k < got->segment_count; k++) {
            bl_span span = got->segments[k].span;
            assert_true(cosine_loss(span.from_mm, depth) < 0.05);
            assert_true(cosine_loss(span.to_mm, depth) < 0.05);
        }
        check_close(got->worst.area_stenosis_pct, 100.0 * depth, 1.0, "%");
        done(study, got);
    }
}

/* Frames off by up to 14 % of the diameter, 8 % in the mean square, are not
 * steady each by itself; the vein that they are of is. */
static void test_noise_is_not_unsteady(void **state) {
    (void)state;
    dice from = {17};
    vein_straight(&one, LENGTH_MM, STEP_MM, 150.0);
    for (size_t i = 0; i < one.count; i++) {
        double d = 1.0 + dice_between(&from, -0.14, 0.14);
        one.frames[i].area_mm2 *= d * d;
    }
    bl_study *study;
    bl_assessment *got = assess_with("", &study);
    assert_int_equal(got->segment_count, 2);
    for (size_t i = 0; i < got->segment_count; i++) {
        /* The mean of 20 frames or more: 16 % of 150 over the root of 20, and
         * twice that. */
        check_close(got->segments[i].area_mm2, 150.0, 10.8, "mm2");
    }
    done(study, got);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_step_without_marks),
        cmocka_unit_test(test_taper_is_no_step),
        cmocka_unit_test(test_part_between),
        cmocka_unit_test(test_what_is_not_lent),
        cmocka_unit_test(test_scarred_cava),
        cmocka_unit_test(test_scar_throughout),
        cmocka_unit_test(test_flank_is_no_reference),
        cmocka_unit_test(test_noise_is_not_unsteady),
    };
    return cmocka_run_group_tests_name("finder", tests, NULL, NULL);
}
