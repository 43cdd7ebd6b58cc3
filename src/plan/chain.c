/*
 * chain.c - the best chains of one stretch, by how many devices they have.
 *
 * Devices are laid from the cranial landing point, each overlapping the one
 * before by exactly the overlap, so where the next begins is a sum of lengths:
 * a stop. Lengths are whole tenths of a millimetre and stops are few where
 * lengths are round. The least that is to be paid with k devices from a stop
 * on, behind a device of some diameter, follows from that with k - 1 (Bellman's
 * principle): fits are known for stop and kind alone, and of what was laid
 * before only the last diameter matters. Which diameters may follow one is a
 * range of the sorted diameters whose ends rise with it, so that its least is
 * found by one pass (a queue of candidates, ascending).
 *
 * Where the last device lies depends on what is beyond and is known when it is
 * chosen (tail.h); so every device is judged where it will lie. One that is
 * moved back must leave to the device before it something that no other covers:
 * how long that one is and whether it is the first matter for the last alone,
 * so that the values of two devices are made with it and those of more follow.
 */
#include "plan/chain.h"

#include <math.h>
#include <stdlib.h>

/* Three sums in one number, the first of which counts most: LIMIT_CHAIN devices
 * that are 40 mm wider and 300 mm too long need less than 20 bits each. */
#define PART_BITS 20
#define PART_MASK ((UINT64_C(1) << PART_BITS) - 1)

static uint64_t three(int32_t first, int32_t second, int32_t third) {
    return ((uint64_t)(uint32_t)first << (2 * PART_BITS)) +
           ((uint64_t)(uint32_t)second << PART_BITS) + (uint32_t)third;
}

static uint64_t value_of(chain_goal goal, fitting_fit fit, int32_t beyond) {
    return goal == CHAIN_SHORT ? three(fit.wider, beyond, fit.oversize)
                               : three(fit.oversize, beyond, fit.wider);
}

chain_price chain_price_of(chain_goal goal, uint64_t value) {
    int32_t first = (int32_t)(value >> (2 * PART_BITS));
    int32_t second = (int32_t)(value >> PART_BITS & PART_MASK);
    int32_t third = (int32_t)(value & PART_MASK);
    return goal == CHAIN_SHORT ? (chain_price){first, second, third}
                               : (chain_price){third, second, first};
}

chain_place chain_begin(const chain_search *of) {
    return (chain_place){0, of->stock->diameter_count, TAIL_FREE};
}

static size_t row_of(const chain_search *of) {
    return of->stock->diameter_count + 1;
}

/* ------------------------------------------------------------------- stops */

static bool reaches(const chain_search *of, int32_t at,
                    const shelf_kind *kind) {
    return at + kind->covers >= of->site.cover;
}

static const fitting_fit fits_not = {FITTING_NONE, 0, 0};

/* As far as the chain's ends ask for diameters. */
static bool may_end(const chain_search *of, int32_t at, bool last,
                    double diameter_mm) {
    const bl_interval free_end = {0.0, HUGE_VAL};
    bl_interval first = at == 0 ? of->site.first_mm : free_end;
    bl_interval end = last ? of->site.last_mm : free_end;
    return diameter_mm >= fmax(first.low, end.low) &&
           diameter_mm <= fmin(first.high, end.high);
}

static fitting_fit fit_from(const chain_search *of, const shelf_kind *kind,
                            int32_t from) {
    return fitting_of(&of->table, of->rules, of->stock, of->letting,
                      fitting_mid(from, kind->covers), kind->diameter_mm);
}

/* The fit of one that is the last, where it will lie. */
static fitting_fit fit_last(const chain_search *of, const tail_table *where,
                            const shelf_kind *kind, int32_t at, int32_t back) {
    int32_t from = tail_place(where, &of->site, at, kind->covers, back);
    if (from == TAIL_NONE) {
        return fits_not;
    }
    fitting_fit fit = fit_from(of, kind, from);
    fit.back = (int16_t)(at - from);
    /* What it is moved so that it fits counts as what is wider. */
    int32_t wanted = tail_wanted(&of->site, at, kind->covers).from;
    if (fit.oversize != FITTING_NONE) {
        fit.wider = (int16_t)(fit.wider + abs(from - wanted));
    }
    return fit;
}

/* The same where nothing that lies before it is in the way. What its places are
 * is asked only where it does not fit as wanted, or may come to lie over a
 * device. */
