/*
 * figure_test.c - the profile figure on crowded, short, long, small and large
 * pages: no two texts meet, none leaves the page, panels stay open; and what
 * the file formats promise. All cases are invented.
 */
#include "support/check.h"
#include "support/picture.h"

#include "draw/canvas.h"
#include "draw/figure.h"
#include "draw/labels.h"
#include "draw/page.h"
#include "draw/scene.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define FRAMES 400
#define MOST_MARKS 256
#define CORNERS 24

typedef struct fixture {
    bl_pullback pullback;
    bl_row rows[FRAMES];
    bl_profile_point points[FRAMES];
    bl_assessment assessment;
    bl_source source;
    bl_mark marks[MOST_MARKS];
    bl_narrowing narrowings[8];
    bl_compression compressions[6];
    bl_span gaps[3];
    bl_span ripples[2];
    size_t left_out[20];
    double x_mm[CORNERS];
    double y_mm[CORNERS];
    bool has_contours;
    bl_segment segments[2];
    bl_plan plan;
    bl_stretch stretches[2];
    bl_device devices[8];
    double overlaps[8];
    bool has_plan;
} fixture;

static fixture one;

static bl_contour fixture_contour(const void *context, size_t row) {
    const fixture *of = context;
    (void)row;
    return (bl_contour){of->x_mm, of->y_mm, of->has_contours ? CORNERS : 0};
}

static bl_place place_at(size_t row, double stenosis_pct) {
    const bl_profile_point *at = &one.points[row];
    return (bl_place){.frame = (int64_t)row,
                      .row = row,
                      .position_mm = at->position_mm,
                      .area_mm2 = at->area_mm2,
                      .min_diameter_mm = 3.0 + (double)(row % 7),
                      .reference_area_mm2 = at->reference_area_mm2,
                      .area_stenosis_pct = stenosis_pct};
}

static void fill_profile(double length_mm) {
    for (size_t i = 0; i < FRAMES; i++) {
        double at = length_mm * (double)i / (FRAMES - 1);
        double area = 150.0 + 60.0 * sin((double)i * 0.2);
        one.points[i] = (bl_profile_point){.row = i,
                                           .after_gap = i == 0,
                                           .position_mm = at,
                                           .raw_area_mm2 = area + 5.0,
                                           .area_mm2 = area,
                                           .equivalent_diameter_mm = 14.0,
                                           .min_diameter_mm = 9.0,
                                           .max_diameter_mm = 19.0,
                                           .reference_area_mm2 = 200.0};
        one.rows[i] = (bl_row){.frame = (int64_t)i,
                               .position_mm = at,
                               .measures = {.area_mm2 = area,
                                            .min_diameter_mm = 9.0,
                                            .max_diameter_mm = 19.0}};
    }
    for (int i = 0; i < CORNERS; i++) {
        double angle = i * 6.283185307179586 / CORNERS;
        one.x_mm[i] = 9.0 * cos(angle);
        one.y_mm[i] = 6.0 * sin(angle);
    }
}

static void fill_findings(double length_mm, bool crowded) {
    bl_assessment *of = &one.assessment;
    of->narrowing_count = crowded ? 8 : 1;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        double from = length_mm * (0.3 + 0.05 * (double)i);
        one.narrowings[i] =
            (bl_narrowing){.span = {from, from + 0.03 * length_mm},
                           .shoulders = {from, from + 0.04 * length_mm},
                           .worst = place_at(125 + 20 * i, 50.0 + (double)i)};
    }
    of->compression_count = crowded ? 6 : 1;
    for (size_t i = 0; i < of->compression_count; i++) {
        one.compressions[i] =
            (bl_compression){.place = place_at(130 + 3 * i, 55.0)};
    }
    of->gap_count = crowded ? 3 : 0;
    for (size_t i = 0; i < of->gap_count; i++) {
        double from = length_mm * (0.75 + 0.05 * (double)i);
        one.gaps[i] = (bl_span){from, from + 0.02 * length_mm};
    }
    of->left_out_count = crowded ? 20 : 0;
    for (size_t i = 0; i < of->left_out_count; i++) {
        one.left_out[i] = 10 + i;
    }
    of->narrowings = one.narrowings;
    of->compressions = one.compressions;
    of->gaps = one.gaps;
    of->left_out = one.left_out;
}

