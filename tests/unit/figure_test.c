/*
 * figure_test.c - the profile figure on crowded, short, long, small and large
 * pages: no two texts meet, none leaves the page, panels stay open, and words
 * say what is there. All cases are invented.
 */
#include "support/check.h"
#include "support/drawn.h"
#include "support/picture.h"

#include "draw/figure.h"
#include "draw/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void test_texts_keep_clear(void **state) {
    (void)state;
    static const double lengths[] = {5.0, 60.0, 200.0, 600.0};
    size_t wrong = 0;
    for (size_t i = 0; i < 4; i++) {
        for (size_t segments = 0; segments <= 2; segments++) {
            drawn_fill(lengths[i], true, segments);
            wrong += drawn_check_pages("no marks");
            drawn_add_marks(drawn_plain_names, 4, 4, 0.05, 0.3);
            wrong += drawn_check_pages("four marks apart");
            drawn_add_marks(drawn_plain_names, 4, 4, 0.5, 0.001);
            wrong += drawn_check_pages("four marks at one place");
            drawn_add_marks(drawn_long_names, 5, 20, 0.1, 0.005);
            wrong += drawn_check_pages("20 long marks close together");
            drawn_add_marks(drawn_long_names, 5, 20, 0.9, 0.005);
            wrong += drawn_check_pages("20 long marks at the end");
            drawn_add_marks(drawn_long_names, 5, DRAWN_MARKS_MOST, 0.0,
                            1.0 / 256);
            wrong += drawn_check_pages("256 long marks");
            drawn_add_ripple(lengths[i], segments == 2);
            wrong += drawn_check_pages("256 long marks and ripple");
        }
        drawn_fill(lengths[i], false, 2);
        drawn_add_marks(drawn_plain_names, 4, 4, 0.03, 0.3);
        wrong += drawn_check_pages("a plain case");
        drawn_add_ripple(lengths[i], false);
        wrong += drawn_check_pages("a plain case that ripples");
        drawn_add_ripple(lengths[i], true);
        wrong += drawn_check_pages("a plain case, ripple taken off");
    }
    assert_int_equal(wrong, 0);
}

/* Two next best stretches side by side, from too short for a name to long
 * enough for the long one: names are wider than stretches by up to an em. */
static void test_runner_ups_keep_clear(void **state) {
    (void)state;
    size_t wrong = 0;
    size_t named = 0;
    for (double share = 0.02; share < 0.16; share += 0.005) {
        drawn_fill(200.0, false, 2);
        double middle = 100.0;
        double half = 200.0 * share;
        bl_segment stretches[] = {{.span = {middle - half, middle}},
                                  {.span = {middle, middle + half}}};
        bl_runner_up next = {.segments = stretches, .segment_count = 2};
        drawn_one.assessment.runner_up = &next;
        drawn_one.assessment.narrowing_count = 0;
        drawn_one.assessment.worst.position_mm = 10.0;
        wrong += drawn_check_pages("runner-up stretches side by side");
        bl_figure *figure = NULL;
        assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
        named += picture_says(figure, "2nd ");
        bl_figure_free(figure);
    }
    assert_int_equal(wrong, 0);
    assert_in_range(named, 1, 27);
}

/* Stretches that the worst place is not held against lie in other veins only
 * where marks say so. */
