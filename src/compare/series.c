/*
 * series.c - AFTER frame by frame, with what BEFORE has there: what a picture
 * is drawn from.
 *
 * Rows of one frame stand together at one position. What each kind of contour
 * is once smoothed is looked up in its trace, by row.
 */
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>

/* What a row is in its trace; NULL: it is not used. */
typedef struct series_row {
    const trace_node *node;
} series_row;

typedef struct series_maker {
    comparing *in;
    const bl_row *rows;
    size_t row_count;
    series_row *known; /* of each row */
    bl_compared *list;
    size_t count;
} series_maker;

static void index_nodes(series_maker *to, const trace *of) {
    for (size_t i = 0; i < of->count; i++) {
        to->known[of->nodes[i].row].node = &of->nodes[i];
    }
}

static bool is_usable_vessel(const bl_row *row) {
    return row->kind == BL_KIND_VESSEL &&
           (row->measures.flags & BL_FLAGS_LEFT_OUT) == 0;
}

static bl_compared begin(const comparing *in, const bl_row *row) {
    const bl_alignment *by = &in->out->alignment;
    double at = bl_alignment_before_mm(by, row->position_mm);
    return (bl_compared){
        .frame = row->frame,
        .position_mm = at,
        .own_position_mm = row->position_mm,
        .in_treated = comparing_is_treated(in, at),
        .before_area_mm2 = trace_area_mm2(&in->tables[BEFORE].lumen, at),
        .before_device_area_mm2 =
            trace_area_mm2(&in->tables[BEFORE].device, at),
        .lumen_area_mm2 = UNKNOWN,
        .device_area_mm2 = UNKNOWN,
        .vessel_area_mm2 = UNKNOWN,
        .before_reference_mm2 = denominator_before_mm2(&in->against, at),
        .after_reference_mm2 = denominator_after_mm2(&in->against, at),
        .nominal_mm2 = denominator_nominal_mm2(&in->against, at),
        .gap_mm = UNKNOWN,
        .arc_deg = UNKNOWN,
    };
}

static bool is_held_rightly(const comparing *in, const bl_apposition *of) {
    return of != NULL && of->is_held &&
           !(of->outer == BL_KIND_VESSEL &&
             of->outside_mm > in->out->device.gap_tolerance_mm);
}

static void take_device(const comparing *in, const trace_node *node,
                        bl_compared *to) {
    const bl_apposition *one = wall_of(in->tables[AFTER].study, node->row);
    to->device_area_mm2 = node->area_mm2;
    to->device_after_gap = node->starts;
    if (is_held_rightly(in, one)) {
        to->gap_mm = one->gap_mm;
        to->arc_deg = one->widest_arc_deg;
    }
}

/* Whether the row says anything. */
static bool take_row(const series_maker *of, size_t i, bl_compared *to) {
    const bl_row *row = &of->rows[i];
    const trace_node *node = of->known[i].node;
    if (is_usable_vessel(row)) {
        to->vessel_area_mm2 = row->measures.area_mm2;
        return true;
    }
    if (node == NULL) {
        return false;
    }
    if (row->kind == BL_KIND_DEVICE) {
        take_device(of->in, node, to);
    } else {
        to->lumen_area_mm2 = node->area_mm2;
        to->lumen_after_gap = node->starts;
    }
    return true;
}

static void take_frames(series_maker *of) {
    for (size_t i = 0; i < of->row_count;) {
        bl_compared here = begin(of->in, &of->rows[i]);
        bool any = false;
        size_t first = i;
        for (; i < of->row_count && of->rows[i].frame == of->rows[first].frame;
             i++) {
            any = take_row(of, i, &here) || any;
        }
        if (any) {
            of->list[of->count++] = here;
        }
    }
}

static void turn_around(series_maker *of) {
    for (size_t i = 0; i < of->count / 2; i++) {
        bl_compared kept = of->list[i];
        of->list[i] = of->list[of->count - 1 - i];
        of->list[of->count - 1 - i] = kept;
    }
}

bl_status series_fill(comparing *in) {
    series_maker of = {
        .in = in,
        .rows = bl_study_rows(in->tables[AFTER].study),
        .row_count = bl_study_row_count(in->tables[AFTER].study),
    };
    of.known = arena_alloc(in->owner, of.row_count, sizeof *of.known);
    of.list = arena_alloc(in->owner, of.row_count, sizeof *of.list);
    if (of.known == NULL || of.list == NULL) {
        return BL_ERR_MEMORY;
    }
    index_nodes(&of, &in->tables[AFTER].lumen);
    index_nodes(&of, &in->tables[AFTER].device);
    take_frames(&of);
    if (in->turn < 0.0) {
        turn_around(&of);
    }
    in->out->series = of.list;
    in->out->series_count = of.count;
    return BL_OK;
}
