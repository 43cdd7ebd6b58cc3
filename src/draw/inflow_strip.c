/*
 * inflow_strip.c - the area along the stretch of one inflow vein.
 *
 * A strip is a small page of its own: the stretch's frames from cranial to
 * caudal, placed by their distance from the caudal end, so that the curves of
 * the profile's picture draw it and strips can be read against each other.
 */
#include "draw/inflow_page.h"

#include "base/constants.h"
#include "draw/axes.h"
#include "draw/curves.h"

#include <math.h>

/* For "16. M", bold. */
#define NUMBER_EM 3.8

/* Place within the strip: 0 at the caudal end, below 0 cranial of it. */
static double aside_mm(const bl_inflow_candidate *of, double position_mm) {
    bl_span span = of->input.assessment->inflow.span;
    bool caudally = bl_study_pullback(of->input.study)->travel == BL_END_CAUDAL;
    return caudally ? position_mm - span.to_mm : span.from_mm - position_mm;
}

static bool is_in_stretch(const bl_inflow_candidate *of, double position_mm) {
    bl_span span = of->input.assessment->inflow.span;
    return position_mm >= span.from_mm - EDGE_MM &&
           position_mm <= span.to_mm + EDGE_MM;
}

/* The frames of the stretch, the cranial one first. */
static void fill_points(const bl_inflow_candidate *of, bl_profile_point *to,
                        size_t *count) {
    const bl_assessment *from = of->input.assessment;
    bool caudally = bl_study_pullback(of->input.study)->travel == BL_END_CAUDAL;
    for (size_t i = 0; i < from->profile_count; i++) {
        size_t at = caudally ? i : from->profile_count - 1 - i;
        const bl_profile_point *point = &from->profile[at];
        if (!is_in_stretch(of, point->position_mm)) {
            continue;
        }
        to[*count] = *point;
        to[*count].position_mm = aside_mm(of, point->position_mm);
        /* The other way a gap lies before the point behind it. */
        to[*count].after_gap =
            *count == 0 || (caudally ? point->after_gap : point[1].after_gap);
        ++*count;
    }
}

/* What of narrowings lies in the stretch, the cranial one first. */
static void fill_narrowings(const bl_inflow_candidate *of, double least_mm,
                            bl_narrowing *to, size_t *count) {
    const bl_assessment *from = of->input.assessment;
    for (size_t i = 0; i < from->narrowing_count; i++) {
        bool caudally =
            bl_study_pullback(of->input.study)->travel == BL_END_CAUDAL;
        size_t at = caudally ? i : from->narrowing_count - 1 - i;
        double a = aside_mm(of, from->narrowings[at].span.from_mm);
        double b = aside_mm(of, from->narrowings[at].span.to_mm);
        bl_span span = {fmax(fmin(a, b), least_mm), fmin(fmax(a, b), 0.0)};
        if (span.to_mm > span.from_mm) {
            to[(*count)++].span = span;
        }
    }
}

static double area_of(const page *on, size_t index) {
    return on->scene->assessment->profile[index].area_mm2;
}

static double healthy_of(const page *on, size_t index) {
    return on->scene->assessment->profile[index].reference_area_mm2;
}

static void shade_narrowings(page *on, const page_panel *in) {
    const bl_assessment *of = on->scene->assessment;
    bl_span span;
    for (size_t i = 0;
         page_next_run(on, page_narrowing, of->narrowing_count, &i, &span);) {
        canvas_box box = {page_x(on, span.from_mm), in->box.y0,
                          page_x(on, span.to_mm), in->box.y1};
        canvas_rectangle(on->canvas, box, NARROW_TINT,
                         (canvas_pen){.colour = CANVAS_NONE});
        canvas_hatch(on->canvas, box, 0.9 * on->em, false,
                     page_pen(on, VERMILLION, 0.03, CANVAS_SOLID));
    }
}

/* The frame of least area: a ring, and its area where there is room. */
static void draw_least(page *on, const page_panel *in,
                       const bl_inflow_candidate *of) {
    const bl_place *least = &of->input.assessment->inflow.minimum;
    double x = page_x(on, aside_mm(of, least->position_mm));
    double y = page_y(in, least->area_mm2);
    canvas_begin(on->canvas, CANVAS_DOTS, CANVAS_NONE,
                 page_pen(on, INK, 0.75, CANVAS_SOLID));
    canvas_to(on->canvas, x, y);
    canvas_begin(on->canvas, CANVAS_DOTS, CANVAS_NONE,
                 page_pen(on, WHITE, 0.4, CANVAS_SOLID));
    canvas_to(on->canvas, x, y);
}

