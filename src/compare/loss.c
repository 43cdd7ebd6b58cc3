/*
 * loss.c - the place that lost most of its area since the first table, and
 * whether that is more than the error of reading it.
 *
 * Each place of AFTER is held against the least area that BEFORE has within
 * SLACK_MM (or as far as the shift may be off, where profiles tell it), so that
 * tables lined up a little wrongly make no loss of a slope. The greatest of
 * many places is great by chance alone: both tables are made to scatter again
 * and again, and the least and the greatest ratio that this makes anywhere
 * bound, at once for all places, what the ratio can truly be (a simultaneous
 * band: Miller, Simultaneous Statistical Inference, 1981, from memory). Where
 * nothing was lost, the call "beyond" is wrong once in forty. The edges of the
 * vein beyond the treated stretch are judged the same way, each by itself.
 */
#include "base/constants.h"
#include "compare/reread.h"

#include <math.h>

#define SLACK_MM 2.0
/* Sequences of chance: one a round, table and kind; difference.c has 1..4. */
enum { PART_LUMEN_LOSS = 5, PART_DEVICE_LOSS = 7 };

#define NO_NODE ((size_t)-1)

/* What scatters of one table. */
typedef struct loss_side {
    trace of;
    reread_error error;
    double smooth_mm;
    double *noise; /* working memory, a number a node */
    double *smooth;
    trace_room room;
} loss_side;

typedef struct loss_search {
    loss_side sides[TABLES];
    size_t *against; /* by node of AFTER: which of BEFORE, or NO_NODE */
    size_t held;     /* nodes that have one */
} loss_search;

static bl_place_loss loss_nowhere(void) {
    return (bl_place_loss){
        .frame = -1,
        .position_mm = UNKNOWN,
        .own_position_mm = UNKNOWN,
        .first_mm2 = UNKNOWN,
        .second_mm2 = UNKNOWN,
        .loss_pct = UNKNOWN,
        .interval_pct = {UNKNOWN, UNKNOWN},
        .within_error = true,
        .first_nominal_pct = UNKNOWN,
        .second_nominal_pct = UNKNOWN,
    };
}

static bl_status open_side(const comparing *in, int which, const trace *of,
                           trace_run run, arena *owner, loss_side *out) {
    size_t count = run.end - run.first;
    *out = (loss_side){
        .of = {.nodes = of->nodes + run.first, .count = count},
        .error = reread_error_of(in, which),
        .smooth_mm = in->tables[which].assessment->options.smooth_mm,
        .noise = arena_alloc(owner, count, sizeof *out->noise),
        .smooth = arena_alloc(owner, count, sizeof *out->smooth),
    };
    return out->noise == NULL || out->smooth == NULL
               ? BL_ERR_MEMORY
               : trace_room_open(&out->of, owner, &out->room);
}

/* The node of BEFORE with the least area about a place; between frames that
 * stand further apart, the lesser neighbour. */
static size_t least_about(const trace *before, double at_mm, double slack) {
    trace_run run =
        trace_within(before, (bl_span){at_mm - slack, at_mm + slack});
    if (isnan(trace_area_mm2(before, at_mm))) {
        return NO_NODE;
    }
    if (run.first == run.end) {
        run = (trace_run){run.first - 1, run.first + 1};
    }
    size_t least = run.first;
    for (size_t i = run.first; i < run.end; i++) {
        if (before->nodes[i].area_mm2 < before->nodes[least].area_mm2) {
            least = i;
        }
    }
    return least;
}

static bl_status hold(double slack_mm, arena *owner, loss_search *of) {
    const trace *after = &of->sides[AFTER].of;
    of->against = arena_alloc(owner, after->count, sizeof *of->against);
    if (of->against == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < after->count; i++) {
        of->against[i] =
            least_about(&of->sides[BEFORE].of, after->nodes[i].at_mm, slack_mm);
        of->held += of->against[i] != NO_NODE;
    }
    return BL_OK;
}

