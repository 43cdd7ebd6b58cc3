/*
 * wall_only.c - where AFTER has a wall and no lumen outside the treated
 * stretch: the vein was looked at and may be occluded, and no figure is made of
 * it.
 *
 * Such frames that follow each other without a gap of their own table are one
 * hole. It reaches to the lumen or the treated stretch on either side, where
 * that is no gap away. Walls that cannot be measured were traced too.
 */
#include "compare/comparing.h"

#include "base/constants.h"

#include <math.h>

/* What all rows of one frame of AFTER show. */
typedef struct wall_only_frame {
    double at_mm; /* on the axis of BEFORE */
    double own_mm;
    bool lumen; /* that can be measured */
    bool vessel;
} wall_only_frame;

/* What ends a hole on either side: a lumen, or the treated stretch. */
typedef struct wall_only_bound {
    double at_mm;
    double own_mm; /* of its frame; NaN: none yet */
    bool lumen;
} wall_only_bound;

typedef struct wall_only_walk {
    const comparing *in;
    bl_hole *list;
    size_t count;
    wall_only_bound last;
    wall_only_bound begun; /* the hole that is open; own_mm NaN: by nothing */
    double own_mm;         /* of its last frame; NaN: none is open */
} wall_only_walk;

static bool is_near(const comparing *in, double a_mm, double b_mm) {
    return fabs(a_mm - b_mm) <= in->tables[AFTER].pace.gap_mm;
}

/* by: what comes behind; NULL: nothing near. */
static void end_hole(wall_only_walk *of, const wall_only_bound *by) {
    const comparing *in = of->in;
    if (isnan(of->own_mm)) {
        return;
    }
    bl_hole *one = &of->list[of->count - 1];
    if (by != NULL && is_near(in, by->own_mm, of->own_mm)) {
        one->span.to_mm = by->at_mm;
        one->bridged = by->lumen && of->begun.lumen &&
                       is_near(in, by->own_mm, of->begun.own_mm);
    }
    double middle = 0.5 * (one->span.from_mm + one->span.to_mm);
    one->gap = !one->bridged;
    one->was_there = !isnan(trace_area_mm2(&in->tables[BEFORE].lumen, middle));
    one->left_out = left_out_between(in, BL_KIND_LUMEN, one->span);
    of->own_mm = UNKNOWN;
}

static void take_wall(wall_only_walk *of, const wall_only_frame *at) {
    if (!isnan(of->own_mm) && !is_near(of->in, at->own_mm, of->own_mm)) {
        end_hole(of, NULL);
    }
    if (isnan(of->own_mm)) {
        bool near = is_near(of->in, at->own_mm, of->last.own_mm);
        double from = near ? of->last.at_mm : at->at_mm;
        of->begun =
            near ? of->last : (wall_only_bound){UNKNOWN, UNKNOWN, false};
        of->list[of->count++] =
            (bl_hole){.span = {from, at->at_mm}, .within = {at->at_mm, 0.0}};
    }
    bl_hole *one = &of->list[of->count - 1];
    one->frames++;
    one->span.to_mm = at->at_mm;
    one->within.to_mm = at->at_mm;
    of->own_mm = at->own_mm;
}

static void take_frame(wall_only_walk *of, const wall_only_frame *at) {
    bl_span treated = of->in->out->treated;
    if (comparing_is_treated(of->in, at->at_mm)) {
        end_hole(of, &(wall_only_bound){treated.from_mm, at->own_mm, false});
        of->last = (wall_only_bound){treated.to_mm, at->own_mm, false};
    } else if (at->lumen) {
        of->last = (wall_only_bound){at->at_mm, at->own_mm, true};
        end_hole(of, &of->last);
    } else if (at->vessel) {
        take_wall(of, at);
    }
}

/* Rows of one frame stand together. */
static void walk_frames(wall_only_walk *of) {
    const comparing *in = of->in;
    const bl_row *rows = bl_study_rows(in->tables[AFTER].study);
    size_t row_count = bl_study_row_count(in->tables[AFTER].study);
    for (size_t n = 0; n < row_count;) {
        const bl_row *first = &rows[in->turn < 0.0 ? row_count - 1 - n : n];
        const bl_row *row = first;
        wall_only_frame at = {.at_mm = bl_alignment_before_mm(
                                  &in->out->alignment, first->position_mm),
                              .own_mm = first->position_mm};
        while (row->frame == first->frame) {
            bool measured = (row->measures.flags & BL_FLAGS_LEFT_OUT) == 0;
            at.lumen = at.lumen || (row->kind == BL_KIND_LUMEN && measured);
            at.vessel = at.vessel || row->kind == BL_KIND_VESSEL;
            if (++n == row_count) {
                break;
            }
            row = &rows[in->turn < 0.0 ? row_count - 1 - n : n];
        }
        take_frame(of, &at);
    }
    end_hole(of, NULL);
}

static size_t count_vessels(const bl_study *study) {
    const bl_row *rows = bl_study_rows(study);
    size_t count = 0;
    for (size_t i = 0; i < bl_study_row_count(study); i++) {
        count += rows[i].kind == BL_KIND_VESSEL;
    }
    return count;
}

bl_status wall_only_fill(comparing *in) {
    wall_only_walk walk = {
        .in = in, .last = {UNKNOWN, UNKNOWN, false}, .own_mm = UNKNOWN};
    size_t most = count_vessels(in->tables[AFTER].study);
    walk.list = arena_alloc(in->owner, most, sizeof *walk.list);
    if (walk.list == NULL) {
        return BL_ERR_MEMORY;
    }
    walk_frames(&walk);
    in->out->outside_holes = walk.list;
    in->out->outside_hole_count = walk.count;
    return BL_OK;
}
