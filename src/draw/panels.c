/*
 * panels.c - the two panels: diameters above, areas below.
 *
 * Curves are named where they end, each name beside a sample of its line, so
 * that nothing depends on colour.
 */
#include "draw/curves.h"
#include "draw/page.h"
#include "draw/spread.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

/* Long enough for the longest dash, its space and the start of the next. */
#define SAMPLE_EM 1.8
#define NAMES_MAX 7

static const bl_profile_point *point_at(const page *on, size_t index) {
    return &on->scene->assessment->profile[index];
}

static double equivalent(const page *on, size_t index) {
    return point_at(on, index)->equivalent_diameter_mm;
}

static double least_diameter(const page *on, size_t index) {
    return point_at(on, index)->min_diameter_mm;
}

static double greatest_diameter(const page *on, size_t index) {
    return point_at(on, index)->max_diameter_mm;
}

static double diameter_of(const page *on, double reference_area_mm2) {
    (void)on;
    return circle_diameter_mm(reference_area_mm2);
}

static double threshold_of(const page *on, double reference_area_mm2) {
    double kept = 1.0 - on->scene->assessment->options.threshold_pct / 100.0;
    return circle_diameter_mm(reference_area_mm2 * kept);
}

static double area_of(const page *on, double reference_area_mm2) {
    (void)on;
    return reference_area_mm2;
}

/* The band of what was judged, and that of the rest with the frames next to it,
 * so that the two meet. */
static double judged_least(const page *on, size_t index) {
    return page_is_unjudged(on, index) ? UNKNOWN : least_diameter(on, index);
}

static double unjudged_least(const page *on, size_t index) {
    size_t end = on->scene->assessment->profile_count;
    bool beside = (index > 0 && page_is_unjudged(on, index - 1)) ||
                  (index + 1 < end && page_is_unjudged(on, index + 1));
    return beside || page_is_unjudged(on, index) ? least_diameter(on, index)
                                                 : UNKNOWN;
}

static double smooth_area(const page *on, size_t index) {
    return point_at(on, index)->area_mm2;
}

static double traced_area(const page *on, size_t index) {
    const bl_profile_point *at = point_at(on, index);
    double widened = page_widened(on, at);
    return at->raw_area_mm2 * widened * widened;
}

/* Where nothing was taken off, one line says both. */
static double rippling(const page *on, size_t index) {
    return on->scene->assessment->ripple.removed
               ? equivalent(on, index) * page_widened(on, point_at(on, index))
               : UNKNOWN;
}

static double reference_area(const page *on, size_t index) {
    return point_at(on, index)->reference_area_mm2;
}

/* Where it is the reference itself, one line says both. */
static double normal_area(const page *on, size_t index) {
    if (on->scene->assessment->reference_from == BL_FROM_EXPECTED) {
        return UNKNOWN;
    }
    return point_at(on, index)->normal_area_mm2;
}

/* ----------------------------------------------------------------- shading */

static canvas_box columns_of(const page *on, const page_panel *in,
                             bl_span span) {
    double from = fmax(span.from_mm, on->from_mm);
    double to = fmin(span.to_mm, on->to_mm);
    return (canvas_box){page_x(on, from), in->box.y0, page_x(on, to),
                        in->box.y1};
}

static bl_span shoulders_at(const page *on, size_t index) {
    return on->scene->assessment->narrowings[index].shoulders;
}

static bl_span gap_at(const page *on, size_t index) {
    return on->scene->assessment->gaps[index];
}

static bl_span unjudged_at(const page *on, size_t index) {
    return on->unjudged[index];
}

/* A gap, where nothing was seen, and vein that was seen and not judged look
 * unlike each other and unlike judged vein, in grey as in colour. */
static void shade_gap(page *on, canvas_box box) {
    canvas_hatch(on->canvas, box, 0.7 * on->em, true,
                 page_pen(on, PALE, 0.05, CANVAS_SOLID));
}

static void shade_unjudged(page *on, canvas_box box) {
    canvas_rectangle(on->canvas, box, UNJUDGED_TINT,
                     (canvas_pen){.colour = CANVAS_NONE});
    canvas_upright(on->canvas, box, 0.7 * on->em,
                   page_pen(on, PALE, 0.07, CANVAS_DASHED));
}