static void test_other_stretches(void **state) {
    (void)state;
    static const struct {
        bl_vein worst;
        bl_vein other;
        const char *words;
    } cases[] = {
        {BL_VEIN_COMMON_ILIAC, BL_VEIN_COMMON_FEMORAL, "1 more in other veins"},
        {BL_VEIN_COMMON_ILIAC, BL_VEIN_COMMON_ILIAC, "1 more elsewhere"},
        {BL_VEIN_COMMON_ILIAC, BL_VEIN_UNKNOWN, "1 more elsewhere"},
        {BL_VEIN_UNKNOWN, BL_VEIN_UNKNOWN, "1 more elsewhere"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        drawn_fill(200.0, false, 2);
        drawn_one.segments[1].serves_worst = false;
        drawn_one.segments[1].vein = cases[i].other;
        drawn_one.assessment.worst.vein = cases[i].worst;
        bl_figure *figure = NULL;
        assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
        assert_true(picture_says(figure, cases[i].words));
        bl_figure_free(figure);
    }
}

/* Numbers that nothing explains are none: the key has lines of its own, and
 * names give way to keep it whole. */
static void test_numbered_marks_are_told(void **state) {
    (void)state;
    static const char *const told[] = {"Marks: 1\302\240iliocav",
                                       "2\302\240internal", "3\302\240inguinal",
                                       "4\302\240femoral"};
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        drawn_fill(200.0, true, 2);
        drawn_add_marks(drawn_plain_names, 4, 4, 0.5, 0.001);
        bl_figure *figure = NULL;
        assert_int_equal(
            drawn_figure(picture_pages[i][0], picture_pages[i][1], &figure),
            BL_OK);
        bool numbered = picture_says(figure, "Marks: ");
        assert_true(numbered || picture_pages[i][0] > 80.0);
        for (size_t k = 0; numbered && k < 4; k++) {
            assert_true(picture_says(figure, told[k]));
        }
        bl_figure_free(figure);
    }
}

/* The normal is named nowhere else; the reference is in the panel above. */
static void test_normal_is_named_beside_a_gap(void **state) {
    (void)state;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        drawn_fill(200.0, true, 2);
        for (size_t k = 0; k < DRAWN_FRAMES; k++) {
            drawn_one.points[k].normal_area_mm2 = 150.0;
        }
        bl_figure *figure = NULL;
        assert_int_equal(
            drawn_figure(picture_pages[i][0], picture_pages[i][1], &figure),
            BL_OK);
        assert_true(picture_says(figure, "normal "));
        assert_true(picture_says(figure, "reference "));
        bl_figure_free(figure);
    }
}

static void test_numbers_keep_clear_away_from_zero(void **state) {
    (void)state;
    static const double shifts[] = {-600.0, 12345.678, 999999.0, 1e9};
    size_t wrong = 0;
    for (size_t i = 0; i < 4; i++) {
        drawn_fill(5.0, false, 2);
        drawn_shift(shifts[i]);
        wrong += drawn_check_pages("5 mm far from zero");
        drawn_fill(600.0, false, 2);
        drawn_shift(shifts[i]);
        wrong += drawn_check_pages("600 mm far from zero");
    }
    assert_int_equal(wrong, 0);
}

static bool draws(bool has_contours, size_t segments, const char *words) {
    bl_figure *figure = NULL;
    drawn_fill(200.0, false, segments);
    drawn_one.has_contours = has_contours;
    assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
    bool found = picture_says(figure, words);
    bl_figure_free(figure);
    return found;
}

/* A letter points to a cross-section, "worst" to a reference. */
static void test_words_point_to_what_is_there(void **state) {
    (void)state;
    assert_true(draws(true, 2, "A  reference"));
    assert_true(draws(true, 2, "B  worst place"));
    assert_false(draws(false, 2, "A  "));
    assert_false(draws(false, 2, "B  "));
    assert_true(draws(false, 2, "reference"));
    assert_true(draws(true, 0, "least area"));
    assert_false(draws(true, 0, "worst"));
    assert_false(draws(true, 0, "A  "));
    assert_true(draws(true, 0, "No reference"));
}

static bool ripple_draws(bool found, bool removed, const char *words) {
    bl_figure *figure = NULL;
    drawn_fill(200.0, false, 2);
    if (found) {
        drawn_add_ripple(200.0, removed);
    }
    assert_int_equal(drawn_figure(80, 60, &figure), BL_OK);
    bool says_so = picture_says(figure, words);
    bl_figure_free(figure);
    return says_so;
}