static bl_status add_last(chain_search *of, int32_t at, size_t kind,
                          fitting_fit *out) {
    const shelf_kind *device = &of->stock->kinds[kind];
    int32_t wanted = tail_wanted(&of->site, at, device->covers).from;
    bool moves = at > 0 && at - wanted > of->back_least;
    *out = fit_from(of, device, wanted);
    out->back = (int16_t)(at - wanted);
    if (out->oversize != FITTING_NONE && !moves) {
        return BL_OK;
    }
    if (!fitting_may(of->rules, of->stock, of->tail_mm, device->diameter_mm)) {
        *out = fits_not;
        return BL_OK;
    }
    tail_table *where = &of->tails[kind];
    bl_status status = BL_OK;
    if (where->cranial == NULL) {
        status = tail_build(&of->table, of->rules, of->stock, &of->site,
                            of->letting, device, of->owner, where);
    }
    if (status == BL_OK) {
        *out = fit_last(of, where, device, at, TAIL_FREE);
    }
    return status;
}

/* One that is no longer than its overlap leads nowhere unless it is the last.
 */
static bl_status fit_at(chain_search *of, int32_t at, size_t kind,
                        fitting_fit *out) {
    const shelf_kind *device = &of->stock->kinds[kind];
    bool last = reaches(of, at, device);
    *out = fits_not;
    if (!may_end(of, at, last, device->diameter_mm)) {
        return BL_OK;
    }
    if (last) {
        return add_last(of, at, kind, out);
    }
    if (device->covers > of->rules->overlap) {
        *out = fit_from(of, device, at);
    }
    return BL_OK;
}

static bl_status add_stop(chain_search *of, int32_t at, bool *reached) {
    const shelf *stock = of->stock;
    fitting_fit *fits = arena_alloc(of->owner, stock->count, sizeof *fits);
    uint16_t *fitting = arena_alloc(of->owner, stock->count, sizeof *fitting);
    chain_stop stop = {at, fits, fitting, 0, 0};
    if (fits == NULL || fitting == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < stock->count; i++) {
        const shelf_kind *kind = &stock->kinds[i];
        bl_status status = fit_at(of, at, i, &fits[i]);
        if (status != BL_OK) {
            return status;
        }
        if (fits[i].oversize == FITTING_NONE) {
            continue;
        }
        fitting[stop.fitting_count++] = (uint16_t)i;
        if (!reaches(of, at, kind)) {
            reached[at + kind->covers - of->rules->overlap] = true;
        }
        stop.back_most =
            fits[i].back > stop.back_most ? fits[i].back : stop.back_most;
    }
    of->stop_of[at] = (int32_t)of->stop_count;
    of->stops[of->stop_count++] = stop;
    return BL_OK;
}

/* How far the next device may be moved back so that one of a kind, which begins
 * there, still covers something that neither it nor the one before does. One
 * that does so nowhere is laid as it is. */
static int32_t back_behind(const chain_search *of, int32_t at,
                           const shelf_kind *kind) {
    int32_t overlap = of->rules->overlap;
    int32_t own = kind->covers - overlap - (at > 0 ? overlap : 0) - 1;
    return own > 0 ? own : 0;
}

static bl_status make_tails(chain_search *of) {
    of->back_least = TAIL_FREE;
    for (size_t i = 0; i < of->stock->count; i++) {
        int32_t back = back_behind(of, 1, &of->stock->kinds[i]);
        of->back_least = back < of->back_least ? back : of->back_least;
    }
    int32_t longest = of->stock->count > 0
                          ? of->stock->kinds[of->stock->longest[0]].covers
                          : 0;
    int32_t from = of->site.cover - longest;
    of->tail_mm = fitting_range(&of->table,
                                from > of->table.first ? from : of->table.first,
                                of->table.last);
    of->tails = arena_alloc(of->owner, of->stock->count, sizeof *of->tails);
    return of->tails == NULL ? BL_ERR_MEMORY : BL_OK;
}

static bl_status find_stops(chain_search *of) {
    size_t length = (size_t)of->site.cover + 1;
    bool *reached = arena_alloc(of->owner, length, sizeof *reached);
    of->stop_of = arena_alloc(of->owner, length, sizeof *of->stop_of);
    of->stops = arena_alloc(of->owner, length, sizeof *of->stops);
    if (reached == NULL || of->stop_of == NULL || of->stops == NULL) {
        return BL_ERR_MEMORY;
    }
    reached[0] = true;
    bl_status status = BL_OK;
    for (size_t at = 0; at < length && status == BL_OK; at++) {
        of->stop_of[at] = -1;
        if (reached[at]) {
            status = add_stop(of, (int32_t)at, reached);
        }
    }
    return status;
}

/* ----------------------------------------------------------------- windows */

static bool may_follow(const chain_search *of, double before_mm,
                       double diameter_mm) {
    double wider = diameter_mm - before_mm;
    if (of->letting < LETTING_STEP &&
        fabs(wider) > of->rules->step_mm + GROUND_SAME_MM) {
        return false;
    }
    return of->letting >= LETTING_ORDER || !of->site.tapers || wider <= 0.0;
}

