/*
 * plausible_test.c - what is said of calibres, pixels and lengths that no deep
 * vein has: at each limit (docs/formats.md, `check`) and one past it. Diameters
 * are computed from areas of polygons, so that their limits are met to 1e-9 of
 * the value, far above rounding; lengths and pixels are met exactly.
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define CALIBRE "the median equivalent diameter is "
#define LENGTH "the pullback is "
#define PIXELS "pixels are "

static vein one;

/* Whether a finding of the study begins with the words. */
static bool is_said(const bl_study *study, const char *words) {
    const bl_finding *list = bl_study_findings(study);
    bool said = false;
    for (size_t i = 0; i < bl_study_finding_count(study); i++) {
        said = said || strncmp(list[i].message.text, words, strlen(words)) == 0;
    }
    return said;
}

static bool is_scale_suspicious(const bl_study *study) {
    bl_assess_options options = bl_assess_defaults();
    bl_check *check = NULL;
    assert_int_equal(bl_check_study(study, NULL, &options, 0, &check), BL_OK);
    bool suspicious = check->scale_is_suspicious;
    bl_check_free(check);
    return suspicious;
}

/* Whether the calibre is doubted of `some` round frames of a diameter among 21,
 * where the others have another; a warning and the check's summary agree. */
static bool is_doubted(size_t some, double diameter_mm, double other_mm) {
    vein_straight(&one, 20.0, 1.0, PI / 4.0 * other_mm * other_mm);
    for (size_t i = 0; i < some; i++) {
        one.frames[i].area_mm2 = PI / 4.0 * diameter_mm * diameter_mm;
    }
    bl_study *study = vein_study(&one);
    bool said = is_said(study, CALIBRE);
    assert_int_equal(said, is_scale_suspicious(study));
    bl_study_free(study);
    return said;
}

static void test_calibre(void **state) {
    (void)state;
    assert_false(is_doubted(21, 3.0 * (1.0 + 1e-9), 0.0));
    assert_true(is_doubted(21, 3.0 * (1.0 - 1e-9), 0.0));
    assert_false(is_doubted(21, 35.0 * (1.0 - 1e-9), 0.0));
    assert_true(is_doubted(21, 35.0 * (1.0 + 1e-9), 0.0));
}

/* A median of 21 frames is that of the eleventh. */
static void test_more_than_half(void **state) {
    (void)state;
    assert_false(is_doubted(10, 2.0, 12.0));
    assert_true(is_doubted(11, 2.0, 12.0));
    assert_false(is_doubted(10, 40.0, 12.0));
    assert_true(is_doubted(11, 40.0, 12.0));
}

/* Neither other kinds nor what cannot be measured have a calibre: of the first
 * five contours only the lumen of 12 mm2, 3.91 mm wide, has; then two lumens of
 * 1 mm2, 1.13 mm wide, are more than half. */
static void test_of_usable_lumens(void **state) {
    (void)state;
    static const char table[] =
        "frame 0 position=0\n0 0\n4 0\n4 3\n0 3\n"
        "frame 1 position=1 kind=device\n0 0\n1 0\n1 1\n"
        "frame 2 position=2 kind=vessel\n0 0\n1 0\n1 1\n"
        "frame 3 position=3\n0 0\n1 1\n1 0\n0 1\n"
        "frame 4 position=4\n0 0\n1 1\n1 0\n0 1\n";
    static const char small[] = "frame 5 position=5\n0 0\n1 0\n1 1\n0 1\n"
                                "frame 6 position=6\n0 0\n1 0\n1 1\n0 1\n";
    char text[512];
    bl_study *study = vein_study_of_text(table);
    assert_false(is_said(study, CALIBRE));
    assert_false(is_scale_suspicious(study));
    bl_study_free(study);
    (void)snprintf(text, sizeof text, "%s%s", table, small);
    study = vein_study_of_text(text);
    assert_true(is_said(study, CALIBRE));
    assert_true(is_scale_suspicious(study));
    bl_study_free(study);
}

/* Whether the length is doubted of so many frames in so many mm. */
static bool is_length_said(size_t frames, double length_mm) {
    vein_straight(&one, (double)(frames - 1), 1.0, 100.0);
    for (size_t i = 0; i < frames; i++) {
        one.frames[i].position_mm = 0.0;
    }
    one.frames[frames - 1].position_mm = length_mm;
    bl_study *study = vein_study(&one);
    check_close(bl_study_pullback(study)->length_mm, length_mm, 0.0, "mm");
    bool said = is_said(study, LENGTH);
    bl_study_free(study);
    return said;
}

static void test_length(void **state) {
    (void)state;
    double beyond = nextafter(1000.0, 2000.0);
    assert_false(is_length_said(2, 1000.0));
    assert_true(is_length_said(2, beyond));
    assert_false(is_length_said(10, 5.0));
    assert_true(is_length_said(10, nextafter(5.0, 0.0)));
    assert_false(is_length_said(9, nextafter(5.0, 0.0)));
    assert_false(is_length_said(100, 20.0));
    assert_true(is_length_said(100, nextafter(20.0, 0.0)));
    assert_false(is_length_said(99, nextafter(20.0, 0.0)));
    /* Frames at one place are told of as such. */
    assert_false(is_length_said(10, 0.0));
}

/* Ten frames are ten with a lumen: nine and a device are not many. */
static void test_length_of_lumens(void **state) {
    (void)state;
    for (int devices = 0; devices < 2; devices++) {
        char text[1024];
        size_t at = 0;
        for (int i = 0; i < 10; i++) {
            at +=
                (size_t)snprintf(text + at, sizeof text - at,
                                 "frame %d position=%.1f kind=%s\n"
                                 "0 0\n9 0\n9 9\n",
                                 i, 0.5 * i, i < devices ? "device" : "lumen");
        }
        bl_study *study = vein_study_of_text(text);
        assert_int_equal(is_said(study, LENGTH), devices == 0);
        bl_study_free(study);
    }
}

static void test_pixels(void **state) {
    (void)state;
    static const char *const across[] = {"0.1", "0.10000000000000002", "0.09"};
    for (size_t i = 0; i < sizeof across / sizeof across[0]; i++) {
        char text[256];
        (void)snprintf(
            text, sizeof text,
            "# step_mm = 1\n# mm_per_px_x = %s\n# mm_per_px_y = 0.1\n"
            "frame,x_px,y_px\n0,0,0\n0,90,0\n0,90,90\n",
            across[i]);
        bl_study *study = vein_study_of_text(text);
        assert_int_equal(is_said(study, PIXELS), i > 0);
        bl_study_free(study);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_calibre),
        cmocka_unit_test(test_more_than_half),
        cmocka_unit_test(test_of_usable_lumens),
        cmocka_unit_test(test_length),
        cmocka_unit_test(test_length_of_lumens),
        cmocka_unit_test(test_pixels),
    };
    return cmocka_run_group_tests_name("plausible", tests, NULL, NULL);
}