/* The lane and the line of what was traced are named where they are, on the
 * smallest page too. */
static void test_ripple_is_named(void **state) {
    (void)state;
    assert_false(ripple_draws(false, false, "breathing"));
    assert_true(ripple_draws(true, false, "breathing"));
    assert_true(ripple_draws(true, true, "breathing"));
    assert_false(ripple_draws(true, false, "with ripple"));
    assert_true(ripple_draws(true, true, "with ripple"));
}

static void test_side_outlives_a_long_name(void **state) {
    (void)state;
    bl_figure *figure = NULL;
    drawn_fill(200.0, false, 2);
    const char *name = "an invented case with a name that is longer than the "
                       "small page has room for in its title";
    drawn_one.pullback.case_name = name;
    assert_int_equal(drawn_figure(80, 60, &figure), BL_OK);
    assert_false(picture_says(figure, name));
    assert_true(picture_says(figure, "\xE2\x80\xA6, left, before "));
    bl_figure_free(figure);
}

static void test_source_outlives_a_long_path(void **state) {
    (void)state;
    size_t wrong = 0;
    drawn_fill(200.0, true, 2);
    drawn_one.pullback.polar = true;
    static const bl_speed pieces[] = {{0, 1.25}, {600, 0.5}};
    drawn_one.pullback.speed_is_schedule = true;
    drawn_one.pullback.speeds = pieces;
    drawn_one.pullback.speed_count = 2;
    drawn_one.source.file =
        "/a/path/through/many/folders/that/goes/on/and/on/to/an "
        "invented case with a long name.csv";
    bl_figure *figure = NULL;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        assert_int_equal(
            drawn_figure(picture_pages[i][0], picture_pages[i][1], &figure),
            BL_OK);
        wrong +=
            !picture_says(figure, "invented case") ||
            !picture_says(figure,
                          "speed schedule: 1.25\xC2\xA0mm/s from frame 0, ") ||
            !picture_says(figure, "by 0.02\xC2\xA0mm (note). ");
        assert_non_null(strstr(figure->description, drawn_one.source.file));
        bl_figure_free(figure);
    }
    assert_int_equal(wrong, 0);
}

static bool narrowing_picture_says(const char *words) {
    bl_figure *figure = NULL;
    assert_int_equal(drawn_figure(360, 200, &figure), BL_OK);
    bool found = picture_says(figure, words);
    bl_figure_free(figure);
    return found;
}

/* A narrowing of which only the shoulder was cut is as long as it says; one
 * whose contour is doubted is not shown without saying so. */
static void test_narrowing_label(void **state) {
    (void)state;
    drawn_fill(200.0, false, 2);
    drawn_one.narrowings[0].open_from = true;
    assert_true(narrowing_picture_says("50 % area stenosis, 6 mm"));
    drawn_one.narrowings[0].span_open_from = true;
    assert_true(narrowing_picture_says("50 % area stenosis, at least 6 mm"));
    assert_false(narrowing_picture_says("oubtful"));
    drawn_one.narrowings[0].worst.doubt.jump = true;
    assert_true(narrowing_picture_says("at least 6 mm, doubtful"));
    drawn_one.narrowings[0].span.to_mm =
        drawn_one.narrowings[0].span.from_mm + 0.4;
    assert_true(narrowing_picture_says("50 % area stenosis, length unknown"));
    drawn_fill(200.0, false, 2);
    drawn_one.assessment.worst.doubt =
        (bl_doubt){.points_few = 12, .points_beside = 32};
    assert_true(narrowing_picture_says("doubtful: see below"));
    assert_true(
        narrowing_picture_says("frame 265 has 12 points where contours "));
}

/* Boxes of vein that was not judged, and how much of the panel's width the
 * widest covers. */
