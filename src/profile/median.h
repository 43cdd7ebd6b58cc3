/*
 * median.h - running median along the vessel.
 */
#ifndef PROFILE_MEDIAN_H
#define PROFILE_MEDIAN_H

#include "boreline.h"

#include <stddef.h>

/* Working memory for one value: an index, and the place of this one. */
typedef struct median_slot {
    size_t item;
    size_t place;
} median_slot;

/* out[i] = median of the known values within `width` mm centred on x_mm[i], and
 * of those on both sides of it where neither is further than that: one value's
 * median passes over nothing.
 *
 * x_mm: count ascending positions of one stretch without a gap. Near its ends
 * the window shrinks on both sides alike, so that a straight line stays what
 * it is. values may hold NaN (unknown): it is passed over, and stays NaN. An
 * even number of values gives the mean of the two middle ones. width <= 0
 * copies. slots: working memory for count of them. out must not overlap.
 * O(count log w) for up to w values in a window. */
void median_running(const double *x_mm, const double *values, size_t count,
                    double width_mm, median_slot *slots, double *out);

/* The positions that the median at i is of, with room for rounding; neither end
 * goes back from one i to the next. width > 0. */
bl_span median_window(const double *x_mm, size_t count, size_t i,
                      double width_mm);

/* Sorts count known values, the least first. */
void median_sort(double *values, size_t count);

/* The median of count known values, which are sorted in place: the mean of
 * the two middle ones of an even number; NaN of none. */
double median_of(double *values, size_t count);

/* The same of MEDIAN_FEW values at most, which stay as they are: by insertion,
 * for so few far quicker. */
#define MEDIAN_FEW ((size_t)32)
double median_of_few(const double *values, size_t count);

/* The value below which `share` (0 .. 1) of the weight lies, by sorting the
 * count pairs in place by value; NaN when there is no weight. */
typedef struct weighted {
    double value;
    double weight;
} weighted;

double median_weighted_quantile(weighted *pairs, size_t count, double share);

#endif
