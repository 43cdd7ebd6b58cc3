/*
 * median.c - running median along the vessel.
 *
 * Both edges of the window only move forward, so the window is kept sorted by
 * one binary search and one memmove per value that enters or leaves.
 * Invariant: window[0 .. held) is sorted and holds the known values of
 * positions [first, last).
 */
#include "profile/median.h"

#include "base/constants.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static size_t place_of(const double *window, size_t held, double value) {
    size_t low = 0;
    size_t high = held;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (window[middle] < value) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static void window_take(double *window, size_t *held, double value) {
    if (isnan(value)) {
        return;
    }
    size_t at = place_of(window, *held, value);
    memmove(window + at + 1, window + at, (*held - at) * sizeof *window);
    window[at] = value;
    *held += 1;
}

static void window_drop(double *window, size_t *held, double value) {
    if (isnan(value)) {
        return;
    }
    size_t at = place_of(window, *held, value);
    *held -= 1;
    memmove(window + at, window + at + 1, (*held - at) * sizeof *window);
}

void median_running(const double *x_mm, const double *values, size_t count,
                    double width_mm, double *window, double *out) {
    size_t first = 0;
    size_t last = 0;
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        double reach = fmin(width_mm / 2.0,
                            fmin(x_mm[i] - x_mm[0], x_mm[count - 1] - x_mm[i]));
        reach = fmax(reach, 0.0) + EDGE_MM;
        while (last < count && x_mm[last] <= x_mm[i] + reach) {
            window_take(window, &held, values[last++]);
        }
        while (x_mm[first] < x_mm[i] - reach) {
            window_drop(window, &held, values[first++]);
        }
        if (isnan(values[i]) || width_mm <= 0.0) {
            out[i] = values[i];
        } else {
            out[i] = 0.5 * (window[(held - 1) / 2] + window[held / 2]);
        }
    }
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
