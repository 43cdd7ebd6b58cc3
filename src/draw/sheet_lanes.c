/*
 * sheet_lanes.c - the lanes of a comparison: residual stenosis by each
 * denominator, devices, where they stand off the wall, the vein beyond.
 */
#include "draw/lane.h"
#include "draw/sheet.h"
#include "draw/spread.h"

#include "base/apposed.h"
#include "base/constants.h"
#include "base/place.h"

#include <math.h>
#include <stdlib.h>

#define GAP_EM 0.2
#define FOOT_EM 0.45
/* A device goes on between frames no more than so many usual steps apart. */
#define STEPS_MOST 1.5
/* Brackets at one place stand so far apart. */
#define BRACKET_EM 0.8

/* ---------------------------------------------------------------- residuals */

static const char *percent(page *on, const char *before, double pct,
                           const char *after) {
    text words = {0};
    text_add(&words, before);
    text_fixed(&words, pct, 1);
    text_add(&words, " %");
    text_add(&words, after);
    return page_keep(on, &words);
}

static const char *joined(page *on, const char *a, const char *b,
                          const char *c) {
    text words = {0};
    text_add(&words, a);
    text_add(&words, b);
    text_add(&words, c);
    return page_keep(on, &words);
}

/* Its denominator is never left away. */
static label residual_label(sheet *on, size_t index) {
    page *paper = &on->page;
    double pct = sheet_residual(on, index)->area_stenosis_pct;
    const char *name = sheet_denominator_short(on, index);
    const char *whole = index < 2 ? joined(paper, " of reference ", name, "")
                                  : " of nominal area";
    const char *less =
        index < 2 ? joined(paper, " of ref. ", name, "") : " of nominal";
    label out = {.wanted_x = on->residual_x[index],
                 .worth = 100.0 - (double)index,
                 .colour = INK};
    if (place_is_above(pct)) {
        out.texts[0] = joined(paper, "none", whole, "");
        out.texts[1] = joined(paper, "none", less, "");
        out.texts[2] = joined(paper, name, " none", "");
    } else {
        out.texts[0] = percent(paper, "", pct, whole);
        out.texts[1] = percent(paper, "", pct, less);
        out.texts[2] = percent(paper, joined(paper, name, " ", ""), pct, "");
    }
    return out;
}

/* Those of one place are moved apart, so that each can be seen. */
static void place_brackets(sheet *on) {
    page *paper = &on->page;
    spread_slot slots[SHEET_RESIDUALS];
    size_t order[SHEET_RESIDUALS];
    size_t held = 0;
    for (size_t i = 0; i < SHEET_RESIDUALS; i++) {
        const bl_residual *of = sheet_residual(on, i);
        on->residual_x[i] = UNKNOWN;
        if (isnan(of->area_stenosis_pct)) {
            continue;
        }
        double x = page_x(paper, of->position_mm);
        size_t at = held++;
        for (; at > 0 && slots[at - 1].wanted > x; at--) {
            slots[at] = slots[at - 1];
            order[at] = order[at - 1];
        }
        slots[at] = (spread_slot){.wanted = x, .size = BRACKET_EM * paper->em};
        order[at] = i;
    }
    bool fits = spread_slots(slots, held, paper->x0, paper->x1);
    for (size_t i = 0; fits && i < held; i++) {
        on->residual_x[order[i]] = slots[i].centre;
    }
}

static void plan_residuals(sheet *on) {
    page *paper = &on->page;
    place_brackets(on);
    page_lane *lane = &on->residuals;
    lane->labels = page_alloc(paper, SHEET_RESIDUALS, sizeof *lane->labels);
    for (size_t i = 0; lane->labels != NULL && i < SHEET_RESIDUALS; i++) {
        if (!isnan(on->residual_x[i])) {
            lane->labels[lane->count++] = residual_label(on, i);
        }
    }
    if (lane->count > 0) {
        lane_place(paper, lane);
        on->residuals_height = LABEL_EM * paper->em + lane->leader;
    }
}

/* ------------------------------------------------------------------ devices */

typedef struct piece {
    bl_span span;
    const bl_nominal *nominal; /* NULL: unknown */
} piece;

/* Whether every device has a place: one, or overlaps between all. */
static bool is_laid(const bl_device_state *of) {
    return of->nominal_count > 0 && of->overlap_count + 1 == of->nominal_count;
}

static size_t piece_count(const bl_device_state *of) {
    return is_laid(of) ? of->nominal_count : of->part_count;
}

