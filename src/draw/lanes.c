/*
 * lanes.c - the lanes between and below the panels: compression points,
 * reference stretches and narrowings, veins, breaths, frames left out.
 */
#include "base/place.h"
#include "draw/advance.h"
#include "draw/lane.h"

#include <math.h>

/* ------------------------------------------------------ compression points */

#define TRIANGLE_EM 0.38

static void triangle(page *on, double x, double y, double half, uint32_t fill) {
    canvas_begin(on->canvas, CANVAS_CLOSED, fill,
                 page_pen(on, INK, 0.06, CANVAS_SOLID));
    canvas_to(on->canvas, x, y);
    canvas_to(on->canvas, x - half, y + 1.6 * half);
    canvas_to(on->canvas, x + half, y + 1.6 * half);
}

static const char *millimetres(page *on, const char *before, double value,
                               unsigned decimals, const char *after) {
    text words = {0};
    text_add(&words, before);
    text_fixed(&words, value, decimals);
    text_add(&words, after);
    return page_keep(on, &words);
}

static void plan_points(page *on) {
    const bl_assessment *of = on->scene->assessment;
    label *labels = page_alloc(on, of->compression_count, sizeof *labels);
    if (labels == NULL) {
        return;
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        const bl_place *place = &of->compressions[i].place;
        bool doubted = place_is_doubted(place);
        labels[i] = (label){
            .texts = {millimetres(on, "least ", place->min_diameter_mm, 1,
                                  doubted ? " mm, doubtful" : " mm"),
                      millimetres(on, "", place->min_diameter_mm, 1,
                                  doubted ? " mm ?" : " mm"),
                      millimetres(on, "", place->min_diameter_mm, 1,
                                  doubted ? " ?" : "")},
            .wanted_x = page_x(on, place->position_mm),
            .worth = -place->min_diameter_mm,
            .colour = INK,
        };
    }
    on->points = (page_lane){.labels = labels, .count = of->compression_count};
    lane_place(on, &on->points);
}

/* Of the points less than a hair beside the one at *index the narrowest, which
 * hides them; *index moves past them. */
static const bl_place *next_point(const page *on, size_t *index) {
    const bl_assessment *of = on->scene->assessment;
    const bl_place *least = &of->compressions[(*index)++].place;
    double x = page_x(on, least->position_mm);
    for (; *index < of->compression_count; ++*index) {
        const bl_place *place = &of->compressions[*index].place;
        if (page_x(on, place->position_mm) - x >= HAIR_MM) {
            break;
        }
        if (place->min_diameter_mm < least->min_diameter_mm) {
            least = place;
        }
    }
    return least;
}

static void draw_points(page *on) {
    const bl_assessment *of = on->scene->assessment;
    double half = TRIANGLE_EM * on->em;
    double top = on->points_y + 0.1 * on->em;
    for (size_t i = 0; i < of->compression_count;) {
        const bl_place *place = next_point(on, &i);
        double x = page_x(on, place->position_mm);
        triangle(on, x, page_y(&on->diameter, place->min_diameter_mm), half,
                 PURPLE);
        if (!on->is_low) {
            triangle(on, x, top, half, PURPLE);
        }
    }
    if (on->points_height > 0.0) {
        double y = on->points_y + on->points_height - 0.5 * on->em;
        lane_labels(on, &on->points,
                    on->is_low ? on->diameter.box.y1 : top + 1.6 * half, y);
        lane_name(on, y - 0.36 * on->em, "pressed flat");
    }
}

/* ----------------------------------------- reference stretches, narrowings */

/* The letter of its cross-section; 0 when none are drawn. */
static char letter_of_segment(const page *on, size_t number) {
    const bl_segment *all = on->scene->assessment->segments;
    size_t wanted = 0;
    for (size_t i = 0; i < number; i++) {
        wanted += all[i].serves_worst;
    }
    size_t seen = 0;
    for (size_t i = 0;
         all[number].serves_worst && on->has_contours && i < on->section_count;
         i++) {
        if (on->sections[i].is_reference && seen++ == wanted) {
            return on->sections[i].letter;
        }
    }
    return 0;
}

static char letter_of_worst(const page *on) {
    for (size_t i = 0; on->has_contours && i < on->section_count; i++) {
        if (!on->sections[i].is_reference) {
            return on->sections[i].letter;
        }
    }
    return 0;
}

static const char *lettered(page *on, char letter, const char *words) {
    text out = {0};
    if (letter != 0) {
        text_bytes(&out, &letter, 1);
        text_add(&out, words[0] != '\0' ? "  " : "");
    }
    text_add(&out, words);
    return page_keep(on, &out);
}

static void bar(page *on, bl_span span, uint32_t fill, bool hatched) {
    lane_draw_bar(on, lane_bar(on, span, on->bars_y + 0.1 * on->em), fill,
                  hatched);
}