static void fill_reference(double length_mm, size_t segments) {
    bl_assessment *of = &one.assessment;
    of->segment_count = segments;
    of->reference_from = segments > 0 ? BL_FROM_GIVEN : BL_FROM_NOTHING;
    double at[] = {0.05, 0.92};
    for (size_t i = 0; i < segments; i++) {
        one.segments[i] = (bl_segment){
            .span = {at[i] * length_mm, (at[i] + 0.05) * length_mm},
            .area_mm2 = 200.0,
            .where = i == 0 ? BL_END_CRANIAL : BL_END_CAUDAL,
            .serves_worst = true};
    }
    of->segments = one.segments;
    of->worst = place_at(265, 61.7);
    of->minimum = of->worst;
    if (segments == 0) {
        of->narrowing_count = 0;
        of->compression_count = 0;
        for (size_t i = 0; i < FRAMES; i++) {
            one.points[i].reference_area_mm2 = (double)NAN;
        }
    }
}

/* Ripple over two stretches, taken off or not. */
static void fill_ripple(double length_mm, bool removed) {
    bl_ripple *of = &one.assessment.ripple;
    *of = (bl_ripple){.found = true,
                      .removed = removed,
                      .wavelength_mm = length_mm / 20.0,
                      .share_of_diameter_pct = 15.0,
                      .stretches = one.ripples,
                      .stretch_count = 2,
                      .with = {.minimum = one.assessment.minimum},
                      .without = {.minimum = one.assessment.minimum}};
    one.ripples[0] = (bl_span){0.0, 0.4 * length_mm};
    one.ripples[1] = (bl_span){0.6 * length_mm, length_mm};
    for (size_t i = 0; i < FRAMES; i++) {
        double share = (double)i / (FRAMES - 1);
        bool there = share <= 0.4 || share >= 0.6;
        one.points[i].ripple =
            there ? 0.075 * sin(6.283185307179586 * 20.0 * share) : 0.0;
    }
}

/* Marks from `from` on, `step` apart, both as shares of the length. */
static void fill_marks(const char *const *names, size_t name_count,
                       size_t count, double from, double step) {
    double length = one.pullback.length_mm;
    for (size_t i = 0; i < count; i++) {
        one.marks[i] =
            (bl_mark){.name = names[i % name_count],
                      .position_mm = length * (from + step * (double)i)};
    }
    one.pullback.marks = one.marks;
    one.pullback.mark_count = count;
}

static void fixture_fill(double length_mm, bool crowded, size_t segments) {
    memset(&one, 0, sizeof one);
    one.has_contours = true;
    one.pullback = (bl_pullback){.case_name = "invented",
                                 .side = "left",
                                 .reader = "",
                                 .stage = "before",
                                 .position_from = BL_POSITION_RATE,
                                 .speed_mm_per_s = 1.25,
                                 .frame_rate_hz = 3.0,
                                 .step_mm = (double)NAN,
                                 .mm_per_px_x = 0.015625,
                                 .mm_per_px_y = 0.02,
                                 .length_mm = length_mm};
    one.source =
        (bl_source){.file = "case.csv", .crc32 = 0x9ae0daaf, .options = ""};
    one.assessment.options = bl_assess_defaults();
    one.assessment.frames = FRAMES;
    one.assessment.frames_used = FRAMES;
    one.assessment.reference_why = "";
    one.assessment.profile = one.points;
    one.assessment.profile_count = FRAMES;
    fill_profile(length_mm);
    fill_findings(length_mm, crowded);
    fill_reference(length_mm, segments);
}

/* Two stretches of `each` devices, perhaps a chain to be checked. */
static void fill_plan(double length_mm, size_t each, bool wish) {
    one.has_plan = true;
    one.plan = (bl_plan){.stretches = one.stretches, .stretch_count = 2};
    for (size_t i = 0; i < 2; i++) {
        double from = length_mm * (0.12 + 0.4 * (double)i);
        double cover = 0.35 * length_mm;
        double size = cover / (double)(each > 0 ? each : 1);
        for (size_t k = 0; k < each; k++) {
            double at = from + size * (double)k;
            one.devices[4 * i + k] =
                (bl_device){.diameter_mm = 18.0 - 2.0 * (double)k,
                            .length_mm = 120.0,
                            .span = {at, at + 1.1 * size}};
            one.overlaps[4 * i + k] = 0.1 * size;
        }
        one.stretches[i] = (bl_stretch){
            .landings = {{.position_mm = from, .healthy = true},
                         {.position_mm = from + cover, .healthy = i == 0}},
            .cover_mm = cover,
            .wanted_diameter_mm = 15.8,
            .chain = {&one.devices[4 * i], each, &one.overlaps[4 * i], 2.0}};
    }
    if (wish) {
        one.plan.wish = (bl_chain){one.devices, each, one.overlaps, 0.0};
    }
}

