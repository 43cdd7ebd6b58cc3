/*
 * wall.c - where the device stands away from the wall of the vein.
 *
 * What each frame's device tells of its vein comes from the study
 * (bl_apposition). Frames that follow each other with a gap above the tolerance
 * are one stretch; a frame that is apposed, and a gap of the table's own axis
 * without a frame, ends it. A device that reaches out of its vessel is
 * traced wrongly: a few such frames are left out and named, many stop the
 * comparison.
 */
#include "base/constants.h"
#include "base/message.h"
#include "compare/comparing.h"

#include <math.h>

/* As many frames as an assessment lets be left out. */
#define OUTSIDE_MOST 0.20

const bl_apposition *wall_of(const bl_study *study, size_t row) {
    const bl_apposition *list = bl_study_appositions(study);
    size_t low = 0;
    size_t high = bl_study_apposition_count(study);
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (list[middle].device < row) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low < bl_study_apposition_count(study) && list[low].device == row
               ? &list[low]
               : NULL;
}

/* Areas in common that are less than that are rounding, mm2. */
#define NOTHING_MM2 1e-9

bool wall_is_beside(const bl_apposition *of) {
    return of->lumen_inside_mm2 <= NOTHING_MM2;
}

/* A frame that counts. */
typedef struct wall_frame {
    const bl_apposition *of;
    double at_mm;
    double own_mm;
} wall_frame;

typedef struct wall_frames {
    wall_frame *list; /* in position order of BEFORE */
    size_t count;
    size_t in_vessels; /* held against a vessel, outside or not */
} wall_frames;

static bool is_outside(const bl_apposition *of, double tolerance_mm) {
    return of->outer == BL_KIND_VESSEL && of->outside_mm > tolerance_mm;
}

static bl_status take_frames(const comparing *in, wall_frames *out) {
    const trace *device = &in->tables[AFTER].device;
    const bl_study *study = in->tables[AFTER].study;
    bl_device_state *state = &in->out->device;
    double tolerance = bl_study_tolerance_mm(study);
    out->list = arena_alloc(in->owner, device->count, sizeof *out->list);
    int64_t *outside = arena_alloc(in->owner, device->count, sizeof *outside);
    if (out->list == NULL || outside == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < device->count; i++) {
        const bl_apposition *of = wall_of(study, device->nodes[i].row);
        if (of == NULL || !of->is_held || isnan(of->gap_mm)) {
            continue;
        }
        out->in_vessels += of->outer == BL_KIND_VESSEL;
        if (is_outside(of, tolerance)) {
            outside[state->outside_count++] = of->frame;
            continue;
        }
        state->against_lumen += of->outer == BL_KIND_LUMEN;
        out->list[out->count++] =
            (wall_frame){of, device->nodes[i].at_mm, device->nodes[i].own_mm};
    }
    state->outside_frames = outside;
    state->apposition_frames = out->count;
    state->gap_tolerance_mm =
        out->in_vessels + out->count > 0 ? tolerance : UNKNOWN;
    return BL_OK;
}

static bl_status refuse_outside(const comparing *in, size_t in_vessels) {
    const bl_device_state *state = &in->out->device;
    text words = {0};
    text_format(&words, "in %zu of %zu frame%s of the second table (",
                state->outside_count, in_vessels, in_vessels == 1 ? "" : "s");
    for (size_t i = 0; i < state->outside_count && i < FRAMES_NAMED; i++) {
        text_format(&words, "%s%lld", i == 0 ? "" : ", ",
                    (long long)state->outside_frames[i]);
    }
    text_add(&words, state->outside_count > FRAMES_NAMED ? ", ...)" : ")");
    text_add(&words, " the device lies outside the vessel by more than ");
    text_short(&words, state->gap_tolerance_mm, 3);
    text_add(&words, " mm; see whether the two kinds are swapped or drawn to "
                     "different scales or origins, and mend them");
    return text_message(&words, BL_ERR_INPUT, in->message);
}

/* --------------------------------------------------------------- stretches */

static bool is_apart(const wall_frame *of) {
    return of->of->widest_arc_deg > 0.0;
}

static bool follows(const comparing *in, const wall_frame *of) {
    return fabs(of->own_mm - of[-1].own_mm) <= in->tables[AFTER].pace.gap_mm;
}

static void add_frame(bl_unapposed *to, const wall_frame *of) {
    const bl_apposition *one = of->of;
    to->span.to_mm = of->at_mm;
    to->frames++;
    if (!(one->gap_mm <= to->max_gap_mm)) {
        to->max_gap_mm = one->gap_mm;
        to->max_gap_position_mm = of->at_mm;
        to->max_gap_frame = one->frame;
        to->max_gap_direction_deg = one->gap_deg;
    }
    if (!(one->widest_arc_deg <= to->widest_arc_deg)) {
        to->widest_arc_deg = one->widest_arc_deg;
        to->widest_arc_position_mm = of->at_mm;
    }
    if (!(one->between_mm2 <= to->max_area_between_mm2)) {
        to->max_area_between_mm2 = one->between_mm2;
    }
}

static bl_unapposed begin(const wall_frame *of) {
    return (bl_unapposed){
        .span = {of->at_mm, of->at_mm},
        .max_gap_mm = UNKNOWN,
        .max_gap_position_mm = UNKNOWN,
        .max_gap_frame = -1,
        .max_gap_direction_deg = UNKNOWN,
        .widest_arc_deg = UNKNOWN,
        .widest_arc_position_mm = UNKNOWN,
        .max_area_between_mm2 = UNKNOWN,
    };
}

static bl_status fill_stretches(const comparing *in, const wall_frames *of) {
    bl_device_state *state = &in->out->device;
    bl_unapposed *list = arena_alloc(in->owner, of->count, sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    bool open = false;
    for (size_t i = 0; i < of->count; i++) {
        const wall_frame *here = &of->list[i];
        open = open && follows(in, here);
        if (!is_apart(here)) {
            open = false;
            continue;
        }
        if (!open) {
            list[state->unapposed_count++] = begin(here);
        }
        bl_unapposed *last = &list[state->unapposed_count - 1];
        if (open) {
            last->volume_between_mm3 +=
                0.5 * (here->at_mm - here[-1].at_mm) *
                (here->of->between_mm2 + here[-1].of->between_mm2);
        }
        add_frame(last, here);
        open = true;
    }
    state->unapposed = list;
    return BL_OK;
}

static double length_of(const comparing *in, const wall_frames *of) {
    double length = 0.0;
    for (size_t i = 1; i < of->count; i++) {
        length += follows(in, &of->list[i])
                      ? of->list[i].at_mm - of->list[i - 1].at_mm
                      : 0.0;
    }
    return length;
}

bl_status wall_fill(comparing *in) {
    wall_frames frames = {0};
    bl_status status = take_frames(in, &frames);
    if (status != BL_OK) {
        return status;
    }
    size_t outside = in->out->device.outside_count;
    if ((double)outside > OUTSIDE_MOST * (double)frames.in_vessels) {
        return refuse_outside(in, frames.in_vessels);
    }
    in->out->device.apposition_mm = length_of(in, &frames);
    return fill_stretches(in, &frames);
}
