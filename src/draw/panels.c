/*
 * panels.c - the two panels: diameters above, areas below.
 */
#include "draw/axes.h"
#include "draw/curves.h"
#include "draw/page.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

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
void panels_shade_gap(page *on, canvas_box box) {
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
    canvas_pen hatch = page_pen(on, NARROW_HATCH, 0.05, CANVAS_SOLID);
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
        panels_shade_gap(on, columns_of(on, in, run));
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

/* ------------------------------------------------------------------- names */

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

static const char *threshold_name(page *on) {
    text words = {0};
    text_add(&words, "area \xE2\x88\x92");
    text_short(&words, on->scene->assessment->options.threshold_pct, 2);
    text_add(&words, " %");
    return page_keep(on, &words);
}

static void draw_diameters(page *on) {
    const page_panel *in = &on->diameter;
    canvas_pen edge = page_pen(on, BAND_EDGE, 0.05, CANVAS_SOLID);
    canvas_pen line = page_pen(on, BLUE, 0.20, CANVAS_SOLID);
    canvas_pen healthy = page_pen(on, GREEN, 0.15, CANVAS_LONG_DASHED);
    canvas_pen limit = page_pen(on, VERMILLION, 0.13, CANVAS_DOTTED);
    canvas_pen plain = page_pen(on, GREY, 0.05, CANVAS_SOLID);
    curves_band(on, in, unjudged_least, greatest_diameter, WHITE, plain);
    curves_band(on, in, judged_least, greatest_diameter, BAND_TINT, edge);
    curves_reference(on, in, diameter_of, healthy);
    curves_reference(on, in, threshold_of, limit);
    canvas_pen raw = page_pen(on, TRACED_RIPPLE, 0.07, CANVAS_SOLID);
    curves_line(on, in, rippling, raw);
    curves_line(on, in, equivalent, line);
    double last = last_value(on, reference_area);
    double band = 0.5 * (last_value(on, least_diameter) +
                         last_value(on, greatest_diameter));
    bool all = last_value(on, judged_least) > 0.0;
    double unjudged = on->unjudged_count > 0 ? 0.0 : UNKNOWN;
    double devices = devices_count(on) > 0 ? devices_diameter_mm(on) : UNKNOWN;
    /* Where it has no lane of its own. */
    double wish = on->is_low ? devices_wish_mm(on) : UNKNOWN;
    const char *wish_name =
        isnan(wish) ? "" : devices_wish_name(on, axes_name_room(on));
    axes_name names[] = {
        {wish_name, wish, devices_wish_pen(on), CANVAS_NONE, NULL},
        {"equivalent", last_value(on, equivalent), line, CANVAS_NONE, NULL},
        {"reference", diameter_of(on, last), healthy, CANVAS_NONE, NULL},
        {"device", devices, devices_pen(on), CANVAS_NONE, NULL},
        {"not judged", unjudged, plain, CANVAS_NONE, shade_unjudged},
        {"with ripple", last_value(on, rippling), raw, CANVAS_NONE, NULL},
        {threshold_name(on), threshold_of(on, last), limit, CANVAS_NONE, NULL},
        {"min to max", band, all ? edge : plain, all ? BAND_TINT : WHITE, NULL},
    };
    axes_names(on, in, in->box.y0, names, sizeof names / sizeof names[0]);
}

static void draw_areas(page *on) {
    const page_panel *in = &on->area;
    canvas_pen traced = page_pen(on, TRACED_AREA, 0.07, CANVAS_SOLID);
    canvas_pen line = page_pen(on, BLUE, 0.17, CANVAS_SOLID);
    canvas_pen healthy = page_pen(on, GREEN, 0.15, CANVAS_LONG_DASHED);
    canvas_pen normal = page_pen(on, INK, 0.10, CANVAS_DASHED);
    curves_line(on, in, traced_area, traced);
    curves_steps(on, in, normal_area, normal);
    curves_reference(on, in, area_of, healthy);
    curves_line(on, in, smooth_area, line);
    canvas_pen plain = page_pen(on, GREY, 0.05, CANVAS_SOLID);
    double gap = on->scene->assessment->gap_count > 0 ? 0.0 : UNKNOWN;
    /* The reference is named above already, and gives way. */
    axes_name names[] = {
        {"area", last_value(on, smooth_area), line, CANVAS_NONE, NULL},
        {"normal", last_value(on, normal_area), normal, CANVAS_NONE, NULL},
        {"gap", gap, plain, CANVAS_NONE, panels_shade_gap},
        {"reference", last_value(on, reference_area), healthy, CANVAS_NONE,
         NULL},
        {"each frame", last_value(on, traced_area), traced, CANVAS_NONE, NULL},
    };
    /* Up to the lanes. */
    double top = in->box.y0 - 0.8 * on->em;
    if (on->scene->assessment->ripple.found) {
        top = fmax(top, on->ripple_y + on->em);
    }
    axes_names(on, in, top, names, sizeof names / sizeof names[0]);
}

void panels_draw(page *on) {
    axes_value(on, &on->diameter, "diameter, mm", "mm");
    axes_value(on, &on->area, "area, mm\xC2\xB2", "mm\xC2\xB2");
    draw_diameters(on);
    draw_areas(on);
    axes_frame(on, &on->diameter);
    axes_frame(on, &on->area);
    axes_position(on);
}