/* The piece at place `index`, in position order; sizes are from cranial. */
static piece piece_at(const sheet *on, size_t index) {
    const bl_device_state *of = &on->of->device;
    if (!is_laid(of)) {
        return (piece){of->parts[index], NULL};
    }
    bool caudally = on->shown.travel == BL_END_CAUDAL;
    size_t last = of->nominal_count - 1;
    piece out = {of->span, &of->nominals[caudally ? index : last - index]};
    if (index > 0) {
        out.span.from_mm = of->overlaps[index - 1].span.from_mm;
    }
    if (index < last) {
        out.span.to_mm = of->overlaps[index].span.to_mm;
    }
    return out;
}

static void add_size(text *to, const bl_nominal *of, const char *unit) {
    text_short(to, of->diameter_mm, 2);
    if (!isnan(of->length_mm)) {
        text_add(to, " \xC3\x97 ");
        text_short(to, of->length_mm, 2);
    }
    text_add(to, unit);
}

static label piece_label(sheet *on, size_t index) {
    page *paper = &on->page;
    piece of = piece_at(on, index);
    label out = {.wanted_x = 0.5 * (page_x(paper, of.span.from_mm) +
                                    page_x(paper, of.span.to_mm)),
                 .worth = of.span.to_mm - of.span.from_mm,
                 .colour = INK};
    text whole = {0};
    text less = {0};
    if (of.nominal != NULL) {
        add_size(&whole, of.nominal, " mm nominal");
        add_size(&less, of.nominal, " mm");
        out.texts[2] = "";
    } else {
        text_fixed(&whole, of.span.to_mm - of.span.from_mm, 1);
        text_add(&whole, on->of->device.nominal_count == 0
                             ? " mm, nominal size not given"
                             : " mm, which nominal size is not known");
        text_fixed(&less, of.span.to_mm - of.span.from_mm, 1);
        text_add(&less, " mm");
    }
    out.texts[0] = page_keep(paper, &whole);
    out.texts[1] = page_keep(paper, &less);
    return out;
}

static int by_length(const void *left, const void *right) {
    double a = *(const double *)left;
    double b = *(const double *)right;
    return (a > b) - (a < b);
}

/* Frames of a device that lie further from each other have some without it
 * between them, however many of all were traced. */
static double widest_step_mm(sheet *on) {
    size_t count = 0;
    double last = UNKNOWN;
    double *steps = page_alloc(&on->page, on->of->series_count, sizeof *steps);
    for (size_t i = 0; steps != NULL && i < on->of->series_count; i++) {
        const bl_compared *one = &on->of->series[i];
        if (!isnan(one->device_area_mm2)) {
            if (!isnan(last)) {
                steps[count++] = fabs(one->own_position_mm - last);
            }
            last = one->own_position_mm;
        }
    }
    if (count == 0) {
        return 0.0;
    }
    qsort(steps, count, sizeof *steps, by_length);
    return STEPS_MOST * steps[count / 2];
}

/* Where the device was traced; what is less than a hair apart is one run. */
static void fill_traced(sheet *on) {
    double widest_mm = widest_step_mm(on);
    double last = UNKNOWN;
    on->traced =
        page_alloc(&on->page, on->of->series_count, sizeof *on->traced);
    for (size_t i = 0; on->traced != NULL && i < on->of->series_count; i++) {
        const bl_compared *one = &on->of->series[i];
        if (isnan(one->device_area_mm2)) {
            continue;
        }
        double x = page_x(&on->page, one->position_mm);
        bl_span *run = &on->traced[on->traced_count];
        if (on->traced_count > 0 &&
            (fabs(one->own_position_mm - last) <= widest_mm ||
             x - page_x(&on->page, run[-1].to_mm) < HAIR_MM)) {
            run[-1].to_mm = one->position_mm;
        } else {
            *run = (bl_span){one->position_mm, one->position_mm};
            on->traced_count++;
        }
        last = one->own_position_mm;
    }
}

static double bars_em(const sheet *on) {
    bool two = piece_count(&on->of->device) > 1 && !on->page.is_low;
    return BAR_EM * (two ? 2.0 : 1.0) + GAP_EM * (two ? 2.0 : 1.0);
}

