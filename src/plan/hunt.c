/*
 * hunt.c - the best chains of several stretches at once.
 *
 * Stretches share the stock, so that they are searched together: depth first,
 * stretch by stretch and from cranial to caudal, with what the rest costs when
 * counts are left aside as a bound from below (chain_value). Where no count
 * binds the bound is the truth and the search goes straight there. Twice: the
 * first time the most promising device comes first and the least value is
 * found, the second time devices come in the order of the list and the first
 * chain of that value is taken. So a tie is broken by the list alone.
 *
 * Where counts bind there is a second bound: so many devices of what is left
 * in stock, the longest, must reach.
 */
#include "plan/hunt.h"

#include "base/limits.h"

typedef struct hunt {
    const chain_search *chains;
    size_t count;
    const shelf *stock;
    uint32_t *left;     /* of each kind */
    size_t *fewest;     /* devices of stretches from this one on, count + 1 */
    uint64_t *cheapest; /* value of the same */
    hunt_chain *now;
    hunt_chain *out;
    uint64_t best;
    bool in_order; /* the second time */
    bool done;
    bool stopped;
    int64_t tries;
} hunt;

/* Where a search is: at a stop of a stretch. */
typedef struct hunt_place {
    size_t site;
    size_t left;  /* devices of this stretch */
    size_t later; /* of those after it */
    chain_place next;
    uint64_t paid;
} hunt_place;

static uint64_t add(uint64_t a, uint64_t b) {
    return a == CHAIN_NO_VALUE || b == CHAIN_NO_VALUE ? CHAIN_NO_VALUE : a + b;
}

/* Whether a way that costs at least so much is worth going. */
static bool is_worth(const hunt *in, uint64_t bound) {
    if (bound == CHAIN_NO_VALUE || in->done || in->stopped) {
        return false;
    }
    return in->in_order ? bound <= in->best : bound < in->best;
}

/* Whether the longest devices that are left reach. */
static bool can_reach(const hunt *in, const hunt_place *at) {
    const chain_search *of = &in->chains[at->site];
    int64_t open = of->site.cover - of->stops[at->next.stop].at;
    size_t left = at->left;
    if (!in->stock->counted) {
        return true;
    }
    for (size_t i = 0; i < in->stock->count && left > 0 && open > 0; i++) {
        size_t kind = in->stock->longest[i];
        size_t taken = in->left[kind] < left ? in->left[kind] : left;
        int64_t each = in->stock->kinds[kind].covers - of->rules->overlap;
        open -= (int64_t)taken * each;
        left -= taken;
    }
    /* The last overlaps nothing. */
    return open <= of->rules->overlap;
}

static void enter_site(hunt *in, size_t site, size_t devices, uint64_t paid);

/* A stretch is covered: on to the next, or all are. */
static void leave_site(hunt *in, const hunt_place *at) {
    if (at->site + 1 < in->count) {
        enter_site(in, at->site + 1, at->later, at->paid);
        return;
    }
    in->best = at->paid;
    in->done = in->in_order;
    for (size_t i = 0; i < in->count; i++) {
        in->out[i] = in->now[i];
    }
}

/* What a device leads to: the search after it, where it lies if it is the last,
 * and the least it will cost. */
static uint64_t look_ahead(const hunt *in, const hunt_place *at, size_t kind,
                           hunt_place *after, int32_t *last_from) {
    const chain_search *of = &in->chains[at->site];
    bool last = at->left == 1;
    *after = *at;
    after->left--;
    if (in->left[kind] == 0) {
        return CHAIN_NO_VALUE;
    }
    after->paid =
        add(at->paid, last ? chain_last(of, kind, &at->next, last_from)
                           : chain_step(of, kind, &at->next, &after->next));
    if (after->paid == CHAIN_NO_VALUE) {
        return CHAIN_NO_VALUE;
    }
    uint64_t rest = last ? 0 : chain_value(of, after->left, &after->next);
    return add(add(after->paid, rest), in->cheapest[at->site + 1]);
}

