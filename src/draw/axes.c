/*
 * axes.c - the axes of panels, and the names of their curves.
 *
 * Curves are named where they end, each name beside a sample of its line, so
 * that nothing depends on colour.
 */
#include "draw/axes.h"

#include "draw/spread.h"

#include <math.h>

/* Long enough for the longest dash, its space and the start of the next. */
#define SAMPLE_EM 1.8

/* -------------------------------------------------------------------- axes */

const char *axes_number(page *on, double value, double step) {
    text words = {0};
    unsigned decimals = 0;
    for (double unit = step; unit < 0.999 && decimals < 4; unit *= 10.0) {
        decimals++;
    }
    text_fixed(&words, value, decimals);
    return page_keep(on, &words);
}

void axes_ticks(page *on, const page_panel *in) {
    canvas_pen frame = page_pen(on, INK, 0.07, CANVAS_SOLID);
    canvas_pen faint = page_pen(on, GRID, 0.05, CANVAS_SOLID);
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
                        axes_number(on, value, in->step));
            free_above = y - 1.1 * on->em;
        }
    }
}

void axes_value(page *on, const page_panel *in, const char *title,
                const char *unit) {
    axes_ticks(on, in);
    canvas_style turned = page_style(on, INK, CANVAS_MIDDLE);
    turned.upwards = true;
    double height = in->box.y1 - in->box.y0;
    canvas_text(on->canvas, on->margin + 0.85 * on->em,
                0.5 * (in->box.y0 + in->box.y1), turned,
                page_advance(on, title) <= height ? title : unit);
}

void axes_frame(page *on, const page_panel *in) {
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
            fmax(page_advance(on, axes_number(on, on->from_mm, step)),
                 page_advance(on, axes_number(on, on->to_mm, step)));
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
        const char *words = axes_number(on, position, step);
        canvas_line(on->canvas, x, on->axis_y, x, on->axis_y + 0.35 * on->em,
                    frame);
        canvas_text(on->canvas, x, on->axis_y + 1.45 * on->em,
                    page_style(on, INK, CANVAS_MIDDLE), words);
    }
}

void axes_position(page *on) {
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

static void sort_names(axes_name *names, size_t count) {
    for (size_t i = 1; i < count; i++) {
        axes_name moved = names[i];
        size_t at = i;
        for (; at > 0 && names[at - 1].y > moved.y; at--) {
            names[at] = names[at - 1];
        }
        names[at] = moved;
    }
}

double axes_name_room(const page *on) {
    return on->names_x1 - on->names_x - (SAMPLE_EM + 0.4) * on->em;
}

static void draw_name(page *on, const axes_name *of, double y) {
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
    canvas_text(on->canvas, x1 + 0.4 * on->em, y + 0.36 * on->em,
                page_style(on, INK, CANVAS_START),
                page_fit(on, of->name, axes_name_room(on), false));
}

void axes_names(page *on, const page_panel *in, double top, axes_name *names,
                size_t count) {
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