static label segment_label(page *on, size_t number) {
    const bl_segment *of = &on->scene->assessment->segments[number];
    char letter = letter_of_segment(on, number);
    return (label){
        .texts = {lettered(on, letter, "reference"),
                  lettered(on, letter, letter == 0 ? "ref." : ""), NULL},
        .wanted_x = page_x(on, 0.5 * (fmax(of->span.from_mm, on->from_mm) +
                                      fmin(of->span.to_mm, on->to_mm))),
        .worth = 1000.0,
        .colour = INK,
        .bold = true,
    };
}

/* ", at least 10 mm" where it was cut by a gap or an end and may go on. */
static void add_length(text *to, const bl_narrowing *of) {
    bool open = of->span_open_from || of->span_open_to;
    double length = of->span.to_mm - of->span.from_mm;
    text_add(to, ", ");
    if (open && length < 0.5) {
        text_add(to, "length unknown");
    } else {
        text_add(to, open ? "at least " : "");
        text_fixed(to, length, 0);
        text_add(to, " mm");
    }
    text_add(to, place_is_doubted(&of->worst) ? ", doubtful" : "");
}

static label narrowing_label(page *on, const bl_narrowing *of) {
    const bl_assessment *all = on->scene->assessment;
    bool worst = of->worst.row == all->worst.row;
    char letter = worst ? letter_of_worst(on) : 0;
    text full = {0};
    text_fixed(&full, of->worst.area_stenosis_pct, 0);
    text_add(&full, " % area stenosis");
    add_length(&full, of);
    text shared = {0};
    text_bytes(&shared, full.bytes, full.size);
    if (!isnan(of->worst.share_of_normal_pct)) {
        text_add(&shared, ", ");
        text_fixed(&shared, of->worst.share_of_normal_pct, 0);
        text_add(&shared, " % of normal");
    }
    text half = {0};
    text_fixed(&half, of->worst.area_stenosis_pct, 0);
    text_add(&half, " %");
    add_length(&half, of);
    text least = {0};
    text_fixed(&least, of->worst.area_stenosis_pct, 0);
    text_add(&least, place_is_doubted(&of->worst) ? " % ?" : " %");
    return (label){
        .texts = {lettered(on, letter, page_keep(on, &shared)),
                  lettered(on, letter, page_keep(on, &full)),
                  lettered(on, letter, page_keep(on, &half)),
                  lettered(on, letter, page_keep(on, &least))},
        .wanted_x = page_x(on, of->worst.position_mm),
        .worth = of->worst.area_stenosis_pct,
        .colour = INK,
        .bold = worst,
    };
}

static void plan_bars(page *on) {
    const bl_assessment *of = on->scene->assessment;
    size_t most = of->segment_count + of->narrowing_count + 1;
    label *labels = page_alloc(on, most, sizeof *labels);
    if (labels == NULL || !page_has_reference(on)) {
        return; /* nothing is narrowed, then, and nothing is worst */
    }
    size_t count = 0;
    for (size_t i = 0; i < of->segment_count; i++) {
        labels[count++] = segment_label(on, i);
    }
    for (size_t i = 0; i < of->narrowing_count; i++) {
        labels[count++] = narrowing_label(on, &of->narrowings[i]);
    }
    if (of->narrowing_count == 0) {
        char letter = letter_of_worst(on);
        labels[count++] = (label){
            .texts = {lettered(on, letter, place_worst_name(of)),
                      letter == 0 ? NULL : lettered(on, letter, ""), NULL},
            .wanted_x = page_x(on, of->worst.position_mm),
            .worth = 1.0,
            .colour = INK,
            .bold = true,
        };
    }
    on->bars = (page_lane){.labels = labels, .count = count};
    lane_place(on, &on->bars);
}

/* Whether no label of the row, nor one that is not yet there, lies there. */
static bool has_room(const page *on, double x0, double x1) {
    bool room = x0 >= on->x0 && x1 <= on->x1;
    for (size_t i = 0; i < on->bars.count; i++) {
        const label *of = &on->bars.labels[i];
        if (of->shown != NULL && of->shown[0] != '\0') {
            double half =
                0.5 * advance_of(of->shown, on->em, of->bold) + 0.3 * on->em;
            room = room && (of->x + half <= x0 || of->x - half >= x1);
        }
    }
    return room;
}

