/*
 * plan.c - gives every part of the page its place.
 *
 * Columns first (value axis, panels, names, cross-sections), then what needs
 * to know the columns (marks, lanes, caption), then rows from the top (title,
 * marks) and from the bottom (caption, axis); the two panels share what is
 * left.
 */
#include "draw/page.h"

#include "base/circle.h"

#include <math.h>

/* The default page is 180 x 135 mm with 7 point text; text grows and shrinks
 * more slowly than the page and never below 5 points. */
#define DEFAULT_WIDTH_MM 180.0
#define DEFAULT_HEIGHT_MM 135.0
#define DEFAULT_POINTS 7.2
#define LEAST_POINTS 5.0
#define MM_PER_POINT (25.4 / 72.0)

#define MARGIN_EM 1.0
#define TICK_NUMBERS_EM 4.3
#define DIAMETER_SHARE 0.62
/* A page of fewer lines than this is low; a plan takes some more. */
#define LOW_LINES 32.0
#define PLAN_LINES 7.0

static double font_size_mm(const page *on) {
    double scale =
        fmin(on->width / DEFAULT_WIDTH_MM, on->height / DEFAULT_HEIGHT_MM);
    double points = DEFAULT_POINTS * pow(scale, 0.75);
    return fmax(points, LEAST_POINTS) * MM_PER_POINT;
}

void plan_paper(page *on) {
    on->em = font_size_mm(on);
    on->margin = MARGIN_EM * on->em;
}

void plan_columns(page *on) {
    double right = on->width - on->margin;
    if (on->has_contours) {
        double width = fmax(9.5 * on->em, 0.19 * on->width);
        width = fmin(width, 20.0 * on->em);
        on->sections_box.x1 = right;
        on->sections_box.x0 = right - width;
        right -= width + on->em;
    }
    double names = on->width >= 60.0 * on->em ? 10.4 : 8.8;
    on->names_x1 = right;
    on->names_x = right - names * on->em;
    on->x0 = on->margin + TICK_NUMBERS_EM * on->em;
    on->x1 = on->names_x - 0.8 * on->em;
}

static void widen(page *on, double position_mm) {
    on->from_mm = fmin(on->from_mm, position_mm);
    on->to_mm = fmax(on->to_mm, position_mm);
}

/* From the first to the last lumen frame, left out or not. */
static void plan_stretch(page *on) {
    const bl_assessment *assessment = on->scene->assessment;
    on->from_mm = (double)INFINITY;
    on->to_mm = -(double)INFINITY;
    for (size_t i = 0; i < assessment->profile_count; i++) {
        widen(on, assessment->profile[i].position_mm);
    }
    for (size_t i = 0; i < assessment->left_out_count; i++) {
        size_t row = assessment->left_out[i];
        widen(on, on->scene->rows[row].position_mm);
    }
    bl_span with_devices = devices_span(on);
    on->from_mm = with_devices.from_mm;
    on->to_mm = with_devices.to_mm;
    if (!(on->to_mm > on->from_mm)) {
        double only = isfinite(on->from_mm) ? on->from_mm : 0.0;
        on->from_mm = only - 1.0;
        on->to_mm = only + 1.0;
    }
}

void plan_scale(page_panel *panel, double greatest, double em) {
    double height = panel->box.y1 - panel->box.y0;
    /* Whole steps, so many of them at most. */
    double most = fmax(2.0, floor(height / (1.9 * em)));
    double range = greatest > 0.0 ? greatest * 1.02 : 1.0;
    panel->step = page_nice_step(range, most);
    panel->top = panel->step * ceil(range / panel->step);
    if (panel->top - range > 0.5 * panel->step) {
        panel->top -= 0.4 * panel->step;
    }
}

static void plan_scales(page *on) {
    const bl_assessment *assessment = on->scene->assessment;
    double diameter = devices_diameter_mm(on);
    double area = 0.0;
    for (size_t i = 0; i < assessment->profile_count; i++) {
        const bl_profile_point *at = &assessment->profile[i];
        /* fmax passes over what is unknown. */
        diameter = fmax(diameter, at->max_diameter_mm);
        double widened = page_widened(on, at);
        diameter = fmax(diameter, at->equivalent_diameter_mm * widened);
        diameter = fmax(diameter, circle_diameter_mm(at->reference_area_mm2));
        area = fmax(area, at->raw_area_mm2 * widened * widened);
        area = fmax(area, at->area_mm2);
        area = fmax(area, at->reference_area_mm2);
        area = fmax(area, at->normal_area_mm2);
    }
    plan_scale(&on->diameter, diameter, on->em);
    plan_scale(&on->area, area, on->em);
}

