/*
 * sheet.c - the figure of a comparison, from plain structs to a display list.
 *
 * Columns first, then what needs to know them, then rows from the top and from
 * the bottom; the panels share what is left, as in plan.c.
 */
#include "draw/sheet.h"

#include "draw/axes.h"
#include "draw/figure.h"

#include "base/apposed.h"
#include "base/stages.h"

#include <math.h>
#include <string.h>

/* A page of fewer lines has no panel of gaps. */
#define LOW_LINES 38.0
#define GAPS_SHARE 0.24

const sheet *sheet_of(const page *on) {
    return (const sheet *)(const void *)on;
}

void sheet_signed(text *to, double value, unsigned decimals) {
    text_add(to, value > 0.0 ? "+" : value < 0.0 ? "\xE2\x88\x92" : "");
    text_fixed(to, fabs(value), decimals);
}

const bl_residual *sheet_residual(const sheet *on, size_t index) {
    return index == 0   ? &on->of->before_reference_residual
           : index == 1 ? &on->of->after_reference_residual
                        : &on->of->nominal_residual;
}

const char *sheet_denominator(const sheet *on, size_t index) {
    return index == 0   ? stages_first(on->of)
           : index == 1 ? stages_second(on->of)
                        : "nominal";
}

const char *sheet_denominator_short(const sheet *on, size_t index) {
    return index == 0   ? stages_first_short(on->of)
           : index == 1 ? stages_second_short(on->of)
                        : "nominal";
}

/* ----------------------------------------------------------------- planning */

static void widen(page *on, double position_mm) {
    /* fmin and fmax pass over what is unknown. */
    on->from_mm = fmin(on->from_mm, position_mm);
    on->to_mm = fmax(on->to_mm, position_mm);
}

static void plan_stretch(sheet *on) {
    page *paper = &on->page;
    const bl_assessment *before = on->before.assessment;
    paper->from_mm = (double)INFINITY;
    paper->to_mm = -(double)INFINITY;
    for (size_t i = 0; i < before->profile_count; i++) {
        widen(paper, before->profile[i].position_mm);
    }
    for (size_t i = 0; i < on->of->series_count; i++) {
        widen(paper, on->of->series[i].position_mm);
    }
    widen(paper, on->of->treated.from_mm);
    widen(paper, on->of->treated.to_mm);
    if (!(paper->to_mm > paper->from_mm)) {
        double only = isfinite(paper->from_mm) ? paper->from_mm : 0.0;
        paper->from_mm = only - 1.0;
        paper->to_mm = only + 1.0;
    }
}

static void plan_rows(sheet *on) {
    page *paper = &on->page;
    double em = paper->em;
    double foot = paper->height - paper->margin -
                  LINE_EM * em * (double)paper->caption_count -
                  (paper->is_low ? 0.3 : 0.6) * em;
    double flags = LINE_EM * em * paper->flag_rows;
    flags += paper->flags_numbered ? em : 0.0;
    paper->flags_foot = paper->margin + TITLE_EM * em + flags + 0.3 * em;
    paper->axis_y = foot - AXIS_EM * em;
    double lanes = on->residuals_height + on->devices_height + on->wall_height +
                   on->beyond_height + (on->has_gaps ? 1.0 : 0.4) * em;
    double top = paper->flags_foot + 0.4 * em;
    double room = paper->axis_y - top - lanes;
    double upper = (on->has_gaps ? 1.0 - GAPS_SHARE : 1.0) * room;
    paper->diameter.box = (canvas_box){paper->x0, top, paper->x1, top + upper};
    on->residuals_y = paper->diameter.box.y1 + 0.2 * em;
    on->devices_y = on->residuals_y + on->residuals_height;
    on->wall_y = on->devices_y + on->devices_height;
    on->beyond_y = on->wall_y + on->wall_height;
    double gaps =
        on->has_gaps ? paper->axis_y - GAPS_SHARE * room : paper->axis_y;
    paper->area.box = (canvas_box){paper->x0, gaps, paper->x1, paper->axis_y};
}

static double greatest_gap(const sheet *on) {
    double most = 2.0 * on->of->device.gap_tolerance_mm;
    for (size_t i = 0; i < on->of->series_count; i++) {
        most = fmax(most, on->of->series[i].gap_mm);
    }
    return most;
}

