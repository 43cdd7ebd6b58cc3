/*
 * chord.c - shortest and longest chord through a point inside a contour.
 *
 * While a line turns about the point, its front and back ends run over the
 * seen pieces. Between two directions where either end changes piece both
 * stay on fixed lines, and with the distances p, q of these lines the chord is
 *     f(t) = p / cos(t - u) + q / cos(t - v).
 * Both terms are convex, so the greatest chord is at an end of such an
 * interval. Every interval begins where some piece begins, in front: pieces
 * and intervals go in pairs, and one walk that keeps the piece across finds
 * the chords at all ends. The least chord is one of these or lies inside an
 * interval; a sum of the distances of both pieces that is not below the least
 * so far spares nearly all intervals the search. With r = tan(t - u), c = cos(u
 * - v) and s = sin(u - v) f = sqrt(1 + r^2) (p + q / w),  w = c - s r, whose
 * derivative has the sign of p r w^2 + q (c r + s), a cubic.
 */
#include "geometry/chord.h"

#include "base/constants.h"
#include "geometry/lanes.h"
#include "geometry/opposite.h"

#include <math.h>
#include <stdlib.h>

/* Relative for chords, degrees for directions. */
#define TIE 1e-10

void chord_free(chord_finder *of) {
    free(of->square);
    free(of->across);
    *of = (chord_finder){0};
}

static bool reserve(chord_finder *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    double *square = malloc(3 * count * sizeof *square);
    uint32_t *across = malloc(2 * count * sizeof *across);
    if (square == NULL || across == NULL) {
        free(square);
        free(across);
        return false;
    }
    chord_free(in);
    in->square = square;
    in->reach = square + 2 * count;
    in->across = across;
    in->capacity = count;
    return true;
}

/* Square of the distance from the point to the piece. */
static inline double reach(double ax, double ay, double bx, double by) {
    double dx = bx - ax;
    double dy = by - ay;
    double square = dx * dx + dy * dy;
    double part = lesser(larger(-(ax * dx + ay * dy), 0.0), square) / square;
    double x = ax + part * dx;
    double y = ay + part * dy;
    return x * x + y * y;
}

/* In lanes, for vector instructions. */
static void reaches(const visible *from, double *restrict out) {
    const double *ax = from->ax;
    const double *ay = from->ay;
    const double *bx = from->bx;
    const double *by = from->by;
    size_t i = 0;
    for (; i + LANES <= from->count; i += LANES) {
        for (size_t k = i; k < i + LANES; k++) {
            out[k] = reach(ax[k], ay[k], bx[k], by[k]);
        }
    }
    for (; i < from->count; i++) {
        out[i] = reach(ax[i], ay[i], bx[i], by[i]);
    }
}

/* Square of the chord from (x, y) to where it meets piece j across. */
static inline double square_across(const visible *from, size_t j, double x,
                                   double y) {
    double ax = from->ax[j];
    double ay = from->ay[j];
    double dx = from->bx[j] - ax;
    double dy = from->by[j] - ay;
    double whole = dx * y - dy * x;
    /* Within 0 .. 1 it is, but for rounding. */
    double part = lesser(larger(x * ay - y * ax, 0.0), whole) / whole;
    double cx = ax + part * dx - x;
    double cy = ay + part * dy - y;
    return cx * cx + cy * cy;
}

/* Chords at the starts of all pieces. */
static void meet_starts(chord_finder *in, const visible *from) {
    const double *x = from->ax;
    const double *y = from->ay;
    in->steps += opposite_find(x, y, from->count, in->across);
    for (size_t i = 0; i < from->count; i++) {
        in->square[i] = square_across(from, in->across[i], x[i], y[i]);
    }
}

/* Chords at their ends, where the view jumps: on the near side of the jump,
 * in front and across. */
static void meet_ends(chord_finder *in, const visible *from) {
    const double *x = from->bx;
    const double *y = from->by;
    size_t count = from->count;
    uint32_t *across = in->across + count;
    in->steps += opposite_find(x, y, count, across);
    for (size_t i = 0; i < count; i++) {
        size_t j = across[i];
        if (x[i] * y[j] - y[i] * x[j] > 0.0) {
            j = j + 1 == count ? 0 : j + 1;
        }
        in->square[count + i] = square_across(from, j, x[i], y[i]);
    }
}

/* The interval that begins with piece i, with r running from low to high. */
typedef struct interval {
    double p;
    double q;
    double c;
    double s;
    double low;
    double high;
} interval;

static interval interval_of(const chord_finder *in, const visible *from,
                            size_t i) {
    size_t j = in->across[i];
    double ax = from->ax[i];
    double ay = from->ay[i];
    double fx = from->bx[i] - ax;
    double fy = from->by[i] - ay;
    double f = sqrt(fx * fx + fy * fy);
    double bx = from->ax[j];
    double by = from->ay[j];
    double gx = from->bx[j] - bx;
    double gy = from->by[j] - by;
    double g = sqrt(gx * gx + gy * gy);
    /* It ends with the piece in front or with the one across. */
    double ex = from->bx[i];
    double ey = from->by[i];
    if (ex * from->by[j] - ey * from->bx[j] > 0.0) {
        ex = -from->bx[j];
        ey = -from->by[j];
    }
    return (interval){
        .p = (ax * fy - ay * fx) / f,
        .q = (bx * gy - by * gx) / g,
        .c = -(fx * gx + fy * gy) / (f * g),
        .s = (fx * gy - fy * gx) / (f * g),
        .low = (ax * fx + ay * fy) / (ax * fy - ay * fx),
        .high = (ex * fx + ey * fy) / (ex * fy - ey * fx),
    };
}

