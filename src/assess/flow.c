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
#include "assess/spanning.h"

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

/* What runs straight between two points has its mean over a cell in the middle
 * of it. */
static void add_cell(const spanning_cell *cell, sum totals[RESISTANCES]) {
    double before[RESISTANCES];
    double after[RESISTANCES];
    resistances(cell->before, before);
    resistances(cell->after, after);
    for (unsigned i = 0; i < RESISTANCES; i++) {
        double middle = before[i] + cell->part * (after[i] - before[i]);
        sum_add(&totals[i], cell->length_mm * middle);
    }
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

bl_flow bl_assessment_flow(const bl_assessment *of, bl_span span) {
    bl_flow out = {span, UNKNOWN, UNKNOWN, why_not_before(of, span)};
    sum totals[RESISTANCES] = {{0}};
    if (out.why_not != NULL) {
        return out;
    }
    spanning over = spanning_of(of->profile, of->profile_count, span);
    for (spanning_cell cell; spanning_next(&over, &cell);) {
        if (cell.is_gap) {
            out.why_not = SPANNING_GAP;
            return out;
        }
        add_cell(&cell, totals);
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
