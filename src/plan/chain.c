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
 * chosen (fitting_last); so every device is judged where it will lie.
 */
#include "plan/chain.h"

#include <math.h>

/* Values of all layers, 8 bytes each; a stock of 200 devices of as many
 * diameters reaches it at 600 mm with 20 devices. */
#define CELLS_MOST ((size_t)24000000)
/* Three sums in one number, the first of which counts most: 64 devices that
 * are 40 mm wider and 300 mm too long need less than 20 bits each. */
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

size_t chain_free(const chain_search *of) {
    return of->stock->diameter_count;
}

static size_t row_of(const chain_search *of) {
    return of->stock->diameter_count + 1;
}

/* ------------------------------------------------------------------- stops */

static bool reaches(const chain_search *of, int32_t at,
                    const shelf_kind *kind) {
    return at + kind->covers >= of->site.cover;
}

/* One that is no longer than its overlap leads nowhere unless it is the last.
 */
static fitting_fit fit_at(const chain_search *of, int32_t at,
                          const shelf_kind *kind) {
    bool last = reaches(of, at, kind);
    if (!last && kind->covers <= of->rules->overlap) {
        return (fitting_fit){FITTING_NONE, 0};
    }
    const bl_interval free_end = {0.0, HUGE_VAL};
    bl_interval first = at == 0 ? of->site.first_mm : free_end;
    bl_interval end = last ? of->site.last_mm : free_end;
    if (kind->diameter_mm < fmax(first.low, end.low) ||
        kind->diameter_mm > fmin(first.high, end.high)) {
        return (fitting_fit){FITTING_NONE, 0};
    }
    fitting_place place = last ? fitting_last(&of->site, at, kind->covers)
                               : fitting_mid(at, kind->covers);
    return fitting_of(&of->table, of->rules, of->stock, of->letting, place,
                      kind->diameter_mm);
}

static bl_status add_stop(chain_search *of, int32_t at, bool *reached) {
    const shelf *stock = of->stock;
    fitting_fit *fits = arena_alloc(of->owner, stock->count, sizeof *fits);
    uint16_t *fitting = arena_alloc(of->owner, stock->count, sizeof *fitting);
    size_t count = 0;
    if (fits == NULL || fitting == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < stock->count; i++) {
        const shelf_kind *kind = &stock->kinds[i];
        fits[i] = fit_at(of, at, kind);
        if (fits[i].oversize == FITTING_NONE) {
            continue;
        }
        fitting[count++] = (uint16_t)i;
        if (!reaches(of, at, kind)) {
            reached[at + kind->covers - of->rules->overlap] = true;
        }
    }
    of->stop_of[at] = (int32_t)of->stop_count;
    of->stops[of->stop_count++] = (chain_stop){at, fits, fitting, count};
    return BL_OK;
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
    return status == BL_OK ? find_stops(out) : status;
}

/* ------------------------------------------------------------------ layers */

uint64_t chain_value(const chain_search *of, size_t devices, size_t stop,
                     size_t diameter) {
    if (devices == 0 || devices > of->layer_count) {
        return CHAIN_NO_VALUE;
    }
    return of->layers[devices - 1][stop * row_of(of) + diameter];
}

/* The kind fits, and is the last or is not, as wanted. */
static uint64_t price(const chain_search *of, size_t kind, bool last,
                      size_t stop, size_t *next) {
    const chain_stop *from = &of->stops[stop];
    const shelf_kind *device = &of->stock->kinds[kind];
    fitting_fit fit = from->fits[kind];
    if (fit.oversize == FITTING_NONE || reaches(of, from->at, device) != last) {
        return CHAIN_NO_VALUE;
    }
    int32_t end = from->at + device->covers;
    if (last) {
        return value_of(of->goal, fit, end - of->site.cover);
    }
    *next = (size_t)of->stop_of[end - of->rules->overlap];
    return value_of(of->goal, fit, 0);
}

uint64_t chain_step(const chain_search *of, size_t kind, bool last, size_t stop,
                    size_t diameter, size_t *next) {
    size_t own = of->stock->kinds[kind].diameter;
    if (own < of->narrowest[diameter] || own > of->widest[diameter]) {
        return CHAIN_NO_VALUE;
    }
    return price(of, kind, last, stop, next);
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
        size_t next = 0;
        uint64_t value = price(of, kind, devices == 1, stop, &next);
        if (value != CHAIN_NO_VALUE && devices > 1) {
            uint64_t rest = chain_value(of, devices - 1, next, own);
            value = rest == CHAIN_NO_VALUE ? rest : value + rest;
        }
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
        if (of->layer_count == CHAIN_MOST || cells > CELLS_MOST) {
            of->stopped = true;
        } else {
            status = add_layer(of);
        }
    }
    return status;
}

bl_status chain_fewest(chain_search *of, size_t *devices) {
    for (size_t k = 1; k <= CHAIN_MOST; k++) {
        bl_status status = chain_deepen(of, k);
        if (status != BL_OK) {
            return status;
        }
        if (k > of->layer_count) {
            break;
        }
        if (chain_value(of, k, 0, chain_free(of)) != CHAIN_NO_VALUE) {
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
