/*
 * waist.c - the narrowest place of a stretch, held against everything.
 */
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>

static double lacking_pct(double area_mm2, double of_mm2) {
    return 100.0 * (of_mm2 - area_mm2) / of_mm2;
}

bl_waist waist_nowhere(void) {
    return (bl_waist){
        .frame = -1,
        .row = BL_NO_ROW,
        .position_mm = UNKNOWN,
        .own_position_mm = UNKNOWN,
        .area_mm2 = UNKNOWN,
        .equivalent_diameter_mm = UNKNOWN,
        .min_diameter_mm = UNKNOWN,
        .max_diameter_mm = UNKNOWN,
        .before_reference_mm2 = UNKNOWN,
        .after_reference_mm2 = UNKNOWN,
        .nominal_mm2 = UNKNOWN,
        .before_reference_stenosis_pct = UNKNOWN,
        .after_reference_stenosis_pct = UNKNOWN,
        .nominal_stenosis_pct = UNKNOWN,
    };
}

bl_waist waist_of(const comparing *in, const trace_node *node) {
    double before = denominator_before_mm2(&in->against, node->at_mm);
    double after = denominator_after_mm2(&in->against, node->at_mm);
    double nominal = denominator_nominal_mm2(&in->against, node->at_mm);
    return (bl_waist){
        .frame = node->frame,
        .row = node->row,
        .position_mm = node->at_mm,
        .own_position_mm = node->own_mm,
        .area_mm2 = node->area_mm2,
        .equivalent_diameter_mm = node->diameter_mm,
        .min_diameter_mm = node->min_mm,
        .max_diameter_mm = node->max_mm,
        .before_reference_mm2 = before,
        .after_reference_mm2 = after,
        .nominal_mm2 = nominal,
        .before_reference_stenosis_pct = lacking_pct(node->area_mm2, before),
        .after_reference_stenosis_pct = lacking_pct(node->area_mm2, after),
        .nominal_stenosis_pct = lacking_pct(node->area_mm2, nominal),
    };
}

double waist_stenosis_pct(const bl_waist *at) {
    return isnan(at->before_reference_stenosis_pct)
               ? at->after_reference_stenosis_pct
               : at->before_reference_stenosis_pct;
}

size_t waist_from_cranial(const comparing *in, trace_run run, size_t index) {
    return in->tables[BEFORE].pullback->travel == BL_END_CAUDAL
               ? run.first + index
               : run.end - 1 - index;
}

/* A running median makes many areas equal, and then the reference decides. */
static bool is_less(const bl_waist *a, const bl_waist *than) {
    if (a->area_mm2 < than->area_mm2 || isnan(than->area_mm2)) {
        return true;
    }
    return !(a->area_mm2 > than->area_mm2) &&
           waist_stenosis_pct(a) > waist_stenosis_pct(than);
}

bl_waist waist_least(const comparing *in, const trace *of, trace_run run) {
    bl_waist least = waist_nowhere();
    for (size_t i = 0; i < run.end - run.first; i++) {
        const trace_node *node = &of->nodes[waist_from_cranial(in, run, i)];
        bl_waist at = waist_of(in, node);
        if (is_less(&at, &least)) {
            least = at;
        }
    }
    return least;
}