static void plan_devices(sheet *on) {
    page *paper = &on->page;
    page_lane *lane = &on->devices;
    size_t count = piece_count(&on->of->device);
    fill_traced(on);
    lane->labels = page_alloc(paper, count, sizeof *lane->labels);
    for (size_t i = 0; lane->labels != NULL && i < count; i++) {
        lane->labels[lane->count++] = piece_label(on, i);
    }
    if (lane->count > 0) {
        lane_place(paper, lane);
        on->devices_height =
            (bars_em(on) + LABEL_EM) * paper->em + lane->leader;
    }
}

/* What of the stretch was traced. */
static void draw_traced(sheet *on, bl_span within, double y, bool hatched) {
    page *paper = &on->page;
    for (size_t i = 0; i < on->traced_count; i++) {
        bl_span run = on->traced[i];
        bool lone = !(run.to_mm > run.from_mm);
        bl_span both = {fmax(run.from_mm, within.from_mm),
                        fmin(run.to_mm, within.to_mm)};
        if (both.to_mm > both.from_mm || (lone && both.to_mm >= both.from_mm)) {
            lane_draw_bar(paper, lane_bar(paper, both, y), DEVICE_TINT,
                          hatched);
        }
    }
}

static void draw_devices(sheet *on) {
    page *paper = &on->page;
    double y = on->devices_y + GAP_EM * paper->em;
    size_t count = piece_count(&on->of->device);
    double second = paper->is_low ? 0.0 : (BAR_EM + GAP_EM) * paper->em;
    for (size_t i = 0; i < count; i++) {
        double top = y + (i % 2 == 0 ? 0.0 : second);
        draw_traced(on, piece_at(on, i).span, top, false);
    }
    /* What two share is hatched in both. */
    for (size_t i = 0; is_laid(&on->of->device) && i + 1 < count; i++) {
        bl_span both = on->of->device.overlaps[i].span;
        if (both.to_mm > both.from_mm) {
            draw_traced(on, both, y, true);
            draw_traced(on, both, y + second, true);
        }
    }
}

/* --------------------------------------------------------------------- wall */

static const char *gap_words(page *on, const char *before, double gap_mm,
                             double arc_deg) {
    text words = {0};
    text_add(&words, before);
    text_fixed(&words, gap_mm, 2);
    text_add(&words, " mm");
    if (!isnan(arc_deg)) {
        text_add(&words, ", ");
        text_fixed(&words, arc_deg, 0);
        text_add(&words, "\xC2\xB0");
    }
    return page_keep(on, &words);
}

static label unapposed_label(page *on, const bl_unapposed *of) {
    return (label){
        .texts = {gap_words(on, "gap to ", of->max_gap_mm, of->widest_arc_deg),
                  gap_words(on, "", of->max_gap_mm, of->widest_arc_deg),
                  gap_words(on, "", of->max_gap_mm, UNKNOWN)},
        .wanted_x =
            0.5 * (page_x(on, of->span.from_mm) + page_x(on, of->span.to_mm)),
        .worth = of->max_gap_mm,
        .colour = INK};
}

static label apposed_label(sheet *on) {
    page *paper = &on->page;
    const bl_device_state *of = &on->of->device;
    text words = {0};
    text_add(&words, "on the wall within ");
    text_short(&words, of->gap_tolerance_mm, 3);
    text_add(&words, " mm");
    return (label){.texts = {page_keep(paper, &words), "on the wall"},
                   .wanted_x = 0.5 * (page_x(paper, of->span.from_mm) +
                                      page_x(paper, of->span.to_mm)),
                   .colour = INK};
}

static void plan_wall(sheet *on) {
    page *paper = &on->page;
    const bl_device_state *of = &on->of->device;
    page_lane *lane = &on->wall;
    size_t count = of->unapposed_count;
    if (!apposed_is_known(of)) {
        return;
    }
    lane->labels = page_alloc(paper, count + 1, sizeof *lane->labels);
    for (size_t i = 0; lane->labels != NULL && i < count; i++) {
        lane->labels[lane->count++] = unapposed_label(paper, &of->unapposed[i]);
    }
    if (lane->labels != NULL && count == 0) {
        lane->labels[lane->count++] = apposed_label(on);
    }
    if (lane->count > 0) {
        lane_place(paper, lane);
        double bars = count > 0 ? BAR_EM + GAP_EM : 0.0;
        on->wall_height = (bars + LABEL_EM) * paper->em + lane->leader;
    }
}