/* The same vein where positions do not start at 0. */
static void fixture_shift(double by_mm) {
    bl_assessment *of = &one.assessment;
    for (size_t i = 0; i < FRAMES; i++) {
        one.points[i].position_mm += by_mm;
        one.rows[i].position_mm += by_mm;
    }
    for (size_t i = 0; i < of->narrowing_count; i++) {
        one.narrowings[i].span.from_mm += by_mm;
        one.narrowings[i].span.to_mm += by_mm;
        one.narrowings[i].shoulders.from_mm += by_mm;
        one.narrowings[i].shoulders.to_mm += by_mm;
        one.narrowings[i].worst.position_mm += by_mm;
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        one.compressions[i].place.position_mm += by_mm;
    }
    for (size_t i = 0; i < of->segment_count; i++) {
        one.segments[i].span.from_mm += by_mm;
        one.segments[i].span.to_mm += by_mm;
    }
    of->worst.position_mm += by_mm;
    of->minimum.position_mm += by_mm;
}

static scene fixture_scene(void) {
    return (scene){.pullback = &one.pullback,
                   .rows = one.rows,
                   .row_count = FRAMES,
                   .assessment = &one.assessment,
                   .plan = one.has_plan ? &one.plan : NULL,
                   .source = &one.source,
                   .contour = fixture_contour,
                   .contour_context = &one};
}

static bl_status fixture_draw(double width, double height, bl_figure **out) {
    scene of = fixture_scene();
    return scene_draw(&of, &(bl_figure_options){width, height}, out);
}

/* ------------------------------------------------------------- collisions */

/* A label away from its marker without a line between them misleads. */
static size_t check_lane(const page *on, const page_lane *lane,
                         const char *what) {
    size_t wrong = 0;
    for (size_t i = 0; i < lane->count; i++) {
        const label *of = &lane->labels[i];
        if (of->shown == NULL || lane->leader > 0.0) {
            continue;
        }
        if (fabs(of->x - of->wanted_x) > on->em) {
            print_error("%s: '%s' lost its marker\n", what, of->shown);
            wrong++;
        }
    }
    return wrong;
}

/* Lines of text that a panel has room for at least: below that a curve cannot
 * be read, nor can two numbers stand on its axis. */
#define DIAMETER_EM_LEAST 4.5
#define AREA_EM_LEAST 2.7

static size_t check_panels(double width, double height, const char *what) {
    scene of = fixture_scene();
    canvas list = {0};
    arena memory = {0};
    page on = {.canvas = &list,
               .memory = &memory,
               .scene = &of,
               .width = width,
               .height = height};
    plan_page(&on);
    double diameter = (on.diameter.box.y1 - on.diameter.box.y0) / on.em;
    double area = (on.area.box.y1 - on.area.box.y0) / on.em;
    bool failed = on.failed;
    size_t wrong =
        check_lane(&on, &on.points, what) + check_lane(&on, &on.bars, what) +
        check_lane(&on, &on.devices, what) + check_lane(&on, &on.wishes, what);
    canvas_free(&list);
    arena_free(&memory);
    assert_false(failed);
    if (diameter >= DIAMETER_EM_LEAST && area >= AREA_EM_LEAST) {
        return wrong;
    }
    print_error("%s: panels are only %g and %g lines high\n", what, diameter,
                area);
    return wrong + 1;
}

/* Every size says what it was made of: the text's own words of it, whose
 * spaces before units do not break, and a file's name that may be cut. */
static bool says_origin(const bl_figure *of) {
    return picture_says(of, "crc32 9ae0daaf; position from ") &&
           picture_says(of, "3\xC2\xA0"
                            "frames/s and speed 1.25\xC2\xA0mm/s") &&
           picture_says(of, "0.015625 by 0.02\xC2\xA0mm (note). ");
}