static bl_status find_windows(chain_search *of) {
    size_t count = of->stock->diameter_count;
    const double *diameters = of->stock->diameters;
    of->narrowest = arena_alloc(of->owner, count + 1, sizeof(size_t));
    of->widest = arena_alloc(of->owner, count + 1, sizeof(size_t));
    if (of->narrowest == NULL || of->widest == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        size_t low = i;
        size_t high = i;
        while (low > 0 && may_follow(of, diameters[i], diameters[low - 1])) {
            low--;
        }
        while (high + 1 < count &&
               may_follow(of, diameters[i], diameters[high + 1])) {
            high++;
        }
        of->narrowest[i] = low;
        of->widest[i] = high;
    }
    of->widest[count] = count > 0 ? count - 1 : 0;
    return BL_OK;
}

bl_status chain_build(const ground *on, const shelf *stock,
                      const fitting_rules *rules, const fitting_site *site,
                      fitting_letting letting, chain_goal goal, arena *owner,
                      chain_search *out) {
    *out = (chain_search){
        .stock = stock,
        .rules = rules,
        .site = *site,
        .letting = letting,
        .goal = goal,
        .owner = owner,
    };
    bl_status status =
        fitting_table_build(on, site, stock, rules->by, owner, &out->table);
    if (status == BL_OK) {
        status = find_windows(out);
    }
    if (status == BL_OK) {
        status = make_tails(out);
    }
    return status == BL_OK ? find_stops(out) : status;
}

/* ------------------------------------------------------------------ layers */

uint64_t chain_value(const chain_search *of, size_t devices,
                     const chain_place *at) {
    if (devices == 0 || devices > of->layer_count) {
        return CHAIN_NO_VALUE;
    }
    return of->layers[devices - 1][at->stop * row_of(of) + at->diameter];
}

static bool may_come(const chain_search *of, size_t kind,
                     const chain_place *at) {
    size_t own = of->stock->kinds[kind].diameter;
    return own >= of->narrowest[at->diameter] &&
           own <= of->widest[at->diameter];
}

uint64_t chain_step(const chain_search *of, size_t kind, const chain_place *at,
                    chain_place *next) {
    const chain_stop *from = &of->stops[at->stop];
    const shelf_kind *device = &of->stock->kinds[kind];
    fitting_fit fit = from->fits[kind];
    if (fit.oversize == FITTING_NONE || reaches(of, from->at, device) ||
        !may_come(of, kind, at)) {
        return CHAIN_NO_VALUE;
    }
    int32_t end = from->at + device->covers;
    *next = (chain_place){(size_t)of->stop_of[end - of->rules->overlap],
                          device->diameter, back_behind(of, from->at, device)};
    return value_of(of->goal, fit, 0);
}

uint64_t chain_last(const chain_search *of, size_t kind, const chain_place *at,
                    int32_t *from) {
    const chain_stop *stop = &of->stops[at->stop];
    const shelf_kind *device = &of->stock->kinds[kind];
    fitting_fit fit = stop->fits[kind];
    if (fit.oversize == FITTING_NONE || !reaches(of, stop->at, device) ||
        !may_come(of, kind, at)) {
        return CHAIN_NO_VALUE;
    }
    if (fit.back > at->back) {
        fit = fit_last(of, &of->tails[kind], device, stop->at, at->back);
        if (fit.oversize == FITTING_NONE) {
            return CHAIN_NO_VALUE;
        }
    }
    *from = stop->at - fit.back;
    return value_of(of->goal, fit, stop->at + device->covers - of->site.cover);
}

/* The least of a last device. None is worth a look that would cost as much with
 * the best of fits. */
static uint64_t least_last(const chain_search *of, const chain_place *at) {
    const fitting_fit best = {0, 0, 0};
    const chain_stop *from = &of->stops[at->stop];
    uint64_t least = CHAIN_NO_VALUE;
    for (size_t i = 0; i < from->fitting_count; i++) {
        size_t kind = from->fitting[i];
        int32_t beyond =
            from->at + of->stock->kinds[kind].covers - of->site.cover;
        if (beyond >= 0 && value_of(of->goal, best, beyond) < least) {
            int32_t place;
            uint64_t value = chain_last(of, kind, at, &place);
            least = value < least ? value : least;
        }
    }
    return least;
}

/* What so many devices cost at least behind what lies before. */
static uint64_t rest_of(const chain_search *of, size_t devices,
                        const chain_place *at) {
    return devices == 1 && of->stops[at->stop].back_most > at->back
               ? least_last(of, at)
               : of->layers[devices - 1][at->stop * row_of(of) + at->diameter];
}

