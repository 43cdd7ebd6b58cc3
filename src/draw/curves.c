/*
 * curves.c - a quantity along the vessel as a line or a band in a panel.
 *
 * A pullback has more frames than paper has room: points are gathered in
 * columns narrower than a pen, and of each column the least and the greatest
 * value are drawn, in the order in which they come. No dip can be lost.
 */
#include "draw/curves.h"

#include <math.h>

#define COLUMN_MM 0.1

/* One column of paper: the extremes that fall in it. */
typedef struct column {
    double low;
    double high;
    double low_x;
    double high_x;
} column;

static bool starts_new(const page *on, size_t index) {
    return on->scene->assessment->profile[index].after_gap;
}

static double paper_x(const page *on, size_t index) {
    return page_x(on, on->scene->assessment->profile[index].position_mm);
}

/* Reads the next column of known values from *index on; false when the line
 * ends before one more. */
static bool next_column(const page *on, curve_value low, curve_value high,
                        bool first, size_t *index, column *out) {
    size_t count = on->scene->assessment->profile_count;
    bool any = false;
    double edge = 0.0;
    for (; *index < count; ++*index) {
        double a = low(on, *index);
        double b = high(on, *index);
        if (isnan(a) || isnan(b) ||
            (starts_new(on, *index) && !(first && !any))) {
            break;
        }
        double x = paper_x(on, *index);
        if (!any) {
            *out = (column){a, b, x, x};
            edge = x + COLUMN_MM;
            any = true;
            continue;
        }
        if (x >= edge) {
            break;
        }
        if (a < out->low) {
            out->low = a;
            out->low_x = x;
        }
        if (b > out->high) {
            out->high = b;
            out->high_x = x;
        }
    }
    return any;
}

static void column_to(page *on, const page_panel *in, const column *of) {
    double low = page_y(in, of->low);
    double high = page_y(in, of->high);
    bool low_first = of->low_x < of->high_x;
    canvas_to(on->canvas, low_first ? of->low_x : of->high_x,
              low_first ? low : high);
    if (of->low_x < of->high_x || of->low_x > of->high_x) {
        canvas_to(on->canvas, low_first ? of->high_x : of->low_x,
                  low_first ? high : low);
    }
}

void curves_line(page *on, const page_panel *in, curve_value value,
                 canvas_pen pen) {
    size_t count = on->scene->assessment->profile_count;
    for (size_t i = 0; i < count;) {
        if (isnan(value(on, i))) {
            i++;
            continue;
        }
        canvas_begin(on->canvas, CANVAS_OPEN, CANVAS_NONE, pen);
        column one;
        for (bool first = true; next_column(on, value, value, first, &i, &one);
             first = false) {
            column_to(on, in, &one);
        }
    }
}

static size_t vein_of(const page *on, size_t index) {
    const bl_assessment *of = on->scene->assessment;
    return page_vein_number(on, of->profile[index].position_mm);
}

/* The first point behind `from` that a gap or the end of a vein parts from
 * it. */
static size_t level_end(const page *on, size_t from) {
    size_t count = on->scene->assessment->profile_count;
    size_t end = from + 1;
    while (end < count && !starts_new(on, end) &&
           vein_of(on, end) == vein_of(on, from)) {
        end++;
    }
    return end;
}

void curves_steps(page *on, const page_panel *in, curve_value value,
                  canvas_pen pen) {
    size_t count = on->scene->assessment->profile_count;
    bool open = false; /* the line may go on, in the vein after `last` */
    size_t last = 0;
    for (size_t i = 0; on->vein_count > 0 && i < count;) {
        size_t end = level_end(on, i);
        size_t vein = vein_of(on, i);
        bool joined = !starts_new(on, i);
        double from =
            joined ? page_x(on, on->veins[vein].from_mm) : paper_x(on, i);
        joined = joined && open && vein == last + 1;
        open = end < count && !starts_new(on, end);
        double to =
            open ? page_x(on, on->veins[vein].to_mm) : paper_x(on, end - 1);
        if (isnan(value(on, i))) {
            open = false;
        } else {
            if (!joined) {
                canvas_begin(on->canvas, CANVAS_OPEN, CANVAS_NONE, pen);
            }
            canvas_to(on->canvas, from, page_y(in, value(on, i)));
            canvas_to(on->canvas, to, page_y(in, value(on, i)));
        }
        last = vein;
        i = end;
    }
}

void curves_band(page *on, const page_panel *in, curve_value low,
                 curve_value high, uint32_t fill, canvas_pen pen) {
    size_t count = on->scene->assessment->profile_count;
    column *columns = page_alloc(on, count, sizeof *columns);
    if (columns == NULL) {
        return;
    }
    for (size_t i = 0; i < count;) {
        if (isnan(low(on, i)) || isnan(high(on, i))) {
            i++;
            continue;
        }
        size_t held = 0;
        while (next_column(on, low, high, held == 0, &i, &columns[held])) {
            held++;
        }
        canvas_begin(on->canvas, CANVAS_CLOSED, fill, pen);
        for (size_t k = 0; k < held; k++) {
            canvas_to(on->canvas, columns[k].high_x,
                      page_y(in, columns[k].high));
        }
        for (size_t k = held; k-- > 0;) {
            canvas_to(on->canvas, columns[k].low_x, page_y(in, columns[k].low));
        }
    }
}
