/*
 * beyond.c - the vein beyond the treated stretch: its first millimetres on
 * either side, and what is narrow and was left.
 *
 * Narrow is what reaches the threshold of AFTER's assessment by the reference
 * before or, where that is not known, by that after; between frames the share
 * of the reference is linear. Two stretches less than 5 mm apart are one, as in
 * an assessment. A frame on an end belongs to the treated stretch. What an edge
 * lost is found in loss.c.
 */
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>

/* ------------------------------------------------------------------- edges */

/* Greater stenosis where both have one, else less area. */
static bool is_worse(const bl_waist *a, const bl_waist *than) {
    double one = waist_stenosis_pct(a);
    double other = waist_stenosis_pct(than);
    return isnan(one) || isnan(other) ? !(a->area_mm2 >= than->area_mm2)
                                      : one > other;
}

static bl_edge edge_of(const comparing *in, bl_span span, bl_end where) {
    const trace *after = &in->tables[AFTER].lumen;
    trace_run run = trace_within(after, span);
    bl_edge out = {
        .where = where,
        .span = span,
        .traced_mm = trace_length_mm(after, run),
        .worst = waist_nowhere(),
        .loss_position_mm = UNKNOWN,
        .loss_before_mm2 = UNKNOWN,
        .loss_after_mm2 = UNKNOWN,
        .loss_pct = UNKNOWN,
        .loss_interval_pct = {UNKNOWN, UNKNOWN},
        .loss_within_error = true,
    };
    for (size_t i = 0; i < run.end - run.first; i++) {
        const trace_node *node = &after->nodes[waist_from_cranial(in, run, i)];
        if (comparing_is_treated(in, node->at_mm)) {
            continue;
        }
        bl_waist at = waist_of(in, node);
        if (is_worse(&at, &out.worst)) {
            out.worst = at;
        }
    }
    out.before_area_mm2 =
        trace_area_mm2(&in->tables[BEFORE].lumen, out.worst.position_mm);
    return out;
}

static void fill_edges(comparing *in) {
    bl_comparison *out = in->out;
    bool forward = in->tables[BEFORE].pullback->travel == BL_END_CAUDAL;
    double edge = in->options->edge_mm;
    bl_span low = {out->treated.from_mm - edge, out->treated.from_mm};
    bl_span high = {out->treated.to_mm, out->treated.to_mm + edge};
    out->edges[0] = edge_of(in, low, forward ? BL_END_CRANIAL : BL_END_CAUDAL);
    out->edges[1] = edge_of(in, high, forward ? BL_END_CAUDAL : BL_END_CRANIAL);
    out->edge_count = 2;
}

/* --------------------------------------------------------------- untreated */

/* Share of the threshold's area that a node has: narrow is 1 or less. */
static double excess_at(const comparing *in, const bl_waist *at) {
    double keep =
        1.0 - in->tables[AFTER].assessment->options.threshold_pct / 100.0;
    double reference = isnan(at->before_reference_mm2)
                           ? at->after_reference_mm2
                           : at->before_reference_mm2;
    return at->area_mm2 / (keep * reference) - 1.0;
}

typedef struct beyond_walk {
    comparing *in;
    bl_untreated *list;
    size_t count;
    bool open;    /* the node before was narrow */
    bool joined;  /* no gap and no treated vein since the last stretch */
    double at_mm; /* of the node before, outside */
    double excess;
    double traced_mm; /* so far; NaN: no node */
    double judged_mm;
} beyond_walk;

/* What BEFORE has there. */
static void look_before(const comparing *in, bl_untreated *to) {
    double keep =
        1.0 - in->tables[BEFORE].assessment->options.threshold_pct / 100.0;
    double at = to->worst.position_mm;
    double area = trace_area_mm2(&in->tables[BEFORE].lumen, at);
    double reference = denominator_before_mm2(&in->against, at);
    to->was_seen = !isnan(area) && !isnan(reference);
    to->was_there = area <= keep * reference;
}