static void plan_sheet(sheet *on) {
    page *paper = &on->page;
    plan_paper(paper);
    paper->is_low = paper->height < LOW_LINES * LINE_EM * paper->em;
    on->has_gaps = !paper->is_low && apposed_is_known(&on->of->device);
    plan_stretch(on);
    plan_columns(paper);
    flags_plan(paper);
    sheet_plan_lanes(on);
    sheet_plan_caption(on);
    plan_rows(on);
    plan_scale(&paper->diameter, sheet_greatest_area(on), paper->em);
    plan_scale(&paper->area, on->has_gaps ? greatest_gap(on) : 1.0, paper->em);
}

/* ------------------------------------------------------------------ drawing */

static void draw_all(sheet *on) {
    page *paper = &on->page;
    plan_sheet(on);
    if (paper->failed) {
        return;
    }
    canvas_rectangle(paper->canvas,
                     (canvas_box){0, 0, paper->width, paper->height}, WHITE,
                     (canvas_pen){.colour = CANVAS_NONE});
    flags_draw(paper);
    sheet_draw_panels(on);
    sheet_draw_lanes(on);
    caption_draw(paper);
}

/* Curves are drawn of a profile: this one has the places of the series. */
static void fill_series(sheet *on) {
    const bl_comparison *of = on->of;
    bl_profile_point *points =
        page_alloc(&on->page, of->series_count, sizeof *points);
    if (points == NULL) {
        return;
    }
    for (size_t i = 0; i < of->series_count; i++) {
        const bl_compared *at = &of->series[i];
        points[i].position_mm = at->position_mm;
        /* Where one kind goes on, only the other breaks: it is NaN there. */
        points[i].after_gap =
            i == 0 || ((isnan(at->lumen_area_mm2) || at->lumen_after_gap) &&
                       (isnan(at->device_area_mm2) || at->device_after_gap));
    }
    on->series =
        (bl_assessment){.profile = points, .profile_count = of->series_count};
}

static const char *stage_words(sheet *on) {
    text words = {0};
    text_add(&words, stages_first(on->of));
    text_add(&words, " and ");
    text_add(&words, stages_second(on->of));
    return page_keep(&on->page, &words);
}

static void fill_scenes(sheet *on) {
    const bl_compared_table *first = on->tables[0];
    on->shown = *bl_study_pullback(first->study);
    on->shown.stage = stage_words(on);
    on->before = (scene){.pullback = &on->shown,
                         .rows = bl_study_rows(first->study),
                         .row_count = bl_study_row_count(first->study),
                         .assessment = first->assessment,
                         .source = first->source};
    fill_series(on);
    on->after = on->before;
    on->after.assessment = &on->series;
    on->page.scene = &on->before;
}

static bl_status draw_sheet(sheet *on, const bl_figure_options *options,
                            bl_figure **out) {
    bl_figure *figure = NULL;
    bl_status status = figure_new(options, &figure);
    if (status != BL_OK) {
        return status;
    }
    on->page = (page){.canvas = &figure->canvas,
                      .memory = &figure->memory,
                      .width = options->width_mm,
                      .height = options->height_mm};
    fill_scenes(on);
    draw_all(on);
    figure_describe(&on->page, figure, on->tables[0]->source,
                    on->tables[1]->source);
    figure_tell(&on->page, figure, sheet_whole_caption(on));
    if (on->page.failed || figure->canvas.failed) {
        bl_figure_free(figure);
        return BL_ERR_MEMORY;
    }
    *out = figure;
    return BL_OK;
}

static bool is_whole(const bl_compared_table *of) {
    return of != NULL && of->study != NULL && of->assessment != NULL &&
           of->source != NULL;
}

bl_status bl_figure_comparison(const bl_compared_table *before,
                               const bl_compared_table *after,
                               const bl_comparison *comparison,
                               const bl_figure_options *options,
                               bl_figure **out) {
    if (!is_whole(before) || !is_whole(after) || comparison == NULL ||
        options == NULL || out == NULL) {
        return BL_ERR_ARGUMENT;
    }
    sheet on = {.of = comparison, .tables = {before, after}};
    return draw_sheet(&on, options, out);
}
