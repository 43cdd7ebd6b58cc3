/*
 * apposing.c - devices held against the vein around them.
 *
 * The contours of a frame may stand anywhere in a table, devices in one half
 * and vessels in the other. So points are kept to the end and contours paired
 * when rows are in order: then those of a frame are neighbours.
 */
#include "study/apposing.h"

#include "base/constants.h"
#include "base/message.h"
#include "geometry/pair.h"
#include "study/inside.h"

#include <math.h>
#include <stdlib.h>

typedef struct apposing {
    bl_study *study;
    pair_finder *finder;
    double tolerance_mm;
} apposing;

static bl_apposition nothing_known(const bl_row *row) {
    const double u = UNKNOWN;
    return (bl_apposition){.frame = row->frame,
                           .position_mm = row->position_mm,
                           .device = BL_NO_ROW,
                           .lumen = BL_NO_ROW,
                           .vessel = BL_NO_ROW,
                           .device_mm2 = u,
                           .lumen_mm2 = u,
                           .vessel_mm2 = u,
                           .outer = BL_KIND_VESSEL,
                           .gap_mm = u,
                           .gap_deg = u,
                           .arc_deg = u,
                           .widest_arc_deg = u,
                           .widest_from_deg = u,
                           .between_mm2 = u,
                           .outside_mm = u,
                           .outside_deg = u,
                           .outside_mm2 = u,
                           .lumen_inside_mm2 = u,
                           .tissue_mm2 = u,
                           .lumen_outside_mm = u};
}

static double area_of(const bl_study *study, size_t row) {
    return row == BL_NO_ROW ? UNKNOWN
                            : study->store.rows[row].measures.area_mm2;
}

static bool is_measured(const bl_study *study, size_t row) {
    return row != BL_NO_ROW &&
           (study->store.rows[row].measures.flags & BL_FLAGS_LEFT_OUT) == 0;
}

static bl_contour points_of(const bl_study *study, size_t row) {
    const store *in = &study->store;
    const kept *of = &in->kept[row];
    return (bl_contour){in->x + of->first, in->y + of->first, of->count};
}

/* Nothing of a frame that lacks a device, or all but that. */
static bool find_rows(const bl_study *study, size_t first, size_t end,
                      bl_apposition *out) {
    *out = nothing_known(&study->store.rows[first]);
    size_t *const places[3] = {[BL_KIND_LUMEN] = &out->lumen,
                               [BL_KIND_DEVICE] = &out->device,
                               [BL_KIND_VESSEL] = &out->vessel};
    for (size_t i = first; i < end; i++) {
        *places[study->store.rows[i].kind] = i;
    }
    out->device_mm2 = area_of(study, out->device);
    out->lumen_mm2 = area_of(study, out->lumen);
    out->vessel_mm2 = area_of(study, out->vessel);
    return out->device != BL_NO_ROW &&
           (out->lumen != BL_NO_ROW || out->vessel != BL_NO_ROW);
}

static void hold_against(bl_apposition *out, bl_kind outer,
                         const pair_measures *of) {
    out->is_held = true;
    out->outer = outer;
    out->gap_mm = of->gap.distance_mm;
    out->gap_deg = of->gap.direction_deg;
    out->arc_deg = of->arc_deg;
    out->widest_arc_deg = of->widest_arc_deg;
    out->widest_from_deg = of->widest_from_deg;
    out->between_mm2 = of->between_mm2;
    out->outside_mm = of->outside.distance_mm;
    out->outside_deg = of->outside.direction_deg;
    out->outside_mm2 = of->only_a_mm2;
}

/* Whether the lumen can stand for the wall; yes when that was given up, which
 * is told. */
static bool lumen_is_outer(const apposing *in, const pair_measures *of) {
    return isnan(of->gap.distance_mm) || of->gap.distance_mm > 0.0 ||
           of->outside.distance_mm <= in->tolerance_mm;
}

static bl_status hold(const apposing *in, size_t device, size_t other,
                      unsigned parts, pair_measures *out) {
    bl_contour a = points_of(in->study, device);
    bl_contour b = points_of(in->study, other);
    return pair_find(in->finder, &a, &b, parts, in->tolerance_mm, out);
}