/* The page sizes for what fixture holds now; texts that go wrong. */
static size_t check_pages(const char *what) {
    size_t wrong = 0;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        bl_figure *figure = NULL;
        assert_int_equal(
            fixture_draw(picture_pages[i][0], picture_pages[i][1], &figure),
            BL_OK);
        char place[128];
        (void)snprintf(place, sizeof place, "%s, %gx%g mm", what,
                       picture_pages[i][0], picture_pages[i][1]);
        wrong += picture_texts(figure, place);
        wrong += check_panels(picture_pages[i][0], picture_pages[i][1], place);
        if (!picture_says(figure, bl_caution())) {
            print_error("%s: the caution is cut short\n", place);
            wrong++;
        }
        if (!says_origin(figure)) {
            print_error("%s: the origin is cut short\n", place);
            wrong++;
        }
        bl_figure_free(figure);
    }
    return wrong;
}

static const char *const plain_names[] = {
    "iliocaval_confluence", "internal_iliac_confluence", "inguinal_ligament",
    "femoral_confluence"};
static const char *const long_names[] = {
    "the lower border of the fourth lumbar vertebra on fluoroscopy",
    "crossing of the right common iliac artery", "m",
    "\xE9\xAA\xA8\xE7\x9B\xA4\xE9\x9D\x99\xE8\x84\x88",
    "Verzweigung <&> \"Gef\xC3\xA4\xC3\x9F\""};

static void test_texts_keep_clear(void **state) {
    (void)state;
    static const double lengths[] = {5.0, 60.0, 200.0, 600.0};
    size_t wrong = 0;
    for (size_t i = 0; i < 4; i++) {
        for (size_t segments = 0; segments <= 2; segments++) {
            fixture_fill(lengths[i], true, segments);
            wrong += check_pages("no marks");
            fill_marks(plain_names, 4, 4, 0.05, 0.3);
            wrong += check_pages("four marks apart");
            fill_marks(plain_names, 4, 4, 0.5, 0.001);
            wrong += check_pages("four marks at one place");
            fill_marks(long_names, 5, 20, 0.1, 0.005);
            wrong += check_pages("20 long marks close together");
            fill_marks(long_names, 5, 20, 0.9, 0.005);
            wrong += check_pages("20 long marks at the end");
            fill_marks(long_names, 5, MOST_MARKS, 0.0, 1.0 / 256);
            wrong += check_pages("256 long marks");
            fill_ripple(lengths[i], segments == 2);
            wrong += check_pages("256 long marks and ripple");
        }
        fixture_fill(lengths[i], false, 2);
        fill_marks(plain_names, 4, 4, 0.03, 0.3);
        wrong += check_pages("a plain case");
        fill_ripple(lengths[i], false);
        wrong += check_pages("a plain case that ripples");
        fill_ripple(lengths[i], true);
        wrong += check_pages("a plain case, ripple taken off");
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
        fixture_fill(200.0, false, 2);
        double middle = 100.0;
        double half = 200.0 * share;
        bl_segment stretches[] = {{.span = {middle - half, middle}},
                                  {.span = {middle, middle + half}}};
        bl_runner_up next = {.segments = stretches, .segment_count = 2};
        one.assessment.runner_up = &next;
        one.assessment.narrowing_count = 0;
        one.assessment.worst.position_mm = 10.0;
        wrong += check_pages("runner-up stretches side by side");
        bl_figure *figure = NULL;
        assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
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
        fixture_fill(200.0, false, 2);
        one.segments[1].serves_worst = false;
        one.segments[1].vein = cases[i].other;
        one.assessment.worst.vein = cases[i].worst;
        bl_figure *figure = NULL;
        assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
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
        fixture_fill(200.0, true, 2);
        fill_marks(plain_names, 4, 4, 0.5, 0.001);
        bl_figure *figure = NULL;
        assert_int_equal(
            fixture_draw(picture_pages[i][0], picture_pages[i][1], &figure),
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
        fixture_fill(200.0, true, 2);
        for (size_t k = 0; k < FRAMES; k++) {
            one.points[k].normal_area_mm2 = 150.0;
        }
        bl_figure *figure = NULL;
        assert_int_equal(
            fixture_draw(picture_pages[i][0], picture_pages[i][1], &figure),
            BL_OK);
        assert_true(picture_says(figure, "normal "));
        assert_true(picture_says(figure, "reference "));
        bl_figure_free(figure);
    }
}

static void test_devices_keep_clear(void **state) {
    (void)state;
    static const double lengths[] = {5.0, 60.0, 200.0, 600.0};
    size_t wrong = 0;
    for (size_t i = 0; i < 4; i++) {
        for (size_t each = 0; each <= 4; each++) {
            fixture_fill(lengths[i], each % 2 == 1, 2);
            fill_plan(lengths[i], each, false);
            wrong += check_pages("a plan");
            fill_plan(lengths[i], each, true);
            fill_marks(plain_names, 4, 4, 0.05, 0.3);
            wrong += check_pages("a plan, marks and a chain to be checked");
            fill_ripple(lengths[i], false);
            wrong += check_pages("the same that ripples");
        }
    }
    assert_int_equal(wrong, 0);
}

static void test_plan_says_what_and_where(void **state) {
    (void)state;
    bl_figure *figure = NULL;
    fixture_fill(200.0, false, 2);
    fill_plan(200.0, 2, true);
    assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "if the operator decides to treat"));
    /* A landing point is not where a device ends. */
    assert_true(picture_says(figure, "land 24"));
    assert_true(picture_says(figure, "174 ?"));
    assert_true(picture_says(figure, "what if: keeps rules"));
    bl_figure_free(figure);
    fill_plan(200.0, 0, false);
    assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "70.0\xC2\xA0mm to cover, no device"));
    bl_figure_free(figure);
    one.plan.stretch_count = 0;
    assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "Plan: nothing reaches the threshold."));
    bl_figure_free(figure);
}