/* Where the share crosses the threshold between the node before and this. */
static double crossing_mm(const beyond_walk *of, double at_mm, double excess) {
    double part = of->excess / (of->excess - excess);
    return of->at_mm + fmin(fmax(part, 0.0), 1.0) * (at_mm - of->at_mm);
}

static void take_narrow(beyond_walk *of, const bl_waist *at, double from_mm) {
    bool goes_on =
        of->open ||
        (of->joined && from_mm - of->list[of->count - 1].span.to_mm < JOIN_MM);
    if (!goes_on) {
        of->list[of->count++] =
            (bl_untreated){.span = {from_mm, from_mm}, .worst = *at};
    }
    bl_untreated *last = &of->list[of->count - 1];
    last->span.to_mm = at->position_mm;
    if (is_worse(at, &last->worst)) {
        last->worst = *at;
    }
}

static double add_step(double so_far_mm, double step_mm) {
    return isnan(so_far_mm) ? step_mm : so_far_mm + step_mm;
}

/* judged: the vein from the node before to this. */
static void take_step(beyond_walk *of, double step_mm, double excess,
                      bool judged) {
    of->traced_mm = add_step(of->traced_mm, step_mm);
    if (!isnan(excess)) {
        of->judged_mm = add_step(of->judged_mm, judged ? step_mm : 0.0);
    }
}

/* continues: no gap and no treated vein since the node before. */
static void walk_node(beyond_walk *of, const bl_waist *at, bool continues) {
    double excess = excess_at(of->in, at);
    double here = at->position_mm;
    bool narrow = excess <= EDGE_MM;
    if (!continues) {
        of->open = false;
        of->joined = false;
    }
    bool known = continues && !isnan(of->excess) && !isnan(excess);
    take_step(of, continues ? here - of->at_mm : 0.0, excess, known);
    if (narrow) {
        double from = known && !of->open ? crossing_mm(of, here, excess) : here;
        take_narrow(of, at, from);
        of->joined = true;
    } else if (of->open && known) {
        of->list[of->count - 1].span.to_mm = crossing_mm(of, here, excess);
    }
    of->open = narrow;
    of->at_mm = here;
    of->excess = excess;
}

static bl_status fill_untreated(comparing *in) {
    const trace *after = &in->tables[AFTER].lumen;
    beyond_walk walk = {.in = in,
                        .excess = UNKNOWN,
                        .traced_mm = UNKNOWN,
                        .judged_mm = UNKNOWN};
    walk.list = arena_alloc(in->owner, after->count, sizeof *walk.list);
    if (walk.list == NULL) {
        return BL_ERR_MEMORY;
    }
    bool continues = false;
    for (size_t i = 0; i < after->count; i++) {
        const trace_node *node = &after->nodes[i];
        continues = continues && !node->starts;
        if (comparing_is_treated(in, node->at_mm)) {
            continues = false;
            continue;
        }
        bl_waist at = waist_of(in, node);
        walk_node(&walk, &at, continues);
        continues = true;
    }
    for (size_t i = 0; i < walk.count; i++) {
        bl_untreated *one = &walk.list[i];
        one->by_before = !isnan(one->worst.before_reference_mm2);
        look_before(in, one);
    }
    in->out->untreated = walk.list;
    in->out->untreated_count = walk.count;
    in->out->outside_mm = walk.traced_mm;
    in->out->outside_judged_mm = walk.judged_mm;
    return BL_OK;
}

/* Without a treated stretch nothing is known to lie beyond it. */
bl_status beyond_fill(comparing *in) {
    in->out->outside_mm = UNKNOWN;
    in->out->outside_judged_mm = UNKNOWN;
    if (in->out->treated_from == BL_TREATED_NOWHERE) {
        return BL_OK;
    }
    fill_edges(in);
    return fill_untreated(in);
}