static void shade_panel(page *on, const page_panel *in) {
    const bl_assessment *of = on->scene->assessment;
    canvas_pen none = {.colour = CANVAS_NONE};
    canvas_pen hatch = page_pen(on, 0xE8A87C, 0.05, CANVAS_SOLID);
    bl_span run;
    for (size_t i = 0;
         page_next_run(on, shoulders_at, of->narrowing_count, &i, &run);) {
        canvas_rectangle(on->canvas, columns_of(on, in, run), SHOULDER_TINT,
                         none);
    }
    for (size_t i = 0;
         page_next_run(on, page_narrowing, of->narrowing_count, &i, &run);) {
        canvas_box box = columns_of(on, in, run);
        canvas_rectangle(on->canvas, box, NARROW_TINT, none);
        canvas_hatch(on->canvas, box, 1.1 * on->em, false, hatch);
    }
    for (size_t i = 0; page_next_run(on, gap_at, of->gap_count, &i, &run);) {
        shade_gap(on, columns_of(on, in, run));
    }
    for (size_t i = 0;
         page_next_run(on, unjudged_at, on->unjudged_count, &i, &run);) {
        shade_unjudged(on, columns_of(on, in, run));
    }
}

void panels_shade(page *on) {
    shade_panel(on, &on->diameter);
    shade_panel(on, &on->area);
}

/* -------------------------------------------------------------------- axes */

static const char *number_text(page *on, double value, double step) {
    text words = {0};
    unsigned decimals = 0;
    for (double unit = step; unit < 0.999 && decimals < 4; unit *= 10.0) {
        decimals++;
    }
    text_fixed(&words, value, decimals);
    return page_keep(on, &words);
}

static void draw_value_axis(page *on, const page_panel *in, const char *title,
                            const char *unit) {
    canvas_pen frame = page_pen(on, INK, 0.07, CANVAS_SOLID);
    canvas_pen faint = page_pen(on, 0xE6E6E6, 0.05, CANVAS_SOLID);
    double x = in->box.x0;
    double free_above = HUGE_VAL; /* the next number must end above this */
    for (int i = 0; i * in->step <= in->top * 1.0001; i++) {
        double value = i * in->step;
        double y = page_y(in, value);
        if (i > 0) {
            canvas_line(on->canvas, x, y, in->box.x1, y, faint);
        }
        canvas_line(on->canvas, x - 0.35 * on->em, y, x, y, frame);
        if (y < free_above) {
            canvas_text(on->canvas, x - 0.55 * on->em, y + 0.36 * on->em,
                        page_style(on, INK, CANVAS_END),
                        number_text(on, value, in->step));
            free_above = y - 1.1 * on->em;
        }
    }
    canvas_style turned = page_style(on, INK, CANVAS_MIDDLE);
    turned.upwards = true;
    double height = in->box.y1 - in->box.y0;
    canvas_text(on->canvas, on->margin + 0.85 * on->em,
                0.5 * (in->box.y0 + in->box.y1), turned,
                page_advance(on, title) <= height ? title : unit);
}

static void draw_frame(page *on, const page_panel *in) {
    canvas_pen frame = page_pen(on, INK, 0.07, CANVAS_SOLID);
    canvas_line(on->canvas, in->box.x0, in->box.y0, in->box.x0, in->box.y1,
                frame);
    canvas_line(on->canvas, in->box.x0, in->box.y1, in->box.x1, in->box.y1,
                frame);
}

/* Between ticks whose numbers keep clear of each other, however long they are
 * where positions do not start near 0. */
static double position_step(page *on) {
    double width = on->x1 - on->x0;
    double range = on->to_mm - on->from_mm;
    for (unsigned most = (unsigned)(width / (4.0 * on->em)); most > 1; most--) {
        double step = page_nice_step(range, most);
        double widest =
            fmax(page_advance(on, number_text(on, on->from_mm, step)),
                 page_advance(on, number_text(on, on->to_mm, step)));
        if (widest + 0.6 * on->em <= step / range * width) {
            return step;
        }
    }
    return page_nice_step(range, 1.0);
}

static void draw_position_ticks(page *on) {
    canvas_pen frame = page_pen(on, INK, 0.07, CANVAS_SOLID);
    double step = position_step(on);
    double first = ceil(on->from_mm / step - 1e-9);
    for (int i = 0; (first + i) * step <= on->to_mm + 1e-9 * step; i++) {
        double position = (first + i) * step;
        double x = page_x(on, position);
        const char *words = number_text(on, position, step);
        canvas_line(on->canvas, x, on->axis_y, x, on->axis_y + 0.35 * on->em,
                    frame);
        canvas_text(on->canvas, x, on->axis_y + 1.45 * on->em,
                    page_style(on, INK, CANVAS_MIDDLE), words);
    }
}