/* A chain that breaks rules looks like none that keeps them, at any size; and
 * what is not certain is on the page too. */
static void test_plan_says_what_is_wrong(void **state) {
    (void)state;
    static const char *const doubts[] = {"the length", "the devices"};
    size_t wrong = 0;
    fixture_fill(200.0, false, 2);
    fill_plan(200.0, 2, true);
    one.plan.wish_finding_count = 3;
    one.plan.doubts = doubts;
    one.plan.doubt_count = 2;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        bl_figure *figure = NULL;
        assert_int_equal(
            fixture_draw(picture_pages[i][0], picture_pages[i][1], &figure),
            BL_OK);
        assert_true(picture_says(figure, "if: 3 findings "));
        assert_true(picture_says(figure, "land "));
        bl_figure_free(figure);
    }
    wrong += check_pages("a plan and a chain that breaks rules");
    assert_int_equal(wrong, 0);
    bl_figure *figure = NULL;
    assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "what if: 3 findings "));
    assert_true(picture_says(figure, ": 3 findings, see the report."));
    assert_true(
        picture_says(figure, "Not certain: the length; and 1 more, see the"));
    bl_figure_free(figure);
    assert_int_equal(fixture_draw(80, 60, &figure), BL_OK);
    assert_true(picture_says(figure, "What if: 3 findings."));
    assert_true(picture_says(figure, "(not certain, see the report)"));
    assert_false(picture_says(figure, "\xE2\x80\xA6; see the report"));
    bl_figure_free(figure);
    one.plan.wish_finding_count = 0;
    one.plan.wish_unjudged_count = 1;
    assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
    assert_true(picture_says(figure, "what if: not judged"));
    assert_true(picture_says(figure, ": cannot be judged, no reference."));
    bl_figure_free(figure);
}

/* A device that lies there already has its word on every page, also where
 * nothing is to be treated. */
static void test_device_there_already(void **state) {
    (void)state;
    const bl_earlier there = {{110.0, 190.0}, 81, 0.0, false};
    for (size_t stretches = 0; stretches < 2; stretches++) {
        fixture_fill(200.0, false, 2);
        fill_plan(200.0, 1, false);
        one.plan.stretch_count = stretches;
        one.plan.earlier = &there;
        one.plan.earlier_count = 1;
        bl_figure *figure = NULL;
        assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
        assert_true(picture_says(figure, "there already"));
        bl_figure_free(figure);
        assert_int_equal(check_pages("a device that lies there already"), 0);
    }
}

/* Four of 16 mm and five of 14 mm where there is no room for nine numbers:
 * both are said, and neither alone. */