/* *taken: where the label before it ends, and then its own. */
static void runner_up_bar(page *on, bl_span span, double y, double *taken) {
    static const char *const words[] = {"runner-up", "2nd"};
    canvas_box box = lane_bar(on, span, on->bars_y + 0.1 * on->em);
    canvas_rectangle(on->canvas, box, WHITE,
                     page_pen(on, GREY, 0.08, CANVAS_DASHED));
    double x = 0.5 * (box.x0 + box.x1);
    for (size_t i = 0; i < 2; i++) {
        double half = 0.5 * page_advance(on, words[i]);
        if (half <= 0.5 * (box.x1 - box.x0) + 0.5 * on->em &&
            x - half >= *taken && has_room(on, x - half, x + half)) {
            *taken = x + half + 0.6 * on->em;
            canvas_text(on->canvas, x, y, page_style(on, GREY, CANVAS_MIDDLE),
                        words[i]);
            break;
        }
    }
}

/* Outlined, and named where the labels that matter leave room. */
static void draw_runner_ups(page *on, double y) {
    const bl_assessment *of = on->scene->assessment;
    double taken = on->x0;
    for (size_t i = 0;
         of->runner_up != NULL && i < of->runner_up->segment_count; i++) {
        const bl_segment *next = &of->runner_up->segments[i];
        if (page_is_next_best(of, next)) {
            runner_up_bar(on, next->span, y, &taken);
        }
    }
}

static void draw_bars(page *on) {
    const bl_assessment *of = on->scene->assessment;
    double y = on->bars_y + on->bars_height - 0.45 * on->em;
    draw_runner_ups(on, y);
    for (size_t i = 0; i < of->segment_count; i++) {
        bar(on, of->segments[i].span, HEALTHY_BAR, false);
    }
    bl_span run;
    for (size_t i = 0;
         page_next_run(on, page_narrowing, of->narrowing_count, &i, &run);) {
        bar(on, run, NARROW_BAR, true);
    }
    lane_labels(on, &on->bars, on->bars_y + (BAR_EM + 0.1) * on->em, y);
    /* Says what the percentages in the row are of, however short they got. */
    lane_name(on, y - 0.36 * on->em,
              of->narrowing_count != 0 || of->segment_count == 0
                  ? "area stenosis"
                  : "reference");
}

/* ------------------------------------------------------------------- veins */

/* "common iliac vein" without its last word, since the lane says veins, and
 * the trade's abbreviation for where there is little room. */
static const char *vein_words(const page *on, bl_vein vein, double room) {
    static const char *const words[][2] = {
        [BL_VEIN_UNKNOWN] = {"", ""},
        [BL_VEIN_CAVA] = {"cava", "IVC"},
        [BL_VEIN_COMMON_ILIAC] = {"common iliac", "CIV"},
        [BL_VEIN_EXTERNAL_ILIAC] = {"external iliac", "EIV"},
        [BL_VEIN_COMMON_FEMORAL] = {"common femoral", "CFV"},
        [BL_VEIN_FEMORAL] = {"femoral", "FV"},
    };
    for (unsigned i = 0; i < 2; i++) {
        if (page_advance(on, words[vein][i]) <= room) {
            return words[vein][i];
        }
    }
    return "";
}

static void draw_vein(page *on, const page_vein *of) {
    canvas_pen pen = page_pen(on, GREY, 0.07, CANVAS_SOLID);
    double gap = 0.15 * on->em;
    double x0 = page_x(on, of->from_mm) + gap;
    double x1 = page_x(on, of->to_mm) - gap;
    double y = on->veins_y + 0.15 * on->em;
    if (of->vein == BL_VEIN_UNKNOWN || !(x1 > x0)) {
        return;
    }
    canvas_line(on->canvas, x0, y, x1, y, pen);
    canvas_text(on->canvas, 0.5 * (x0 + x1), y + 1.1 * on->em,
                page_style(on, INK, CANVAS_MIDDLE),
                vein_words(on, of->vein, x1 - x0));
}

/* Veins change at marks only: looked up once between each two. */
static void plan_veins(page *on) {
    const bl_pullback *pullback = on->scene->pullback;
    on->veins = page_alloc(on, pullback->mark_count + 1, sizeof *on->veins);
    double from = on->from_mm;
    for (size_t i = 0; on->veins != NULL && i <= pullback->mark_count; i++) {
        double to = i < pullback->mark_count
                        ? fmin(pullback->marks[i].position_mm, on->to_mm)
                        : on->to_mm;
        if (!(to > from)) {
            continue;
        }
        bl_vein here = bl_pullback_vein_at(pullback, 0.5 * (from + to));
        if (on->vein_count > 0 && on->veins[on->vein_count - 1].vein == here) {
            on->veins[on->vein_count - 1].to_mm = to;
        } else {
            on->veins[on->vein_count++] = (page_vein){from, to, here};
        }
        from = to;
    }
}

static bool any_vein(const page *on) {
    const bl_assessment *of = on->scene->assessment;
    for (size_t i = 0; i < of->profile_count; i++) {
        if (page_vein_at(on, of->profile[i].position_mm) != BL_VEIN_UNKNOWN) {
            return true;
        }
    }
    return false;
}

