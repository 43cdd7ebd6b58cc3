/*
 * again.c - a calibre course that is filled anew many times.
 *
 * Between two of its breaks the reference's diameter is a straight line by any
 * rule, so that a node's level takes one multiplication once it is known where
 * on which line the node lies. Before the first break and after the last the
 * line is level.
 */
#include "assess/again.h"

#include "base/constants.h"

#include <math.h>

typedef struct lines {
    bl_span spans[REFERENCE_BREAKS + 1];
    double from_mm[REFERENCE_BREAKS + 1]; /* diameters at their ends */
    double to_mm[REFERENCE_BREAKS + 1];
    size_t links[REFERENCE_BREAKS + 1];
    size_t count;
} lines;

static void lines_of(const reference *of, lines *out) {
    reference_break breaks[REFERENCE_BREAKS];
    size_t count = reference_breaks(of, breaks);
    double level = count == 0 ? reference_diameter_mm(of, 0.0)
                              : breaks[0].before.diameter_mm;
    double at_mm = -HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        out->spans[i] = (bl_span){at_mm, breaks[i].x_mm};
        out->from_mm[i] = level;
        out->to_mm[i] = breaks[i].before.diameter_mm;
        out->links[i] = breaks[i].link;
        level = breaks[i].after.diameter_mm;
        at_mm = breaks[i].x_mm;
    }
    out->spans[count] = (bl_span){at_mm, HUGE_VAL};
    out->from_mm[count] = level;
    out->to_mm[count] = level;
    out->links[count] = of->link_count == 0 ? 0 : of->link_count - 1;
    out->count = count + 1;
}

static double part_of(bl_span span, double x_mm) {
    double length = span.to_mm - span.from_mm;
    return length > 0.0 && length < HUGE_VAL ? (x_mm - span.from_mm) / length
                                             : 0.0;
}

static double level_on(const lines *of, const again_place *at) {
    double from = of->from_mm[at->line];
    return from + at->part * (of->to_mm[at->line] - from);
}

/* At a step two lines hold a node; its own is the one that has its level. */
static again_place place_of(const lines *of, const course_node *node) {
    again_place best = {0, 0, 0.0, 1.0};
    double least = HUGE_VAL;
    for (size_t i = 0; i < of->count; i++) {
        again_place here = {i, of->links[i], part_of(of->spans[i], node->x_mm),
                            1.0};
        double off = fabs(level_on(of, &here) - node->level);
        if (node->x_mm >= of->spans[i].from_mm &&
            node->x_mm <= of->spans[i].to_mm && off < least) {
            best = here;
            least = off;
        }
    }
    return best;
}

bl_status again_make(const workings *work, arena *owner, again *out) {
    bl_status status =
        workings_calibre_course(work, &work->reference, owner, &out->along);
    if (status != BL_OK) {
        return status;
    }
    lines base;
    lines_of(&work->reference, &base);
    out->places = arena_alloc(owner, out->along.count, sizeof *out->places);
    if (out->places == NULL) {
        return BL_ERR_MEMORY;
    }
    const bl_profile_point *points = work->profile.points;
    for (size_t i = 0; i < out->along.count; i++) {
        const course_node *node = &out->along.nodes[i];
        out->places[i] = place_of(&base, node);
        if (node->knot) {
            bl_span step = {points[node->point - 1].position_mm,
                            points[node->point].position_mm};
            out->places[i].of_value = part_of(step, node->x_mm);
        }
    }
    return BL_OK;
}

void again_fill(again *of, const bl_profile_point *points, const reference *now,
                const leeway_draw *off) {
    lines here;
    lines_of(now, &here);
    for (size_t i = 0; i < of->along.count; i++) {
        course_node *node = &of->along.nodes[i];
        const again_place *place = &of->places[i];
        double value = points[node->point].equivalent_diameter_mm;
        if (node->knot) {
            double before = points[node->point - 1].equivalent_diameter_mm;
            value = before + place->of_value * (value - before);
        }
        node->value = value;
        node->level = level_on(&here, place) /
                      leeway_factor(off, place->link, node->x_mm);
    }
}