static void draw_position_axis(page *on) {
    draw_position_ticks(on);
    bool caudally = on->scene->pullback->travel == BL_END_CAUDAL;
    const char *start =
        caudally ? "\xE2\x86\x90 cranial" : "\xE2\x86\x90 caudal";
    const char *end = caudally ? "caudal \xE2\x86\x92" : "cranial \xE2\x86\x92";
    double y = on->axis_y + 2.85 * on->em;
    canvas_style bold = page_style(on, INK, CANVAS_START);
    bold.bold = true;
    canvas_text(on->canvas, on->x0, y, bold, start);
    bold.anchor = CANVAS_END;
    canvas_text(on->canvas, on->x1, y, bold, end);
    double ends = page_advance(on, start) + page_advance(on, end);
    double room = on->x1 - on->x0 - 1.25 * ends - 2.0 * on->em;
    const char *title = "position along the pullback, mm";
    if (page_advance(on, title) > room) {
        title = page_advance(on, "mm") <= room ? "mm" : "";
    }
    canvas_text(on->canvas, 0.5 * (on->x0 + on->x1), y,
                page_style(on, INK, CANVAS_MIDDLE), title);
}

/* ------------------------------------------------------------------- names */

typedef struct curve_name {
    const char *name;
    double y; /* where its curve ends */
    canvas_pen pen;
    uint32_t fill; /* of a band; CANVAS_NONE for a line */
    void (*shade)(page *on, canvas_box box); /* instead of a line, or NULL */
} curve_name;

/* The last known value of a curve. */
static double last_value(const page *on, curve_value of) {
    for (size_t i = on->scene->assessment->profile_count; i-- > 0;) {
        double value = of(on, i);
        if (!isnan(value)) {
            return value;
        }
    }
    return UNKNOWN;
}

static void sort_names(curve_name *names, size_t count) {
    for (size_t i = 1; i < count; i++) {
        curve_name moved = names[i];
        size_t at = i;
        for (; at > 0 && names[at - 1].y > moved.y; at--) {
            names[at] = names[at - 1];
        }
        names[at] = moved;
    }
}

static void draw_name(page *on, const curve_name *of, double y) {
    double x = on->names_x;
    double x1 = x + SAMPLE_EM * on->em;
    canvas_box box = {x, y - 0.4 * on->em, x1, y + 0.4 * on->em};
    if (of->shade != NULL) {
        of->shade(on, box);
    }
    if (of->shade != NULL || of->fill != CANVAS_NONE) {
        canvas_rectangle(on->canvas, box, of->fill, of->pen);
    } else {
        canvas_line(on->canvas, x, y, x1, y, of->pen);
    }
    double room = on->names_x1 - x1 - 0.4 * on->em;
    canvas_text(on->canvas, x1 + 0.4 * on->em, y + 0.36 * on->em,
                page_style(on, INK, CANVAS_START),
                page_fit(on, of->name, room, false));
}

/* From the most needed name to the least, which is left out first where not
 * all have room. Names with an unknown place, those of curves that are not
 * there, are passed over. Names may stand as high as `top`. */
static void draw_names(page *on, const page_panel *in, double top,
                       curve_name *names, size_t count) {
    spread_slot slots[NAMES_MAX];
    double slot = 1.25 * on->em;
    double room = floor((in->box.y1 - top) / slot);
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        if (!isnan(names[i].y) && (double)held + 1.0 <= room) {
            names[held] = names[i];
            names[held].y = page_y(in, names[i].y);
            held++;
        }
    }
    sort_names(names, held);
    for (size_t i = 0; i < held; i++) {
        slots[i] = (spread_slot){.wanted = names[i].y, .size = slot};
    }
    bool fits = spread_slots(slots, held, top, in->box.y1);
    for (size_t i = 0; fits && i < held; i++) {
        draw_name(on, &names[i], slots[i].centre);
    }
}

static const char *threshold_name(page *on) {
    text words = {0};
    text_add(&words, "area \xE2\x88\x92");
    text_short(&words, on->scene->assessment->options.threshold_pct, 2);
    text_add(&words, " %");
    return page_keep(on, &words);
}

