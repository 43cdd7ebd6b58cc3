/*
 * leeway.c - how far healthy vein may lie from where a found reference has it.
 *
 * Healthy vein narrows caudally. Beyond a stretch a reference is level, or
 * falls as nominal diameters do, and between two it is a straight line. What it
 * may miss by is drawn evenly between none and the most that veins are known to
 * do:
 *
 * - beyond a stretch, the taper of fullness.c over the distance, whatever the
 *   reference falls by: that within a vein, or, where marks do not tell the
 *   vein, that of one joining another;
 * - between two that a border parts the same, from either to the border;
 * - between two stretches that marks do not place in one vein, and between
 * which no border is known, calibre falls partly evenly and partly in one step
 *   anywhere;
 * - a calibre lent by another vein is off by what normal veins differ by, less
 *   what it was scaled by already, and a quarter of that to either side;
 * - the stretch that was chosen is one of those that may serve: its area is
 *   drawn between it and the next best;
 * - a stretch is healthy as far as that can be told, to FULL_SHARE.
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
/* Normal areas of the common femoral and the external iliac vein, 125 and 150
 * mm2, make a ratio of diameters of 0.91, nominal diameters, 12 and 14 mm, one
 * of 0.86. */
#define PERSON_SHARE 0.06
#define LEAST 0.5

/* Where on a link of one stretch the vein is that the link is of. */
static double place_of(const reference_link *link, double middle_mm) {
    if (!isnan(link->border_mm)) {
        return link->border_mm + (middle_mm < link->border_mm ? 1.0 : -1.0);
    }
    return fmin(fmax(middle_mm, link->span.from_mm), link->span.to_mm);
}

/* What the vein at a place differs by from the stretch that lends to it, and
 * from what that was scaled to. */
static double apart_of(const workings *work, const reference_link *link,
                       double middle_mm, double x_mm, double caudal) {
    bl_vein lender = vein_line_at(&work->veins, middle_mm);
    bl_vein own = vein_line_at(&work->veins, x_mm);
    double ratio = circle_diameter_mm(workings_normal_area_mm2(work, own)) /
                   circle_diameter_mm(workings_normal_area_mm2(work, lender));
    if (isnan(ratio)) {
        bool is_caudal = caudal * (x_mm - middle_mm) > 0.0;
        ratio =
            is_caudal ? 1.0 - NEIGHBOUR_SHARE : 1.0 / (1.0 - NEIGHBOUR_SHARE);
    }
    bool beyond = x_mm > middle_mm;
    return ratio / link->scale[beyond ? 1 : 0] - 1.0;
}

/* Between two stretches. */
static void between_of(const workings *work, const reference_link *link,
                       leeway_link *out) {
    bl_vein vein = vein_line_at(&work->veins, out->at_mm[0]);
    bool known = vein != BL_VEIN_UNKNOWN &&
                 vein_line_at(&work->veins, out->at_mm[1]) == vein;
    bool tapers = work->reference.rule == BL_RULE_TAPER;
    out->may_step = !known && isnan(link->border_mm) && tapers;
    out->bordered = !isnan(link->border_mm) && tapers;
    out->border_mm = link->border_mm;
    out->slope = TAPER_PER_MM;
}

/* Beyond one. */
static void beyond_of(const workings *work, const reference_link *link,
                      double caudal, leeway_link *out) {
    double middle = out->at_mm[0];
    double x = place_of(link, middle);
    bl_vein vein = vein_line_at(&work->veins, x);
    bool lent = vein_line_at(&work->veins, middle) != vein;
    out->slope =
        lent || vein != BL_VEIN_UNKNOWN ? TAPER_PER_MM : TAPER_UNKNOWN_PER_MM;
    if (lent) {
        out->apart = apart_of(work, link, middle, x, caudal);
        out->either = PERSON_SHARE;
    } else if (link->count == 2 && work->reference.rule == BL_RULE_TAPER) {
        out->ramp = link->ramp;
        out->scale[0] = link->scale[0];
        out->scale[1] = link->scale[1];
    }
}

static leeway_link link_of(const workings *work, const reference_link *link,
                           double caudal) {
    leeway_link out = {
        .stretches = link->count, .scale = {1.0, 1.0}, .border_mm = UNKNOWN};
    if (link->count == 0) {
        return out;
    }
    for (size_t i = 0; i < link->count; i++) {
        const bl_segment *from = &work->reference.segments[link->segments[i]];
        out.at_mm[i] = reference_middle_mm(from);
        out.diameter[i] = from->equivalent_diameter_mm;
    }
    if (link->count == 2 && link->segments[0] != link->segments[1]) {
        between_of(work, link, &out);
    } else {
        out.stretches = 1;
        beyond_of(work, link, caudal, &out);
    }
    return out;
}

