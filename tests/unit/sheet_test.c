/*
 * sheet_test.c - the figure of a comparison on plain, crowded, long and empty
 * pairs at many sizes: no two texts meet, none leaves the page, the panel stays
 * open, every residual keeps its denominator. All cases are invented.
 */
#include "support/check.h"
#include "support/picture.h"

#include "draw/figure.h"
#include "draw/labels.h"
#include "draw/sheet.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define GAPS_MOST 40
#define LEFT_MOST 6

static bl_study *studies[2];
static bl_assessment *assessments[2];
static bl_source sources[2];
static bl_comparison *made;

/* What a case changes of what was made. */
static bl_comparison one;
static bl_unapposed gaps[GAPS_MOST];
static bl_untreated left[LEFT_MOST];
static bl_nominal sizes[16];
static bl_overlap overlaps[16];

static int read_samples(void **state) {
    (void)state;
    static const char *const paths[] = {"samples/unapposed-before.csv",
                                        "samples/unapposed-after.csv"};
    static const char *const marks[2][2] = {
        {"iliocaval_confluence @ 10", "internal_iliac_confluence @ 43"},
        {"iliocaval_confluence @ 16", "internal_iliac_confluence @ 49"}};
    static const bl_nominal nominal[] = {{14.0, 80.0}};
    bl_assess_options assess = bl_assess_defaults();
    bl_compare_options compare = bl_compare_defaults();
    bl_message message;
    compare.nominals = nominal;
    compare.nominal_count = 1;
    for (size_t i = 0; i < 2; i++) {
        bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                    .appose = i == 1};
        assert_int_equal(bl_study_new(&options, &studies[i]), BL_OK);
        assert_int_equal(bl_study_set(studies[i], "mark", marks[i][0]), BL_OK);
        assert_int_equal(bl_study_set(studies[i], "mark", marks[i][1]), BL_OK);
        assert_int_equal(
            bl_study_read(studies[i], paths[i], NULL, &sources[i], &message),
            BL_OK);
        assert_int_equal(
            bl_assess(studies[i], &assess, &assessments[i], &message), BL_OK);
    }
    assert_int_equal(bl_comparison_new(studies[0], assessments[0], studies[1],
                                       assessments[1], &compare, &made,
                                       &message),
                     BL_OK);
    return 0;
}

static int free_samples(void **state) {
    bl_comparison_free(made);
    for (size_t i = 0; i < 2; i++) {
        bl_assessment_free(assessments[i]);
        bl_study_free(studies[i]);
    }
    return picture_release(state);
}

static bl_compared_table table_of(size_t index) {
    return (bl_compared_table){studies[index], assessments[index],
                               &sources[index]};
}

static bl_status draw(double width, double height, bl_figure **out) {
    bl_compared_table before = table_of(0);
    bl_compared_table after = table_of(1);
    return bl_figure_comparison(&before, &after, &one,
                                &(bl_figure_options){width, height}, out);
}

/* Each residual that is known is labelled with its denominator. */
static size_t check_denominators(const bl_figure *of, const char *what) {
    const double pct[] = {one.before_reference_residual.area_stenosis_pct,
                          one.after_reference_residual.area_stenosis_pct,
                          one.nominal_residual.area_stenosis_pct};
    const char *first = one.since_after ? "after" : "before";
    const char *second = one.follow_up ? "follow-up" : "after";
    const char *const names[] = {first, second, "nominal"};
    size_t wrong = 0;
    for (size_t i = 0; i < 3; i++) {
        char shortest[64];
        char longer[64];
        (void)snprintf(shortest, sizeof shortest, "%s %.1f %%", names[i],
                       pct[i]);
        (void)snprintf(longer, sizeof longer, "%.1f %% of %s%s", pct[i],
                       i < 2 ? "ref" : "", i < 2 ? "" : names[i]);
        if (!isnan(pct[i]) && !picture_says(of, shortest) &&
            !picture_says(of, longer)) {
            print_error("%s: no label '%s'\n", what, shortest);
            wrong++;
        }
    }
    return wrong;
}

