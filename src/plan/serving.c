/*
 * serving.c - devices for treatments.
 *
 * Rules are let go one after another, first of each stretch by itself, then,
 * where counts in stock leave no other way, of all of them. Where even so the
 * stock is too small for all, stretches are served from cranial to caudal.
 */
#include "plan/serving.h"

#include <math.h>

bool outcome_is_less(const outcome *a, const outcome *b) {
    if (a->unserved != b->unserved) {
        return a->unserved < b->unserved;
    }
    if (a->let_go != b->let_go) {
        return a->let_go < b->let_go;
    }
    if (a->devices != b->devices) {
        return a->devices < b->devices;
    }
    if (a->bare != b->bare) {
        return a->bare < b->bare;
    }
    if (a->wider != b->wider) {
        return a->wider < b->wider;
    }
    if (a->length != b->length) {
        return a->length < b->length;
    }
    return a->oversize < b->oversize;
}

bool serving_matters(const planner *in, const fitting_site *site,
                     fitting_letting letting) {
    if (letting == LETTING_LIMIT) {
        return !isnan(in->rules.limit_pct);
    }
    return letting != LETTING_ORDER || site->tapers;
}

bl_status serving_alone(planner *in, treatment *one) {
    one->fewest = 0;
    one->stopped = false;
    for (int letting = 0;
         letting < LETTING_COUNT && one->fewest == 0 && !one->stopped;
         letting++) {
        if (!serving_matters(in, &one->site, (fitting_letting)letting)) {
            continue;
        }
        arena scratch = {0};
        chain_search own;
        bl_status status =
            chain_build(&in->ground, &in->stock, &in->rules, &one->site,
                        (fitting_letting)letting, CHAIN_SHORT, &scratch, &own);
        if (status == BL_OK) {
            status = chain_fewest(&own, &one->fewest);
        }
        if (status == BL_OK) {
            one->letting = (fitting_letting)letting;
            chain_place begin = chain_begin(&own);
            one->value = chain_value(&own, one->fewest, &begin);
            one->reached = chain_reached(&own);
            in->budget -= (int64_t)(own.stop_count * in->stock.count);
            one->stopped = own.stopped && one->fewest == 0;
            in->exact = in->exact && !one->stopped;
        }
        arena_free(&scratch);
        if (status != BL_OK) {
            return status;
        }
    }
    return BL_OK;
}

/* ----------------------------------------------------------------- together */

/* One of those that are searched together. */
typedef struct entry {
    treatment *of;
} entry;

/* What the chain of a treatment costs. */
static void pay(treatment *one, const chain_search *of) {
    chain_place at = chain_begin(of);
    uint64_t sum = 0;
    for (size_t i = 0; i + 1 < one->chain.count; i++) {
        sum += chain_step(of, one->chain.kinds[i], &at, &at);
    }
    int32_t from;
    sum += chain_last(of, one->chain.kinds[one->chain.count - 1], &at, &from);
    one->paid = chain_price_of(of->goal, sum);
}

static bl_status search(planner *in, entry *list, size_t count,
                        const serving_wish *wish, arena *scratch, bool *found) {
    chain_search *chains = arena_alloc(scratch, count, sizeof *chains);
    hunt_chain *taken = arena_alloc(scratch, count, sizeof *taken);
    if (chains == NULL || taken == NULL) {
        return BL_ERR_MEMORY;
    }
    bl_status status = BL_OK;
    for (size_t i = 0; i < count && status == BL_OK; i++) {
        fitting_site site = fitting_stretched(&list[i].of->site, wish->factor);
        list[i].of->let = list[i].of->letting > wish->letting
                              ? list[i].of->letting
                              : wish->letting;
        status = chain_build(&in->ground, &in->stock, &in->rules, &site,
                             list[i].of->let, wish->goal, scratch, &chains[i]);
    }
    hunt_result result = {.tries = in->tries};
    if (status == BL_OK) {
        status = wish->devices == 0
                     ? hunt_fewest(chains, count, scratch, taken, &result)
                     : hunt_with(chains, count, wish->devices, scratch, taken,
                                 &result);
    }
    if (status != BL_OK) {
        return status;
    }
    in->tries = result.tries;
    in->exact = in->exact && result.exact;
    *found = result.found;
    for (size_t i = 0; i < count; i++) {
        list[i].of->served = result.found;
        list[i].of->stopped = !result.found && !result.exact;
        list[i].of->chain = taken[i];
        if (result.found) {
            pay(list[i].of, &chains[i]);
        }
    }
    return BL_OK;
}

