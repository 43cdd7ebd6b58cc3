/*
 * long_profile_test.c - tables that no pullback makes, as long as a table may
 * be made quickly: what is found holds by construction, and time that grew with
 * the square of the frames would be minutes.
 */
#include "support/check.h"
#include "support/vein.h"

#include <stdio.h>
#include <string.h>

#define MANY 200000

static void feed(bl_study *study, const char *text, size_t size) {
    assert_int_equal(bl_study_feed(study, text, size), BL_OK);
}

/* Isosceles triangles with a base of 16 mm, `step` mm apart and the last `more`
 * mm further: 12 mm high or, in every second frame but the first and last 20,
 * 3 mm high. */
static bl_study *alternating(const char *notes, double step, double more) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = false};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    feed(study, notes, strlen(notes));
    const char *header = "frame,position_mm,x_mm,y_mm\n";
    feed(study, header, strlen(header));
    for (int i = 0; i < MANY; i++) {
        bool narrow = i % 2 == 1 && i >= 20 && i < MANY - 20;
        double x = (double)i * step + (i + 1 == MANY ? more : 0.0);
        char rows[256];
        int size = snprintf(rows, sizeof rows,
                            "%d,%.9g,0,0\n%d,%.9g,16,0\n%d,%.9g,8,%d\n", i, x,
                            i, x, i, x, narrow ? 3 : 12);
        feed(study, rows, (size_t)size);
    }
    assert_int_equal(bl_study_finish(study), BL_OK);
    return study;
}

static bl_status count_bytes(void *context, const char *bytes, size_t size) {
    (void)bytes;
    *(size_t *)context += size;
    return BL_OK;
}

/* The picture is bounded by the paper. */
static void check_picture(const bl_study *study, const bl_assessment *of) {
    bl_source source = {.file = "hostile.csv", .options = ""};
    bl_figure_options options = bl_figure_defaults();
    bl_figure *figure = NULL;
    assert_int_equal(bl_figure_profile(study, of, &source, &options, &figure),
                     BL_OK);
    size_t bytes = 0;
    assert_int_equal(bl_figure_svg(figure, count_bytes, &bytes), BL_OK);
    assert_true(bytes > 10000 && bytes < 2000000);
    bl_figure_free(figure);
}

/* Every narrowing is one frame of 24 mm2, itself and no other. */
static void check_narrowings(const bl_assessment *of) {
    size_t narrow = (MANY - 40) / 2;
    assert_int_equal(of->narrowing_count, narrow);
    for (size_t i = 0; i < narrow; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        assert_int_equal(one->worst.frame, 21 + 2 * (long)i);
        check_close(one->min_area_mm2, 24.0, 1e-12, "mm2");
    }
}

static void test_narrow_every_other_frame(void **state) {
    (void)state;
    bl_study *study = alternating("# reference = 0..0.19\n", 0.01, 0.0);
    bl_assessment *got = vein_assess(study, BL_RULE_TAPER, 0.0);
    check_narrowings(got);
    check_close(got->worst.area_stenosis_pct, 75.0, 1e-12, "%");
    assert_int_equal(got->compression_count, got->narrowing_count);
    check_picture(study, got);
    bl_assessment_free(got);
    bl_study_free(study);
}

/* Neighbours recover between them, though no way lies there. All would be no
 * profile. */
static void test_all_but_one_at_one_position(void **state) {
    (void)state;
    bl_study *study = alternating("# reference = 0..0\n", 0.0, 1.0);
    bl_assessment *got = vein_assess(study, BL_RULE_TAPER, 0.0);
    check_narrowings(got);
    bl_assessment_free(got);
    bl_study_free(study);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_narrow_every_other_frame),
        cmocka_unit_test(test_all_but_one_at_one_position),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
