/*
 * lane.c - what all lanes share: a name in the column beside the panels, bars,
 * and labels with lines to their markers.
 */
#include "draw/lane.h"

#include <math.h>

/* Height of lines from marker to label, where a label could not stay. */
#define LEADER_EM 0.75
#define LOW_LEADER_EM 0.5
/* The middle of a label may stand so far from its marker before a line must
 * join them. */
#define ASIDE_EM 0.8

void lane_name(page *on, double y, const char *name) {
    canvas_text(on->canvas, on->names_x, y + 0.36 * on->em,
                page_style(on, INK, CANVAS_START),
                page_fit(on, name, on->names_x1 - on->names_x, false));
}

void lane_place(page *on, page_lane *lane) {
    lane->left_out =
        labels_place(on, lane->labels, lane->count, on->x0, on->x1);
    for (size_t i = 0; i < lane->count; i++) {
        const label *of = &lane->labels[i];
        if (of->shown != NULL && of->shown[0] != '\0') {
            if (fabs(of->x - of->wanted_x) > ASIDE_EM * on->em) {
                lane->leader =
                    (on->is_low ? LOW_LEADER_EM : LEADER_EM) * on->em;
            }
        }
    }
}

void lane_labels(page *on, const page_lane *lane, double from_y, double y) {
    canvas_pen pen = page_pen(on, GREY, 0.06, CANVAS_SOLID);
    for (size_t i = 0; i < lane->count; i++) {
        const label *of = &lane->labels[i];
        if (of->shown != NULL && of->shown[0] != '\0') {
            canvas_style style = page_style(on, of->colour, CANVAS_MIDDLE);
            style.bold = of->bold;
            canvas_text(on->canvas, of->x, y, style, of->shown);
            if (lane->leader > 0.0) {
                canvas_line(on->canvas, of->wanted_x, from_y, of->x,
                            y - 0.85 * on->em, pen);
            }
        }
    }
}

canvas_box lane_bar(const page *on, bl_span span, double y) {
    return (canvas_box){page_x(on, fmax(span.from_mm, on->from_mm)), y,
                        page_x(on, fmin(span.to_mm, on->to_mm)),
                        y + BAR_EM * on->em};
}

void lane_draw_bar(page *on, canvas_box box, uint32_t fill, bool hatched) {
    canvas_pen edge = page_pen(on, INK, 0.05, CANVAS_SOLID);
    if (!(box.x1 > box.x0)) {
        canvas_line(on->canvas, box.x0, box.y0, box.x0, box.y1, edge);
        return;
    }
    canvas_rectangle(on->canvas, box, fill, edge);
    if (hatched) {
        canvas_hatch(on->canvas, box, 0.5 * on->em, false, edge);
    }
}