static double nominal_pct(const comparing *in, double area_mm2, double at_mm) {
    return 100.0 * area_mm2 / denominator_nominal_mm2(&in->against, at_mm);
}

static void find_place(const comparing *in, const loss_search *of,
                       bl_place_loss *out) {
    const trace *after = &of->sides[AFTER].of;
    trace_run all = {0, after->count};
    for (size_t n = 0; n < after->count; n++) {
        size_t i = waist_from_cranial(in, all, n);
        if (of->against[i] == NO_NODE) {
            continue;
        }
        const trace_node *node = &after->nodes[i];
        double first = of->sides[BEFORE].of.nodes[of->against[i]].area_mm2;
        double loss = 100.0 * (1.0 - node->area_mm2 / first);
        if (!(loss <= out->loss_pct)) {
            out->frame = node->frame;
            out->position_mm = node->at_mm;
            out->own_position_mm = node->own_mm;
            out->first_mm2 = first;
            out->second_mm2 = node->area_mm2;
            out->loss_pct = loss;
        }
    }
    out->first_nominal_pct = nominal_pct(in, out->first_mm2, out->position_mm);
    out->second_nominal_pct =
        nominal_pct(in, out->second_mm2, out->position_mm);
}

static void scatter(loss_side *of, chance by) {
    double shared = reread_share(&by, of->error.shared_cv);
    for (size_t i = 0; i < of->of.count; i++) {
        of->noise[i] = shared * reread_share(&by, of->error.own_cv);
    }
    trace_smooth(&of->of, &of->room, of->noise, of->smooth_mm, of->smooth);
}

/* The least and the greatest ratio that scatter alone makes anywhere. */
static bl_interval ratios(const loss_search *of) {
    bl_interval out = {UNKNOWN, UNKNOWN};
    for (size_t i = 0; i < of->sides[AFTER].of.count; i++) {
        if (of->against[i] != NO_NODE) {
            double here = of->sides[AFTER].smooth[i] /
                          of->sides[BEFORE].smooth[of->against[i]];
            out.low = fmin(out.low, here);
            out.high = fmax(out.high, here);
        }
    }
    return out;
}

static bl_status fill_band(const comparing *in, uint64_t part, arena *owner,
                           loss_search *of, bl_place_loss *out) {
    size_t rounds =
        reread_rounds(of->sides[BEFORE].of.count + of->sides[AFTER].of.count);
    double *low = arena_alloc(owner, rounds, sizeof *low);
    double *high = arena_alloc(owner, rounds, sizeof *high);
    if (low == NULL || high == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t r = 0; r < rounds; r++) {
        for (int i = 0; i < TABLES; i++) {
            scatter(&of->sides[i], reread_chance(in, r, part + (uint64_t)i));
        }
        bl_interval found = ratios(of);
        low[r] = found.low;
        high[r] = found.high;
    }
    double ratio = out->second_mm2 / out->first_mm2;
    double most = ratio / reread_middle(low, rounds).low;
    double least = ratio / reread_middle(high, rounds).high;
    out->interval_pct =
        (bl_interval){100.0 * (1.0 - most), 100.0 * (1.0 - least)};
    out->within_error = out->interval_pct.low <= 0.0;
    return BL_OK;
}

/* Nodes of AFTER that are looked at, and how far off each may lie. */
typedef struct loss_stretch {
    trace_run run;
    double slack_mm;
} loss_stretch;

