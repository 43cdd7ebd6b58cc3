/*
 * chord.c - shortest and longest chord through a point inside a contour.
 *
 * While a line turns about the point, its front and back ends run over the
 * seen pieces. Between two directions where either end changes piece both
 * stay on fixed lines, and with the distances p, q of these lines the chord is
 *     f(t) = p / cos(t - u) + q / cos(t - v).
 * Both terms are convex, so the greatest chord is at an end of such an
 * interval. The least chord is at such an end too or inside an interval. Every
 * interval begins where some piece begins, in front or across; in half a turn
 * all of them do. Pieces are taken in blocks: the sums of the greatest and of
 * the least distances of two that face each other, which the chords there
 * cannot exceed or undercut, spare most of them a closer look.
 *
 * With r = tan(t - u), c = cos(u - v), s = sin(u - v) and w = c - s r a chord
 * is f = sqrt(1 + r^2) (p + q / w), whose derivative has the sign of p r w^2 +
 * q (c r + s), a cubic.
 */
#include "geometry/chord.h"

#include "base/constants.h"
#include "geometry/lanes.h"

#include <math.h>
#include <stdlib.h>

/* Relative for chords, degrees for directions. */
#define TIE 1e-10
/* Radians: directions at which the view jumps are computed, and jumps in front
 * and across in one direction but for rounding are one. */
#define SLACK 1e-12
/* Of a chord's square, to be as long but for rounding. */
#define ENOUGH ((1.0 - TIE) * (1.0 - TIE))
/* Relative: bounds on chords may be wrong by roundings. */
#define HAIR 1e-12

void chord_free(chord_finder *of) {
    facing_free(&of->facing);
    free(of->tops);
    free(of->valleys);
    *of = (chord_finder){0};
}

/* Room for what is found at as many directions as there are vectors in blocks
 * that face each other. */
static bool reserve(chord_finder *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    size_t most = 2 * (count + FACING_WIDTH);
    chord_top *tops = malloc(most * sizeof *tops);
    chord_valley *valleys = malloc(most * sizeof *valleys);
    if (tops == NULL || valleys == NULL) {
        free(tops);
        free(valleys);
        return false;
    }
    free(in->tops);
    free(in->valleys);
    in->tops = tops;
    in->valleys = valleys;
    in->capacity = count;
    return true;
}

/* Of some pieces, in lanes: squares of how near and how far their starts are,
 * and the square of the longest. */
typedef struct reach {
    double near[LANES];
    double far[LANES];
    double longest[LANES];
} reach;

LANES_PART void begin_reach(reach *out) {
    for (size_t lane = 0; lane < LANES; lane++) {
        out->near[lane] = HUGE_VAL;
        out->far[lane] = 0.0;
        out->longest[lane] = 0.0;
    }
}

LANES_PART void add_piece(reach *to, size_t lane, double ax, double ay,
                          double bx, double by) {
    double dx = bx - ax;
    double dy = by - ay;
    double a = ax * ax + ay * ay;
    to->near[lane] = lesser(a, to->near[lane]);
    to->far[lane] = larger(a, to->far[lane]);
    to->longest[lane] = larger(dx * dx + dy * dy, to->longest[lane]);
}

/* The square of a lower bound on how near pieces come whose ends are no nearer
 * than that and no further than this: the foot of a perpendicular lies within
 * half a piece of one of its ends. */
static inline double nearest_square(double near, double far, double longest) {
    return larger(near - 0.25 * longest - HAIR * far, 0.0);
}

/* The pieces of a block and the first of the next, which starts where the block
 * ends. Returns the square of the longest. */
LANES_PART double reach_block(facing *out, const visible *from, size_t block) {
    size_t first = block * FACING_WIDTH;
    const double *x = from->ax + first;
    const double *y = from->ay + first;
    reach is;
    begin_reach(&is);
    if (first + FACING_WIDTH < from->count) {
        for (size_t i = 0; i <= FACING_WIDTH; i += LANES) {
            for (size_t lane = 0; lane < LANES; lane++) {
                size_t at = i + lane;
                add_piece(&is, lane, x[at], y[at], x[at + 1], y[at + 1]);
            }
        }
    } else {
        for (size_t at = 0; first + at < from->count; at++) {
            add_piece(&is, 0, x[at], y[at], x[at + 1], y[at + 1]);
        }
        add_piece(&is, 1, from->ax[0], from->ay[0], from->ax[0], from->ay[0]);
    }
    double far = lanes_most(is.far);
    double longest = lanes_most(is.longest);
    out->x[block] = x[0];
    out->y[block] = y[0];
    out->near[block] = sqrt(nearest_square(lanes_least(is.near), far, longest));
    out->far[block] = sqrt(far);
    return longest;
}

