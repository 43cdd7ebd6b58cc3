/*
 * stray.c - one point or one edge of a contour that is unlike all others.
 *
 * No edge of a stray point or of an open contour is shorter than 1.7 times the
 * mean of all: with edges a and b of a point at least SPIKE_IN = 2 times
 * the mean m of the other n - 2, the longer is at least 2 m and the perimeter
 * at most (n + 2) / 2 times it where both are that long, so that their ratio
 * is 2 n / (n + 2), 1.71 at 12 points, and more where one is longer. So the
 * longest edge and the point nearest 0,0, which the sums know, pass all others
 * without a second look.
 */
#include "geometry/stray.h"

#include "base/constants.h"
#include "base/tracing.h"

#include <math.h>

#define LONG_EDGE 1.7

static double edge(const double *x, const double *y, size_t i, size_t j) {
    double dx = x[j] - x[i];
    double dy = y[j] - y[i];
    return sqrt(dx * dx + dy * dy);
}

/* A point's neighbours, and theirs. */
typedef struct around {
    size_t far_before;
    size_t before;
    size_t after;
    size_t far_after;
} around;

static around around_of(size_t i, size_t count) {
    return (around){(i + count - 2) % count, (i + count - 1) % count,
                    (i + 1) % count, (i + 2) % count};
}

/* Whether the contour turns at a point against its own way round. */
static bool turns_inwards(const double *x, const double *y,
                          const polygon_sums *sums, around at, size_t i) {
    double cross = (x[i] - x[at.before]) * (y[at.after] - y[i]) -
                   (y[i] - y[at.before]) * (x[at.after] - x[i]);
    return (cross > 0.0) != (sums->twice_area > 0.0);
}

static double least_times(bool inwards, size_t count) {
    double outwards = count < FEW_TRACED_POINTS ? SPIKE_OUT_FEW : SPIKE_OUT;
    return inwards ? SPIKE_IN : outwards;
}

/* How far a point stands out, and *excess, by how much the perimeter is longer
 * with it; STRAY_NONE where that is not far. */
static stray look_at_point(const double *x, const double *y, size_t count,
                           const polygon_sums *sums, size_t i, double *excess) {
    around at = around_of(i, count);
    double way = edge(x, y, at.before, i) + edge(x, y, i, at.after);
    double span = edge(x, y, at.before, at.after);
    double mean = (sums->perimeter - way) / (double)(count - 2);
    double beside = fmax(edge(x, y, at.far_before, at.before),
                         edge(x, y, at.after, at.far_after));
    bool inwards = turns_inwards(x, y, sums, at, i);
    *excess = way - span;
    bool stands_out =
        way >= 2.0 * least_times(inwards, count) * fmax(mean, beside) &&
        span <= SPIKE_SPAN * way &&
        *excess >= SPIKE_PERIMETER * (sums->perimeter - *excess);
    return (stray){.what = stands_out ? STRAY_POINT : STRAY_NONE,
                   .point = (uint32_t)i,
                   .times = 0.5 * way / fmax(mean, beside)};
}

static stray find_point(const double *x, const double *y, size_t count,
                        const polygon_sums *sums) {
    stray worst = {.what = STRAY_NONE};
    double most = 0.0;
    for (size_t i = 0; i < count; i++) {
        double excess;
        stray one = look_at_point(x, y, count, sums, i, &excess);
        if (one.what != STRAY_NONE && excess > most) {
            worst = one;
            most = excess;
        }
    }
    return worst;
}

static stray find_edge(const double *x, const double *y, size_t count,
                       double perimeter) {
    double longest = 0.0;
    double second = 0.0;
    size_t from = 0;
    for (size_t i = 0; i < count; i++) {
        double length = edge(x, y, i, (i + 1) % count);
        second = fmax(second, fmin(length, longest));
        from = length > longest ? i : from;
        longest = fmax(length, longest);
    }
    double mean = (perimeter - longest) / (double)(count - 1);
    bool is_open = longest >= OPEN_EDGES * mean &&
                   longest >= OPEN_SECOND * second &&
                   longest >= OPEN_PERIMETER * perimeter;
    return (stray){.what = is_open ? STRAY_EDGE : STRAY_NONE,
                   .point = (uint32_t)from,
                   .times = longest / mean};
}

static bool at_origin(const double *x, const double *y, size_t i) {
    return !(fabs(x[i]) > 0.0) && !(fabs(y[i]) > 0.0);
}

static stray find_origin(const double *x, const double *y, size_t count) {
    size_t i = 0;
    while (i < count && !at_origin(x, y, i)) {
        i++;
    }
    if (i == count) {
        return (stray){.what = STRAY_NONE};
    }
    around at = around_of(i, count);
    double way = edge(x, y, at.before, i) + edge(x, y, i, at.after);
    bool turns = way >= ORIGIN_TURN * edge(x, y, at.before, at.after);
    return (stray){.what = turns ? STRAY_ORIGIN : STRAY_NONE,
                   .point = (uint32_t)i};
}

stray stray_find(const double *x, const double *y, size_t count,
                 const polygon_sums *sums) {
    stray found = {.what = STRAY_NONE};
    if (count < TRACED_POINTS) {
        return found;
    }
    if (!(sums->nearest > 0.0)) {
        found = find_origin(x, y, count);
    }
    bool has_long =
        sums->longest * (double)count >= LONG_EDGE * sums->perimeter;
    if (found.what == STRAY_NONE && has_long) {
        found = find_point(x, y, count, sums);
    }
    if (found.what == STRAY_NONE && has_long) {
        found = find_edge(x, y, count, sums->perimeter);
    }
    return found;
}