static bl_status find_loss(comparing *in, const trace *const of[TABLES],
                           const loss_stretch *where, uint64_t part,
                           bl_place_loss *out) {
    *out = loss_nowhere();
    arena work = {0};
    loss_search search = {0};
    trace_run all = {0, of[BEFORE]->count};
    bl_status status =
        open_side(in, BEFORE, of[BEFORE], all, &work, &search.sides[BEFORE]);
    if (status == BL_OK) {
        status = open_side(in, AFTER, of[AFTER], where->run, &work,
                           &search.sides[AFTER]);
    }
    if (status == BL_OK) {
        status = hold(where->slack_mm, &work, &search);
    }
    if (status == BL_OK && search.held > 0) {
        find_place(in, &search, out);
        status = fill_band(in, part, &work, &search, out);
    }
    arena_free(&work);
    return status;
}

/* The treated stretch, or all of it. */
static loss_stretch treated_stretch(const comparing *in, const trace *of) {
    return (loss_stretch){in->out->treated_from == BL_TREATED_NOWHERE
                              ? (trace_run){0, of->count}
                              : trace_within(of, in->out->treated),
                          fmax(SLACK_MM, comparing_shift_error_mm(in))};
}

/* A frame on an end belongs to the treated stretch. */
static trace_run edge_run(const comparing *in, const trace *of, bl_span edge) {
    trace_run run = trace_within(of, edge);
    while (run.first < run.end &&
           comparing_is_treated(in, of->nodes[run.first].at_mm)) {
        run.first++;
    }
    while (run.first < run.end &&
           comparing_is_treated(in, of->nodes[run.end - 1].at_mm)) {
        run.end--;
    }
    return run;
}

/* By profiles either end of the treated stretch may lie elsewhere, and its edge
 * with it; NaN: where, is not told. */
static double edge_slack_mm(const comparing *in, size_t edge) {
    const bl_alignment *by = &in->out->alignment;
    const bl_interval *end = &by->end_interval_mm[edge];
    if (by->by != BL_ALIGNED_PROFILES) {
        return SLACK_MM;
    }
    return isnan(end->low) ? UNKNOWN
                           : fmax(SLACK_MM, 0.5 * (end->high - end->low));
}

static bl_status fill_edges(comparing *in, const trace *const of[TABLES]) {
    for (size_t i = 0; i < in->out->edge_count; i++) {
        bl_edge *edge = &in->out->edges[i];
        double slack = edge_slack_mm(in, i);
        loss_stretch where = {edge_run(in, of[AFTER], edge->span),
                              isnan(slack) ? SLACK_MM : slack};
        bl_place_loss found;
        bl_status status = find_loss(in, of, &where, PART_LUMEN_LOSS, &found);
        if (status != BL_OK) {
            return status;
        }
        edge->loss_position_mm = found.position_mm;
        edge->loss_before_mm2 = found.first_mm2;
        edge->loss_after_mm2 = found.second_mm2;
        edge->loss_pct = found.loss_pct;
        edge->loss_interval_pct =
            isnan(slack) ? (bl_interval){UNKNOWN, UNKNOWN} : found.interval_pct;
        edge->loss_within_error = isnan(slack) || found.within_error;
    }
    return BL_OK;
}

bl_status loss_fill(comparing *in) {
    const trace *const lumens[TABLES] = {&in->tables[BEFORE].lumen,
                                         &in->tables[AFTER].lumen};
    const trace *const devices[TABLES] = {&in->tables[BEFORE].device,
                                          &in->tables[AFTER].device};
    bl_comparison *out = in->out;
    loss_stretch where = treated_stretch(in, lumens[AFTER]);
    bl_status status =
        find_loss(in, lumens, &where, PART_LUMEN_LOSS, &out->lumen_loss);
    if (status == BL_OK) {
        where = treated_stretch(in, devices[AFTER]);
        status =
            find_loss(in, devices, &where, PART_DEVICE_LOSS, &out->device_loss);
    }
    if (status == BL_OK) {
        status = fill_edges(in, lumens);
    }
    out->device.first_nominal_expansion_pct =
        nominal_pct(in,
                    trace_area_mm2(devices[BEFORE],
                                   out->device.nominal_expansion_position_mm),
                    out->device.nominal_expansion_position_mm);
    return status;
}
