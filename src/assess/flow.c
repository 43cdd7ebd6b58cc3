/*
 * flow.c - the flow index: laminar resistance of a stretch against that of its
 * reference.
 *
 * Resistances in series add, so the index is the integral of resistance per
 * length over the stretch, as it is over as it would be healthy. Per length an
 * ellipse of semi-axes a and b has (a^2 + b^2) / (a b)^3 (White, Viscous Fluid
 * Flow; Shah and London 1978, from memory), which with its area A = pi a b and
 * aspect ratio r = a / b is, but for a constant, (r + 1/r) / 2 / A^2; a circle
 * has r = 1. Between frames each of the three integrands runs straight.
 */
#include "boreline.h"

#include "base/constants.h"
#include "base/sum.h"

#include <math.h>

const char *bl_flow_note(void) {
    return "The flow index is a teaching aid, never a pressure gradient: how "
           "many times the laminar resistance of healthy vein of the same "
           "length. Each cross-section counts as an ellipse of its area and "
           "aspect ratio, healthy vein as a circle of the reference area. "
           "Entrance loss, collaterals and collapse are ignored.";
}

/* Resistances per length, in 1/mm4: of the vein, of circles of its areas, and
 * of its reference. */
enum { OF_VEIN, OF_AREA, OF_REFERENCE, RESISTANCES };

static void resistances(const bl_profile_point *at, double out[RESISTANCES]) {
    double ratio = at->max_diameter_mm / at->min_diameter_mm;
    out[OF_AREA] = 1.0 / (at->area_mm2 * at->area_mm2);
    out[OF_VEIN] = 0.5 * (ratio + 1.0 / ratio) * out[OF_AREA];
    out[OF_REFERENCE] = 1.0 / (at->reference_area_mm2 * at->reference_area_mm2);
}

/* The part of a span between a point and the one before it; empty where they
 * do not overlap. */
static bl_span cell_of(const bl_profile_point *at, bl_span span) {
    double from_mm = fmax(span.from_mm, at[-1].position_mm);
    double to_mm = fmin(span.to_mm, at->position_mm);
    return (bl_span){from_mm, fmax(from_mm, to_mm)};
}

/* Adds a cell, which has a length: what runs straight has its mean in the
 * middle. */
static void add_cell(const bl_profile_point *at, bl_span cell,
                     sum totals[RESISTANCES]) {
    double before[RESISTANCES];
    double after[RESISTANCES];
    resistances(at - 1, before);
    resistances(at, after);
    double middle_mm = 0.5 * (cell.from_mm + cell.to_mm);
    double part = (middle_mm - at[-1].position_mm) /
                  (at->position_mm - at[-1].position_mm);
    for (unsigned i = 0; i < RESISTANCES; i++) {
        sum_add(&totals[i], (cell.to_mm - cell.from_mm) *
                                (before[i] + part * (after[i] - before[i])));
    }
}

/* The first point behind a position, which is not behind all of them; at least
 * the second, so that there is one before it. */
static size_t first_behind(const bl_assessment *of, double position_mm) {
    size_t low = 1;
    size_t high = of->profile_count - 1;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (of->profile[middle].position_mm > position_mm) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low;
}

static const char *why_not_before(const bl_assessment *of, bl_span span) {
    if (of->reference_from == BL_FROM_NOTHING) {
        return "there is no reference";
    }
    if (!(span.from_mm >= of->profile[0].position_mm &&
          span.to_mm <= of->profile[of->profile_count - 1].position_mm)) {
        return "it reaches beyond what was traced";
    }
    return span.to_mm > span.from_mm ? NULL : "it has no length";
}

/* A gap is not known to be like what is beside it. */
static const char *add_cells(const bl_assessment *of, bl_span span,
                             sum totals[RESISTANCES]) {
    for (size_t i = first_behind(of, span.from_mm); i < of->profile_count;
         i++) {
        const bl_profile_point *at = &of->profile[i];
        if (at[-1].position_mm >= span.to_mm) {
            break;
        }
        bl_span cell = cell_of(at, span);
        if (!(cell.to_mm > cell.from_mm)) {
            continue;
        }
        if (at->after_gap) {
            return "a gap without usable frames lies in it";
        }
        add_cell(at, cell, totals);
    }
    return NULL;
}

bl_flow bl_assessment_flow(const bl_assessment *of, bl_span span) {
    bl_flow out = {span, UNKNOWN, UNKNOWN, why_not_before(of, span)};
    sum totals[RESISTANCES] = {{0}};
    if (out.why_not == NULL) {
        out.why_not = add_cells(of, span, totals);
    }
    if (out.why_not != NULL) {
        return out;
    }
    double reference = sum_value(&totals[OF_REFERENCE]);
    if (isnan(reference)) {
        out.why_not = "a part of it has no reference";
        return out;
    }
    out.area_index = sum_value(&totals[OF_AREA]) / reference;
    out.index = sum_value(&totals[OF_VEIN]) / reference;
    if (isnan(out.index)) {
        out.why_not = "the diameters of a contour in it are not known";
    }
    return out;
}