/* Of the sign of the chord's derivative. */
static double slope(const interval *of, double r) {
    double w = of->c - of->s * r;
    return of->p * r * w * w + of->q * (of->c * r + of->s);
}

static double slope_change(const interval *of, double r) {
    double w = of->c - of->s * r;
    return of->p * w * (w - 2.0 * of->s * r) + of->q * of->c;
}

/* The least chord strictly inside; HUGE_VAL when there is none. Newton's
 * method, kept between bounds. */
static double least_inside(const interval *of) {
    double low = of->low;
    double high = of->high;
    double at_low = slope(of, low);
    double at_high = slope(of, high);
    if (!(at_low < 0.0 && at_high > 0.0)) {
        return HUGE_VAL;
    }
    /* The chord is flat there: 1e-20 relative. */
    double close = 1e-10 * (high - low);
    double r = low + (high - low) * (at_low / (at_low - at_high));
    for (int i = 0; i < 64 && high - low > close; i++) {
        double here = slope(of, r);
        *(here < 0.0 ? &low : &high) = r;
        double next = r - here / slope_change(of, r);
        next = next >= low && next <= high ? next : 0.5 * (low + high);
        double step = fabs(next - r);
        r = next;
        if (step < close) {
            break;
        }
    }
    return sqrt(1.0 + r * r) * (of->p + of->q / (of->c - of->s * r));
}

/* Whether two pieces are so near that a chord between them may be less. The
 * sum of two distances squared is at least the first of these. */
static inline bool may_be_less(double front, double back, double least) {
    return front + back + 2.0 * lesser(front, back) < least * least &&
           sqrt(front) + sqrt(back) < least;
}

static void find_least(chord_finder *in, const visible *from, double *least) {
    for (size_t i = 0; i < from->count; i++) {
        if (may_be_less(in->reach[i], in->reach[in->across[i]], *least)) {
            interval here = interval_of(in, from, i);
            double inside = least_inside(&here);
            *least = inside < *least ? inside : *least;
            in->solved++;
        }
    }
}

/* One of the two directions of a line: from 0 to below pi, a rounding below pi
 * taken for 0. */
static void orient_axis(double *x, double *y) {
    bool down = *y < 0.0 || (*y <= 0.0 && *x < 0.0);
    double sign = down ? -1.0 : 1.0;
    *x *= sign;
    *y *= sign;
    if (*x < 0.0 && *y <= -*x * (TIE / DEG_PER_RAD)) {
        *x = -*x;
        *y = -*y;
    }
}

/* Of chords that are equal but for rounding the one of least angle counts, so
 * that the long axis of a square does not hang on where its points start. */
static void take_axis(const double *ux, const double *uy, const double *square,
                      size_t count, double enough, double axis[2]) {
    for (size_t i = 0; i < count; i++) {
        if (square[i] >= enough) {
            double x = ux[i];
            double y = uy[i];
            orient_axis(&x, &y);
            if (!(axis[0] * y - axis[1] * x >= 0.0)) {
                axis[0] = x;
                axis[1] = y;
            }
        }
    }
}

static void find_extremes(const double *square, size_t count, double *least,
                          double *greatest) {
    *least = HUGE_VAL;
    *greatest = 0.0;
    for (size_t i = 0; i < count; i++) {
        *least = lesser(square[i], *least);
        *greatest = larger(square[i], *greatest);
    }
}

static double long_axis_deg(const visible *from, const double *square,
                            double greatest) {
    double axis[2] = {UNKNOWN, UNKNOWN}; /* every direction comes before */
    double enough = greatest * (1.0 - TIE) * (1.0 - TIE);
    take_axis(from->ax, from->ay, square, from->count, enough, axis);
    if (!from->joined) {
        take_axis(from->bx, from->by, square + from->count, from->count, enough,
                  axis);
    }
    double angle = atan2(axis[1], axis[0]) * DEG_PER_RAD;
    return angle > 0.0 ? angle : 0.0;
}

bool chord_find(chord_finder *finder, const visible *from,
                chord_extremes *out) {
    if (!reserve(finder, from->count)) {
        return false;
    }
    finder->steps = 0;
    finder->solved = 0;
    reaches(from, finder->reach);
    meet_starts(finder, from);
    size_t chords = from->count;
    if (!from->joined) {
        meet_ends(finder, from);
        chords += from->count;
    }
    double least;
    double greatest;
    find_extremes(finder->square, chords, &least, &greatest);
    out->least = sqrt(least);
    out->greatest = sqrt(greatest);
    out->long_axis_deg = long_axis_deg(from, finder->square, greatest);
    find_least(finder, from, &out->least);
    return true;
}
