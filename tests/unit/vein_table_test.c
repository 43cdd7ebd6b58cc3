/*
 * vein_table_test.c - what was found vein by vein, against a profile made by
 * hand: a narrowing across a mark, a gap, a stretch pressed flat.
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>

/* Marks lie between frames, which lie at whole millimetres. */
#define NOTES                                                                  \
    "# mark = iliocaval_confluence @ 10.4\n"                                   \
    "# mark = internal_iliac_confluence @ 50.3\n"                              \
    "# mark = inguinal_ligament @ 200\n"

static vein one;

static void set_profile(const char *notes) {
    vein_straight(&one, 120.0, 1.0, 200.0);
    for (size_t i = 0; i < one.count; i++) {
        vein_frame *at = &one.frames[i];
        at->area_mm2 = i > 50 ? 150.0 : 200.0;
        if (i >= 45 && i <= 55) {
            at->area_mm2 = 60.0;
        }
        if (i >= 80 && i < 90) {
            at->area_mm2 = 0.0; /* a point: left out, a gap of 11 mm */
        }
        if (i >= 100 && i < 105) {
            at->aspect = 4.0;
        }
    }
    one.notes = notes;
}

static bl_assessment *assess(bl_reference_choice choice, bl_study **study) {
    bl_assess_options options = bl_assess_defaults();
    options.reference = choice;
    options.smooth_mm = 0.0;
    bl_assessment *out = NULL;
    bl_message message;
    *study = vein_study(&one);
    if (bl_assess(*study, &options, &out, &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
    return out;
}

static void done(bl_study *study, bl_assessment *of) {
    bl_assessment_free(of);
    bl_study_free(study);
}

static void check_span(bl_span got, double from_mm, double to_mm) {
    check_close(got.from_mm, from_mm, 0.0, "mm");
    check_close(got.to_mm, to_mm, 0.0, "mm");
}

/* Where the diameter, linear from x to x + 1, has come to that of an area. */
static double crossing_mm(double x, double from_mm2, double to_mm2,
                          double at_mm2) {
    return x +
           (sqrt(at_mm2) - sqrt(from_mm2)) / (sqrt(to_mm2) - sqrt(from_mm2));
}

static void check_cava(const bl_vein_row *of) {
    assert_int_equal(of->vein, BL_VEIN_CAVA);
    check_span(of->span, 0.0, 10.4);
    check_close(of->traced_mm, 10.4, 1e-12, "mm");
    assert_int_equal(of->frames, 11);
    check_close(of->minimum.area_mm2, 200.0, 1e-10, "mm2");
    check_unknown(of->minimum.share_of_normal_pct);
    assert_false(of->has_reference);
    check_unknown(of->narrowed_mm);
    assert_int_equal(of->compression_count, 0);
}

static void check_common_iliac(const bl_vein_row *of) {
    assert_int_equal(of->vein, BL_VEIN_COMMON_ILIAC);
    check_span(of->span, 10.4, 50.3);
    check_close(of->traced_mm, 39.9, 1e-12, "mm");
    assert_int_equal(of->frames, 40);
    check_close(of->minimum.area_mm2, 60.0, 1e-10, "mm2");
    check_close(of->minimum.position_mm, 45.0, 0.0, "mm");
    assert_int_equal(of->minimum.frame, 45);
    check_close(of->minimum.share_of_normal_pct, 30.0, 1e-10, "%");
    check_close(of->minimum.reference_area_mm2, 200.0, 0.0, "mm2");
    check_close(of->worst.area_stenosis_pct, 70.0, 1e-10, "%");
    check_close(of->narrowed_mm, 50.3 - crossing_mm(44.0, 200.0, 60.0, 100.0),
                1e-12, "mm");
    assert_int_equal(of->compression_count, 0);
}

static void check_external_iliac(const bl_vein_row *of) {
    assert_int_equal(of->vein, BL_VEIN_EXTERNAL_ILIAC);
    check_span(of->span, 50.3, 120.0);
    check_close(of->traced_mm, 69.7 - 11.0, 1e-12, "mm");
    assert_int_equal(of->frames, 60);
    check_close(of->minimum.position_mm, 51.0, 0.0, "mm");
    check_close(of->minimum.share_of_normal_pct, 40.0, 1e-10, "%");
    check_close(of->minimum.reference_area_mm2, 150.0, 0.0, "mm2");
    check_close(of->worst.area_stenosis_pct, 60.0, 1e-10, "%");
    check_close(of->narrowed_mm, crossing_mm(55.0, 60.0, 150.0, 75.0) - 50.3,
                1e-12, "mm");
    assert_int_equal(of->compression_count, 1);
}

static void test_against_what_is_expected(void **state) {
    (void)state;
    set_profile(NOTES);
    bl_study *study;
    bl_assessment *got = assess(BL_REFERENCE_EXPECTED, &study);
    assert_int_equal(got->narrowing_count, 1);
    assert_int_equal(got->vein_count, 3);
    check_cava(&got->veins[0]);
    check_common_iliac(&got->veins[1]);
    check_external_iliac(&got->veins[2]);
    done(study, got);
}

/* The parts of each vein are all there is. */
static void test_parts_make_the_whole(void **state) {
    (void)state;
    set_profile("# reference = 20..35\n" NOTES);
    bl_study *study;
    bl_assessment *got = assess(BL_REFERENCE_DEFAULT, &study);
    double traced = 0.0;
    double narrowed = 0.0;
    size_t frames = 0;
    size_t points = 0;
    for (size_t i = 0; i < got->vein_count; i++) {
        assert_true(got->veins[i].has_reference);
        traced += got->veins[i].traced_mm;
        narrowed += got->veins[i].narrowed_mm;
        frames += got->veins[i].frames;
        points += got->veins[i].compression_count;
    }
    check_close(traced, got->traced_mm, 1e-12, "mm");
    assert_int_equal(got->narrowing_count, 1);
    bl_span span = got->narrowings[0].span;
    check_close(narrowed, span.to_mm - span.from_mm, 1e-12, "mm");
    assert_int_equal(frames, got->frames_used);
    assert_int_equal(points, got->compression_count);
    check_close(got->veins[0].worst.area_stenosis_pct, 0.0, 1e-10, "%");
    done(study, got);
}

static void test_without_a_reference(void **state) {
    (void)state;
    set_profile(NOTES);
    bl_study *study;
    bl_assessment *got = assess(BL_REFERENCE_NONE, &study);
    assert_int_equal(got->vein_count, 3);
    for (size_t i = 0; i < 3; i++) {
        assert_false(got->veins[i].has_reference);
        check_unknown(got->veins[i].narrowed_mm);
    }
    check_close(got->veins[1].minimum.share_of_normal_pct, 30.0, 1e-10, "%");
    done(study, got);
}

/* Veins that marks do not tell, and those in which no frame lies. */
static void test_veins_that_are_not_there(void **state) {
    (void)state;
    set_profile("");
    bl_study *study;
    bl_assessment *got = assess(BL_REFERENCE_NONE, &study);
    assert_int_equal(got->vein_count, 0);
    done(study, got);
    set_profile("# mark = iliocaval_confluence @ 30.2\n"
                "# mark = internal_iliac_confluence @ 30.7\n"
                "# mark = femoral_confluence @ 119.5\n");
    got = assess(BL_REFERENCE_NONE, &study);
    assert_int_equal(got->vein_count, 2);
    assert_int_equal(got->veins[0].vein, BL_VEIN_CAVA);
    assert_int_equal(got->veins[1].vein, BL_VEIN_FEMORAL);
    check_span(got->veins[1].span, 119.5, 120.0);
    assert_int_equal(got->veins[1].frames, 1);
    done(study, got);
}

/* Position order, whichever way the catheter went. */
static void test_travel(void **state) {
    (void)state;
    set_profile("# travel = cranial\n"
                "# mark = iliocaval_confluence @ 100\n"
                "# mark = internal_iliac_confluence @ 40\n");
    bl_study *study;
    bl_assessment *got = assess(BL_REFERENCE_NONE, &study);
    assert_int_equal(got->vein_count, 2);
    assert_int_equal(got->veins[0].vein, BL_VEIN_COMMON_ILIAC);
    check_span(got->veins[0].span, 40.0, 100.0);
    /* The frame at 100 lies on the border, which is the caudal vein's; that
     * at 40 is not: ten more are left out. */
    assert_int_equal(got->veins[0].frames, 50);
    assert_int_equal(got->veins[1].vein, BL_VEIN_CAVA);
    assert_int_equal(got->veins[1].frames, 20);
    done(study, got);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_what_is_expected),
        cmocka_unit_test(test_parts_make_the_whole),
        cmocka_unit_test(test_without_a_reference),
        cmocka_unit_test(test_veins_that_are_not_there),
        cmocka_unit_test(test_travel),
    };
    return cmocka_run_group_tests_name("vein_table", tests, NULL, NULL);
}
