/*
 * sensitivity.c - how much an assessment depends on the rule that joins two
 * stretches, and on which stretches a search took.
 */
#include "assess/workings.h"

#include "base/constants.h"

#include <math.h>

/* What is said under one reference. */
typedef struct outcome {
    double worst_pct;
    double minimum_pct;
    double narrowed_mm;
    size_t narrowings;
} outcome;

static double narrowed_mm(const bl_narrowing *list, size_t count) {
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += list[i].span.to_mm - list[i].span.from_mm;
    }
    return sum;
}

static bl_place worst_of(const workings *work) {
    course_points all = {0, work->profile.count};
    return workings_place(work, workings_worst_of(work, all));
}

static double stenosis_pct(const reference *of, const bl_place *at) {
    double healthy = reference_shape_at(of, at->position_mm).area_mm2;
    return 100.0 * (healthy - at->area_mm2) / healthy;
}

static bl_status judge(const workings *work, bl_rule rule,
                       const bl_assessment *as, outcome *out) {
    arena own = {0};
    workings other = *work;
    bl_narrowing *list = NULL;
    other.owner = &own;
    other.reference.rule = rule;
    bl_status status = narrowing_find(&other, &list, &out->narrowings);
    if (status == BL_OK) {
        out->narrowed_mm = narrowed_mm(list, out->narrowings);
        out->worst_pct = worst_of(&other).area_stenosis_pct;
        out->minimum_pct = stenosis_pct(&other.reference, &as->minimum);
    }
    arena_free(&own);
    return status;
}

/* Where no two stretches meet there is nothing to join. */
static bool rule_counts(const reference *of) {
    bool any = false;
    for (size_t i = 0; i < of->link_count; i++) {
        any = any || of->links[i].count == 2;
    }
    return any;
}

static void set_rule(bl_assessment *into, unsigned rule, const outcome *of) {
    into->worst_by_rule_pct[rule] = of->worst_pct;
    into->minimum_by_rule_pct[rule] = of->minimum_pct;
    into->narrowed_by_rule_mm[rule] = of->narrowed_mm;
    into->narrowings_by_rule[rule] = of->narrowings;
}

static bl_status fill_rules(const workings *work, bl_assessment *into) {
    bool counts = rule_counts(&work->reference);
    const outcome unknown = {UNKNOWN, UNKNOWN, UNKNOWN, 0};
    const outcome as_it_is = {
        into->worst.area_stenosis_pct, into->minimum.area_stenosis_pct,
        narrowed_mm(into->narrowings, into->narrowing_count),
        into->narrowing_count};
    for (unsigned rule = 0; rule < BL_RULE_COUNT; rule++) {
        outcome now = work->reference.count == 0 ? unknown : as_it_is;
        bl_status status = BL_OK;
        if (counts && (bl_rule)rule != work->reference.rule) {
            status = judge(work, (bl_rule)rule, into, &now);
        }
        if (status != BL_OK) {
            return status;
        }
        set_rule(into, rule, &now);
    }
    return BL_OK;
}

static bl_status fill_runner_up(workings *under, bl_assessment *into) {
    bl_runner_up *made = arena_alloc(under->owner, 1, sizeof *made);
    bl_narrowing *narrowings = NULL;
    bl_compression *compressions = NULL;
    if (made == NULL) {
        return BL_ERR_MEMORY;
    }
    made->worst = worst_of(under);
    made->minimum_area_stenosis_pct =
        stenosis_pct(&under->reference, &into->minimum);
    reference_ends(&under->reference, made->worst.position_mm);
    made->segment_count = under->reference.count;
    bl_status status =
        workings_segments(under, made->worst.position_mm, &made->segments);
    if (status == BL_OK) {
        status = narrowing_find(under, &narrowings, &made->narrowing_count);
    }
    if (status == BL_OK) {
        status =
            compression_find(under, &compressions, &made->compression_count);
    }
    made->narrowings = narrowings;
    made->compressions = compressions;
    made->narrowed_mm = narrowed_mm(narrowings, made->narrowing_count);
    into->runner_up = made;
    return status;
}

static bool call_depends(const bl_assessment *of) {
    bool any = of->narrowing_count > 0;
    bool differs =
        of->runner_up != NULL && (of->runner_up->narrowing_count > 0) != any;
    for (unsigned rule = 0; rule < BL_RULE_COUNT; rule++) {
        differs = differs || (of->segment_count > 0 &&
                              (of->narrowings_by_rule[rule] > 0) != any);
    }
    return differs;
}

bl_status sensitivity_fill(const workings *work, const reference *runner_up,
                           bl_assessment *into) {
    bl_status status = fill_rules(work, into);
    if (status == BL_OK && reference_exists(runner_up)) {
        workings under = *work;
        under.reference = *runner_up;
        status = fill_runner_up(&under, into);
    }
    into->call_depends = status == BL_OK && call_depends(into);
    return status;
}