static void test_plan_of_many_devices(void **state) {
    (void)state;
    bl_device nine[9];
    double overlaps[8];
    fixture_fill(300.0, false, 2);
    fill_plan(300.0, 1, false);
    for (size_t i = 0; i < 9; i++) {
        double at = 20.0 + 25.0 * (double)i;
        nine[i] = (bl_device){.diameter_mm = i < 4 ? 16.0 : 14.0,
                              .length_mm = 40.0,
                              .span = {at, at + 40.0}};
        overlaps[i < 8 ? i : 7] = 15.0;
    }
    one.plan.stretch_count = 1;
    one.stretches[0].chain = (bl_chain){nine, 9, overlaps, 0.0};
    bl_figure *figure = NULL;
    assert_int_equal(fixture_draw(80, 60, &figure), BL_OK);
    assert_true(picture_says(figure, "4 of\xC2\xA0"
                                     "16"));
    assert_true(picture_says(figure, "5 of\xC2\xA0"
                                     "14"));
    assert_true(picture_says(figure, "4 of 16"));
    bl_figure_free(figure);
    assert_int_equal(check_pages("a plan of many devices"), 0);
}

static void test_numbers_keep_clear_away_from_zero(void **state) {
    (void)state;
    static const double shifts[] = {-600.0, 12345.678, 999999.0, 1e9};
    size_t wrong = 0;
    for (size_t i = 0; i < 4; i++) {
        fixture_fill(5.0, false, 2);
        fixture_shift(shifts[i]);
        wrong += check_pages("5 mm far from zero");
        fixture_fill(600.0, false, 2);
        fixture_shift(shifts[i]);
        wrong += check_pages("600 mm far from zero");
    }
    assert_int_equal(wrong, 0);
}

static bool draws(bool has_contours, size_t segments, const char *words) {
    bl_figure *figure = NULL;
    fixture_fill(200.0, false, segments);
    one.has_contours = has_contours;
    assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
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
    fixture_fill(200.0, false, 2);
    if (found) {
        fill_ripple(200.0, removed);
    }
    assert_int_equal(fixture_draw(80, 60, &figure), BL_OK);
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
    fixture_fill(200.0, false, 2);
    const char *name = "an invented case with a name that is longer than the "
                       "small page has room for in its title";
    one.pullback.case_name = name;
    assert_int_equal(fixture_draw(80, 60, &figure), BL_OK);
    assert_false(picture_says(figure, name));
    assert_true(picture_says(figure, "\xE2\x80\xA6, left, before "));
    bl_figure_free(figure);
}

static void test_source_outlives_a_long_path(void **state) {
    (void)state;
    size_t wrong = 0;
    fixture_fill(200.0, true, 2);
    one.pullback.polar = true;
    static const bl_speed pieces[] = {{0, 1.25}, {600, 0.5}};
    one.pullback.speed_is_schedule = true;
    one.pullback.speeds = pieces;
    one.pullback.speed_count = 2;
    one.source.file = "/a/path/through/many/folders/that/goes/on/and/on/to/an "
                      "invented case with a long name.csv";
    bl_figure *figure = NULL;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        assert_int_equal(
            fixture_draw(picture_pages[i][0], picture_pages[i][1], &figure),
            BL_OK);
        wrong +=
            !picture_says(figure, "invented case") ||
            !picture_says(figure,
                          "speed schedule: 1.25\xC2\xA0mm/s from frame 0, ") ||
            !picture_says(figure, "by 0.02\xC2\xA0mm (note). ");
        assert_non_null(strstr(figure->description, one.source.file));
        bl_figure_free(figure);
    }
    assert_int_equal(wrong, 0);
}

static bool narrowing_picture_says(const char *words) {
    bl_figure *figure = NULL;
    assert_int_equal(fixture_draw(360, 200, &figure), BL_OK);
    bool found = picture_says(figure, words);
    bl_figure_free(figure);
    return found;
}

/* A narrowing of which only the shoulder was cut is as long as it says; one
 * whose contour is doubted is not shown without saying so. */
static void test_narrowing_label(void **state) {
    (void)state;
    fixture_fill(200.0, false, 2);
    one.narrowings[0].open_from = true;
    assert_true(narrowing_picture_says("50 % area stenosis, 6 mm"));
    one.narrowings[0].span_open_from = true;
    assert_true(narrowing_picture_says("50 % area stenosis, at least 6 mm"));
    assert_false(narrowing_picture_says("oubtful"));
    one.narrowings[0].worst.doubt.jump = true;
    assert_true(narrowing_picture_says("at least 6 mm, doubtful"));
    one.narrowings[0].span.to_mm = one.narrowings[0].span.from_mm + 0.4;
    assert_true(narrowing_picture_says("50 % area stenosis, length unknown"));
    fixture_fill(200.0, false, 2);
    one.assessment.worst.doubt =
        (bl_doubt){.points_few = 12, .points_beside = 32};
    assert_true(narrowing_picture_says("doubtful: see below"));
    assert_true(
        narrowing_picture_says("frame 265 has 12 points where contours "));
}