static void plan_rows(page *on) {
    double em = on->em;
    double top = on->margin + TITLE_EM * em;
    double foot = on->height - on->margin -
                  LINE_EM * em * (double)on->caption_count -
                  (on->is_low ? 0.3 : 0.6) * em;
    on->sections_box.y0 = top;
    on->sections_box.y1 = foot;
    double flags = LINE_EM * em * on->flag_rows;
    if (on->flags_numbered) {
        flags += em;
    }
    on->flags_foot = top + flags + 0.3 * em;
    on->axis_y = foot - AXIS_EM * em;
    double lanes = on->points_height + on->bars_height + on->devices_height +
                   on->wishes_height + on->veins_height + on->ripple_height +
                   on->left_out_height + 1.2 * em;
    double room = on->axis_y - on->flags_foot - 0.4 * em - lanes;
    on->diameter.box =
        (canvas_box){on->x0, on->flags_foot + 0.4 * em, on->x1,
                     on->flags_foot + 0.4 * em + DIAMETER_SHARE * room};
    on->points_y = on->diameter.box.y1 + 0.3 * em;
    on->bars_y = on->points_y + on->points_height;
    on->devices_y = on->bars_y + on->bars_height;
    on->wishes_y = on->devices_y + on->devices_height;
    on->veins_y = on->wishes_y + on->wishes_height;
    on->ripple_y = on->veins_y + on->veins_height;
    on->left_out_y = on->axis_y - on->left_out_height;
    on->area.box =
        (canvas_box){on->x0, on->ripple_y + on->ripple_height + 0.9 * em,
                     on->x1, on->left_out_y};
}

/* Where it changes between points i - 1 and i of one traced stretch whether
 * there is a reference: at a step. */
static double border_mm(const page *on, size_t i) {
    const bl_assessment *of = on->scene->assessment;
    double before = of->profile[i - 1].position_mm;
    double at = of->profile[i].position_mm;
    for (size_t k = 0; k < of->step_count; k++) {
        const bl_step *step = &of->steps[k];
        if (isnan(step->before_area_mm2) != isnan(step->after_area_mm2) &&
            step->position_mm >= before && step->position_mm <= at) {
            return step->position_mm;
        }
    }
    return 0.5 * (before + at);
}

/* Stretches begin and end at gaps and steps, so that no more can be. */
static void plan_unjudged(page *on) {
    const bl_assessment *of = on->scene->assessment;
    size_t most = of->gap_count + of->step_count + 1;
    on->unjudged = page_alloc(on, most, sizeof *on->unjudged);
    bool open = false;
    for (size_t i = 0; on->unjudged != NULL && i < of->profile_count; i++) {
        const bl_profile_point *at = &of->profile[i];
        bool joined = i > 0 && !at->after_gap;
        bool unjudged = page_is_unjudged(on, i);
        bl_span *last = &on->unjudged[on->unjudged_count - open];
        if (open && joined) {
            last->to_mm = unjudged ? at->position_mm : border_mm(on, i);
        }
        if (unjudged && !(open && joined) && on->unjudged_count < most) {
            double from = joined ? border_mm(on, i) : at->position_mm;
            on->unjudged[on->unjudged_count++] =
                (bl_span){from, at->position_mm};
        }
        open = unjudged;
    }
}

void plan_page(page *on) {
    plan_paper(on);
    double low = LOW_LINES + (on->scene->plan != NULL ? PLAN_LINES : 0.0);
    on->is_low = on->height < low * LINE_EM * on->em;
    plan_stretch(on);
    plan_unjudged(on);
    sections_plan(on);
    plan_columns(on);
    flags_plan(on);
    lanes_plan(on);
    devices_plan(on);
    caption_plan(on);
    plan_rows(on);
    plan_scales(on);
}