/* "1. B  deep-femoral.csv": a path gives way to its last part. */
static void draw_heading(inflow_page *in, size_t candidate, double y) {
    page *on = &in->page;
    const bl_inflow_candidate *of = &in->of->candidates[candidate];
    text words = {0};
    text_format(&words, "%zu. %c", candidate + 1, of->letter);
    canvas_style bold = page_style(on, INK, CANVAS_START);
    bold.bold = true;
    canvas_text(on->canvas, on->x0, y, bold, page_keep(on, &words));
    double used = NUMBER_EM * on->em;
    const char *file = page_file_name(of->input.source->file);
    canvas_text(on->canvas, on->x0 + used, y, page_style(on, INK, CANVAS_START),
                page_fit(on, file, on->x1 - on->x0 - used, false));
}

static void draw_curves(page *on, const page_panel *panel,
                        const bl_inflow_candidate *of) {
    const bl_assessment *from = of->input.assessment;
    bl_profile_point *points =
        page_alloc(on, from->inflow.frames, sizeof *points);
    bl_narrowing *narrowings =
        page_alloc(on, from->narrowing_count, sizeof *narrowings);
    if (points == NULL || narrowings == NULL) {
        return;
    }
    bl_assessment stretch = {.profile = points, .narrowings = narrowings};
    scene alone = {.assessment = &stretch};
    fill_points(of, points, &stretch.profile_count);
    fill_narrowings(of, on->from_mm, narrowings, &stretch.narrowing_count);
    on->scene = &alone;
    shade_narrowings(on, panel);
    axes_ticks(on, panel);
    axes_frame(on, panel);
    curves_line(on, panel, healthy_of,
                page_pen(on, GREEN, 0.12, CANVAS_LONG_DASHED));
    curves_line(on, panel, area_of, page_pen(on, INK, 0.16, CANVAS_SOLID));
    on->scene = NULL;
    draw_least(on, panel, of);
}

void inflow_strip_draw(inflow_page *in, size_t candidate) {
    page_panel panel = in->area;
    double down = inflow_row_y(in, candidate) - in->rows_y;
    panel.box.y0 += down;
    panel.box.y1 += down;
    if (in->has_curves) {
        draw_curves(&in->page, &panel, &in->of->candidates[candidate]);
    }
    draw_heading(in, candidate, panel.box.y0 - 0.45 * in->page.em);
}

void inflow_axis_draw(inflow_page *in) {
    page *on = &in->page;
    canvas_pen frame = page_pen(on, INK, 0.07, CANVAS_SOLID);
    double width = on->x1 - on->x0;
    double range = on->to_mm - on->from_mm;
    double step =
        page_nice_step(range, fmax(1.0, floor(width / (4.0 * on->em))));
    for (int i = 0; i * step <= range * (1.0 + 1e-9); i++) {
        double x = page_x(on, -i * step);
        canvas_line(on->canvas, x, in->axis_y, x, in->axis_y + 0.35 * on->em,
                    frame);
        canvas_text(on->canvas, x, in->axis_y + 1.45 * on->em,
                    page_style(on, INK, CANVAS_MIDDLE),
                    axes_number(on, i * step, step));
    }
    canvas_text(on->canvas, on->x0, in->rows_y - 1.85 * on->em,
                page_style(on, INK, CANVAS_START), "area");
    canvas_text(on->canvas, on->x0, in->rows_y - 0.6 * on->em,
                page_style(on, GREY, CANVAS_START), "mm\xC2\xB2");
    const char *title = "mm from the caudal end";
    const char *end = "caudal \xE2\x86\x92";
    double room = width - page_advance(on, end) - 2.0 * on->em;
    double y = in->axis_y + 2.85 * on->em;
    canvas_style bold = page_style(on, INK, CANVAS_END);
    bold.bold = true;
    canvas_text(on->canvas, on->x1, y, bold, end);
    canvas_text(on->canvas, on->x0, y, page_style(on, INK, CANVAS_START),
                page_fit(on, title, room, false));
}
