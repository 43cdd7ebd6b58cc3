/*
 * drawn.c - an invented profile to draw, and what must hold of its picture.
 */
#include "support/drawn.h"

#include "support/check.h"
#include "support/picture.h"

#include "draw/figure.h"
#include "draw/labels.h"
#include "draw/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

drawn drawn_one;

static bl_contour contour_of(const void *context, size_t row) {
    const drawn *of = context;
    (void)row;
    return (bl_contour){of->x_mm, of->y_mm,
                        of->has_contours ? DRAWN_CORNERS : 0};
}

static bl_place place_at(size_t row, double stenosis_pct) {
    const bl_profile_point *at = &drawn_one.points[row];
    return (bl_place){.frame = (int64_t)row,
                      .row = row,
                      .position_mm = at->position_mm,
                      .area_mm2 = at->area_mm2,
                      .min_diameter_mm = 3.0 + (double)(row % 7),
                      .reference_area_mm2 = at->reference_area_mm2,
                      .area_stenosis_pct = stenosis_pct};
}

static void fill_profile(double length_mm) {
    for (size_t i = 0; i < DRAWN_FRAMES; i++) {
        double at = length_mm * (double)i / (DRAWN_FRAMES - 1);
        double area = 150.0 + 60.0 * sin((double)i * 0.2);
        drawn_one.points[i] = (bl_profile_point){.row = i,
                                                 .after_gap = i == 0,
                                                 .position_mm = at,
                                                 .raw_area_mm2 = area + 5.0,
                                                 .area_mm2 = area,
                                                 .equivalent_diameter_mm = 14.0,
                                                 .min_diameter_mm = 9.0,
                                                 .max_diameter_mm = 19.0,
                                                 .reference_area_mm2 = 200.0};
        drawn_one.rows[i] = (bl_row){.frame = (int64_t)i,
                                     .position_mm = at,
                                     .measures = {.area_mm2 = area,
                                                  .min_diameter_mm = 9.0,
                                                  .max_diameter_mm = 19.0}};
    }
    for (int i = 0; i < DRAWN_CORNERS; i++) {
        double angle = i * 6.283185307179586 / DRAWN_CORNERS;
        drawn_one.x_mm[i] = 9.0 * cos(angle);
        drawn_one.y_mm[i] = 6.0 * sin(angle);
    }
}

static void fill_findings(double length_mm, bool crowded) {
    bl_assessment *of = &drawn_one.assessment;
    of->narrowing_count = crowded ? 8 : 1;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        double from = length_mm * (0.3 + 0.05 * (double)i);
        drawn_one.narrowings[i] =
            (bl_narrowing){.span = {from, from + 0.03 * length_mm},
                           .shoulders = {from, from + 0.04 * length_mm},
                           .worst = place_at(125 + 20 * i, 50.0 + (double)i)};
    }
    of->compression_count = crowded ? 6 : 1;
    for (size_t i = 0; i < of->compression_count; i++) {
        drawn_one.compressions[i] =
            (bl_compression){.place = place_at(130 + 3 * i, 55.0)};
    }
    of->gap_count = crowded ? 3 : 0;
    for (size_t i = 0; i < of->gap_count; i++) {
        double from = length_mm * (0.75 + 0.05 * (double)i);
        drawn_one.gaps[i] = (bl_span){from, from + 0.02 * length_mm};
    }
    of->left_out_count = crowded ? 20 : 0;
    for (size_t i = 0; i < of->left_out_count; i++) {
        drawn_one.left_out[i] = 10 + i;
    }
    of->narrowings = drawn_one.narrowings;
    of->compressions = drawn_one.compressions;
    of->gaps = drawn_one.gaps;
    of->left_out = drawn_one.left_out;
}

static void fill_reference(double length_mm, size_t segments) {
    bl_assessment *of = &drawn_one.assessment;
    of->segment_count = segments;
    of->reference_from = segments > 0 ? BL_FROM_GIVEN : BL_FROM_NOTHING;
    double at[] = {0.05, 0.92};
    for (size_t i = 0; i < segments; i++) {
        drawn_one.segments[i] = (bl_segment){
            .span = {at[i] * length_mm, (at[i] + 0.05) * length_mm},
            .area_mm2 = 200.0,
            .where = i == 0 ? BL_END_CRANIAL : BL_END_CAUDAL,
            .serves_worst = true};
    }
    of->segments = drawn_one.segments;
    of->worst = place_at(265, 61.7);
    of->minimum = of->worst;
    if (segments == 0) {
        of->narrowing_count = 0;
        of->compression_count = 0;
        for (size_t i = 0; i < DRAWN_FRAMES; i++) {
            drawn_one.points[i].reference_area_mm2 = (double)NAN;
        }
    }
}

void drawn_add_ripple(double length_mm, bool removed) {
    bl_ripple *of = &drawn_one.assessment.ripple;
    *of = (bl_ripple){.found = true,
                      .removed = removed,
                      .wavelength_mm = length_mm / 20.0,
                      .share_of_diameter_pct = 15.0,
                      .stretches = drawn_one.ripples,
                      .stretch_count = 2,
                      .with = {.minimum = drawn_one.assessment.minimum},
                      .without = {.minimum = drawn_one.assessment.minimum}};
    drawn_one.ripples[0] = (bl_span){0.0, 0.4 * length_mm};
    drawn_one.ripples[1] = (bl_span){0.6 * length_mm, length_mm};
    for (size_t i = 0; i < DRAWN_FRAMES; i++) {
        double share = (double)i / (DRAWN_FRAMES - 1);
        bool there = share <= 0.4 || share >= 0.6;
        drawn_one.points[i].ripple =
            there ? 0.075 * sin(6.283185307179586 * 20.0 * share) : 0.0;
    }
}

