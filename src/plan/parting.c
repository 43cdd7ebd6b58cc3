/*
 * parting.c - what is treated in one go.
 *
 * Narrowings nearer to each other than join_mm, or between which devices of
 * two chains would meet or find no healthy vein to land in, are one block.
 * Blocks can be treated apart or with their neighbours: each run of blocks is
 * searched by itself, the best way to part them all follows run by run. That
 * leaves aside counts in stock and what lies bare between two runs; where
 * counts bind or short vein would lie bare, every way to part the blocks that
 * could be better is searched with them.
 */
#include "plan/parting.h"

#include "base/constants.h"
#include "base/limits.h"
#include "plan/serving.h"

#include <math.h>

/* ------------------------------------------------------------------ blocks */

static block block_of(const planner *in, size_t index) {
    const bl_narrowing *one = &in->assessment->narrowings[index];
    bool forward = in->ground.turn > 0.0;
    bl_span span =
        ground_span(&in->ground, one->shoulders.from_mm, one->shoulders.to_mm);
    return (block){
        .from_mm = span.from_mm,
        .to_mm = span.to_mm,
        .open_from = forward ? one->open_from : one->open_to,
        .open_to = forward ? one->open_to : one->open_from,
        .first_narrowing = index,
        .narrowing_count = 1,
    };
}

static void land(const planner *in, block *one) {
    one->ends[0] = landing_find(&in->ground, in->options, one->from_mm, false,
                                one->open_from);
    one->ends[1] =
        landing_find(&in->ground, in->options, one->to_mm, true, one->open_to);
}

/* No healthy vein, though it is known as far as the other block. */
static bool has_no_landing(const planner *in, const landing *of,
                           double other_mm) {
    if (of->open || of->healthy) {
        return false;
    }
    double known = ground_known_to(&in->ground, of->shoulder_mm, of->caudal);
    return of->caudal ? known >= other_mm : known <= other_mm;
}

static bool are_one(const planner *in, const block *a, const block *b) {
    return b->from_mm - a->to_mm < in->options->join_mm - GROUND_SAME_MM ||
           b->ends[0].at_mm <= a->ends[1].at_mm + GROUND_SAME_MM ||
           has_no_landing(in, &a->ends[1], b->from_mm) ||
           has_no_landing(in, &b->ends[0], a->to_mm);
}

static void join(block *into, const block *next) {
    if (next->to_mm > into->to_mm) {
        into->to_mm = next->to_mm;
        into->open_to = next->open_to;
        into->ends[1] = next->ends[1];
    }
    if (next->first_narrowing < into->first_narrowing) {
        into->first_narrowing = next->first_narrowing;
    }
    into->narrowing_count += next->narrowing_count;
}

static void find_blocks(const planner *in, parting *out) {
    size_t count = in->assessment->narrowing_count;
    for (size_t i = 0; i < count; i++) {
        size_t index = in->ground.turn > 0.0 ? i : count - 1 - i;
        block next = block_of(in, index);
        land(in, &next);
        if (out->count > 0 &&
            are_one(in, &out->blocks[out->count - 1], &next)) {
            join(&out->blocks[out->count - 1], &next);
        } else {
            out->blocks[out->count++] = next;
        }
    }
}

/* A stretch by the user: its narrowings are those that it holds any of. */
static void take_given(const planner *in, parting *out) {
    bl_span treat = in->options->treat;
    bl_span span = ground_span(&in->ground, treat.from_mm, treat.to_mm);
    block one = {.from_mm = span.from_mm, .to_mm = span.to_mm};
    for (size_t i = 0; i < in->assessment->narrowing_count; i++) {
        bl_span held = in->assessment->narrowings[i].span;
        if (held.from_mm <= treat.to_mm && held.to_mm >= treat.from_mm) {
            one.first_narrowing =
                one.narrowing_count == 0 ? i : one.first_narrowing;
            one.narrowing_count++;
        }
    }
    land(in, &one);
    out->blocks[out->count++] = one;
}

/* -------------------------------------------------------------- treatments */

/* Room beyond a landing point, mm, at most half the way to the next block's.
 * Where it is not known where the treated vein ends, what is left of devices
 * lies there, and none at its other end, unless a confluence ends it. */
static double room_at(const planner *in, const landing *own,
                      const landing *other, const landing *next) {
    double room = landing_room_mm(&in->ground, in->pullback, own);
    if (!own->open && other->open &&
        landing_room_mm(&in->ground, in->pullback, other) >=
            BL_DEVICE_LENGTH_MOST_MM) {
        room = 0.0;
    }
    if (next != NULL) {
        room = fmin(room, 0.5 * fabs(next->at_mm - own->at_mm));
    }
    return room;
}

/* From landing point to landing point. What is to be covered is taken up to a
 * tenth: what that adds lies where there is room for it, caudally if it can;
 * not past an open end, where there is room for what is not known only. */
