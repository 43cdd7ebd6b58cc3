/*
 * implant.c - the state of the device: how far it opened, how round it is, what
 * grew in it.
 *
 * Areas and diameters are smoothed along the vessel as the lumen's are; tissue
 * is what of each device contour is not lumen, exact for the contours as
 * traced. Means are by length.
 */
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>

/* A number of each device node and what is read of them. */
typedef struct along_device {
    const trace *of;
    trace_run all;
    double *values;
} along_device;

static bl_status open_values(const comparing *in, along_device *out) {
    const trace *of = &in->tables[AFTER].device;
    *out = (along_device){
        .of = of,
        .all = {0, of->count},
        .values = arena_alloc(in->owner, of->count, sizeof *out->values)};
    return out->values == NULL ? BL_ERR_MEMORY : BL_OK;
}

static double mean_of(const along_device *of) {
    return trace_mean(of->of, of->all, of->values, NULL);
}

/* The node with the least, or greatest, known value, of equals the cranial one;
 * NULL without any. */
static const trace_node *extreme(const comparing *in, const along_device *of,
                                 double sign, double *value) {
    const trace_node *best = NULL;
    *value = UNKNOWN;
    for (size_t i = 0; i < of->of->count; i++) {
        size_t node = waist_from_cranial(in, of->all, i);
        double here = of->values[node];
        if (!isnan(here) && (best == NULL || sign * here > sign * *value)) {
            best = &of->of->nodes[node];
            *value = here;
        }
    }
    return best;
}

static double place_of(const trace_node *node) {
    return node == NULL ? UNKNOWN : node->at_mm;
}

static bl_status fill_expansion(comparing *in, bl_device_state *out) {
    along_device along;
    if (open_values(in, &along) != BL_OK) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < along.of->count; i++) {
        const trace_node *node = &along.of->nodes[i];
        along.values[i] = node->area_mm2;
    }
    out->mean_area_mm2 = mean_of(&along);
    for (size_t i = 0; i < along.of->count; i++) {
        const trace_node *node = &along.of->nodes[i];
        along.values[i] = 100.0 * node->area_mm2 /
                          denominator_nominal_mm2(&in->against, node->at_mm);
    }
    out->mean_nominal_expansion_pct = mean_of(&along);
    out->nominal_expansion_position_mm =
        place_of(extreme(in, &along, -1.0, &out->nominal_expansion_pct));
    out->greatest_nominal_expansion_position_mm = place_of(
        extreme(in, &along, 1.0, &out->greatest_nominal_expansion_pct));
    out->compressed_pct = 100.0 - out->nominal_expansion_pct;
    out->mean_compressed_pct = 100.0 - out->mean_nominal_expansion_pct;
    out->minimum = waist_least(in, along.of, along.all);
    out->expansion_index =
        out->minimum.area_mm2 / out->minimum.before_reference_mm2;
    out->after_expansion_index =
        out->minimum.area_mm2 / out->minimum.after_reference_mm2;
    return BL_OK;
}

static void expand_by(const comparing *in, const along_device *along,
                      double (*reference_mm2)(const denominators *, double),
                      double *least, double *position_mm, double *mean) {
    for (size_t i = 0; i < along->of->count; i++) {
        const trace_node *node = &along->of->nodes[i];
        along->values[i] =
            node->area_mm2 / reference_mm2(&in->against, node->at_mm);
    }
    *mean = mean_of(along);
    *position_mm = place_of(extreme(in, along, -1.0, least));
}

/* Place by place: where the reference tapers, the least area says nothing of
 * the least share of it. */
static bl_status fill_expansion_along(comparing *in, bl_device_state *out) {
    along_device along;
    if (open_values(in, &along) != BL_OK) {
        return BL_ERR_MEMORY;
    }
    expand_by(in, &along, denominator_before_mm2, &out->least_expansion,
              &out->least_expansion_position_mm, &out->mean_expansion);
    expand_by(in, &along, denominator_after_mm2, &out->after_least_expansion,
              &out->after_least_expansion_position_mm,
              &out->after_mean_expansion);
    return BL_OK;
}

static bl_status fill_symmetry(comparing *in, bl_device_state *out) {
    along_device along;
    if (open_values(in, &along) != BL_OK) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < along.of->count; i++) {
        const trace_node *node = &along.of->nodes[i];
        along.values[i] = (node->max_mm - node->min_mm) / node->max_mm;
    }
    out->mean_symmetry_index = mean_of(&along);
    out->symmetry_position_mm =
        place_of(extreme(in, &along, 1.0, &out->symmetry_index));
    return BL_OK;
}

/* ------------------------------------------------------------------- tissue */

/* Sets tissue of each node, and device area where tissue is known. */
static void take_tissue(const comparing *in, const trace *of, double *tissue,
                        double *device) {
    for (size_t i = 0; i < of->count; i++) {
        const bl_apposition *one =
            wall_of(in->tables[AFTER].study, of->nodes[i].row);
        /* Drawn to another origin, it says nothing of tissue. */
        bool known =
            one != NULL && !isnan(one->tissue_mm2) && !wall_is_beside(one);
        tissue[i] = known ? one->tissue_mm2 : UNKNOWN;
        device[i] = known ? one->device_mm2 : UNKNOWN;
    }
}

/* Most tissue that two areas with an error each make of none: lumen / device is
 * then 1 but for both, and reads 1 / (1 + bound) of what it is. */