/* How many residuals the caption says; its spaces before units do not break. */
static size_t caption_residuals(const bl_figure *of) {
    const double pct[] = {one.before_reference_residual.area_stenosis_pct,
                          one.after_reference_residual.area_stenosis_pct,
                          one.nominal_residual.area_stenosis_pct};
    const char *const names[] = {"ref", "ref", "nominal"};
    size_t said = 0;
    for (size_t i = 0; i < 3; i++) {
        char words[64];
        char longer[64];
        (void)snprintf(words, sizeof words, "%.1f\xC2\xA0%% of %s", pct[i],
                       names[i]);
        (void)snprintf(longer, sizeof longer, "%.1f\xC2\xA0%% of the %s",
                       pct[i], names[i]);
        said += picture_says(of, words) || picture_says(of, longer);
    }
    return said;
}

/* On every page one that is said is not without the others. */
static void test_residuals_stand_together(void **state) {
    (void)state;
    one = *made;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        bl_figure *figure = NULL;
        assert_int_equal(
            draw(picture_pages[i][0], picture_pages[i][1], &figure), BL_OK);
        assert_int_equal(caption_residuals(figure), 3);
        bl_figure_free(figure);
    }
}

static size_t check_pages(const char *what) {
    size_t wrong = 0;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        bl_figure *figure = NULL;
        char place[128];
        (void)snprintf(place, sizeof place, "%s, %gx%g mm", what,
                       picture_pages[i][0], picture_pages[i][1]);
        assert_int_equal(
            draw(picture_pages[i][0], picture_pages[i][1], &figure), BL_OK);
        wrong += picture_texts(figure, place);
        wrong += check_denominators(figure, place);
        if (!picture_says(figure, bl_caution())) {
            print_error("%s: the caution is cut short\n", place);
            wrong++;
        }
        bl_figure_free(figure);
    }
    return wrong;
}

static void test_plain(void **state) {
    (void)state;
    one = *made;
    assert_int_equal(check_pages("plain"), 0);
    one.follow_up = true;
    assert_int_equal(check_pages("follow-up"), 0);
    one.since_after = true;
    assert_int_equal(check_pages("since after"), 0);
}

/* Many places to label, of devices, gaps and narrowings. */
static void fill_crowd(void) {
    one = *made;
    bl_span all = one.treated;
    double length = all.to_mm - all.from_mm;
    for (size_t i = 0; i < GAPS_MOST; i++) {
        double from = all.from_mm + length * (double)i / GAPS_MOST;
        gaps[i] = made->device.unapposed[0];
        gaps[i].span = (bl_span){from, from + 0.5 * length / GAPS_MOST};
    }
    for (size_t i = 0; i < LEFT_MOST; i++) {
        left[i] = made->untreated[0];
        left[i].span =
            (bl_span){142.0 + 7.0 * (double)i, 146.0 + 7.0 * (double)i};
    }
    for (size_t i = 0; i < 16; i++) {
        double from = all.from_mm + length * (double)i / 16.0;
        sizes[i] = (bl_nominal){16.5, 142.5};
        overlaps[i] = (bl_overlap){{from + 4.0, from + 6.0}, i, false};
    }
    one.device.unapposed = gaps;
    one.device.unapposed_count = GAPS_MOST;
    one.untreated = left;
    one.untreated_count = LEFT_MOST;
    one.device.nominals = sizes;
    one.device.nominal_count = 16;
    one.device.overlaps = overlaps;
    one.device.overlap_count = 15;
}

static void test_crowded(void **state) {
    (void)state;
    fill_crowd();
    assert_int_equal(check_pages("crowded"), 0);
    /* All residuals at one end. */
    double end = assessments[0]->profile[0].position_mm;
    one.before_reference_residual.position_mm = end;
    one.after_reference_residual.position_mm = end;
    one.nominal_residual.position_mm = end;
    assert_int_equal(check_pages("residuals at the end"), 0);
}