static fitting_site site_of(const planner *in, const landing ends[2],
                            double room_cranial_mm, double room_caudal_mm) {
    double from_mm = ends[0].at_mm;
    double to_mm = ends[1].at_mm;
    int32_t cover = shelf_tenths_up(to_mm - from_mm);
    double added = fmax((double)cover / SHELF_TENTHS - (to_mm - from_mm), 0.0);
    bool cranially =
        !ends[0].open && room_caudal_mm < added && room_cranial_mm >= added;
    bl_size_by by = in->rules.by;
    double wide = ground_node_at(&in->ground, from_mm).reference_mm[by];
    double narrow = ground_node_at(&in->ground, to_mm).reference_mm[by];
    return (fitting_site){
        .at_mm = from_mm - (cranially ? added : 0.0),
        .factor = 1.0,
        .cover = cover,
        .room_cranial =
            shelf_tenths_down(room_cranial_mm - (cranially ? added : 0.0)),
        .room_caudal =
            shelf_tenths_down(room_caudal_mm - (cranially ? 0.0 : added)),
        .cranial_first = ends[0].open,
        .tapers = wide >= narrow - GROUND_PRINTED_MM,
        .first_mm = {0.0, HUGE_VAL},
        .last_mm = {0.0, HUGE_VAL},
    };
}

/* Blocks first .. end - 1 in one go. */
static treatment treat(const planner *in, const parting *of, size_t first,
                       size_t end) {
    const block *a = &of->blocks[first];
    const block *b = &of->blocks[end - 1];
    treatment out = {
        .from_mm = a->from_mm,
        .to_mm = b->to_mm,
        .first_narrowing = a->first_narrowing < b->first_narrowing
                               ? a->first_narrowing
                               : b->first_narrowing,
        .blocks = end - first,
        .ends = {a->ends[0], b->ends[1]},
    };
    for (size_t i = first; i < end; i++) {
        out.narrowing_count += of->blocks[i].narrowing_count;
    }
    out.site = site_of(in, out.ends,
                       room_at(in, &out.ends[0], &out.ends[1],
                               first > 0 ? &a[-1].ends[1] : NULL),
                       room_at(in, &out.ends[1], &out.ends[0],
                               end < of->count ? &b[1].ends[0] : NULL));
    return out;
}

/* ------------------------------------------------------------- best parting */

/* The best way to part the first blocks, and where its last run begins. */
typedef struct so_far {
    outcome sum;
    size_t last;
    treatment run;
} so_far;

static outcome outcome_sum(const outcome *a, const outcome *b) {
    return (outcome){a->unserved + b->unserved, a->let_go + b->let_go,
                     a->devices + b->devices,   a->bare + b->bare,
                     a->wider + b->wider,       a->length + b->length,
                     a->oversize + b->oversize};
}

/* A run cannot do with fewer devices than its length asks for. */
static bool may_be_better(const planner *in, const treatment *run,
                          const parting *of, size_t first) {
    size_t apart = 0;
    for (size_t i = first; i < first + run->blocks; i++) {
        if (of->alone[i].fewest == 0) {
            return true;
        }
        apart += of->alone[i].fewest;
    }
    return shelf_reach(&in->stock, apart, in->rules.overlap) >= run->site.cover;
}

static bl_status try_run(planner *in, const parting *of, size_t first,
                         size_t end, so_far *best) {
    treatment run = of->alone[first];
    if (end - first > 1) {
        run = treat(in, of, first, end);
        if (!may_be_better(in, &run, of, first)) {
            return BL_OK;
        }
        if (in->budget <= 0) {
            in->exact = false;
            return BL_OK;
        }
        bl_status status = serving_alone(in, &run);
        if (status != BL_OK) {
            return status;
        }
    }
    outcome own = serving_outcome_alone(&run);
    outcome sum = outcome_sum(&best[first].sum, &own);
    if (end - first == 1 || outcome_is_less(&sum, &best[end].sum)) {
        best[end] = (so_far){sum, first, run};
    }
    return BL_OK;
}

static void choose(const so_far *best, parting *out) {
    size_t runs = 0;
    for (size_t end = out->count; end > 0; end = best[end].last) {
        runs++;
    }
    out->chosen_count = runs;
    for (size_t end = out->count; end > 0; end = best[end].last) {
        out->chosen[--runs] = best[end].run;
    }
}

/* Counts in stock, and vein that would lie bare, left aside. Runs that begin
 * later come first, so that what is apart stays so unless together is better.
 */
static bl_status part_best(planner *in, arena *scratch, parting *out,
                           outcome *bound) {
    so_far *best = arena_alloc(scratch, out->count + 1, sizeof *best);
    if (best == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t end = 1; end <= out->count; end++) {
        for (size_t first = end; first-- > 0;) {
            bl_status status = try_run(in, out, first, end, best);
            if (status != BL_OK) {
                return status;
            }
        }
    }
    choose(best, out);
    *bound = best[out->count].sum;
    return BL_OK;
}