static void draw_veins(page *on) {
    for (size_t i = 0; i < on->vein_count; i++) {
        draw_vein(on, &on->veins[i]);
    }
    lane_name(on, on->veins_y + 0.8 * on->em, "vein");
}

/* ------------------------------------------------------------------ ripple */

#define RIPPLE_EM 0.9
#define BREATH_EM 0.35

static bl_span ripple_at(const page *on, size_t index) {
    return on->scene->assessment->ripple.stretches[index];
}

/* A tick where each breath begins: the ripple passes 0 on its way up. */
static void draw_breaths(page *on, double y) {
    const bl_assessment *of = on->scene->assessment;
    double last = -HUGE_VAL;
    canvas_begin(on->canvas, CANVAS_SEGMENTS, CANVAS_NONE,
                 page_pen(on, GREY, 0.06, CANVAS_SOLID));
    for (size_t i = 1; i < of->profile_count; i++) {
        const bl_profile_point *at = &of->profile[i];
        double x = page_x(on, at->position_mm);
        if (!at->after_gap && at[-1].ripple < 0.0 && at->ripple >= 0.0 &&
            x - last >= HAIR_MM) {
            canvas_to(on->canvas, x, y - BREATH_EM * on->em);
            canvas_to(on->canvas, x, y);
            last = x;
        }
    }
}

static void draw_ripple(page *on) {
    const bl_assessment *of = on->scene->assessment;
    canvas_pen pen = page_pen(on, GREY, 0.07, CANVAS_SOLID);
    double y = on->ripple_y + 0.65 * on->em;
    bl_span run;
    for (size_t i = 0;
         page_next_run(on, ripple_at, of->ripple.stretch_count, &i, &run);) {
        canvas_line(on->canvas, page_x(on, run.from_mm), y,
                    page_x(on, run.to_mm), y, pen);
    }
    draw_breaths(on, y);
    lane_name(on, on->ripple_y + 0.45 * on->em, "breathing");
}

/* ---------------------------------------------------------------- left out */

static void draw_left_out(page *on) {
    const bl_assessment *of = on->scene->assessment;
    canvas_pen pen = page_pen(on, INK, 0.10, CANVAS_SOLID);
    canvas_begin(on->canvas, CANVAS_SEGMENTS, CANVAS_NONE, pen);
    double last = -HUGE_VAL;
    for (size_t i = 0; i < of->left_out_count; i++) {
        const bl_row *row = &on->scene->rows[of->left_out[i]];
        double x = page_x(on, row->position_mm);
        if (x - last >= HAIR_MM) {
            canvas_to(on->canvas, x, on->left_out_y + 0.25 * on->em);
            canvas_to(on->canvas, x, on->axis_y);
            last = x;
        }
    }
    canvas_line(on->canvas, on->x0, on->axis_y, on->x1, on->axis_y,
                page_pen(on, INK, 0.07, CANVAS_SOLID));
    text words = {0};
    text_format(&words, "left out: %zu", of->left_out_count);
    lane_name(on, on->left_out_y + 0.6 * on->em, page_keep(on, &words));
}

/* Where a low page has a plan too, the triangles in the panel have to do. */
static bool has_points_lane(const page *on) {
    return on->scene->assessment->compression_count > 0 &&
           !(on->is_low && on->scene->plan != NULL);
}

/* A low page keeps the lanes for what is said nowhere else: the triangles are
 * in the panel already, the veins follow from the marks. */
void lanes_plan(page *on) {
    const bl_assessment *of = on->scene->assessment;
    plan_veins(on);
    if (has_points_lane(on)) {
        plan_points(on);
    }
    plan_bars(on);
    double points = (LABEL_EM + (on->is_low ? 0.15 : 0.9)) * on->em;
    double bars = (LABEL_EM + BAR_EM + 0.3) * on->em;
    on->points_height = has_points_lane(on) ? points + on->points.leader : 0.0;
    on->bars_height = page_has_reference(on) ? bars + on->bars.leader : 0.0;
    on->veins_height =
        !on->is_low && any_vein(on) ? (LABEL_EM + 0.2) * on->em : 0.0;
    /* A low page has it in the space above the area panel. */
    on->ripple_height =
        of->ripple.found && !on->is_low ? RIPPLE_EM * on->em : 0.0;
    on->left_out_height = of->left_out_count == 0 ? 0.0 : 1.1 * on->em;
}

void lanes_draw(page *on) {
    const bl_assessment *of = on->scene->assessment;
    if (of->compression_count > 0) {
        draw_points(on);
    }
    if (page_has_reference(on)) {
        draw_bars(on);
    }
    if (on->veins_height > 0.0) {
        draw_veins(on);
    }
    if (of->ripple.found) {
        draw_ripple(on);
    }
    if (of->left_out_count > 0) {
        draw_left_out(on);
    }
}