static double tissue_bound_pct(const comparing *in) {
    double bound = NORMAL_975 * sqrt(2.0) * in->options->area_cv_pct / 100.0;
    return 100.0 * bound / (1.0 + bound);
}

static bl_status fill_tissue(comparing *in, bl_device_state *out) {
    along_device tissue;
    along_device device;
    along_device share;
    if (open_values(in, &tissue) != BL_OK ||
        open_values(in, &device) != BL_OK || open_values(in, &share) != BL_OK) {
        return BL_ERR_MEMORY;
    }
    const trace *of = tissue.of;
    take_tissue(in, of, tissue.values, device.values);
    out->tissue_inside_pct =
        100.0 * trace_mean(of, tissue.all, tissue.values, &out->tissue_mm) /
        mean_of(&device);
    for (size_t i = 0; i < of->count; i++) {
        tissue.values[i] = 100.0 * tissue.values[i] / device.values[i];
    }
    double smooth_mm = in->tables[AFTER].assessment->options.smooth_mm;
    trace_room room;
    bl_status status = trace_room_open(of, in->owner, &room);
    if (status != BL_OK) {
        return status;
    }
    trace_smooth(of, &room, tissue.values, smooth_mm, share.values);
    out->tissue_greatest_position_mm =
        place_of(extreme(in, &share, 1.0, &out->tissue_greatest_pct));
    out->tissue_within_error =
        !(out->tissue_greatest_pct > tissue_bound_pct(in));
    return BL_OK;
}

/* --------------------------------------------------------- where devices run
 */

static bl_status fill_parts(comparing *in, bl_device_state *out) {
    const trace *of = &in->tables[AFTER].device;
    size_t count = 0;
    for (size_t i = 0; i < of->count; i++) {
        count += of->nodes[i].starts;
    }
    bl_span *parts = arena_alloc(in->owner, count, sizeof *parts);
    if (parts == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < of->count; i++) {
        const trace_node *node = &of->nodes[i];
        if (node->starts) {
            parts[out->part_count++].from_mm = node->at_mm;
        }
        parts[out->part_count - 1].to_mm = node->at_mm;
    }
    out->parts = parts;
    return BL_OK;
}

static bl_status fill_overlaps(comparing *in, bl_device_state *out) {
    const denominators *of = &in->against;
    size_t count = of->device_count;
    bl_overlap *list = arena_alloc(in->owner, count, sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    bool forward = in->tables[BEFORE].pullback->travel == BL_END_CAUDAL;
    for (size_t i = 1; i < count && of->is_laid; i++) {
        bl_span span = {of->devices[i].span.from_mm,
                        of->devices[i - 1].span.to_mm};
        if (span.from_mm < span.to_mm) {
            list[out->overlap_count++] =
                (bl_overlap){.span = span,
                             .first = forward ? i - 1 : count - 1 - i,
                             .exact = count == 2};
        }
    }
    out->overlaps = list;
    return BL_OK;
}

static void forget(bl_device_state *out) {
    *out = (bl_device_state){
        .span = {UNKNOWN, UNKNOWN},
        .minimum = waist_nowhere(),
        .mean_area_mm2 = UNKNOWN,
        .expansion_index = UNKNOWN,
        .after_expansion_index = UNKNOWN,
        .least_expansion = UNKNOWN,
        .least_expansion_position_mm = UNKNOWN,
        .mean_expansion = UNKNOWN,
        .after_least_expansion = UNKNOWN,
        .after_least_expansion_position_mm = UNKNOWN,
        .after_mean_expansion = UNKNOWN,
        .nominal_expansion_pct = UNKNOWN,
        .nominal_expansion_position_mm = UNKNOWN,
        .mean_nominal_expansion_pct = UNKNOWN,
        .greatest_nominal_expansion_pct = UNKNOWN,
        .greatest_nominal_expansion_position_mm = UNKNOWN,
        .first_nominal_expansion_pct = UNKNOWN,
        .compressed_pct = UNKNOWN,
        .mean_compressed_pct = UNKNOWN,
        .symmetry_index = UNKNOWN,
        .symmetry_position_mm = UNKNOWN,
        .mean_symmetry_index = UNKNOWN,
        .tissue_inside_pct = UNKNOWN,
        .tissue_greatest_pct = UNKNOWN,
        .tissue_greatest_position_mm = UNKNOWN,
        .tissue_within_error = true,
        .gap_tolerance_mm = UNKNOWN,
    };
}

bl_status implant_fill(comparing *in) {
    const trace *of = &in->tables[AFTER].device;
    bl_device_state *out = &in->out->device;
    forget(out);
    out->nominals = in->options->nominals;
    out->nominal_count = in->options->nominal_count;
    out->left_out = in->left_out[BL_KIND_DEVICE].count;
    out->vessels_left_out = in->left_out[BL_KIND_VESSEL].count;
    out->end_unseen[0] = in->tables[AFTER].end_unseen[0];
    out->end_unseen[1] = in->tables[AFTER].end_unseen[1];
    if (of->count == 0) {
        return BL_OK;
    }
    out->traced = true;
    out->frames = of->count;
    out->span = trace_extent(of);
    crossed_mark_fill(in);
    bl_status (*const steps[])(comparing *, bl_device_state *) = {
        fill_parts,           fill_overlaps, fill_expansion,
        fill_expansion_along, fill_symmetry, fill_tissue};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        bl_status status = steps[i](in, out);
        if (status != BL_OK) {
            return status;
        }
    }
    return BL_OK;
}
