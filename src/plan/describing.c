/*
 * describing.c - treatments as the plan gives them out.
 */
#include "plan/describing.h"

#include "base/constants.h"
#include "plan/laying.h"
#include "plan/missing.h"

#include <math.h>

described_ends describing_ends(const planner *in, const treatment *of,
                               const bl_chain *chain) {
    size_t count = chain->device_count;
    if (count == 0) {
        return (described_ends){{of->ends[0].at_mm, of->ends[1].at_mm}};
    }
    /* By ends, not by order: the longest may reach further than the last. */
    double first = HUGE_VAL;
    double last = -HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        bl_span span = ground_span(&in->ground, chain->devices[i].span.from_mm,
                                   chain->devices[i].span.to_mm);
        first = fmin(first, span.from_mm);
        last = fmax(last, span.to_mm);
    }
    return (described_ends){{first, last}};
}

ground_part describing_between(const planner *in, const treatment *of) {
    ground_part out = {0.0, UNKNOWN, UNKNOWN};
    double reached = of->from_mm;
    size_t count = of->narrowing_count;
    for (size_t i = 0; i < count; i++) {
        size_t index = of->first_narrowing + laying_turned(in, i, count);
        bl_span found = in->assessment->narrowings[index].shoulders;
        bl_span own = ground_span(&in->ground, found.from_mm, found.to_mm);
        ground_add_healthy(&in->ground, reached, own.from_mm, &out);
        reached = fmax(reached, own.to_mm);
    }
    ground_add_healthy(&in->ground, reached, of->to_mm, &out);
    return out;
}

/* Where a position is if all lengths from the first frame on were factor times
 * what was traced. */
static bl_interval moved(const planner *in, double position_mm,
                         bl_interval factor) {
    double first = in->assessment->profile[0].position_mm;
    return (bl_interval){first + factor.low * (position_mm - first),
                         first + factor.high * (position_mm - first)};
}

static bl_landing describe_end(const planner *in, const landing *of,
                               const described_ends *ends, bl_interval factor) {
    int own = of->caudal ? 1 : 0;
    ground_node there = ground_node_at(&in->ground, of->at_mm);
    double position = ground_position(&in->ground, of->at_mm);
    const bl_mark *near =
        landing_near(&in->ground, in->pullback, ends->at_mm[own]);
    bl_landing out = {
        .where = of->caudal ? BL_END_CAUDAL : BL_END_CRANIAL,
        .position_mm = position,
        .healthy = of->healthy,
        .open = of->open,
        .healthy_vein = {UNKNOWN, UNKNOWN},
        .ends_at = of->ends_at,
        .crosses = landing_crosses(&in->ground, in->pullback, of->caudal,
                                   ends->at_mm[own], ends->at_mm[1 - own]),
        .near = near,
        .beyond = landing_beyond(&in->ground, in->pullback, of->caudal,
                                 ends->at_mm[own], ends->at_mm[1 - own]),
        .equivalent_diameter_mm = there.diameter_mm,
        .aspect_ratio = there.aspect_ratio,
        .reference_diameter_mm = there.reference_mm[BL_SIZE_BY_AREA],
        .position_interval_mm = of->open ? (bl_interval){UNKNOWN, UNKNOWN}
                                         : moved(in, position, factor),
    };
    if (!isnan(of->near_mm)) {
        out.healthy_vein =
            ground_span(&in->ground, fmin(of->near_mm, of->far_mm),
                        fmax(of->near_mm, of->far_mm));
    }
    return out;
}

static bl_status describe(const planner *in, const treatment *of,
                          const bl_chain *chain, bl_interval factor,
                          bl_stretch *out) {
    double from = of->ends[0].at_mm;
    double to = of->ends[1].at_mm;
    described_ends ends = describing_ends(in, of, chain);
    *out = (bl_stretch){
        .treat = ground_span(&in->ground, of->from_mm, of->to_mm),
        .first_narrowing = of->first_narrowing,
        .narrowing_count = of->narrowing_count,
        .healthy_between_mm = describing_between(in, of).length_mm,
        .cover_mm = to - from,
        .cover_interval_mm = {factor.low * (to - from),
                              factor.high * (to - from)},
        .wanted_diameter_mm =
            ground_mean_over(&in->ground, from, to).reference_mm[in->rules.by],
        .chain = *chain,
    };
    for (size_t i = 0; i < 2; i++) {
        out->landings[laying_turned(in, i, 2)] =
            describe_end(in, &of->ends[i], &ends, factor);
    }
    bool lacks = in->options->stock != NULL && !of->served;
    return lacks ? missing_words(in, of, out) : BL_OK;
}

bl_status describing_stretches(const planner *in, const treatment *list,
                               const bl_chain *chains, size_t count,
                               bl_interval factor, bl_stretch **out) {
    bl_stretch *stretches = arena_alloc(in->owner, count, sizeof *stretches);
    bl_status status = stretches == NULL ? BL_ERR_MEMORY : BL_OK;
    for (size_t i = 0; i < count && status == BL_OK; i++) {
        size_t k = laying_turned(in, i, count);
        status = describe(in, &list[i], &chains[k], factor, &stretches[k]);
    }
    *out = stretches;
    return status;
}