leeway leeway_of(const workings *work, const reference *runner_up) {
    const reference *of = &work->reference;
    leeway out = {.count = of->link_count,
                  .caudal = of->travel == BL_END_CAUDAL ? 1.0 : -1.0};
    for (size_t i = 0; i < of->link_count; i++) {
        out.links[i] = link_of(work, &of->links[i], out.caudal);
    }
    bool any = reference_exists(runner_up) && runner_up->count == of->count;
    for (size_t i = 0; i < of->count; i++) {
        out.next_best[i] =
            any ? runner_up->segments[i].area_mm2 / of->segments[i].area_mm2
                : 1.0;
    }
    return out;
}

/* Of a stretch: between the one taken and the next best, and as far off as
 * healthy vein is told to be. */
static double chosen_area(double next_best, chance *by) {
    double next =
        next_best > 0.0 ? 1.0 + chance_even(by) * (next_best - 1.0) : 1.0;
    double diameter = 1.0 + (2.0 * chance_even(by) - 1.0) * FULL_SHARE;
    return next * diameter * diameter;
}

leeway_draw leeway_take(const leeway *of, chance *by) {
    leeway_draw out = {.of = of};
    for (size_t i = 0; i < REFERENCE_SEGMENTS; i++) {
        out.chosen[i] = of->count > 0 ? chosen_area(of->next_best[i], by) : 1.0;
    }
    for (size_t i = 0; i < of->count; i++) {
        const leeway_link *link = &of->links[i];
        double part = chance_even(by);
        out.slope[i] = chance_even(by) * link->slope;
        out.apart[i] =
            (chance_even(by) * (1.0 + 2.0 * BESIDE) - BESIDE) * link->apart;
        out.either[i] = (2.0 * chance_even(by) - 1.0) * link->either;
        out.stepped[i] = link->may_step ? chance_even(by) : 0.0;
        out.step_mm[i] =
            link->at_mm[0] + part * (link->at_mm[1] - link->at_mm[0]);
    }
    return out;
}

/* Between two stretches, against the straight line. */
static double stepped(const leeway_draw *now, size_t link, double x_mm) {
    const leeway_link *of = &now->of->links[link];
    double part = (x_mm - of->at_mm[0]) / (of->at_mm[1] - of->at_mm[0]);
    double rise = of->diameter[1] - of->diameter[0];
    double line = of->diameter[0] + part * rise;
    double off = (x_mm < now->step_mm[link] ? 0.0 : 1.0) - part;
    return 1.0 + now->stepped[link] * off * rise / line;
}

/* What the reference falls by already. */
static double scaled(const leeway_link *of, double x_mm) {
    double length = of->ramp.to_mm - of->ramp.from_mm;
    double part = length > 0.0 ? (x_mm - of->ramp.from_mm) / length : 0.0;
    part = fmin(fmax(part, 0.0), 1.0);
    return of->scale[0] + part * (of->scale[1] - of->scale[0]);
}

/* By a taper from the middle of a stretch on, as a share; positive is narrower.
 */
static double fallen(const leeway_draw *now, size_t link, size_t stretch,
                     double x_mm) {
    const leeway_link *of = &now->of->links[link];
    double away = now->of->caudal * (x_mm - of->at_mm[stretch]);
    double fall = now->slope[link] * away / of->diameter[stretch];
    return fmin(fmax(fall, -FALL_MOST), FALL_MOST);
}

double leeway_factor(const leeway_draw *now, size_t link, double x_mm) {
    if (now->of == NULL || link >= now->of->count) {
        return 1.0;
    }
    const leeway_link *of = &now->of->links[link];
    if (of->stretches == 0) {
        return 1.0;
    }
    if (of->stretches == 2) {
        if (of->bordered) {
            return 1.0 - fallen(now, link, x_mm < of->border_mm ? 0 : 1, x_mm);
        }
        return of->may_step ? stepped(now, link, x_mm) : 1.0;
    }
    double share = (1.0 - fallen(now, link, 0, x_mm)) *
                   (1.0 + now->apart[link] + now->either[link]);
    return fmax(share / scaled(of, x_mm), LEAST);
}
