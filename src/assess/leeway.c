/*
 * leeway.c - how far healthy vein may lie from where a found reference has it.
 *
 * Healthy vein narrows caudally. A reference of one stretch does not, and one
 * of two is a straight line. What it may miss by is drawn evenly between none
 * and the most that veins are known to do:
 *
 * - beyond a stretch, the taper of fullness.c over the distance: that within a
 *   vein, or, where marks do not tell the vein, that of one joining another;
 * - between two stretches that marks do not place in one vein, calibre falls
 *   partly evenly and partly in one step anywhere;
 * - a calibre lent by another vein is off by what normal veins differ by, less
 *   what it was scaled by already, and a quarter of that to either side;
 * - the stretch that was chosen is one of those that may serve: its area is
 *   drawn between it and the next best.
 */
#include "assess/leeway.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

/* Lent calibre of veins without a normal: neighbours' diameters, 16, 14 and 12
 * mm, differ by so much. */
#define NEIGHBOUR_SHARE 0.13
/* From cava to common femoral vein 18.4 mm become 12. */
#define FALL_MOST 0.35
#define BESIDE 0.25
#define LEAST 0.5

/* What the vein at a place differs by from the stretch that lends to it. */
static double apart_of(const workings *work, const reference_piece *piece,
                       const bl_segment *from, double middle_mm,
                       double caudal) {
    bl_vein lender = vein_line_at(&work->veins, middle_mm);
    double ratio =
        circle_diameter_mm(workings_normal_area_mm2(work, piece->piece.vein)) /
        circle_diameter_mm(workings_normal_area_mm2(work, lender));
    if (isnan(ratio)) {
        bool is_caudal = caudal * (piece->piece.span.from_mm - middle_mm) > 0.0;
        ratio =
            is_caudal ? 1.0 - NEIGHBOUR_SHARE : 1.0 / (1.0 - NEIGHBOUR_SHARE);
    }
    double x = fmin(fmax(middle_mm, piece->piece.span.from_mm),
                    piece->piece.span.to_mm);
    double scaled = reference_diameter_mm(&work->reference, x) /
                    from->equivalent_diameter_mm;
    return isnan(scaled) ? ratio - 1.0 : ratio / scaled - 1.0;
}

static bool holds(const reference_piece *piece, double x_mm) {
    return x_mm >= piece->piece.span.from_mm && x_mm <= piece->piece.span.to_mm;
}

static leeway_piece piece_of(const workings *work, const reference_piece *piece,
                             double caudal) {
    leeway_piece out = {.stretches = piece->count};
    bool known = piece->piece.vein != BL_VEIN_UNKNOWN;
    bool lent = false;
    for (size_t i = 0; i < piece->count; i++) {
        const bl_segment *from = &work->reference.segments[piece->segments[i]];
        out.at_mm[i] = 0.5 * (from->span.from_mm + from->span.to_mm);
        out.diameter[i] = from->equivalent_diameter_mm;
        known = known &&
                vein_line_at(&work->veins, out.at_mm[i]) == piece->piece.vein;
        if (!holds(piece, out.at_mm[i]) && piece->count == 1) {
            lent = true;
            out.apart = apart_of(work, piece, from, out.at_mm[i], caudal);
        }
    }
    out.slope = known || lent ? TAPER_PER_MM : TAPER_UNKNOWN_PER_MM;
    out.may_step =
        !known && piece->count == 2 && work->reference.rule == BL_RULE_TAPER;
    return out;
}

leeway leeway_of(const workings *work, const reference *runner_up) {
    const reference *of = &work->reference;
    leeway out = {.count = of->piece_count,
                  .caudal = of->travel == BL_END_CAUDAL ? 1.0 : -1.0};
    for (size_t i = 0; i < of->piece_count; i++) {
        out.pieces[i] = piece_of(work, &of->pieces[i], out.caudal);
    }
    bool any = reference_exists(runner_up) && runner_up->count == of->count;
    for (size_t i = 0; i < of->count; i++) {
        out.next_best[i] =
            any ? runner_up->segments[i].area_mm2 / of->segments[i].area_mm2
                : 1.0;
    }
    return out;
}

leeway_draw leeway_take(const leeway *of, chance *by) {
    leeway_draw out = {.of = of};
    for (size_t i = 0; i < REFERENCE_SEGMENTS; i++) {
        double next = of->count > 0 ? of->next_best[i] : 1.0;
        out.chosen[i] = next > 0.0 ? 1.0 + chance_even(by) * (next - 1.0) : 1.0;
    }
    for (size_t i = 0; i < of->count; i++) {
        const leeway_piece *piece = &of->pieces[i];
        double part = chance_even(by);
        out.slope[i] = chance_even(by) * piece->slope;
        out.apart[i] =
            (chance_even(by) * (1.0 + 2.0 * BESIDE) - BESIDE) * piece->apart;
        out.stepped[i] = piece->may_step ? chance_even(by) : 0.0;
        out.step_mm[i] =
            piece->at_mm[0] + part * (piece->at_mm[1] - piece->at_mm[0]);
    }
    return out;
}

/* Between two stretches, against the straight line. */
static double stepped(const leeway_draw *now, size_t piece, double x_mm) {
    const leeway_piece *of = &now->of->pieces[piece];
    double part = (x_mm - of->at_mm[0]) / (of->at_mm[1] - of->at_mm[0]);
    double rise = of->diameter[1] - of->diameter[0];
    double line = of->diameter[0] + part * rise;
    double off = (x_mm < now->step_mm[piece] ? 0.0 : 1.0) - part;
    return 1.0 + now->stepped[piece] * off * rise / line;
}

double leeway_factor(const leeway_draw *now, size_t piece, double x_mm) {
    if (now->of == NULL || piece >= now->of->count) {
        return 1.0;
    }
    const leeway_piece *of = &now->of->pieces[piece];
    if (of->stretches == 0) {
        return 1.0;
    }
    size_t near = of->stretches == 2 && x_mm > of->at_mm[1] ? 1 : 0;
    if (of->stretches == 2 && x_mm > of->at_mm[0] && near == 0) {
        return of->may_step ? stepped(now, piece, x_mm) : 1.0;
    }
    double away = now->of->caudal * (x_mm - of->at_mm[near]);
    double fall = now->slope[piece] * away / of->diameter[near];
    fall = fmin(fmax(fall, -FALL_MOST), FALL_MOST);
    return fmax((1.0 - fall) * (1.0 + now->apart[piece]), LEAST);
}