/* Where pieces are joined. */
LANES_TWICE
static void reach_blocks(facing *out, const visible *from) {
    double longest = 0.0;
    for (size_t k = 0; k < out->blocks; k++) {
        longest = larger(reach_block(out, from, k), longest);
    }
    out->longest = sqrt(longest);
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

/* The interval with piece i in front and piece j across, with r running from
 * low to high. */
typedef struct interval {
    double p;
    double q;
    double c;
    double s;
    double low;
    double high;
} interval;

static interval interval_of(const visible *from, size_t i, size_t j) {
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
    /* It begins with the later one of the two and ends with the earlier. */
    bool late = ax * by - ay * bx < 0.0;
    double sx = late ? -bx : ax;
    double sy = late ? -by : ay;
    double ex = from->bx[i];
    double ey = from->by[i];
    bool early = ex * from->by[j] - ey * from->bx[j] > 0.0;
    ex = early ? -from->bx[j] : ex;
    ey = early ? -from->by[j] : ey;
    return (interval){
        .p = (ax * fy - ay * fx) / f,
        .q = (bx * gy - by * gx) / g,
        .c = -(fx * gx + fy * gy) / (f * g),
        .s = (fx * gy - fy * gx) / (f * g),
        .low = (sx * fx + sy * fy) / (sx * fy - sy * fx),
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

/* Squares of the chords so far. */
typedef struct so_far {
    double least;
    double greatest;
    double longest; /* piece, its length */
    double low;     /* what may shrink to less than the least */
} so_far;

static double top_square(const visible *from, chord_top at) {
    const double *x = at.end ? from->bx : from->ax;
    const double *y = at.end ? from->by : from->ay;
    return square_across(from, at.across, x[at.piece], y[at.piece]);
}

/* A chord at where a piece starts or ends. */
static inline void take_chord(chord_finder *in, chord_top at, double square,
                              so_far *out) {
    out->least = lesser(square, out->least);
    if (square >= out->greatest * ENOUGH) {
        out->greatest = larger(square, out->greatest);
        in->tops[in->top_count++] = at;
    }
}

/* The square of how near a piece comes, or a little less. */
static inline double piece_near(const visible *from, size_t i) {
    double ax = from->ax[i];
    double ay = from->ay[i];
    double dx = from->bx[i] - ax;
    double dy = from->by[i] - ay;
    double length = dx * dx + dy * dy;
    double foot = lesser(larger(-(ax * dx + ay * dy), 0.0), length) / length;
    double x = ax + foot * dx;
    double y = ay + foot * dy;
    return (x * x + y * y) * (1.0 - HAIR);
}

/* Whether a chord from one piece to another may be less. A sum of two lengths
 * squared is at least the first of these. */
static bool may_be_less(const visible *from, chord_valley of, double square) {
    double front = piece_near(from, of.front);
    double back = piece_near(from, of.back);
    return front + back + 2.0 * lesser(front, back) < square &&
           front + back + 2.0 * sqrt(front * back) < square;
}

/* The line comes to the start of piece i in front, or else of j across. From
 * there on a chord shrinks by the lengths of both at most. */
static inline void take_start(chord_finder *in, const visible *from, size_t i,
                              size_t j, bool front, so_far *out) {
    size_t at = front ? i : j;
    size_t across = front ? j : i;
    double square = square_across(from, across, from->ax[at], from->ay[at]);
    in->events++;
    take_chord(in, (chord_top){(uint32_t)at, (uint32_t)across, false}, square,
               out);
    if (square < out->low) {
        in->valleys[in->valley_count++] =
            (chord_valley){(uint32_t)i, (uint32_t)j};
    }
}

static inline double turn(const double *x, const double *y, size_t a,
                          size_t b) {
    return x[a] * y[b] - y[a] * x[b];
}

/* Over a part of half a turn, where pieces are joined: point `count` is point
 * 0. The end that does not come to a start begins in the last piece that starts
 * before the opposite direction or in it. */
static void walk(chord_finder *in, const visible *from, const facing_span *over,
                 so_far *out) {
    const double *x = from->ax;
    const double *y = from->ay;
    size_t i = over->front;
    size_t j = over->back;
    bool front = over->from_front;
    so_far now = *out;
    if (front) {
        while (j + 1 < from->count && turn(x, y, i, j + 1) >= 0.0) {
            j++;
        }
    } else {
        while (i < over->front_last && turn(x, y, j, i + 1) >= 0.0) {
            i++;
        }
    }
    do {
        /* Branches, as in the walk of hull.c. */
        if (front) {
            take_start(in, from, i, j, true, &now);
        } else {
            take_start(in, from, i, j, false, &now);
        }
        front = j == over->back_last ||
                (i < over->front_last && turn(x, y, i + 1, j + 1) <= 0.0);
        if (front) {
            i++;
        } else {
            j++;
        }
    } while (!facing_is_over(over, i, j));
    double low = sqrt(now.least) + 2.0 * now.longest;
    now.low = low * low * (1.0 + HAIR);
    *out = now;
}

/* The turn from piece a's start to piece b's: above 0 left, below 0 right, 0
 * when they are in line but for rounding. */
static double turn_about(const visible *from, size_t a, size_t b) {
    double ax = from->ax[a];
    double ay = from->ay[a];
    double bx = from->ax[b];
    double by = from->ay[b];
    double found = ax * by - ay * bx;
    double slack = SLACK * sqrt((ax * ax + ay * ay) * (bx * bx + by * by));
    return fabs(found) <= slack ? 0.0 : found;
}

/* Over half a turn, where the view may jump where a piece ends: there the chord
 * on the near side counts too, and where it jumps in front and across at once
 * those on both near or both far sides. */
static void walk_over_jumps(chord_finder *in, const visible *from,
                            so_far *out) {
    size_t count = from->count;
    size_t i = 0;
    size_t j = 0;
    while (j + 1 < count && turn_about(from, 0, j + 1) >= 0.0) {
        j++;
    }
    const size_t half = j;
    bool front = true;
    while (j < count) {
        take_start(in, from, i, j, front, out);
        size_t next = j + 1 < count ? j + 1 : 0;
        double order = i < half ? turn_about(from, i + 1, next) : 1.0;
        front = order <= 0.0;
        chord_top end = {(uint32_t)(front ? i : j), (uint32_t)(front ? j : i),
                         true};
        take_chord(in, end, top_square(from, end), out);
        i += order <= 0.0;
        j += order >= 0.0;
    }
}

/* Nearest and furthest are good to start with: then most others are out. */
static void walk_over_pairs(chord_finder *in, const visible *from,
                            so_far *out) {
    facing *blocks = &in->facing;
    facing_span over = facing_nearest(blocks);
    walk(in, from, &over, out);
    over = facing_furthest(blocks);
    walk(in, from, &over, out);
    size_t at = 0;
    while (facing_next(blocks, sqrt(out->least) * (1.0 + HAIR),
                       sqrt(out->greatest) * (1.0 - 2.0 * TIE), &at, &over)) {
        walk(in, from, &over, out);
    }
}

/* Bounds that are known need not be found. */
static void find_reach(facing *out, const visible *from, const facing *known) {
    if (known == NULL) {
        reach_blocks(out, from);
        return;
    }
    for (size_t k = 0; k < out->blocks; k++) {
        out->x[k] = from->ax[k * FACING_WIDTH];
        out->y[k] = from->ay[k * FACING_WIDTH];
        out->near[k] = known->near[k];
        out->far[k] = known->far[k];
    }
    out->longest = known->longest;
}

static bool walk_around(chord_finder *in, const visible *from,
                        const facing *known, so_far *out) {
    if (!from->joined) {
        walk_over_jumps(in, from, out);
        return true;
    }
    if (!facing_reserve(&in->facing, from->count)) {
        return false;
    }
    find_reach(&in->facing, from, known);
    out->longest = in->facing.longest;
    if (facing_match(&in->facing)) {
        walk_over_pairs(in, from, out);
    } else {
        facing_span all = facing_whole(from->count);
        walk(in, from, &all, out);
    }
    return true;
}

/* After all ends of intervals: then the least chord is nearly found, and few
 * insides can beat it. */
static void look_inside(chord_finder *in, const visible *from, so_far *out) {
    for (size_t k = 0; k < in->valley_count; k++) {
        chord_valley at = in->valleys[k];
        if (may_be_less(from, at, out->least)) {
            in->solved++;
            interval here = interval_of(from, at.front, at.back);
            double least = least_inside(&here);
            out->least = lesser(least * least, out->least);
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
static void take_axis(double x, double y, double axis[2]) {
    orient_axis(&x, &y);
    if (!(axis[0] * y - axis[1] * x >= 0.0)) {
        axis[0] = x;
        axis[1] = y;
    }
}

static double long_axis_deg(const chord_finder *in, const visible *from,
                            double greatest) {
    double axis[2] = {UNKNOWN, UNKNOWN}; /* every direction comes before */
    for (size_t k = 0; k < in->top_count; k++) {
        chord_top at = in->tops[k];
        if (top_square(from, at) >= greatest * ENOUGH) {
            take_axis((at.end ? from->bx : from->ax)[at.piece],
                      (at.end ? from->by : from->ay)[at.piece], axis);
        }
    }
    double angle = atan2(axis[1], axis[0]) * DEG_PER_RAD;
    return angle > 0.0 ? angle : 0.0;
}

bool chord_find(chord_finder *finder, const visible *from, const facing *known,
                chord_extremes *out) {
    so_far found = {HUGE_VAL, 0.0, HUGE_VAL, HUGE_VAL};
    finder->events = 0;
    finder->top_count = 0;
    finder->valley_count = 0;
    finder->solved = 0;
    if (!reserve(finder, from->count) ||
        !walk_around(finder, from, known, &found)) {
        return false;
    }
    look_inside(finder, from, &found);
    out->least = sqrt(found.least);
    out->greatest = sqrt(found.greatest);
    out->long_axis_deg = long_axis_deg(finder, from, found.greatest);
    return true;
}
