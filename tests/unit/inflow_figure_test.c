/*
 * inflow_figure_test.c - the picture of inflow veins: no text leaves the page
 * or meets another at any size and number of veins, and it says what it must.
 */
#include "support/check.h"
#include "support/picture.h"
#include "support/vein.h"
#include "support/wellformed.h"

#include "base/text.h"
#include "draw/figure.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static vein one;
static bl_study *studies[3];
static bl_assessment *assessments[3];
static const bl_source sources[3] = {
    {.file = "femoral.csv", .crc32 = 0x1234abcd, .bytes = 1, .options = ""},
    {.file = "a folder/with a very long name of a file that no heading has any "
             "room for & <more>.csv",
     .crc32 = 0x1234abce,
     .bytes = 1,
     .options = "--within 50"},
    {.file = "gap.csv", .crc32 = 0x1234abcf, .bytes = 1, .options = ""},
};

static void assess_one(size_t i, const char *notes) {
    bl_assess_options options = bl_assess_defaults();
    bl_message message;
    one.notes = notes;
    options.inflow_mm = 50.0;
    studies[i] = vein_study(&one);
    if (bl_assess(studies[i], &options, &assessments[i], &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
}

/* A narrowed vein, a large one pulled the other way, one with a gap. */
static int set_up(void **state) {
    (void)state;
    vein_straight(&one, 80.0, 1.0, 90.0);
    for (size_t i = 50; i < 70; i++) {
        one.frames[i].area_mm2 = 25.0;
    }
    /* All at once it would doubt the scale. */
    one.frames[49].area_mm2 = one.frames[70].area_mm2 = 50.0;
    assess_one(0, "# reference = 0..20\n");
    vein_straight(&one, 80.0, 1.0, 220.0);
    assess_one(1, "# travel = cranial\n# reference = 60..80\n");
    vein_straight(&one, 80.0, 1.0, 100.0);
    memmove(&one.frames[50], &one.frames[60], 21 * sizeof one.frames[0]);
    one.count -= 10;
    assess_one(2, "# reference = 0..20\n");
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    for (size_t i = 0; i < 3; i++) {
        bl_assessment_free(assessments[i]);
        bl_study_free(studies[i]);
    }
    return 0;
}

/* The three in turn. */
static bl_inflow *compare(size_t count) {
    bl_inflow_input inputs[BL_INFLOW_MOST];
    bl_inflow *out = NULL;
    for (size_t i = 0; i < count; i++) {
        inputs[i] = (bl_inflow_input){studies[i % 3], assessments[i % 3],
                                      &sources[i % 3], NULL};
    }
    assert_int_equal(bl_inflow_new(inputs, count, &out, NULL), BL_OK);
    return out;
}

/* Lines stay on the page too. */
static size_t check_points(const bl_figure *of) {
    size_t wrong = 0;
    for (size_t i = 0; i < of->canvas.point_count; i++) {
        canvas_point at = of->canvas.points[i];
        wrong += !(at.x >= 0 && at.y >= 0 && at.x <= of->width_mm &&
                   at.y <= of->height_mm);
    }
    return wrong;
}

static void test_no_text_meets_another(void **state) {
    (void)state;
    for (size_t count = 2; count <= BL_INFLOW_MOST; count++) {
        bl_inflow *of = compare(count);
        for (size_t i = 0; i < PICTURE_PAGES; i++) {
            bl_figure_options size = {picture_pages[i][0], picture_pages[i][1]};
            bl_figure *figure = NULL;
            assert_int_equal(bl_figure_inflow(of, &size, &figure), BL_OK);
            size_t wrong =
                picture_texts(figure, "inflow veins") + check_points(figure);
            if (wrong > 0) {
                fail_msg("%zu wrong on %g x %g with %zu veins", wrong,
                         picture_pages[i][0], picture_pages[i][1], count);
            }
            assert_true(picture_says(figure, "Not a medical device"));
            assert_true(picture_says(figure, "1. "));
            bl_figure_free(figure);
        }
        bl_inflow_free(of);
    }
}

static void test_says_figures(void **state) {
    (void)state;
    bl_inflow *of = compare(3);
    bl_figure_options size = bl_figure_defaults();
    bl_figure *figure = NULL;
    assert_int_equal(bl_figure_inflow(of, &size, &figure), BL_OK);
    static const char *const words[] = {
        "1. B",          "2. C",
        "3. A",          "femoral.csv",
        "220.0",         "100.0",
        "25.0",          "not known",
        "least area",    "mean area",
        "flow index",    "caudal",
        "B (a folder/",  "never a pressure gradient",
        "crc32 1234abcd"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (!picture_says(figure, words[i])) {
            fail_msg("it does not say '%s'", words[i]);
        }
    }
    text svg = {0};
    assert_int_equal(bl_figure_svg(figure, picture_keep, &svg), BL_OK);
    assert_true(wellformed_xml(text_c(&svg), svg.size));
    text_free(&svg);
    bl_figure_free(figure);
    bl_inflow_free(of);
}

/* What has no row is counted. */
static void test_says_what_has_no_room(void **state) {
    (void)state;
    bl_inflow *of = compare(BL_INFLOW_MOST);
    bl_figure_options size = {80.0, 60.0};
    bl_figure *figure = NULL;
    assert_int_equal(bl_figure_inflow(of, &size, &figure), BL_OK);
    size_t rows = 0;
    char heading[16];
    do {
        rows++;
        (void)snprintf(heading, sizeof heading, "%zu. ", rows + 1);
    } while (picture_says(figure, heading));
    char words[64];
    (void)snprintf(words, sizeof words,
                   "No room here for flow index, curves of area and %zu more "
                   "veins. ",
                   BL_INFLOW_MOST - rows);
    assert_true(rows >= 2 && rows < BL_INFLOW_MOST);
    assert_non_null(strstr(figure->description, words));
    assert_true(picture_says(figure, "No room here for"));
    bl_figure_free(figure);
    size = bl_figure_defaults();
    assert_int_equal(bl_figure_inflow(of, &size, &figure), BL_OK);
    assert_true(picture_says(figure, "16. "));
    assert_null(strstr(figure->description, "more veins"));
    bl_figure_free(figure);
    bl_inflow_free(of);
}

/* On every page each measure has a column or is said to have none. */
static void test_no_measure_goes_silently(void **state) {
    (void)state;
    bl_inflow *of = compare(2);
    bl_figure_options size = {80.0, 60.0};
    bl_figure *figure = NULL;
    size_t silent = 0;
    for (size.width_mm = 80.0; size.width_mm < 200.0; size.width_mm += 5.0) {
        assert_int_equal(bl_figure_inflow(of, &size, &figure), BL_OK);
        bool column = picture_says(figure, "\xC3\x97");
        assert_int_equal(!column, picture_says(figure, "No room here for"));
        assert_int_equal(
            !column,
            strstr(figure->description, "No room here for flow index") != NULL);
        silent += !column;
        bl_figure_free(figure);
    }
    /* Both happen. */
    assert_true(silent > 0 && silent < 24);
    bl_inflow_free(of);
}

static void test_refused(void **state) {
    (void)state;
    bl_inflow *of = compare(2);
    static const double wrong[][2] = {
        {79.9, 60.0}, {80.0, 59.9}, {1000.1, 100.0}, {(double)NAN, 100.0}};
    bl_figure *figure = NULL;
    bl_figure_options size = bl_figure_defaults();
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        bl_figure_options bad = {wrong[i][0], wrong[i][1]};
        assert_int_equal(bl_figure_inflow(of, &bad, &figure), BL_ERR_ARGUMENT);
    }
    assert_int_equal(bl_figure_inflow(NULL, &size, &figure), BL_ERR_ARGUMENT);
    assert_null(figure);
    bl_inflow_free(of);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_text_meets_another),
        cmocka_unit_test(test_says_figures),
        cmocka_unit_test(test_says_what_has_no_room),
        cmocka_unit_test(test_no_measure_goes_silently),
        cmocka_unit_test(test_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
