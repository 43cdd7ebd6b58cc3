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
/* A dot for a frame that stands alone is so many pens wide. */
#define LONE_PENS 3.0

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

/* A frame with nothing beside it that a line could go to. */
static bool is_lone(const page *on, curve_value value, size_t index) {
    size_t count = on->scene->assessment->profile_count;
    bool before =
        index > 0 && !starts_new(on, index) && !isnan(value(on, index - 1));
    bool behind = index + 1 < count && !starts_new(on, index + 1) &&
                  !isnan(value(on, index + 1));
    return !before && !behind;
}

void curves_line(page *on, const page_panel *in, curve_value value,
                 canvas_pen pen) {
    size_t count = on->scene->assessment->profile_count;
    canvas_pen dot = pen;
    dot.width_mm *= LONE_PENS;
    for (size_t i = 0; i < count;) {
        if (isnan(value(on, i))) {
            i++;
            continue;
        }
        if (is_lone(on, value, i)) {
            canvas_begin(on->canvas, CANVAS_DOTS, CANVAS_NONE, dot);
            canvas_to(on->canvas, paper_x(on, i), page_y(in, value(on, i)));
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

/* ------------------------------------------------------------ the reference */

/* A line under way. */
typedef struct stroke {
    page *on;
    const page_panel *in;
    canvas_pen pen;
    bool open;
} stroke;

static void stroke_to(stroke *of, double x, double value) {
    if (isnan(value)) {
        of->open = false;
        return;
    }
    if (!of->open) {
        canvas_begin(of->on->canvas, CANVAS_OPEN, CANVAS_NONE, of->pen);
    }
    canvas_to(of->on->canvas, x, page_y(of->in, value));
    of->open = true;
}

/* A border belongs to the part caudal of it. */
static bool is_before(const page *on, size_t index, const bl_step *step) {
    double at = on->scene->assessment->profile[index].position_mm;
    return on->scene->pullback->travel == BL_END_CAUDAL
               ? at < step->position_mm
               : at <= step->position_mm;
}

/* Frames of one part, from i on to those before `until`. Of frames in one
 * column of paper the first is enough: no reference dips within one. */
static size_t stroke_part(stroke *of, curve_area quantity, size_t i,
                          const bl_step *until) {
    const bl_assessment *all = of->on->scene->assessment;
    double last = -HUGE_VAL;
    for (; i < all->profile_count &&
           (until == NULL || is_before(of->on, i, until));
         i++) {
        of->open = of->open && !starts_new(of->on, i);
        double x = paper_x(of->on, i);
        double value = quantity(of->on, all->profile[i].reference_area_mm2);
        bool ends = i + 1 == all->profile_count || starts_new(of->on, i + 1);
        if (!of->open || ends || isnan(value) || x - last >= COLUMN_MM) {
            stroke_to(of, x, value);
            last = x;
        }
    }
    return i;
}

void curves_reference(page *on, const page_panel *in, curve_area quantity,
                      canvas_pen pen) {
    const bl_assessment *of = on->scene->assessment;
    stroke line = {.on = on, .in = in, .pen = pen};
    size_t step = 0;
    for (size_t i = 0; i < of->profile_count;) {
        i = stroke_part(&line, quantity, i,
                        step < of->step_count ? &of->steps[step] : NULL);
        bool bridged = i > 0 && i < of->profile_count && !starts_new(on, i);
        line.open = line.open && bridged;
        for (; i < of->profile_count && step < of->step_count &&
               !is_before(on, i, &of->steps[step]);
             step++) {
            double x = page_x(on, of->steps[step].position_mm);
            if (bridged) {
                stroke_to(&line, x,
                          quantity(on, of->steps[step].before_area_mm2));
                stroke_to(&line, x,
                          quantity(on, of->steps[step].after_area_mm2));
            }
        }
    }
}

/* ------------------------------------------------------- constant in a vein */

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