static void go_on(hunt *in, const hunt_place *at);

static void take(hunt *in, const hunt_place *at, size_t kind) {
    hunt_place after;
    int32_t last_from = 0;
    uint64_t bound = look_ahead(in, at, kind, &after, &last_from);
    if (!is_worth(in, bound)) {
        return;
    }
    hunt_chain *own = &in->now[at->site];
    bool counted = in->left[kind] != SHELF_UNCOUNTED;
    in->left[kind] -= counted;
    own->kinds[own->count++] = kind;
    own->last_from = last_from;
    if (after.left == 0) {
        leave_site(in, &after);
    } else if (can_reach(in, &after)) {
        go_on(in, &after);
    }
    own->count--;
    in->left[kind] += counted;
}

/* The kind that promises most after (bound, kind); false where none is left. */
static bool next_promise(hunt *in, const hunt_place *at, uint64_t *bound,
                         size_t *kind, bool first) {
    uint64_t best = CHAIN_NO_VALUE;
    size_t found = 0;
    for (size_t i = 0; i < in->stock->count; i++) {
        hunt_place after;
        int32_t last_from;
        uint64_t here = look_ahead(in, at, i, &after, &last_from);
        bool later = first || here > *bound || (here == *bound && i > *kind);
        if (later && here < best) {
            best = here;
            found = i;
        }
    }
    in->tries += (int64_t)in->stock->count;
    *bound = best;
    *kind = found;
    return best != CHAIN_NO_VALUE;
}

static void go_on(hunt *in, const hunt_place *at) {
    if (in->in_order) {
        for (size_t i = 0; i < in->stock->count && !in->done; i++) {
            take(in, at, i);
        }
        in->tries += (int64_t)in->stock->count;
    } else {
        uint64_t bound = 0;
        size_t kind = 0;
        bool more = next_promise(in, at, &bound, &kind, true);
        while (more && is_worth(in, bound)) {
            take(in, at, kind);
            more = next_promise(in, at, &bound, &kind, false);
        }
    }
    in->stopped = in->stopped || in->tries > LIMIT_TRIES;
}

/* Every number of devices that a stretch may have of those that are left. */
static void enter_site(hunt *in, size_t site, size_t devices, uint64_t paid) {
    const chain_search *of = &in->chains[site];
    size_t least = in->fewest[site] - in->fewest[site + 1];
    size_t most = devices - in->fewest[site + 1];
    if (site + 1 == in->count) {
        least = most; /* the last takes all */
    }
    for (size_t k = least; k <= most && k <= LIMIT_CHAIN; k++) {
        hunt_place at = {site, k, devices - k, chain_begin(of), paid};
        uint64_t bound = add(add(paid, chain_value(of, k, &at.next)),
                             in->cheapest[site + 1]);
        if (is_worth(in, bound) && can_reach(in, &at)) {
            go_on(in, &at);
        }
    }
}

/* ------------------------------------------------------------- preparation */

/* The fewest devices of stretches from each one on; 0 in all where one has no
 * chain. */
static bl_status add_fewest(hunt *in, chain_search *chains) {
    bool possible = true;
    for (size_t i = in->count; i-- > 0;) {
        size_t own = 0;
        bl_status status = chain_fewest(&chains[i], &own);
        if (status != BL_OK) {
            return status;
        }
        possible = possible && own > 0;
        in->fewest[i] = in->fewest[i + 1] + own;
    }
    in->fewest[0] = possible ? in->fewest[0] : 0;
    return BL_OK;
}

/* The least value of stretches from each one on, with as many devices as they
 * can have. */
static bl_status add_cheapest(hunt *in, chain_search *chains, size_t devices) {
    for (size_t i = in->count; i-- > 0;) {
        chain_search *of = &chains[i];
        size_t own = in->fewest[i] - in->fewest[i + 1];
        bl_status status = chain_deepen(of, devices - in->fewest[0] + own);
        if (status != BL_OK) {
            return status;
        }
        uint64_t least = CHAIN_NO_VALUE;
        chain_place begin = chain_begin(of);
        for (size_t k = 1; k <= of->layer_count; k++) {
            uint64_t value = chain_value(of, k, &begin);
            least = value < least ? value : least;
        }
        in->cheapest[i] = add(in->cheapest[i + 1], least);
    }
    return BL_OK;
}