void drawn_add_marks(const char *const *names, size_t name_count, size_t count,
                     double from, double step) {
    double length = drawn_one.pullback.length_mm;
    for (size_t i = 0; i < count; i++) {
        drawn_one.marks[i] =
            (bl_mark){.name = names[i % name_count],
                      .position_mm = length * (from + step * (double)i)};
    }
    drawn_one.pullback.marks = drawn_one.marks;
    drawn_one.pullback.mark_count = count;
}

void drawn_fill(double length_mm, bool crowded, size_t segments) {
    memset(&drawn_one, 0, sizeof drawn_one);
    drawn_one.has_contours = true;
    drawn_one.pullback = (bl_pullback){.case_name = "invented",
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
    drawn_one.source =
        (bl_source){.file = "case.csv", .crc32 = 0x9ae0daaf, .options = ""};
    drawn_one.assessment.options = bl_assess_defaults();
    drawn_one.assessment.frames = DRAWN_FRAMES;
    drawn_one.assessment.frames_used = DRAWN_FRAMES;
    drawn_one.assessment.reference_why = "";
    drawn_one.assessment.profile = drawn_one.points;
    drawn_one.assessment.profile_count = DRAWN_FRAMES;
    fill_profile(length_mm);
    fill_findings(length_mm, crowded);
    fill_reference(length_mm, segments);
}

void drawn_add_plan(double length_mm, size_t each, bool wish) {
    drawn_one.has_plan = true;
    drawn_one.plan =
        (bl_plan){.stretches = drawn_one.stretches, .stretch_count = 2};
    for (size_t i = 0; i < 2; i++) {
        double from = length_mm * (0.12 + 0.4 * (double)i);
        double cover = 0.35 * length_mm;
        double size = cover / (double)(each > 0 ? each : 1);
        for (size_t k = 0; k < each; k++) {
            double at = from + size * (double)k;
            drawn_one.devices[4 * i + k] =
                (bl_device){.diameter_mm = 18.0 - 2.0 * (double)k,
                            .length_mm = 120.0,
                            .span = {at, at + 1.1 * size}};
            drawn_one.overlaps[4 * i + k] = 0.1 * size;
        }
        drawn_one.stretches[i] = (bl_stretch){
            .landings = {{.position_mm = from, .healthy = true},
                         {.position_mm = from + cover, .healthy = i == 0}},
            .cover_mm = cover,
            .wanted_diameter_mm = 15.8,
            .chain = {&drawn_one.devices[4 * i], each,
                      &drawn_one.overlaps[4 * i], 2.0}};
    }
    if (wish) {
        drawn_one.plan.wish =
            (bl_chain){drawn_one.devices, each, drawn_one.overlaps, 0.0};
    }
}

void drawn_shift(double by_mm) {
    bl_assessment *of = &drawn_one.assessment;
    for (size_t i = 0; i < DRAWN_FRAMES; i++) {
        drawn_one.points[i].position_mm += by_mm;
        drawn_one.rows[i].position_mm += by_mm;
    }
    for (size_t i = 0; i < of->narrowing_count; i++) {
        drawn_one.narrowings[i].span.from_mm += by_mm;
        drawn_one.narrowings[i].span.to_mm += by_mm;
        drawn_one.narrowings[i].shoulders.from_mm += by_mm;
        drawn_one.narrowings[i].shoulders.to_mm += by_mm;
        drawn_one.narrowings[i].worst.position_mm += by_mm;
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        drawn_one.compressions[i].place.position_mm += by_mm;
    }
    for (size_t i = 0; i < of->segment_count; i++) {
        drawn_one.segments[i].span.from_mm += by_mm;
        drawn_one.segments[i].span.to_mm += by_mm;
    }
    of->worst.position_mm += by_mm;
    of->minimum.position_mm += by_mm;
}

scene drawn_scene(void) {
    return (scene){.pullback = &drawn_one.pullback,
                   .rows = drawn_one.rows,
                   .row_count = DRAWN_FRAMES,
                   .assessment = &drawn_one.assessment,
                   .plan = drawn_one.has_plan ? &drawn_one.plan : NULL,
                   .source = &drawn_one.source,
                   .contour = contour_of,
                   .contour_context = &drawn_one};
}

bl_status drawn_figure(double width, double height, bl_figure **out) {
    scene of = drawn_scene();
    return scene_draw(&of, &(bl_figure_options){width, height}, out);
}

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
    scene of = drawn_scene();
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

size_t drawn_check_pages(const char *what) {
    size_t wrong = 0;
    for (size_t i = 0; i < PICTURE_PAGES; i++) {
        bl_figure *figure = NULL;
        assert_int_equal(
            drawn_figure(picture_pages[i][0], picture_pages[i][1], &figure),
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

const char *const drawn_plain_names[DRAWN_PLAIN] = {
    "iliocaval_confluence", "internal_iliac_confluence", "inguinal_ligament",
    "femoral_confluence"};
const char *const drawn_long_names[DRAWN_LONG] = {
    "the lower border of the fourth lumbar vertebra on fluoroscopy",
    "crossing of the right common iliac artery", "m",
    "\xE9\xAA\xA8\xE7\x9B\xA4\xE9\x9D\x99\xE8\x84\x88",
    "Verzweigung <&> \"Gef\xC3\xA4\xC3\x9F\""};
