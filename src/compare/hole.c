/*
 * hole.c - where AFTER lacks a contour that the comparison needs: a lumen in
 * the treated stretch, a device between the ends of the device; and which ends
 * of the device were not seen at all.
 *
 * A gap is a hole whatever is traced there. Fewer frames are one where they
 * were looked at: a frame that has a device and no lumen may be occluded, one
 * without a device where BEFORE has it may be where the device came apart,
 * unless they are about as far apart as its contours are anyway: sparse tracing
 * is no break. What neither table looked at is bridged as everywhere.
 */
#include "compare/comparing.h"

#include "base/constants.h"
#include "profile/median.h"

#include <math.h>

/* Shorter, or shorter in distances of contours, nothing is a break of the
 * device: a frame or two that were passed over; our own. */
#define BREAK_LEAST_MM 2.0
#define BREAK_STEPS 2.5

/* --------------------------------------------------------------------- ends */

static bool is_measured(const bl_row *row) {
    return (row->measures.flags & BL_FLAGS_LEFT_OUT) == 0;
}

/* What lies nearer than a device may shorten by shows that it ended. */
static double room_mm(const compared_table *of) {
    bl_span device = trace_extent(&of->device);
    return fmax(of->pace.gap_mm,
                SHORTENED_SHARE * (device.to_mm - device.from_mm));
}

/* sign: which way is beyond, on the table's own axis. */
static bool is_unseen(const compared_table *of, double end_mm, double sign) {
    const bl_row *rows = bl_study_rows(of->study);
    size_t row_count = bl_study_row_count(of->study);
    double room = room_mm(of);
    bool seen = false;
    for (size_t i = 0; i < row_count; i++) {
        double beyond = sign * (rows[i].position_mm - end_mm);
        if (!(beyond > EDGE_MM)) {
            continue;
        }
        if (rows[i].kind == BL_KIND_DEVICE) {
            return true; /* it cannot be measured, or it were the end */
        }
        seen = seen || (is_measured(&rows[i]) && beyond <= room);
    }
    return !seen;
}

void hole_find_ends(comparing *in) {
    for (int which = BEFORE; which < TABLES; which++) {
        compared_table *of = &in->tables[which];
        const trace *device = &of->device;
        double turn = of->pace.turn;
        if (device->count == 0) {
            continue;
        }
        const trace_node *last = &device->nodes[device->count - 1];
        of->end_unseen[0] = is_unseen(of, device->nodes[0].own_mm, -turn);
        of->end_unseen[1] = is_unseen(of, last->own_mm, turn);
    }
}

const char *hole_ends_words(const comparing *in) {
    const bool *unseen = in->tables[AFTER].end_unseen;
    bool forward = in->tables[BEFORE].pullback->travel == BL_END_CAUDAL;
    return unseen[0] && unseen[1]
               ? "Where the device begins and ends was not seen"
           : unseen[0] == forward
               ? "Where the device ends cranially was not seen"
               : "Where the device ends caudally was not seen";
}

/* -------------------------------------------------------------------- holes */

typedef struct hole_walk {
    const comparing *in;
    const trace *of; /* what may lack */
    bl_kind kind;
    bl_span within;
    double break_mm; /* what is no longer is none */
    size_t passed;   /* frames in what is none */
    size_t next;     /* of the series */
    bl_hole *list;
    size_t count;
} hole_walk;

/* A frame that has looked at what lacks. */
static bool has_looked(bl_kind kind, const bl_compared *at) {
    return kind == BL_KIND_DEVICE || !isnan(at->device_area_mm2);
}

/* Frames between two contours that follow each other, neither included; NaN:
 * none on that side. */
static void take_frames(hole_walk *of, double after_mm, double until_mm,
                        bl_hole *to) {
    const bl_comparison *out = of->in->out;
    to->within = (bl_span){UNKNOWN, UNKNOWN};
    for (; of->next < out->series_count; of->next++) {
        const bl_compared *at = &out->series[of->next];
        double here = at->position_mm;
        if (here >= until_mm || here > of->within.to_mm + EDGE_MM) {
            return;
        }
        if (here <= after_mm || here < of->within.from_mm - EDGE_MM ||
            !has_looked(of->kind, at)) {
            continue;
        }
        to->within.from_mm = to->frames == 0 ? here : to->within.from_mm;
        to->within.to_mm = here;
        to->frames++;
    }
}

