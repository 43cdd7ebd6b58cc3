/*
 * inflow_column.c - one measure of all inflow veins with 95 % intervals, on a
 * scale that they share. The best one's interval is a band over all rows: what
 * reaches into it is not told apart from it.
 */
#include "draw/inflow_page.h"

#include "base/inflow_words.h"

#include <math.h>

typedef struct inflow_scale {
    double x0; /* of 0 */
    double x1; /* of `top` */
    double top;
} inflow_scale;

static const bl_inflow_figure *figure_of(const inflow_page *in,
                                         size_t candidate, unsigned measure) {
    const bl_assessment *of = in->of->candidates[candidate].input.assessment;
    return &of->inflow.figures[measure];
}

/* From 0 to the greatest end of an interval. */
static inflow_scale scale_of(const inflow_page *in, unsigned measure) {
    double em = in->page.em;
    inflow_scale out = {
        .x0 = in->columns_x + measure * in->column_width + 0.6 * em,
        .top = 0.0,
    };
    out.x1 = out.x0 + in->column_width - 2.0 * em;
    for (size_t i = 0; i < in->of->candidate_count; i++) {
        const bl_inflow_figure *figure = figure_of(in, i, measure);
        /* fmax passes over what is unknown. */
        out.top = fmax(out.top, fmax(figure->value, figure->interval.high));
    }
    out.top = out.top > 0.0 ? 1.05 * out.top : 1.0;
    return out;
}

/* Ends of stretches that intervals are corrected beyond 0 are drawn at 0. */
static double scale_x(const inflow_scale *of, double value) {
    return of->x0 + fmax(value, 0.0) / of->top * (of->x1 - of->x0);
}

/* What every candidate's row is held against. */
static void draw_band(inflow_page *in, unsigned measure,
                      const inflow_scale *scale) {
    page *on = &in->page;
    size_t best = in->of->verdicts[measure].best;
    canvas_pen none = {.colour = CANVAS_NONE};
    if (best == in->of->candidate_count) {
        return;
    }
    bl_interval of = figure_of(in, best, measure)->interval;
    if (isnan(of.low)) {
        return;
    }
    double least = 0.12 * on->em; /* to be seen */
    double x0 = scale_x(scale, of.low);
    double x1 = fmax(scale_x(scale, of.high), x0 + least);
    canvas_rectangle(on->canvas, (canvas_box){x0, in->rows_y, x1, in->axis_y},
                     BAND_TINT, none);
}

/* What a measure is called; the unit stands on a line of its own. */
static void draw_title(inflow_page *in, unsigned measure,
                       const inflow_scale *scale) {
    page *on = &in->page;
    static const char *const short_names[BL_INFLOW_MEASURES] = {
        "least", "mean", "narrowed", "index"};
    double room = in->column_width - 0.8 * on->em;
    const char *name = bl_inflow_measure_name(measure);
    if (page_advance(on, name) > room) {
        name = short_names[measure];
    }
    const char *unit = inflow_unit(measure);
    bool square = unit[0] != '\0' && unit[2] == '2';
    canvas_text(on->canvas, scale->x0, in->rows_y - 1.85 * on->em,
                page_style(on, INK, CANVAS_START),
                page_fit(on, name, room, false));
    canvas_text(on->canvas, scale->x0, in->rows_y - 0.6 * on->em,
                page_style(on, GREY, CANVAS_START),
                square            ? "mm\xC2\xB2"
                : unit[0] == '\0' ? "\xC3\x97"
                                  : unit);
}

static void draw_interval(inflow_page *in, const inflow_scale *scale,
                          bl_interval of, double y) {
    page *on = &in->page;
    canvas_pen pen = page_pen(on, INK, 0.12, CANVAS_SOLID);
    double x0 = scale_x(scale, of.low);
    double x1 = scale_x(scale, of.high);
    double cap = 0.35 * on->em;
    if (isnan(of.low)) {
        return;
    }
    canvas_line(on->canvas, x0, y, x1, y, pen);
    canvas_line(on->canvas, x0, y - cap, x0, y + cap, pen);
    canvas_line(on->canvas, x1, y - cap, x1, y + cap, pen);
}

static const char *figure_text(page *on, const bl_inflow_figure *of,
                               unsigned measure) {
    text words = {0};
    text_add(&words, isnan(of->value) ? "not known" : "");
    text_fixed(&words, of->value, inflow_decimals(measure));
    return page_keep(on, &words);
}

/* Number, dot and interval. */
static void draw_figure(inflow_page *in, const inflow_scale *scale,
                        size_t candidate, unsigned measure) {
    page *on = &in->page;
    const bl_inflow_figure *of = figure_of(in, candidate, measure);
    double height = in->row_height;
    double aside = fmin(0.4 * (height - 1.9 * on->em), 0.25 * height);
    double y = inflow_row_y(in, candidate) + height - fmax(aside, 0.4 * on->em);
    bool known = !isnan(of->value);
    bool best = in->of->verdicts[measure].best == candidate;
    canvas_style style = page_style(on, known ? INK : GREY, CANVAS_START);
    style.bold = known && best;
    canvas_text(on->canvas, scale->x0 + 0.4 * on->em, y - 0.75 * on->em, style,
                page_fit(on, figure_text(on, of, measure),
                         in->column_width - 1.2 * on->em, style.bold));
    if (known) {
        draw_interval(in, scale, of->interval, y);
        canvas_begin(on->canvas, CANVAS_DOTS, CANVAS_NONE,
                     page_pen(on, INK, 0.6, CANVAS_SOLID));
        canvas_to(on->canvas, scale_x(scale, of->value), y);
    }
}

void inflow_column_draw(inflow_page *in, unsigned measure) {
    page *on = &in->page;
    inflow_scale scale = scale_of(in, measure);
    canvas_pen frame = page_pen(on, INK, 0.07, CANVAS_SOLID);
    draw_band(in, measure, &scale);
    canvas_line(on->canvas, scale.x0, in->rows_y, scale.x0, in->axis_y, frame);
    canvas_text(on->canvas, scale.x0, in->axis_y + 1.45 * on->em,
                page_style(on, INK, CANVAS_MIDDLE), "0");
    draw_title(in, measure, &scale);
    for (size_t i = 0; i < in->rows; i++) {
        draw_figure(in, &scale, i, measure);
    }
}
