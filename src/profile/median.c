/*
 * median.c - running median along the vessel.
 *
 * Both edges of the window only move forward. Its known values stand in two
 * heaps that grow towards each other in one array: the lower half with its
 * greatest on top, the upper half with its least on top (Haerdle and Steiger
 * 1995, J R Stat Soc C 44:258-64). Each value knows its place, so that one that
 * leaves is taken out where it is: O(log w) a value in a window of w, however
 * many frames lie within it.
 * Invariant: no value of `low` is greater than one of `high`, and low holds as
 * many as high or one more.
 */
#include "profile/median.h"

#include "base/constants.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

typedef struct heap {
    bool is_low; /* from the front of the slots, the greatest on top */
    size_t count;
} heap;

typedef struct window {
    const double *values;
    median_slot *slots;
    size_t slot_count;
    heap low;
    heap high;
} window;

/* The index of a value, at a place of a heap. */
static size_t *item_at(const window *in, const heap *of, size_t place) {
    return &in->slots[of->is_low ? place : in->slot_count - 1 - place].item;
}

static void item_put(const window *in, const heap *of, size_t place,
                     size_t item) {
    *item_at(in, of, place) = item;
    in->slots[item].place = place;
}

static bool is_above(const window *in, const heap *of, size_t a, size_t b) {
    return of->is_low ? in->values[a] > in->values[b]
                      : in->values[a] < in->values[b];
}

/* Puts the item at a free place, or above or below where the order wants it. */
static void heap_settle(const window *in, const heap *of, size_t place,
                        size_t item) {
    while (place > 0) {
        size_t parent = *item_at(in, of, (place - 1) / 2);
        if (!is_above(in, of, item, parent)) {
            break;
        }
        item_put(in, of, place, parent);
        place = (place - 1) / 2;
    }
    for (size_t child; (child = 2 * place + 1) < of->count; place = child) {
        if (child + 1 < of->count &&
            is_above(in, of, *item_at(in, of, child + 1),
                     *item_at(in, of, child))) {
            child++;
        }
        if (!is_above(in, of, *item_at(in, of, child), item)) {
            break;
        }
        item_put(in, of, place, *item_at(in, of, child));
    }
    item_put(in, of, place, item);
}

static void heap_add(const window *in, heap *to, size_t item) {
    to->count++;
    heap_settle(in, to, to->count - 1, item);
}

static void heap_remove(const window *in, heap *from, size_t place) {
    from->count--;
    size_t last = *item_at(in, from, from->count);
    if (place < from->count) {
        heap_settle(in, from, place, last);
    }
}

static void move_top(const window *in, heap *from, heap *to) {
    size_t top = *item_at(in, from, 0);
    heap_remove(in, from, 0);
    heap_add(in, to, top);
}

static void window_balance(window *in) {
    if (in->low.count > in->high.count + 1) {
        move_top(in, &in->low, &in->high);
    } else if (in->low.count < in->high.count) {
        move_top(in, &in->high, &in->low);
    }
}

static void window_take(window *in, size_t item) {
    if (isnan(in->values[item])) {
        return;
    }
    bool above = in->low.count > 0 &&
                 in->values[item] > in->values[*item_at(in, &in->low, 0)];
    heap_add(in, above ? &in->high : &in->low, item);
    window_balance(in);
}

static void window_drop(window *in, size_t item) {
    if (isnan(in->values[item])) {
        return;
    }
    size_t place = in->slots[item].place;
    bool low = place < in->low.count && *item_at(in, &in->low, place) == item;
    heap_remove(in, low ? &in->low : &in->high, place);
    window_balance(in);
}

static double window_median(const window *in) {
    double low = in->values[*item_at(in, &in->low, 0)];
    return in->low.count > in->high.count
               ? low
               : 0.5 * (low + in->values[*item_at(in, &in->high, 0)]);
}

bl_span median_window(const double *x_mm, size_t count, size_t i,
                      double width_mm) {
    double x = x_mm[i];
    double reach = fmin(width_mm / 2.0, fmin(x - x_mm[0], x_mm[count - 1] - x));
    reach = fmax(reach, 0.0);
    bl_span over = {x - reach, x + reach};
    bool inner = i > 0 && i + 1 < count;
    if (inner && x - x_mm[i - 1] <= width_mm + EDGE_MM &&
        x_mm[i + 1] - x <= width_mm + EDGE_MM) {
        over.from_mm = fmin(over.from_mm, x_mm[i - 1]);
        over.to_mm = fmax(over.to_mm, x_mm[i + 1]);
    }
    return (bl_span){over.from_mm - EDGE_MM, over.to_mm + EDGE_MM};
}

void median_running(const double *x_mm, const double *values, size_t count,
                    double width_mm, median_slot *slots, double *out) {
    window held = {.values = values,
                   .slots = slots,
                   .slot_count = count,
                   .low = {.is_low = true}};
    size_t first = 0;
    size_t last = 0;
    for (size_t i = 0; i < count; i++) {
        if (!(width_mm > 0.0)) {
            out[i] = values[i];
            continue;
        }
        bl_span over = median_window(x_mm, count, i, width_mm);
        while (last < count && x_mm[last] <= over.to_mm) {
            window_take(&held, last++);
        }
        while (x_mm[first] < over.from_mm) {
            window_drop(&held, first++);
        }
        out[i] = isnan(values[i]) ? values[i] : window_median(&held);
    }
}

static int by_size(const void *left, const void *right) {
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

void median_sort(double *values, size_t count) {
    qsort(values, count, sizeof *values, by_size);
}

static double middle_of(const double *sorted, size_t count) {
    return 0.5 * (sorted[(count - 1) / 2] + sorted[count / 2]);
}

double median_of(double *values, size_t count) {
    if (count == 0) {
        return UNKNOWN;
    }
    median_sort(values, count);
    return middle_of(values, count);
}

double median_of_few(const double *values, size_t count) {
    double sorted[MEDIAN_FEW];
    if (count == 0) {
        return UNKNOWN;
    }
    for (size_t i = 0; i < count; i++) {
        size_t at = i;
        for (; at > 0 && sorted[at - 1] > values[i]; at--) {
            sorted[at] = sorted[at - 1];
        }
        sorted[at] = values[i];
    }
    return middle_of(sorted, count);
}

static int by_value(const void *left, const void *right) {
    double a = ((const weighted *)left)->value;
    double b = ((const weighted *)right)->value;
    return (a > b) - (a < b);
}

double median_weighted_quantile(weighted *pairs, size_t count, double share) {
    double total = 0.0;
    for (size_t i = 0; i < count; i++) {
        total += pairs[i].weight;
    }
    qsort(pairs, count, sizeof *pairs, by_value);
    double below = 0.0;
    for (size_t i = 0; i < count; i++) {
        below += pairs[i].weight;
        if (pairs[i].weight > 0.0 && below >= share * total) {
            return pairs[i].value;
        }
    }
    return UNKNOWN;
}