static bl_status serve(planner *in, entry *list, size_t count,
                       const serving_wish *wish, bool *found) {
    arena scratch = {0};
    *found = false;
    bl_status status =
        count == 0 ? BL_OK : search(in, list, count, wish, &scratch, found);
    arena_free(&scratch);
    return status;
}

/* Those that anything fits. */
static bl_status gather(treatment *list, size_t count, arena *owner,
                        entry **out, size_t *out_count) {
    entry *chosen = arena_alloc(owner, count, sizeof *chosen);
    size_t held = 0;
    for (size_t i = 0; chosen != NULL && i < count; i++) {
        list[i].served = false;
        if (list[i].fewest > 0) {
            chosen[held++].of = &list[i];
        }
    }
    *out = chosen;
    *out_count = held;
    return chosen == NULL ? BL_ERR_MEMORY : BL_OK;
}

bl_status serving_together(planner *in, treatment *list, size_t count,
                           const serving_wish *wish, bool *found) {
    arena scratch = {0};
    entry *chosen;
    size_t held = 0;
    *found = false;
    bl_status status = gather(list, count, &scratch, &chosen, &held);
    if (status == BL_OK) {
        status = serve(in, chosen, held, wish, found);
    }
    arena_free(&scratch);
    return status;
}

static bl_status serve_letting_go(planner *in, entry *list, size_t count,
                                  double factor, bool *found) {
    bl_status status = BL_OK;
    *found = false;
    for (int letting = 0; letting < LETTING_COUNT && !*found; letting++) {
        serving_wish wish = {CHAIN_SHORT, 0, (fitting_letting)letting, factor};
        status = serve(in, list, count, &wish, found);
        if (status != BL_OK) {
            break;
        }
    }
    return status;
}

/* One after the other as far as the stock goes. */
static bl_status serve_some(planner *in, entry *list, size_t count,
                            double factor) {
    size_t held = 0;
    bool found = false;
    bl_status status = BL_OK;
    for (size_t i = 0; i < count && status == BL_OK; i++) {
        list[held] = list[i];
        status = serve_letting_go(in, list, held + 1, factor, &found);
        held += found;
    }
    /* The last search may have failed and undone those before it. */
    return status == BL_OK && !found
               ? serve_letting_go(in, list, held, factor, &found)
               : status;
}

bl_status serving_all(planner *in, treatment *list, size_t count,
                      double factor) {
    arena scratch = {0};
    entry *chosen;
    size_t held = 0;
    bool found = false;
    bl_status status = gather(list, count, &scratch, &chosen, &held);
    if (status == BL_OK) {
        status = serve_letting_go(in, chosen, held, factor, &found);
    }
    if (status == BL_OK && !found && held > 1) {
        status = serve_some(in, chosen, held, factor);
    }
    arena_free(&scratch);
    return status;
}

static void add_price(outcome *to, const treatment *one, size_t devices,
                      chain_price paid) {
    to->devices += devices;
    to->wider += paid.wider;
    to->length += one->site.cover + paid.beyond;
    to->oversize += paid.oversize;
}

/* From end to end of what a treatment got, on the ground. */
static bl_span place_of(const planner *in, const treatment *one) {
    const hunt_chain *chain = &one->chain;
    const shelf_kind *last = &in->stock.kinds[chain->kinds[chain->count - 1]];
    int32_t from = chain->count == 1 ? chain->last_from : 0;
    return (bl_span){
        fitting_at_mm(&one->site, from),
        fitting_at_mm(&one->site, chain->last_from + last->covers)};
}

bool serving_is_bare(const planner *in, double from_mm, double to_mm) {
    double length = to_mm - from_mm;
    return length >= GROUND_PRINTED_MM &&
           length < in->options->join_mm - GROUND_SAME_MM;
}

outcome serving_outcome(const planner *in, const treatment *list,
                        size_t count) {
    outcome out = {0};
    for (size_t i = 0; i < count; i++) {
        const treatment *one = &list[i];
        if (i > 0 && one->served && list[i - 1].served) {
            out.bare += serving_is_bare(in, place_of(in, &list[i - 1]).to_mm,
                                        place_of(in, one).from_mm);
        }
        if (one->served) {
            out.let_go += (size_t)one->let;
            add_price(&out, one, one->chain.count, one->paid);
        } else {
            out.unserved += one->blocks;
        }
    }
    return out;
}

outcome serving_outcome_alone(const treatment *one) {
    outcome out = {0};
    if (one->fewest > 0) {
        out.let_go = (size_t)one->letting;
        add_price(&out, one, one->fewest,
                  chain_price_of(CHAIN_SHORT, one->value));
    } else {
        out.unserved = one->blocks;
    }
    return out;
}