static bl_status prepare(hunt *in, arena *scratch) {
    in->left = arena_alloc(scratch, in->stock->count, sizeof *in->left);
    in->fewest = arena_alloc(scratch, in->count + 1, sizeof *in->fewest);
    in->cheapest = arena_alloc(scratch, in->count + 1, sizeof *in->cheapest);
    in->now = arena_alloc(scratch, in->count, sizeof *in->now);
    if (in->left == NULL || in->fewest == NULL || in->cheapest == NULL ||
        in->now == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < in->stock->count; i++) {
        in->left[i] = in->stock->kinds[i].count;
    }
    return BL_OK;
}

/* Both rounds. */
static void run(hunt *in, size_t devices, hunt_result *result) {
    int64_t spent = result->tries;
    in->tries = spent;
    enter_site(in, 0, devices, 0);
    result->tries = in->tries;
    if (in->best != CHAIN_NO_VALUE && !in->stopped) {
        in->in_order = true;
        in->tries = spent;
        enter_site(in, 0, devices, 0);
    }
    result->found = in->best != CHAIN_NO_VALUE;
    result->exact = !in->stopped;
    result->devices = devices;
    result->value = in->best;
}

bl_status hunt_with(chain_search *chains, size_t count, size_t devices,
                    arena *scratch, hunt_chain *out, hunt_result *result) {
    result->found = false;
    result->exact = true;
    if (count == 0) {
        return BL_OK;
    }
    hunt in = {
        .chains = chains,
        .count = count,
        .stock = chains[0].stock,
        .out = out,
        .best = CHAIN_NO_VALUE,
    };
    bl_status status = prepare(&in, scratch);
    if (status == BL_OK) {
        status = add_fewest(&in, chains);
    }
    if (status != BL_OK || in.fewest[0] == 0 || in.fewest[0] > devices) {
        return status;
    }
    status = add_cheapest(&in, chains, devices);
    if (status == BL_OK) {
        run(&in, devices, result);
    }
    return status;
}

/* Devices in stock, as far as it matters. */
static size_t devices_of(const shelf *stock) {
    size_t sum = 0;
    for (size_t i = 0; i < stock->count; i++) {
        sum += stock->kinds[i].count;
    }
    return sum;
}

/* Whether more devices than were looked at lead nowhere, and whether that is
 * so because a bound was met. */
static bool are_ended(const chain_search *chains, size_t count, bool *stopped) {
    bool ended = true;
    for (size_t i = 0; i < count; i++) {
        ended = ended && (chains[i].exhausted || chains[i].stopped);
        *stopped = *stopped || chains[i].stopped;
    }
    return ended;
}

bl_status hunt_fewest(chain_search *chains, size_t count, arena *scratch,
                      hunt_chain *out, hunt_result *result) {
    *result = (hunt_result){.exact = true, .tries = result->tries};
    size_t fewest = 0;
    bool stopped = false;
    for (size_t i = 0; i < count; i++) {
        size_t own = 0;
        bl_status status = chain_fewest(&chains[i], &own);
        if (status != BL_OK || own == 0) {
            result->exact = !chains[i].stopped;
            return status;
        }
        fewest += own;
    }
    /* Counts may ask for more devices than the lengths do. */
    size_t most = count == 0 ? 0 : devices_of(chains[0].stock);
    for (size_t k = fewest; k <= most; k++) {
        bl_status status = hunt_with(chains, count, k, scratch, out, result);
        if (status != BL_OK || result->found || !result->exact) {
            return status;
        }
        if (are_ended(chains, count, &stopped)) {
            break;
        }
    }
    result->exact = !stopped;
    return BL_OK;
}
