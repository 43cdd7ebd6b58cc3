/*
 * stray.c - points or edges of a contour that are unlike all others.
 *
 * No edge of a stray point or of an open contour is shorter than 1.7 times the
 * mean of all: with edges a and b of a point at least SPIKE_IN = 2 times
 * the mean m of the other n - 2, the longer is at least 2 m and the perimeter
 * at most (n + 2) / 2 times it where both are that long, so that their ratio
 * is 2 n / (n + 2), 1.71 at 12 points, and more where one is longer. So the
 * longest edge and the point nearest 0,0, which the sums know, pass all others
 * without a second look. So it is with k neighbouring points, at most a quarter
 * of all, and their k + 1 edges: with those out and back at least RUN_IN = 3
 * times the mean of the other n - k - 1 the ratio is at least
 * 3 n / (n + 2 k + 2), 1.8 at 12 points and 3 of them; and where two or three
 * edges are OPEN_EDGES = 5 times the others, 5 n / (n + 12), 2.5.
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

/* `many` holds of as many points as are traced. */
static double least_outwards(size_t count, double many) {
    return count < FEW_TRACED_POINTS ? SPIKE_OUT_FEW : many;
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
    double least = turns_inwards(x, y, sums, at, i)
                       ? SPIKE_IN
                       : least_outwards(count, SPIKE_OUT);
    *excess = way - span;
    bool stands_out = way >= 2.0 * least * fmax(mean, beside) &&
                      span <= SPIKE_SPAN * way &&
                      *excess >= SPIKE_PERIMETER * (sums->perimeter - *excess);
    return (stray){.what = stands_out ? STRAY_POINT : STRAY_NONE,
                   .point = (uint32_t)i,
                   .points = 1,
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

/* ------------------------------------------------------ neighbouring points */

/* Points that go out or in together: the first of them, how many they are and
 * the way along them. */
typedef struct run {
    size_t first;
    size_t points;
    double inner; /* the way from the first to the last */
} run;

/* Whether the way over the run and back passes outside the contour that is
 * closed without it: the run has the contour's own way round. */
static bool goes_outwards(const double *x, const double *y, size_t count,
                          const polygon_sums *sums, const run *of) {
    size_t before = (of->first + count - 1) % count;
    double twice = 0.0;
    for (size_t k = 0; k < of->points; k++) {
        size_t i = (of->first + k) % count;
        size_t j = (i + 1) % count;
        twice += (x[i] - x[before]) * (y[j] - y[before]) -
                 (y[i] - y[before]) * (x[j] - x[before]);
    }
    return (twice > 0.0) == (sums->twice_area > 0.0);
}

static stray look_at_run(const double *x, const double *y, size_t count,
                         const polygon_sums *sums, const run *of, double out,
                         double *excess) {
    size_t before = (of->first + count - 1) % count;
    size_t last = (of->first + of->points - 1) % count;
    around at = {(before + count - 1) % count, before, (last + 1) % count,
                 (last + 2) % count};
    double back = edge(x, y, last, at.after);
    double way = out + back;
    double span = edge(x, y, at.before, at.after);
    double mean =
        (sums->perimeter - way - of->inner) / (double)(count - of->points - 1);
    double beside = fmax(edge(x, y, at.far_before, at.before),
                         edge(x, y, at.after, at.far_after));
    double times = fmin(out, back) / fmax(mean, beside);
    bool long_both = times >= RUN_IN && span <= SPIKE_SPAN * way;
    *excess = way + of->inner - span;
    bool stands_out =
        long_both && *excess >= SPIKE_PERIMETER * (sums->perimeter - *excess) &&
        (times >= least_outwards(count, RUN_OUT) ||
         !goes_outwards(x, y, count, sums, of));
    return (stray){.what = stands_out ? STRAY_RUN : STRAY_NONE,
                   .point = (uint32_t)of->first,
                   .points = (uint32_t)of->points,
                   .times = times};
}

/* The most that two to RUN_POINTS neighbouring points add to the perimeter. */
static stray find_run(const double *x, const double *y, size_t count,
                      const polygon_sums *sums) {
    stray worst = {.what = STRAY_NONE};
    double most = 0.0;
    size_t points = count / 4 < RUN_POINTS ? count / 4 : RUN_POINTS;
    for (size_t i = 0; i < count; i++) {
        run of = {(i + 1) % count, 1, 0.0};
        double out = edge(x, y, i, of.first);
        if (out * (double)count < LONG_EDGE * sums->perimeter) {
            continue;
        }
        while (of.points < points) {
            size_t last = (of.first + of.points - 1) % count;
            of.inner += edge(x, y, last, (last + 1) % count);
            of.points++;
            double excess;
            stray one = look_at_run(x, y, count, sums, &of, out, &excess);
            if (one.what != STRAY_NONE && excess > most) {
                worst = one;
                most = excess;
            }
        }
    }
    return worst;
}

/* ------------------------------------------------------------------- edges */

/* The longest edges, the longest first, and one behind them. */
typedef struct longest {
    double length[OPEN_MOST + 1];
    size_t from[OPEN_MOST + 1];
} longest;

static longest longest_of(const double *x, const double *y, size_t count) {
    longest out = {{0.0}, {0}};
    for (size_t i = 0; i < count; i++) {
        double length = edge(x, y, i, (i + 1) % count);
        size_t at = OPEN_MOST;
        if (length <= out.length[at]) {
            continue;
        }
        for (; at > 0 && out.length[at - 1] < length; at--) {
            out.length[at] = out.length[at - 1];
            out.from[at] = out.from[at - 1];
        }
        out.length[at] = length;
        out.from[at] = i;
    }
    return out;
}

/* Whether the contour turns its own way round by OPEN_TURN_DEG and more where
 * two of its edges meet. */
static bool turns_far(const double *x, const double *y, size_t count,
                      const polygon_sums *sums, size_t i) {
    around at = around_of(i, count);
    double ax = x[i] - x[at.before];
    double ay = y[i] - y[at.before];
    double bx = x[at.after] - x[i];
    double by = y[at.after] - y[i];
    double cross = ax * by - ay * bx;
    cross = sums->twice_area > 0.0 ? cross : -cross;
    return atan2(cross, ax * bx + ay * by) >= OPEN_TURN_DEG / DEG_PER_RAD;
}

/* Two or more edges that are long may lie along a vein pressed flat: those that
 * cut an arc off turn at both ends. */
static bool cuts_off(const double *x, const double *y, size_t count,
                     const polygon_sums *sums, size_t from) {
    return turns_far(x, y, count, sums, from) &&
           turns_far(x, y, count, sums, (from + 1) % count);
}

static stray find_edges(const double *x, const double *y, size_t count,
                        const polygon_sums *sums) {
    longest of = longest_of(x, y, count);
    double rest = sums->perimeter;
    bool cut = true;
    for (size_t k = 1; k <= OPEN_MOST; k++) {
        double least = of.length[k - 1];
        rest -= least;
        cut = cut && (k == 1 || cuts_off(x, y, count, sums, of.from[k - 1]));
        double mean = rest / (double)(count - k);
        bool is_open = cut && least >= OPEN_EDGES * mean &&
                       least >= OPEN_SECOND * of.length[k] &&
                       least >= OPEN_PERIMETER * sums->perimeter &&
                       (k == 1 || cuts_off(x, y, count, sums, of.from[0]));
        if (is_open) {
            return (stray){.what = k == 1 ? STRAY_EDGE : STRAY_EDGES,
                           .point = (uint32_t)of.from[0],
                           .points = (uint32_t)k,
                           .times = least / mean};
        }
    }
    return (stray){.what = STRAY_NONE};
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
        found = find_run(x, y, count, sums);
    }
    if (found.what == STRAY_NONE && has_long) {
        found = find_edges(x, y, count, sums);
    }
    return found;
}
