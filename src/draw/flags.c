/*
 * flags.c - marks: a dashed line through the panels, and its name above.
 *
 * A name stands like a flag on its line, the line along the name's edge. From
 * right to left each takes the lowest row where its text meets no other text,
 * no other line, and its line no other text. Where the rows do not suffice the
 * names are cut short; where that does not suffice, marks carry numbers that
 * the caption explains, moved apart along one row, neighbours sharing a place
 * ("3-5") when even the numbers have no room.
 */
#include "draw/page.h"

#include "draw/spread.h"

#include <math.h>

#define GAP_EM 0.7
#define POLE_EM 0.3 /* from line to text */
#define SHORT_EM 9.0

static bool overlap(double a0, double a1, double b0, double b1) {
    return a0 < b1 && b0 < a1;
}

/* Whether flag a, in its row, and the placed flag b keep clear. */
static bool keeps_clear(const page *on, const page_flag *a,
                        const page_flag *b) {
    double gap = GAP_EM * on->em;
    double half = POLE_EM * on->em * 0.6;
    if (a->row == b->row && overlap(a->text_x - gap, a->text_x + a->width,
                                    b->text_x, b->text_x + b->width + gap)) {
        return false;
    }
    if (a->row <= b->row && overlap(a->text_x - half, a->text_x + a->width,
                                    b->x - half, b->x + half)) {
        return false;
    }
    return b->row > a->row || !overlap(b->text_x - half, b->text_x + b->width,
                                       a->x - half, a->x + half);
}

static bool place_in_rows(page *on, page_flag *flag, unsigned rows) {
    const page_flag *end = on->flags + on->flag_count;
    for (flag->row = 0; flag->row < rows; flag->row++) {
        bool clear = true;
        for (const page_flag *other = flag + 1; other < end && clear; other++) {
            clear = keeps_clear(on, flag, other);
        }
        if (clear) {
            return true;
        }
    }
    return false;
}

static bool place_named(page *on, unsigned rows, double longest) {
    double pole = POLE_EM * on->em;
    on->flag_rows = 0;
    for (size_t i = on->flag_count; i-- > 0;) {
        page_flag *flag = &on->flags[i];
        const char *name = page_fit(on, flag->name, longest, false);
        flag->width = page_advance(on, name);
        flag->text_x = flag->x + pole;
        bool fits = flag->text_x + flag->width <= on->names_x1 &&
                    place_in_rows(on, flag, rows);
        if (!fits) {
            flag->text_x = flag->x - pole - flag->width;
            if (flag->text_x < on->margin || !place_in_rows(on, flag, rows)) {
                return false;
            }
        }
        if (flag->row + 1 > on->flag_rows) {
            on->flag_rows = flag->row + 1;
        }
    }
    for (size_t i = 0; i < on->flag_count; i++) {
        on->flags[i].name = page_fit(on, on->flags[i].name, longest, false);
    }
    return true;
}

static const char *number_text(page *on, const page_flag *flag) {
    text words = {0};
    text_format(&words, "%zu", flag->first_number);
    if (flag->last_number != flag->first_number) {
        text_format(&words, "\xE2\x80\x93%zu", flag->last_number);
    }
    return page_keep(on, &words);
}

/* Joins the two neighbouring flags that are nearest to each other. */
static void join_nearest(page *on) {
    size_t nearest = 0;
    for (size_t i = 1; i + 1 < on->flag_count; i++) {
        double here = on->flags[i + 1].x - on->flags[i].x;
        if (here < on->flags[nearest + 1].x - on->flags[nearest].x) {
            nearest = i;
        }
    }
    page_flag *into = &on->flags[nearest];
    into->last_number = into[1].last_number;
    into->x = (into->x + into[1].x) / 2;
    for (size_t i = nearest + 1; i + 1 < on->flag_count; i++) {
        on->flags[i] = on->flags[i + 1];
    }
    on->flag_count--;
}