/* Before node i, or behind the last. */
static void take_hole(hole_walk *of, size_t i) {
    const trace *nodes = of->of;
    double after = i == 0 ? UNKNOWN : nodes->nodes[i - 1].at_mm;
    double until = i == nodes->count ? UNKNOWN : nodes->nodes[i].at_mm;
    bl_hole made = {.span = {fmax(after, of->within.from_mm),
                             fmin(until, of->within.to_mm)}};
    take_frames(of, after, until, &made);
    double length = made.span.to_mm - made.span.from_mm;
    if (length < -EDGE_MM || (length <= EDGE_MM && made.frames == 0)) {
        return;
    }
    const compared_table *tables = of->in->tables;
    const trace *before = of->kind == BL_KIND_LUMEN ? &tables[BEFORE].lumen
                                                    : &tables[BEFORE].device;
    double middle = 0.5 * (made.span.from_mm + made.span.to_mm);
    made.was_there = !isnan(trace_area_mm2(before, middle));
    made.bridged = i > 0 && i < nodes->count && !nodes->nodes[i].starts;
    made.left_out = left_out_between(of->in, of->kind, made.span);
    if (made.left_out == 0 && length <= of->break_mm + EDGE_MM) {
        of->passed += made.frames;
        return;
    }
    bool is_whole = after >= of->within.from_mm && until <= of->within.to_mm;
    made.gap =
        !made.bridged && (is_whole || length > tables[AFTER].pace.gap_mm);
    bool is_told = of->kind == BL_KIND_LUMEN || made.was_there;
    if (made.gap || (made.frames > 0 && is_told)) {
        of->list[of->count++] = made;
    }
}

static bl_status find_holes(const comparing *in, hole_walk *of) {
    size_t count = of->of->count;
    of->list = arena_alloc(in->owner, count + 1, sizeof *of->list);
    if (of->list == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i <= count; i++) {
        take_hole(of, i);
    }
    return BL_OK;
}

/* Median distance of the device contours of AFTER; 0 of one. */
static bl_status device_step(const comparing *in, double *out) {
    const trace *of = &in->tables[AFTER].device;
    double *steps = arena_alloc(in->owner, of->count, sizeof *steps);
    if (steps == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 1; i < of->count; i++) {
        steps[i - 1] = of->nodes[i].at_mm - of->nodes[i - 1].at_mm;
    }
    *out = of->count < 2 ? 0.0 : median_of(steps, of->count - 1);
    return BL_OK;
}

static void tell_passed(comparing *in, const hole_walk *of, double step_mm) {
    text *words = &in->said.draft;
    if (of->passed == 0) {
        return;
    }
    text_format(words,
                "In %zu frame%s between its ends the device was not traced, "
                "over ",
                of->passed, of->passed == 1 ? "" : "s");
    text_fixed(words, of->break_mm, 1);
    text_add(words, " mm or less at a time: its contours stand ");
    text_fixed(words, step_mm, 1);
    text_add(words, " mm apart (median), so that no break is taken from that "
                    "and none is ruled out.");
    sentences_end(&in->said);
}

static bl_status fill_device(comparing *in) {
    bl_device_state *out = &in->out->device;
    hole_walk device = {.in = in,
                        .of = &in->tables[AFTER].device,
                        .kind = BL_KIND_DEVICE,
                        .within = out->span};
    double step_mm = 0.0;
    bl_status status = device_step(in, &step_mm);
    if (status == BL_OK) {
        device.break_mm = fmax(BREAK_LEAST_MM, BREAK_STEPS * step_mm);
        status = find_holes(in, &device);
    }
    if (status == BL_OK) {
        out->holes = device.list;
        out->hole_count = device.count;
        tell_passed(in, &device, step_mm);
    }
    return status;
}

bl_status hole_fill(comparing *in) {
    bl_comparison *out = in->out;
    hole_walk lumen = {.in = in,
                       .of = &in->tables[AFTER].lumen,
                       .kind = BL_KIND_LUMEN,
                       .within = out->treated,
                       .break_mm = -1.0};
    bl_status status = BL_OK;
    if (out->treated_from != BL_TREATED_NOWHERE) {
        status = find_holes(in, &lumen);
        out->lumen_holes = lumen.list;
        out->lumen_hole_count = lumen.count;
    }
    if (status == BL_OK && out->device.traced) {
        status = fill_device(in);
    }
    return status;
}