/* What one kind at a stop costs with so many devices in all. */
static uint64_t cost_of(const chain_search *of, const chain_stop *from,
                        size_t kind, size_t devices) {
    const shelf_kind *device = &of->stock->kinds[kind];
    int32_t end = from->at + device->covers;
    if ((end >= of->site.cover) != (devices == 1)) {
        return CHAIN_NO_VALUE;
    }
    if (devices == 1) {
        return value_of(of->goal, from->fits[kind], end - of->site.cover);
    }
    const chain_place next = {
        (size_t)of->stop_of[end - of->rules->overlap],
        device->diameter,
        back_behind(of, from->at, device),
    };
    uint64_t rest = rest_of(of, devices - 1, &next);
    return rest == CHAIN_NO_VALUE
               ? rest
               : rest + value_of(of->goal, from->fits[kind], 0);
}

/* The best that begins with each diameter at a stop. */
static void best_by_diameter(const chain_search *of, size_t devices,
                             size_t stop, uint64_t *best) {
    for (size_t i = 0; i < of->stock->diameter_count; i++) {
        best[i] = CHAIN_NO_VALUE;
    }
    const chain_stop *from = &of->stops[stop];
    for (size_t i = 0; i < from->fitting_count; i++) {
        size_t kind = from->fitting[i];
        size_t own = of->stock->kinds[kind].diameter;
        uint64_t value = cost_of(of, from, kind, devices);
        best[own] = value < best[own] ? value : best[own];
    }
}

/* out[d] = the least of best[narrowest[d] .. widest[d]]. The queue holds
 * numbers whose values rise, none of which a later and smaller one shades. */
static bool least_in_windows(const chain_search *of, const uint64_t *best,
                             size_t *queue, uint64_t *out) {
    size_t head = 0;
    size_t tail = 0;
    size_t taken = 0;
    bool any = false;
    size_t count = of->stock->diameter_count;
    for (size_t d = 0; d < count; d++) {
        for (; taken <= of->widest[d]; taken++) {
            while (tail > head && best[queue[tail - 1]] >= best[taken]) {
                tail--;
            }
            queue[tail++] = taken;
        }
        while (queue[head] < of->narrowest[d]) {
            head++;
        }
        out[d] = best[queue[head]];
        any = any || out[d] != CHAIN_NO_VALUE;
    }
    out[count] = CHAIN_NO_VALUE;
    for (size_t d = 0; d < count; d++) {
        out[count] = best[d] < out[count] ? best[d] : out[count];
    }
    return any;
}

static bool is_too_far(const chain_search *of, size_t devices, size_t stop) {
    return of->stops[stop].at +
               shelf_reach(of->stock, devices, of->rules->overlap) <
           of->site.cover;
}

static void fill_with_none(uint64_t *values, size_t count) {
    for (size_t i = 0; i < count; i++) {
        values[i] = CHAIN_NO_VALUE;
    }
}

static bl_status add_layer(chain_search *of) {
    size_t row = row_of(of);
    size_t devices = of->layer_count + 1;
    uint64_t *layer =
        arena_alloc(of->owner, of->stop_count * row, sizeof *layer);
    uint64_t *best = arena_alloc(of->owner, row, sizeof *best);
    size_t *queue = arena_alloc(of->owner, row, sizeof *queue);
    if (layer == NULL || best == NULL || queue == NULL) {
        return BL_ERR_MEMORY;
    }
    bool any = false;
    for (size_t stop = 0; stop < of->stop_count; stop++) {
        uint64_t *values = &layer[stop * row];
        if (is_too_far(of, devices, stop)) {
            fill_with_none(values, row);
        } else {
            best_by_diameter(of, devices, stop, best);
            any |= least_in_windows(of, best, queue, values);
        }
    }
    of->layers[of->layer_count++] = layer;
    of->exhausted = !any;
    return BL_OK;
}

bl_status chain_deepen(chain_search *of, size_t devices) {
    bl_status status = BL_OK;
    while (status == BL_OK && of->layer_count < devices && !of->exhausted &&
           !of->stopped) {
        size_t cells = (of->layer_count + 1) * of->stop_count * row_of(of);
        if (of->layer_count == LIMIT_CHAIN || cells > LIMIT_CHAIN_VALUES) {
            of->stopped = true;
        } else {
            status = add_layer(of);
        }
    }
    return status;
}

bl_status chain_fewest(chain_search *of, size_t *devices) {
    /* One past the limit is asked for too: that shows whether it is met. */
    for (size_t k = 1; k <= LIMIT_CHAIN + 1; k++) {
        bl_status status = chain_deepen(of, k);
        if (status != BL_OK) {
            return status;
        }
        if (k > of->layer_count) {
            break;
        }
        chain_place begin = chain_begin(of);
        if (chain_value(of, k, &begin) != CHAIN_NO_VALUE) {
            *devices = k;
            return BL_OK;
        }
    }
    *devices = 0;
    return BL_OK;
}

int32_t chain_reached(const chain_search *of) {
    return of->stops[of->stop_count - 1].at;
}
