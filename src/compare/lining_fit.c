/*
 * lining_fit.c - how well two tables agree as they were lined up, and whether
 * another shift than the one that was given would fit better.
 */
#include "base/constants.h"
#include "compare/lining.h"

#include <math.h>

#define FIT_LEAST_MM 10.0
#define BETTER_STEPS 30
#define BETTER_STEP_MM 0.5
#define BETTER_LEAST_MM 20.0
#define BETTER_SHARE 0.75
#define BETTER_BY_PCT 1.0
#define SIDE_LEAST_MM 5.0

bl_status lining_open(const lining *of, double beside_mm, likeness *out) {
    const bl_compare_options *options = of->in->options;
    bl_span without = options->treated_given ? options->treated : of->device;
    without.from_mm -= beside_mm;
    without.to_mm += beside_mm;
    return likeness_open(&of->in->tables[BEFORE].lumen,
                         &of->in->tables[AFTER].lumen, without,
                         options->treated_given, of->in->owner, out);
}

/* Where a position of BEFORE is in AFTER, as u: bl_alignment_before_mm the
 * other way. */
static double place_after(const bl_alignment *of, double before_mm) {
    double turn = lining_turn(of);
    const bl_knot *knots = of->knots;
    size_t next = 0;
    while (next < of->knot_count && knots[next].before_mm <= before_mm) {
        next++;
    }
    bool inside = next > 0 && next < of->knot_count;
    const bl_knot *from = &knots[next == 0 ? 0 : next - 1];
    double ratio = inside       ? of->paces[next - 1].ratio
                   : of->scaled ? of->paces[0].ratio
                                : 1.0;
    return turn * from->after_mm + (before_mm - from->before_mm) / ratio;
}

/* Between knots the shift is linear. */
static void measure_range(lining *of) {
    bl_interval *range = &of->made.shift_range_mm;
    *range = (bl_interval){UNKNOWN, UNKNOWN};
    for (size_t i = 0; i < of->made.knot_count; i++) {
        const bl_knot *knot = &of->knots[i];
        double shift = knot->before_mm - of->in->turn * knot->after_mm;
        range->low = fmin(range->low, shift);
        range->high = fmax(range->high, shift);
    }
}

/* How well the answer fits, and its shift in the middle of what is treated. */
static void measure(lining *of) {
    likeness_fit fit = likeness_as_aligned(&of->alike, &of->made);
    bool enough = fit.compared_mm >= FIT_LEAST_MM;
    of->made.compared_mm = enough ? fit.compared_mm : UNKNOWN;
    of->made.difference_pct = enough ? fit.difference_pct : UNKNOWN;
    of->made.spread_pct = enough ? fit.spread_pct : UNKNOWN;
    for (int i = 0; i < 2; i++) {
        bool known = fit.side_mm[i] >= SIDE_LEAST_MM;
        of->made.calibre_ratio[i] = known ? exp(fit.level[i] / 100.0) : UNKNOWN;
    }
    measure_range(of);
    double u = of->alike.line.middle_mm;
    if (of->in->options->treated_given) {
        bl_span treated = of->in->options->treated;
        u = place_after(&of->made, 0.5 * (treated.from_mm + treated.to_mm));
    } else if (!isnan(of->device.from_mm)) {
        u = 0.5 * (of->device.from_mm + of->device.to_mm);
    }
    of->made.shift_mm = bl_alignment_before_mm(&of->made, of->in->turn * u) - u;
}

/* Whether another shift, of which as much can be compared, fits twice as well
 * as the one that was given. The bounds are our own. */
static void find_better(lining *of) {
    double best = of->made.difference_pct;
    double shift = UNKNOWN;
    likeness_line line = of->alike.line;
    for (int i = -BETTER_STEPS; i <= BETTER_STEPS; i++) {
        line.shift_mm = of->in->options->shift_mm + BETTER_STEP_MM * (double)i;
        likeness_fit fit = likeness_by(&of->alike, &line, LIKENESS_BOTH);
        bool enough = fit.compared_mm >= BETTER_LEAST_MM &&
                      fit.compared_mm >= BETTER_SHARE * of->made.compared_mm &&
                      fit.difference_pct <= UNLIKE_MOST * fit.spread_pct;
        if (enough && fit.difference_pct < best) {
            best = fit.difference_pct;
            shift = line.shift_mm;
        }
    }
    if (best <= 0.5 * of->made.difference_pct &&
        of->made.difference_pct - best > BETTER_BY_PCT) {
        of->made.better_shift_mm = shift;
        of->made.better_difference_pct = best;
    }
}

static bool agrees(double difference_pct, double spread_pct) {
    return difference_pct <= UNLIKE_MOST * spread_pct;
}

/* Where calibres do not agree, whether they do without the edges, of which the
 * vein may have changed. Profiles that were lined up by agree; without a
 * treated stretch it lies inside what is compared, and differs because it was
 * treated. */
static bl_status judge(lining *of) {
    const bl_alignment *made = &of->made;
    if (!lining_has_treated(of) || made->by == BL_ALIGNED_PROFILES ||
        !(made->spread_pct >= SPREAD_LEAST_PCT) ||
        agrees(made->difference_pct, made->spread_pct)) {
        return BL_OK;
    }
    likeness beyond;
    bl_status status = lining_open(
        of, fmax(of->in->options->edge_mm, BESIDE_DEVICE_MM), &beyond);
    if (status != BL_OK) {
        return status;
    }
    likeness_fit fit = likeness_as_aligned(&beyond, made);
    bool told = fit.compared_mm >= FIT_LEAST_MM &&
                fit.spread_pct >= SPREAD_LEAST_PCT &&
                agrees(fit.difference_pct, fit.spread_pct);
    of->in->misfit = told ? MISFIT_AT_EDGES : MISFIT_ALL;
    return BL_OK;
}

bl_status lining_measure(lining *of) {
    measure(of);
    if (of->made.by == BL_ALIGNED_SHIFT && lining_has_treated(of)) {
        find_better(of);
    }
    return judge(of);
}