static void place_numbered(page *on) {
    on->flags_numbered = true;
    on->flag_rows = 1;
    spread_slot *slots = page_alloc(on, on->flag_count, sizeof *slots);
    while (slots != NULL) {
        for (size_t i = 0; i < on->flag_count; i++) {
            page_flag *flag = &on->flags[i];
            flag->row = 0; /* what the names left behind */
            flag->name = number_text(on, flag);
            flag->width = page_advance(on, flag->name);
            slots[i] = (spread_slot){.wanted = flag->x,
                                     .size = flag->width + GAP_EM * on->em};
        }
        if (spread_slots(slots, on->flag_count, on->x0, on->names_x1)) {
            for (size_t i = 0; i < on->flag_count; i++) {
                on->flags[i].text_x = slots[i].centre;
            }
            return;
        }
        if (on->flag_count == 1 || on->failed) {
            on->flag_count = 0;
            return;
        }
        join_nearest(on);
    }
}

void flags_plan(page *on) {
    const bl_pullback *pullback = on->scene->pullback;
    on->flags = page_alloc(on, pullback->mark_count, sizeof *on->flags);
    if (on->flags == NULL) {
        return;
    }
    for (size_t i = 0; i < pullback->mark_count; i++) {
        const bl_mark *mark = &pullback->marks[i];
        if (!(mark->position_mm >= on->from_mm &&
              mark->position_mm <= on->to_mm)) {
            on->marks_outside++;
            continue;
        }
        page_flag *flag = &on->flags[on->flag_count++];
        flag->name = page_readable(on, mark->name);
        flag->position_mm = mark->position_mm;
        flag->x = page_x(on, mark->position_mm);
        flag->first_number = on->flag_count;
        flag->last_number = on->flag_count;
    }
    double lines = on->height / (LINE_EM * on->em);
    unsigned rows = (unsigned)fmin(6.0, fmax(2.0, floor(0.11 * lines)));
    double room = 0.5 * (on->names_x1 - on->x0);
    if (on->flag_count != 0 && !place_named(on, rows, room) &&
        !place_named(on, rows, SHORT_EM * on->em)) {
        place_numbered(on);
    }
}

static void draw_line(page *on, double x) {
    canvas_pen pen = page_pen(on, GREY, 0.06, CANVAS_DASHED);
    canvas_line(on->canvas, x, on->flags_foot, x, on->diameter.box.y1, pen);
    /* A figure may have one panel only. */
    if (on->area.box.y1 > on->area.box.y0) {
        canvas_line(on->canvas, x, on->area.box.y0, x, on->area.box.y1, pen);
    }
}

void flags_draw(page *on) {
    const bl_pullback *pullback = on->scene->pullback;
    for (size_t i = 0; i < pullback->mark_count; i++) {
        double at = pullback->marks[i].position_mm;
        if (at >= on->from_mm && at <= on->to_mm) {
            draw_line(on, page_x(on, at));
        }
    }
    canvas_pen pen = page_pen(on, GREY, 0.06, CANVAS_SOLID);
    double lift = on->flags_numbered ? on->em : 0.0;
    for (size_t i = 0; i < on->flag_count; i++) {
        const page_flag *flag = &on->flags[i];
        double foot = on->flags_foot - lift - LINE_EM * on->em * flag->row;
        canvas_style style = page_style(
            on, INK, on->flags_numbered ? CANVAS_MIDDLE : CANVAS_START);
        if (on->flags_numbered) {
            canvas_line(on->canvas, flag->x, on->flags_foot, flag->text_x,
                        foot - 0.05 * on->em, pen);
        } else {
            canvas_line(on->canvas, flag->x, on->flags_foot, flag->x,
                        foot - 1.0 * on->em, pen);
        }
        canvas_text(on->canvas, flag->text_x, foot - 0.3 * on->em, style,
                    flag->name);
    }
}