/* Boxes of vein that was not judged, and how much of the panel's width the
 * widest covers. */
static size_t unjudged_boxes(double width, double height, double *share) {
    scene of = fixture_scene();
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
    assert_int_equal(fixture_draw(width, height, &figure), BL_OK);
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
                     one.assessment.gap_count > 0);
    bl_figure_free(figure);
    canvas_free(&list);
    arena_free(&memory);
    return count;
}

/* Vein without a reference has a look of its own, up to the step where it has
 * one, and a name on every page; so has a gap. */
static void test_unjudged_vein(void **state) {
    (void)state;
    static const bl_step step = {60.1, (double)NAN, 200.0};
    double share = 0.0;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        fixture_fill(200.0, false, 2);
        assert_int_equal(
            unjudged_boxes(picture_pages[i][0], picture_pages[i][1], &share),
            0);
        fixture_fill(200.0, true, 2);
        one.assessment.steps = &step;
        one.assessment.step_count = 1;
        for (size_t k = 0; one.points[k].position_mm < step.position_mm; k++) {
            one.points[k].reference_area_mm2 = (double)NAN;
        }
        /* In two panels and beside its name. */
        assert_int_equal(
            unjudged_boxes(picture_pages[i][0], picture_pages[i][1], &share),
            3);
        check_close(share, 60.1 / 200.0, 1e-12, "");
        fixture_fill(200.0, false, 0);
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
    fixture_fill(200.0, true, 2);
    assert_int_equal(fixture_draw(80, 60, &figure), BL_OK);
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

/* -------------------------------------------------------------- formats */

typedef struct sink_bytes {
    text all;
    size_t refuse_after; /* bytes; 0: never */
} sink_bytes;

static bl_status sink_limited(void *context, const char *bytes, size_t size) {
    sink_bytes *to = context;
    bool full = to->refuse_after != 0 && to->all.size + size > to->refuse_after;
    return full ? BL_ERR_FILE : picture_keep(&to->all, bytes, size);
}

static bl_status write_svg(const bl_figure *of, bl_sink sink, void *to) {
    return bl_figure_svg(of, sink, to);
}

static bl_status write_png(const bl_figure *of, bl_sink sink, void *to) {
    return bl_figure_png(of, 100.0, sink, to);
}

static bl_status write_pdf(const bl_figure *of, bl_sink sink, void *to) {
    return bl_figure_pdf(of, sink, to);
}

static bl_status (*const writers[])(const bl_figure *, bl_sink,
                                    void *) = {write_svg, write_png, write_pdf};
#define WRITERS (sizeof writers / sizeof writers[0])

/* Names that no format takes as they are: markup, control characters, half a
 * character. */
static bl_figure *hostile_figure(void) {
    static const char *const names[] = {
        "<a href=\"x\">&amp;]]>", "\x01\x1b\x7f", "\xC3", "\xED\xA0\x80\xFF"};
    fixture_fill(200.0, true, 2);
    fill_marks(names, 4, 4, 0.1, 0.25);
    one.pullback.case_name = "<\xFF&\x02>";
    one.source.file = "no\xFFtext.csv";
    one.source.options = "--case \xC3(";
    bl_figure *figure = NULL;
    assert_int_equal(fixture_draw(180, 135, &figure), BL_OK);
    return figure;
}

static void test_same_bytes_twice(void **state) {
    (void)state;
    for (size_t i = 0; i < WRITERS; i++) {
        sink_bytes got[2] = {{{0}, 0}, {{0}, 0}};
        for (size_t k = 0; k < 2; k++) {
            bl_figure *figure = hostile_figure();
            assert_int_equal(writers[i](figure, sink_limited, &got[k]), BL_OK);
            bl_figure_free(figure);
        }
        assert_int_equal(got[0].all.size, got[1].all.size);
        assert_memory_equal(got[0].all.bytes, got[1].all.bytes,
                            got[0].all.size);
        text_free(&got[0].all);
        text_free(&got[1].all);
    }
}

/* Refused at once, and after some of it went well. */
static void test_sink_error_passes_through(void **state) {
    (void)state;
    static const size_t after[] = {1, 3000};
    bl_figure *figure = hostile_figure();
    for (size_t i = 0; i < WRITERS; i++) {
        for (size_t k = 0; k < 2; k++) {
            sink_bytes to = {{0}, after[k]};
            assert_int_equal(writers[i](figure, sink_limited, &to),
                             BL_ERR_FILE);
            text_free(&to.all);
        }
    }
    bl_figure_free(figure);
}

/* Elements close in the order they open, and no markup or control character is
 * left in the words: enough for the SVG that is written, which has neither
 * comments nor sections. */
static void test_svg_is_well_formed(void **state) {
    (void)state;
    sink_bytes to = {{0}, 0};
    bl_figure *figure = hostile_figure();
    assert_int_equal(bl_figure_svg(figure, sink_limited, &to), BL_OK);
    bl_figure_free(figure);
    const char *all = text_c(&to.all);
    assert_int_equal(strlen(all), to.all.size);
    char open[16][16];
    size_t depth = 0;
    for (const char *at = strchr(all, '\n'); *at != '\0'; at++) {
        assert_true((unsigned char)*at >= 0x20 || *at == '\n');
        if (*at == '&') {
            assert_true(
                strncmp(at, "&amp;", 5) == 0 || strncmp(at, "&lt;", 4) == 0 ||
                strncmp(at, "&gt;", 4) == 0 || strncmp(at, "&quot;", 6) == 0);
        }
        if (*at != '<') {
            continue;
        }
        const char *end = strchr(at, '>');
        assert_non_null(end);
        bool closes = at[1] == '/';
        const char *name = at + 1 + closes;
        size_t size = strspn(name, "abcdefghijklmnopqrstuvwxyz");
        assert_in_range(size, 1, 15);
        if (closes) {
            assert_true(depth > 0);
            depth--;
            assert_int_equal(strlen(open[depth]), size);
            assert_memory_equal(open[depth], name, size);
        } else if (end[-1] != '/') {
            assert_true(depth < 16);
            memcpy(open[depth], name, size);
            open[depth++][size] = '\0';
        }
        at = end;
    }
    assert_int_equal(depth, 0);
    text_free(&to.all);
}

static void test_arguments(void **state) {
    (void)state;
    bl_figure *figure = NULL;
    fixture_fill(200.0, false, 2);
    assert_int_equal(fixture_draw(79.9, 135, &figure), BL_ERR_ARGUMENT);
    assert_int_equal(fixture_draw(180, 1000.1, &figure), BL_ERR_ARGUMENT);
    assert_int_equal(fixture_draw((double)NAN, 135, &figure), BL_ERR_ARGUMENT);
    bl_figure_options size = bl_figure_defaults();
    assert_int_equal(
        bl_figure_profile(NULL, &one.assessment, &one.source, &size, &figure),
        BL_ERR_ARGUMENT);
    assert_null(figure);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_texts_keep_clear),
        cmocka_unit_test(test_runner_ups_keep_clear),
        cmocka_unit_test(test_numbered_marks_are_told),
        cmocka_unit_test(test_normal_is_named_beside_a_gap),
        cmocka_unit_test(test_devices_keep_clear),
        cmocka_unit_test(test_plan_says_what_and_where),
        cmocka_unit_test(test_plan_says_what_is_wrong),
        cmocka_unit_test(test_other_stretches),
        cmocka_unit_test(test_device_there_already),
        cmocka_unit_test(test_plan_of_many_devices),
        cmocka_unit_test(test_numbers_keep_clear_away_from_zero),
        cmocka_unit_test(test_ripple_is_named),
        cmocka_unit_test(test_side_outlives_a_long_name),
        cmocka_unit_test(test_source_outlives_a_long_path),
        cmocka_unit_test(test_narrowing_label),
        cmocka_unit_test(test_unjudged_vein),
        cmocka_unit_test(test_labels_left_out_are_counted),
        cmocka_unit_test(test_words_point_to_what_is_there),
        cmocka_unit_test(test_same_bytes_twice),
        cmocka_unit_test(test_sink_error_passes_through),
        cmocka_unit_test(test_svg_is_well_formed),
        cmocka_unit_test(test_arguments),
    };
    return cmocka_run_group_tests(tests, NULL, picture_release);
}