/* Lumen only, no reference, no nominal size, nothing treated. */
static void test_bare(void **state) {
    (void)state;
    bl_residual unknown = {(double)NAN, (double)NAN, (double)NAN, (double)NAN};
    one = *made;
    one.device = (bl_device_state){.gap_tolerance_mm = (double)NAN};
    one.before_reference_residual = unknown;
    one.after_reference_residual = unknown;
    one.nominal_residual = unknown;
    one.treated_from = BL_TREATED_NOWHERE;
    one.treated = (bl_span){(double)NAN, (double)NAN};
    one.edge_count = 0;
    one.untreated_count = 0;
    assert_int_equal(check_pages("bare"), 0);
    one.series_count = 0;
    assert_int_equal(check_pages("without a series"), 0);
    bl_figure *figure = NULL;
    assert_int_equal(draw(180.0, 135.0, &figure), BL_OK);
    assert_true(picture_says(figure, "No device contours"));
    assert_false(picture_says(figure, "residual"));
    bl_figure_free(figure);
}

/* By the lumen alone a gap is shown, and that there is none is not. */
static void test_against_the_lumen(void **state) {
    (void)state;
    one = *made;
    one.device.against_lumen = one.device.apposition_frames;
    one.device.unapposed_count = 0;
    bl_figure *figure = NULL;
    assert_int_equal(draw(180.0, 135.0, &figure), BL_OK);
    assert_true(picture_says(figure, "Apposition is not known"));
    assert_false(picture_says(figure, "on the wall"));
    assert_false(picture_says(figure, "gap, mm"));
    bl_figure_free(figure);
    assert_int_equal(check_pages("against the lumen"), 0);
}

/* An edge is labelled by its stenosis, and is not known without a frame. */
static void test_edge_labels(void **state) {
    (void)state;
    one = *made;
    bl_figure *figure = NULL;
    one.edges[0].worst.before_reference_stenosis_pct = 12.5;
    one.edges[0].traced_mm = 0.0; /* one frame */
    one.edges[1].worst.before_reference_stenosis_pct = -3.0;
    one.edges[1].loss_pct = 20.0;
    assert_int_equal(draw(250.0, 150.0, &figure), BL_OK);
    assert_true(picture_says(figure, "edge 12.5 %"));
    assert_true(picture_says(figure, "edge: not narrower"));
    bl_figure_free(figure);
    one.edges[0].worst.frame = -1;
    assert_int_equal(draw(250.0, 150.0, &figure), BL_OK);
    assert_false(picture_says(figure, "edge 12.5 %"));
    assert_true(picture_says(figure, "edge not known"));
    bl_figure_free(figure);
}

/* Copies the series, which a case may then change. */
static bl_compared *copy_series(void) {
    bl_compared *list = calloc(made->series_count, sizeof *list);
    assert_non_null(list);
    memcpy(list, made->series, made->series_count * sizeof *list);
    one = *made;
    one.series = list;
    return list;
}

/* Bars of devices, at the default size. */
static size_t count_bars(void) {
    bl_figure *figure = NULL;
    assert_int_equal(draw(180.0, 135.0, &figure), BL_OK);
    size_t count = 0;
    for (size_t i = 0; i < figure->canvas.item_count; i++) {
        const canvas_item *item = &figure->canvas.items[i];
        count += item->mode == CANVAS_CLOSED && item->fill == DEVICE_TINT;
    }
    bl_figure_free(figure);
    return count;
}

/* A bar is open where frames lack a device, and goes on where only every
 * third frame was traced at all. */
static void test_bar_breaks_without_device(void **state) {
    (void)state;
    bl_compared *series = copy_series();
    size_t first = 0;
    while (isnan(series[first].device_area_mm2)) {
        first++;
    }
    assert_int_equal(count_bars(), 1);
    series[first + 20].device_area_mm2 = (double)NAN;
    assert_int_equal(count_bars(), 2);
    for (size_t i = 40; i < 44; i++) {
        series[first + i].device_area_mm2 = (double)NAN;
    }
    assert_int_equal(count_bars(), 3);
    memcpy(series, made->series, made->series_count * sizeof *series);
    for (size_t i = 0; i < made->series_count; i++) {
        if (i % 3 != first % 3) {
            series[i].device_area_mm2 = (double)NAN;
        }
    }
    assert_int_equal(count_bars(), 1);
    free(series);
}