/* Where the lumen leaves the vessel. */
static bl_status hold_lumen(const apposing *in, bl_apposition *out) {
    pair_measures found;
    if (!is_measured(in->study, out->lumen) ||
        !is_measured(in->study, out->vessel)) {
        return BL_OK;
    }
    bl_status status = hold(in, out->lumen, out->vessel, PAIR_OUTSIDE, &found);
    if (status == BL_OK) {
        out->lumen_outside_mm = found.outside.distance_mm;
    }
    return status;
}

static bl_status hold_all(const apposing *in, bl_apposition *out) {
    const unsigned all = PAIR_AREAS | PAIR_GAP | PAIR_ARCS;
    bool vessel = is_measured(in->study, out->vessel);
    bl_status status = BL_OK;
    pair_measures found;
    if (!is_measured(in->study, out->device)) {
        return BL_OK;
    }
    if (vessel) {
        status = hold(in, out->device, out->vessel, all, &found);
        if (status == BL_OK) {
            hold_against(out, BL_KIND_VESSEL, &found);
        }
    }
    if (status == BL_OK && is_measured(in->study, out->lumen)) {
        status = hold(in, out->device, out->lumen, vessel ? PAIR_AREAS : all,
                      &found);
        if (status == BL_OK) {
            out->lumen_inside_mm2 = found.both_mm2;
            out->tissue_mm2 = found.only_a_mm2;
        }
        if (status == BL_OK && !vessel && lumen_is_outer(in, &found)) {
            hold_against(out, BL_KIND_LUMEN, &found);
        }
    }
    return status == BL_OK ? hold_lumen(in, out) : status;
}

/* What is measured was given up. */
static bl_status tell_unknown(bl_study *study, const bl_apposition *of) {
    bool lumen = is_measured(study, of->device) &&
                 is_measured(study, of->lumen) && isnan(of->tissue_mm2);
    bool outer = of->is_held && (isnan(of->gap_mm) || isnan(of->between_mm2));
    if (!lumen && !outer) {
        return BL_OK;
    }
    return findings_warn(
        &study->said, study->store.lines[of->device], 0, of->frame,
        "the device could not be held against the vein: the search passed the "
        "bound on its work, which traced contours do not come near; look at "
        "the contours of this frame");
}

static bool add(bl_study *study, const bl_apposition *one) {
    if (study->apposition_count == study->apposition_capacity) {
        size_t capacity = study->apposition_capacity < 64
                              ? 64
                              : study->apposition_capacity * 3 / 2;
        bl_apposition *grown =
            realloc(study->appositions, capacity * sizeof *grown);
        if (grown == NULL) {
            return false;
        }
        study->appositions = grown;
        study->apposition_capacity = capacity;
    }
    study->appositions[study->apposition_count++] = *one;
    return true;
}

static bl_status appose_frame(const apposing *in, size_t first, size_t end) {
    bl_apposition one;
    if (!find_rows(in->study, first, end, &one)) {
        return BL_OK;
    }
    bl_status status = hold_all(in, &one);
    if (status == BL_OK) {
        status = tell_unknown(in->study, &one);
    }
    return status == BL_OK && add(in->study, &one) ? BL_OK : BL_ERR_MEMORY;
}

static bl_status appose_all(const apposing *in) {
    const store *rows = &in->study->store;
    bl_status status = BL_OK;
    for (size_t i = 0; i < rows->count && status == BL_OK;) {
        size_t end = i;
        while (end < rows->count &&
               rows->rows[end].frame == rows->rows[i].frame) {
            end++;
        }
        status = appose_frame(in, i, end);
        i = end;
    }
    return status;
}

bl_status apposing_find(bl_study *study) {
    if (!study->options.appose || study->reader.gather.unscaled) {
        return BL_OK;
    }
    apposing in = {.study = study,
                   .finder = pair_new(),
                   .tolerance_mm = bl_study_tolerance_mm(study)};
    bl_status status = in.finder == NULL ? BL_ERR_MEMORY : appose_all(&in);
    pair_free(in.finder);
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

double bl_study_tolerance_mm(const bl_study *study) {
    double given = study->options.tolerance_mm;
    return given > 0.0 ? given : BL_TOLERANCE_MM;
}

size_t bl_study_apposition_count(const bl_study *study) {
    return study->apposition_count;
}

const bl_apposition *bl_study_appositions(const bl_study *study) {
    return study->appositions;
}