/* The way of parting that a number stands for: bit i parts block i from the
 * next. */
static bl_status part_as(planner *in, const parting *of, uint32_t bits,
                         treatment *list, size_t *count) {
    size_t first = 0;
    *count = 0;
    for (size_t end = 1; end <= of->count; end++) {
        bool parts = end == of->count || (bits >> (end - 1) & 1) != 0;
        if (!parts) {
            continue;
        }
        treatment *one = &list[(*count)++];
        *one = of->alone[first];
        if (end - first > 1) {
            *one = treat(in, of, first, end);
            bl_status status = serving_alone(in, one);
            if (status != BL_OK) {
                return status;
            }
        }
        first = end;
    }
    return BL_OK;
}

/* What may be bare between them is left aside: other devices may cover it. */
static outcome bound_of(const treatment *list, size_t count) {
    outcome sum = {0};
    for (size_t i = 0; i < count; i++) {
        outcome own = serving_outcome_alone(&list[i]);
        sum = outcome_sum(&sum, &own);
    }
    return sum;
}

static bl_status part_every_way(planner *in, arena *scratch, parting *out) {
    uint32_t ways = 1;
    for (size_t i = 1; i < out->count; i++) {
        ways *= 2;
    }
    outcome best = serving_outcome(in, out->chosen, out->chosen_count);
    treatment *list = arena_alloc(scratch, out->count, sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    for (uint32_t bits = 0; bits < ways; bits++) {
        size_t count;
        bl_status status = part_as(in, out, bits, list, &count);
        outcome here = bound_of(list, count);
        if (status == BL_OK && outcome_is_less(&here, &best)) {
            status = serving_all(in, list, count, 1.0);
            here = serving_outcome(in, list, count);
        }
        if (status != BL_OK) {
            return status;
        }
        if (outcome_is_less(&here, &best)) {
            best = here;
            out->chosen_count = count;
            for (size_t i = 0; i < count; i++) {
                out->chosen[i] = list[i];
            }
        }
    }
    return BL_OK;
}

static bl_status part_with(planner *in, arena *scratch, parting *out) {
    outcome bound;
    bl_status status = part_best(in, scratch, out, &bound);
    if (status == BL_OK) {
        status = serving_all(in, out->chosen, out->chosen_count, 1.0);
    }
    if (status != BL_OK) {
        return status;
    }
    outcome got = serving_outcome(in, out->chosen, out->chosen_count);
    if (!outcome_is_less(&bound, &got) || out->count == 1) {
        return BL_OK;
    }
    if (out->count <= LIMIT_PARTED) {
        return part_every_way(in, scratch, out);
    }
    in->exact = false;
    return BL_OK;
}

/* ------------------------------------------------------------------- whole */

static bl_status make_room(const planner *in, parting *out) {
    size_t most = in->assessment->narrowing_count + 1;
    out->blocks = arena_alloc(in->owner, most, sizeof *out->blocks);
    out->alone = arena_alloc(in->owner, most, sizeof *out->alone);
    out->chosen = arena_alloc(in->owner, most, sizeof *out->chosen);
    return out->blocks == NULL || out->alone == NULL || out->chosen == NULL
               ? BL_ERR_MEMORY
               : BL_OK;
}

static bl_status treat_together(planner *in, parting *out) {
    if (out->count < 2 || in->budget <= 0) {
        return BL_OK;
    }
    out->together = arena_alloc(in->owner, 1, sizeof *out->together);
    if (out->together == NULL) {
        return BL_ERR_MEMORY;
    }
    *out->together = treat(in, out, 0, out->count);
    return serving_alone(in, out->together);
}

static bl_status part_served(planner *in, parting *out) {
    bl_status status = BL_OK;
    for (size_t i = 0; i < out->count && status == BL_OK; i++) {
        status = serving_alone(in, &out->alone[i]);
    }
    if (status == BL_OK) {
        status = treat_together(in, out);
    }
    if (status != BL_OK) {
        return status;
    }
    arena scratch = {0};
    status = part_with(in, &scratch, out);
    arena_free(&scratch);
    return status;
}

bl_status parting_find(planner *in, parting *out) {
    *out = (parting){0};
    bl_status status = make_room(in, out);
    if (status != BL_OK) {
        return status;
    }
    if (in->options->treat_given) {
        take_given(in, out);
    } else {
        find_blocks(in, out);
    }
    for (size_t i = 0; i < out->count; i++) {
        out->alone[i] = treat(in, out, i, i + 1);
        out->chosen[i] = out->alone[i];
    }
    out->chosen_count = out->count;
    return out->count > 0 && in->stock.count > 0 ? part_served(in, out) : BL_OK;
}