static bool names(const char *words) {
    bl_figure *figure = NULL;
    assert_int_equal(draw(180.0, 135.0, &figure), BL_OK);
    bool found = picture_says(figure, words);
    bl_figure_free(figure);
    return found;
}

/* What hides behind the lines has no name, and what shows has one. */
static void test_names_what_shows(void **state) {
    (void)state;
    bl_compared *series = copy_series();
    assert_true(names(" gain ") && names(" loss "));
    for (size_t i = 0; i < made->series_count; i++) {
        series[i].before_area_mm2 =
            series[i].lumen_area_mm2 + (i % 20 < 10 ? 0.2 : -0.2);
    }
    assert_false(names(" gain ") || names(" loss "));
    for (size_t i = 0; i < made->series_count; i++) {
        series[i].before_area_mm2 = series[i].lumen_area_mm2 + 20.0;
    }
    assert_false(names(" gain "));
    assert_true(names(" loss "));
    for (size_t i = 0; i < made->series_count; i++) {
        series[i].before_area_mm2 = series[i].lumen_area_mm2 - 20.0;
    }
    assert_true(names(" gain "));
    assert_false(names(" loss "));
    free(series);
}

/* How high the panel of areas is: the dotted lines at the ends of the treated
 * stretch go through all of it. */
static double panel_height(const bl_figure *of) {
    const canvas *on = &of->canvas;
    double most = 0.0;
    for (size_t i = 0; i < on->item_count; i++) {
        const canvas_item *item = &on->items[i];
        if (item->mode == CANVAS_OPEN && item->count == 2 &&
            item->pen.dash == CANVAS_DOTTED && item->pen.colour == INK) {
            const canvas_point *ends = &on->points[item->first];
            most = fmax(most, fabs(ends[1].y - ends[0].y));
        }
    }
    return most;
}

/* The size of text on it. */
static double text_size(const bl_figure *of) {
    const canvas *on = &of->canvas;
    for (size_t i = 0; i < on->item_count; i++) {
        if (on->items[i].mode == CANVAS_TEXT) {
            return on->items[i].style.size_mm;
        }
    }
    fail_msg("no text");
    return 0.0;
}

/* On every page the areas have room for a curve: as many lines as the panel of
 * diameters has at least in the profile's figure. */
#define PANEL_EM_LEAST 4.5

static void test_panel_stays_open(void **state) {
    (void)state;
    fill_crowd();
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        bl_figure *figure = NULL;
        assert_int_equal(
            draw(picture_pages[i][0], picture_pages[i][1], &figure), BL_OK);
        double lines = panel_height(figure) / text_size(figure);
        if (!(lines >= PANEL_EM_LEAST)) {
            print_error("%gx%g mm: the panel is only %g lines high\n",
                        picture_pages[i][0], picture_pages[i][1], lines);
        }
        assert_true(lines >= PANEL_EM_LEAST);
        bl_figure_free(figure);
    }
}

static void test_arguments(void **state) {
    (void)state;
    bl_figure *figure = NULL;
    bl_compared_table before = table_of(0);
    bl_compared_table nothing = {0};
    bl_figure_options size = bl_figure_defaults();
    one = *made;
    assert_int_equal(draw(79.0, 135.0, &figure), BL_ERR_ARGUMENT);
    assert_int_equal(draw(180.0, (double)NAN, &figure), BL_ERR_ARGUMENT);
    assert_int_equal(
        bl_figure_comparison(&before, &nothing, &one, &size, &figure),
        BL_ERR_ARGUMENT);
    assert_int_equal(
        bl_figure_comparison(&before, &before, NULL, &size, &figure),
        BL_ERR_ARGUMENT);
    assert_null(figure);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain),
        cmocka_unit_test(test_crowded),
        cmocka_unit_test(test_bare),
        cmocka_unit_test(test_against_the_lumen),
        cmocka_unit_test(test_edge_labels),
        cmocka_unit_test(test_residuals_stand_together),
        cmocka_unit_test(test_bar_breaks_without_device),
        cmocka_unit_test(test_names_what_shows),
        cmocka_unit_test(test_panel_stays_open),
        cmocka_unit_test(test_arguments),
    };
    return cmocka_run_group_tests_name("sheet", tests, read_samples,
                                       free_samples);
}