static size_t unjudged_boxes(double width, double height, double *share) {
    scene of = drawn_scene();
    bl_figure *figure = NULL;
    canvas list = {0};
    arena memory = {0};
    page on = {.canvas = &list,
               .memory = &memory,
               .scene = &of,
               .width = width,
               .height = height};
    plan_page(&on);
    assert_false(on.failed);
    assert_int_equal(drawn_figure(width, height, &figure), BL_OK);
    size_t count = 0;
    *share = 0.0;
    for (size_t i = 0; i < figure->canvas.item_count; i++) {
        const canvas_item *item = &figure->canvas.items[i];
        if (item->mode == CANVAS_CLOSED && item->fill == UNJUDGED_TINT) {
            const canvas_point *at = &figure->canvas.points[item->first];
            *share = fmax(*share, (at[2].x - at[0].x) / (on.x1 - on.x0));
            count++;
        }
    }
    assert_int_equal(picture_says(figure, "not judged"), count > 0);
    assert_int_equal(picture_says(figure, "gap "),
                     drawn_one.assessment.gap_count > 0);
    bl_figure_free(figure);
    canvas_free(&list);
    arena_free(&memory);
    return count;
}

/* Vein without a reference has a look of its own, up to the step where it has
 * drawn_one, and a name on every page; so has a gap. */
static void test_unjudged_vein(void **state) {
    (void)state;
    static const bl_step step = {60.1, (double)NAN, 200.0};
    double share = 0.0;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        drawn_fill(200.0, false, 2);
        assert_int_equal(
            unjudged_boxes(picture_pages[i][0], picture_pages[i][1], &share),
            0);
        drawn_fill(200.0, true, 2);
        drawn_one.assessment.steps = &step;
        drawn_one.assessment.step_count = 1;
        for (size_t k = 0; drawn_one.points[k].position_mm < step.position_mm;
             k++) {
            drawn_one.points[k].reference_area_mm2 = (double)NAN;
        }
        /* In two panels and beside its name. */
        assert_int_equal(
            unjudged_boxes(picture_pages[i][0], picture_pages[i][1], &share),
            3);
        check_close(share, 60.1 / 200.0, 1e-12, "");
        drawn_fill(200.0, false, 0);
        assert_int_equal(
            unjudged_boxes(picture_pages[i][0], picture_pages[i][1], &share),
            3);
        check_close(share, 1.0, 1e-12, "");
    }
}

/* On a small page not all of 8 narrowings have room for a label: the one of
 * 50 %, which the name of a curve says as well, goes first. */
static void test_labels_left_out_are_counted(void **state) {
    (void)state;
    bl_figure *figure = NULL;
    drawn_fill(200.0, true, 2);
    assert_int_equal(drawn_figure(80, 60, &figure), BL_OK);
    size_t shown = 0;
    for (int pct = 51; pct < 58; pct++) {
        char words[16];
        (void)snprintf(words, sizeof words, "%d %% ", pct);
        shown += picture_says(figure, words);
    }
    char told[64];
    (void)snprintf(told, sizeof told, "%zu narrowings have no room", 8 - shown);
    assert_in_range(shown, 1, 7);
    assert_true(strstr(figure->description, told) != NULL);
    assert_string_equal(figure->provenance,
                        "case.csv, 0 bytes, crc32 9ae0daaf; options: none");
    bl_figure_free(figure);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_texts_keep_clear),
        cmocka_unit_test(test_runner_ups_keep_clear),
        cmocka_unit_test(test_numbered_marks_are_told),
        cmocka_unit_test(test_normal_is_named_beside_a_gap),
        cmocka_unit_test(test_other_stretches),
        cmocka_unit_test(test_numbers_keep_clear_away_from_zero),
        cmocka_unit_test(test_words_point_to_what_is_there),
        cmocka_unit_test(test_ripple_is_named),
        cmocka_unit_test(test_side_outlives_a_long_name),
        cmocka_unit_test(test_source_outlives_a_long_path),
        cmocka_unit_test(test_narrowing_label),
        cmocka_unit_test(test_unjudged_vein),
        cmocka_unit_test(test_labels_left_out_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, picture_release);
}