static void draw_diameters(page *on) {
    const page_panel *in = &on->diameter;
    canvas_pen edge = page_pen(on, 0x7FB2D6, 0.05, CANVAS_SOLID);
    canvas_pen line = page_pen(on, BLUE, 0.20, CANVAS_SOLID);
    canvas_pen healthy = page_pen(on, GREEN, 0.15, CANVAS_LONG_DASHED);
    canvas_pen limit = page_pen(on, VERMILLION, 0.13, CANVAS_DOTTED);
    canvas_pen plain = page_pen(on, GREY, 0.05, CANVAS_SOLID);
    curves_band(on, in, unjudged_least, greatest_diameter, WHITE, plain);
    curves_band(on, in, judged_least, greatest_diameter, BAND_TINT, edge);
    curves_reference(on, in, diameter_of, healthy);
    curves_reference(on, in, threshold_of, limit);
    canvas_pen raw = page_pen(on, 0x8C8C8C, 0.07, CANVAS_SOLID);
    curves_line(on, in, rippling, raw);
    curves_line(on, in, equivalent, line);
    double last = last_value(on, reference_area);
    double band = 0.5 * (last_value(on, least_diameter) +
                         last_value(on, greatest_diameter));
    bool all = last_value(on, judged_least) > 0.0;
    double unjudged = on->unjudged_count > 0 ? 0.0 : UNKNOWN;
    double devices = devices_count(on) > 0 ? devices_diameter_mm(on) : UNKNOWN;
    curve_name names[] = {
        {"equivalent", last_value(on, equivalent), line, CANVAS_NONE, NULL},
        {"reference", diameter_of(on, last), healthy, CANVAS_NONE, NULL},
        {"device", devices, devices_pen(on), CANVAS_NONE, NULL},
        {"not judged", unjudged, plain, CANVAS_NONE, shade_unjudged},
        {"with ripple", last_value(on, rippling), raw, CANVAS_NONE, NULL},
        {threshold_name(on), threshold_of(on, last), limit, CANVAS_NONE, NULL},
        {"min to max", band, all ? edge : plain, all ? BAND_TINT : WHITE, NULL},
    };
    draw_names(on, in, in->box.y0, names, sizeof names / sizeof names[0]);
}

static void draw_areas(page *on) {
    const page_panel *in = &on->area;
    canvas_pen traced = page_pen(on, 0x9DB8CB, 0.07, CANVAS_SOLID);
    canvas_pen line = page_pen(on, BLUE, 0.17, CANVAS_SOLID);
    canvas_pen healthy = page_pen(on, GREEN, 0.15, CANVAS_LONG_DASHED);
    canvas_pen normal = page_pen(on, INK, 0.10, CANVAS_DASHED);
    curves_line(on, in, traced_area, traced);
    curves_steps(on, in, normal_area, normal);
    curves_reference(on, in, area_of, healthy);
    curves_line(on, in, smooth_area, line);
    canvas_pen plain = page_pen(on, GREY, 0.05, CANVAS_SOLID);
    double gap = on->scene->assessment->gap_count > 0 ? 0.0 : UNKNOWN;
    /* The reference is named above already. */
    curve_name names[] = {
        {"area", last_value(on, smooth_area), line, CANVAS_NONE, NULL},
        {"gap", gap, plain, CANVAS_NONE, shade_gap},
        {"reference", last_value(on, reference_area), healthy, CANVAS_NONE,
         NULL},
        {"normal", last_value(on, normal_area), normal, CANVAS_NONE, NULL},
        {"each frame", last_value(on, traced_area), traced, CANVAS_NONE, NULL},
    };
    /* Up to the lanes. */
    double top = in->box.y0 - 0.8 * on->em;
    if (on->scene->assessment->ripple.found) {
        top = fmax(top, on->ripple_y + on->em);
    }
    draw_names(on, in, top, names, sizeof names / sizeof names[0]);
}

void panels_draw(page *on) {
    draw_value_axis(on, &on->diameter, "diameter, mm", "mm");
    draw_value_axis(on, &on->area, "area, mm\xC2\xB2", "mm\xC2\xB2");
    draw_diameters(on);
    draw_areas(on);
    draw_frame(on, &on->diameter);
    draw_frame(on, &on->area);
    draw_position_axis(on);
}