static void draw_wall(sheet *on) {
    page *paper = &on->page;
    const bl_device_state *of = &on->of->device;
    for (size_t i = 0; i < of->unapposed_count; i++) {
        canvas_box box = lane_bar(paper, of->unapposed[i].span,
                                  on->wall_y + GAP_EM * paper->em);
        lane_draw_bar(paper, box, ORANGE, false);
    }
}

/* ------------------------------------------------------------------- beyond */

static label edge_label(page *on, const bl_edge *of) {
    bool before = !isnan(of->worst.before_reference_stenosis_pct);
    double pct = before ? of->worst.before_reference_stenosis_pct
                        : of->worst.after_reference_stenosis_pct;
    label out = {.wanted_x = 0.5 * (page_x(on, of->span.from_mm) +
                                    page_x(on, of->span.to_mm)),
                 .worth = 10.0,
                 .colour = INK};
    bool known = of->worst.frame >= 0 && !isnan(pct);
    bool narrower = known && pct >= PRINTED_LEAST;
    out.texts[0] = narrower ? percent(on, "edge ", pct, "")
                   : known  ? "edge: not narrower"
                            : "edge not known";
    out.texts[1] = narrower ? percent(on, "", pct, "") : known ? "none" : "?";
    return out;
}

static label untreated_label(page *on, const bl_untreated *of) {
    double pct = of->by_before ? of->worst.before_reference_stenosis_pct
                               : of->worst.after_reference_stenosis_pct;
    bool fresh = of->was_seen && !of->was_there;
    return (label){
        .texts = {percent(on, fresh ? "new " : "untreated ", pct, ""),
                  percent(on, fresh ? "new " : "left ", pct, ""),
                  percent(on, "", pct, "")},
        .wanted_x =
            0.5 * (page_x(on, of->span.from_mm) + page_x(on, of->span.to_mm)),
        .worth = 20.0 + pct,
        .colour = INK,
        .bold = true};
}

static void plan_beyond(sheet *on) {
    page *paper = &on->page;
    const bl_comparison *of = on->of;
    page_lane *lane = &on->beyond;
    size_t count = of->edge_count + of->untreated_count;
    lane->labels = page_alloc(paper, count, sizeof *lane->labels);
    for (size_t i = 0; lane->labels != NULL && i < count; i++) {
        lane->labels[lane->count++] =
            i < of->edge_count
                ? edge_label(paper, &of->edges[i])
                : untreated_label(paper, &of->untreated[i - of->edge_count]);
    }
    if (lane->count > 0) {
        lane_place(paper, lane);
        on->beyond_height =
            (BAR_EM + GAP_EM + LABEL_EM) * paper->em + lane->leader;
    }
}

static void draw_beyond(sheet *on) {
    page *paper = &on->page;
    const bl_comparison *of = on->of;
    double y = on->beyond_y + GAP_EM * paper->em;
    for (size_t i = 0; i < of->edge_count; i++) {
        lane_draw_bar(paper, lane_bar(paper, of->edges[i].span, y), WHITE,
                      false);
    }
    for (size_t i = 0; i < of->untreated_count; i++) {
        lane_draw_bar(paper, lane_bar(paper, of->untreated[i].span, y),
                      NARROW_TINT, true);
    }
}

/* ---------------------------------------------------------------------- all */

void sheet_plan_lanes(sheet *on) {
    plan_residuals(on);
    plan_devices(on);
    plan_wall(on);
    plan_beyond(on);
}

static void draw_labels(sheet *on, const page_lane *lane, double y,
                        double height, double bars, const char *name) {
    page *paper = &on->page;
    if (height > 0.0) {
        double foot = y + height - FOOT_EM * paper->em;
        lane_labels(paper, lane, y + bars * paper->em, foot);
        lane_name(paper, foot - 0.36 * paper->em, name);
    }
}

void sheet_draw_lanes(sheet *on) {
    bool apposed = on->of->device.unapposed_count == 0;
    draw_devices(on);
    draw_wall(on);
    draw_beyond(on);
    draw_labels(on, &on->residuals, on->residuals_y, on->residuals_height, 0.0,
                "residual");
    draw_labels(on, &on->devices, on->devices_y, on->devices_height,
                bars_em(on), "devices");
    draw_labels(on, &on->wall, on->wall_y, on->wall_height,
                apposed ? 0.0 : BAR_EM + GAP_EM,
                apposed ? "apposition" : "stands off");
    draw_labels(on, &on->beyond, on->beyond_y, on->beyond_height,
                BAR_EM + GAP_EM, "edges");
}
