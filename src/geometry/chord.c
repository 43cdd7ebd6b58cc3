/*
 * chord.c - shortest and longest chord through a point inside a contour.
 *
 * While a line turns about the point, its front and back ends run over the
 * seen pieces. Between two directions where either end changes piece both
 * stay on fixed lines, and with the distances p, q of these lines the chord is
 *     f(t) = p / cos(t - u) + q / cos(t - v).
 * Both terms are convex, so the greatest chord is at an end of such an
 * interval. Every interval begins where some piece begins, in front: pieces
 * and intervals go in pairs. The least chord is at such an end too or inside
 * an interval. Pieces are taken in blocks: the sums of the greatest and of the
 * least distances of a block and of those across, which the chords there
 * cannot exceed or undercut, spare most blocks, and then most pieces, a closer
 * look.
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
/* Relative: bounds on chords may be wrong by roundings. */
#define HAIR 1e-12

void chord_free(chord_finder *of) {
    facing_free(&of->facing);
    free(of->square);
    free(of->looked);
    *of = (chord_finder){0};
}

static bool reserve(chord_finder *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    double *values = malloc(4 * count * sizeof *values);
    uint32_t *looked = malloc(2 * count * sizeof *looked);
    if (values == NULL || looked == NULL) {
        free(values);
        free(looked);
        return false;
    }
    free(in->square);
    free(in->looked);
    in->square = values;
    in->near = values + 2 * count;
    in->far = values + 3 * count;
    in->looked = looked;
    in->across = looked + count;
    in->capacity = count;
    return true;
}

/* Squares of a lower bound on how near a piece comes and of how far it goes:
 * the foot of a perpendicular lies within half a piece of one of its ends. */
LANES_PART void piece_reach(const visible *from, size_t i, double *near,
                            double *far) {
    double a = from->ax[i] * from->ax[i] + from->ay[i] * from->ay[i];
    double b = from->bx[i] * from->bx[i] + from->by[i] * from->by[i];
    double dx = from->bx[i] - from->ax[i];
    double dy = from->by[i] - from->ay[i];
    double low = lesser(a, b) - 0.25 * (dx * dx + dy * dy);
    *near = lesser(low, *near);
    *far = larger(larger(a, b), *far);
}

LANES_PART void block_reach(chord_finder *in, const visible *from,
                            size_t block) {
    double near[LANES] = {HUGE_VAL, HUGE_VAL, HUGE_VAL, HUGE_VAL};
    double far[LANES] = {0.0};
    size_t i = facing_first(&in->facing, block);
    size_t end = facing_end(&in->facing, block);
    for (; i + LANES <= end; i += LANES) {
        for (size_t lane = 0; lane < LANES; lane++) {
            piece_reach(from, i + lane, &near[lane], &far[lane]);
        }
    }
    for (; i < end; i++) {
        piece_reach(from, i, &near[0], &far[0]);
    }
    double low = lesser(lesser(near[0], near[1]), lesser(near[2], near[3]));
    double high = larger(larger(far[0], far[1]), larger(far[2], far[3]));
    in->near[block] = sqrt(larger(low - HAIR * high, 0.0));
    in->far[block] = sqrt(high);
}

LANES_TWICE
static void reach_chord_blocks(chord_finder *in, const visible *from) {
    for (size_t k = 0; k < in->facing.blocks; k++) {
        block_reach(in, from, k);
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

/* The interval that begins with piece i in front and has piece j across, with r
 * running from low to high. */
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

/* The chords so far and their squares. */
typedef struct so_far {
    double least;
    double greatest;
    double least_square;
    double greatest_square;
} so_far;

static void take_chord(double *kept, double square, so_far *out) {
    *kept = square;
    out->least_square = lesser(square, out->least_square);
    out->greatest_square = larger(square, out->greatest_square);
}

static bool is_worth_it(const visible *from, size_t i, facing_worth what) {
    double near = HUGE_VAL;
    double far = 0.0;
    piece_reach(from, i, &near, &far);
    return far >= what.far || near - HAIR * far < what.near;
}

/* Finds the chords at the starts of the intervals that begin in a block. */
static void look_into(chord_finder *in, const visible *from, size_t block,
                      facing_worth what, so_far *out) {
    facing *blocks = &in->facing;
    size_t across = facing_first(blocks, blocks->across[block]);
    size_t end = facing_end(blocks, block);
    for (size_t i = facing_first(blocks, block); i < end; i++) {
        in->square[i] = 0.0;
        if (!is_worth_it(from, i, what)) {
            continue;
        }
        double x = from->ax[i];
        double y = from->ay[i];
        if (from->joined) {
            facing_seek(blocks, block, x, y, &across);
        } else {
            facing_seek_about(blocks, block, x, y, SLACK, true, &across);
        }
        take_chord(&in->square[i], square_across(from, across, x, y), out);
        in->across[i] = (uint32_t)across;
    }
}

/* Where the view jumps at the end of a piece, the chord on the near side of the
 * jump, and of one across, in a block. */
static void look_at_jumps(chord_finder *in, const visible *from, size_t block,
                          facing_worth what, so_far *out) {
    facing *blocks = &in->facing;
    size_t across = facing_first(blocks, blocks->across[block]);
    size_t end = facing_end(blocks, block);
    double *square = in->square + from->count;
    for (size_t i = facing_first(blocks, block); i < end; i++) {
        square[i] = 0.0;
        if (!is_worth_it(from, i, what)) {
            continue;
        }
        double x = from->bx[i];
        double y = from->by[i];
        facing_seek_about(blocks, block, x, y, SLACK, false, &across);
        take_chord(&square[i], square_across(from, across, x, y), out);
    }
}

static void look(chord_finder *in, const visible *from, size_t block,
                 so_far *out) {
    facing_worth what = facing_worth_of(&in->facing, block, in->near, in->far,
                                        out->least * (1.0 + HAIR),
                                        out->greatest * (1.0 - 2.0 * TIE));
    if (in->far[block] * in->far[block] < what.far &&
        in->near[block] * in->near[block] >= what.near) {
        return;
    }
    in->looked[in->looked_count++] = (uint32_t)block;
    look_into(in, from, block, what, out);
    if (!from->joined) {
        look_at_jumps(in, from, block, what, out);
    }
    out->least = sqrt(out->least_square);
    out->greatest = sqrt(out->greatest_square);
}

/* The blocks that go furthest and come nearest are good to start with: then
 * most of the others are out. */
static void find_extremes(chord_finder *in, const visible *from, so_far *out) {
    size_t far = 0;
    size_t near = 0;
    size_t blocks = in->facing.blocks;
    reach_chord_blocks(in, from);
    for (size_t k = 0; k < blocks; k++) {
        far = in->far[k] > in->far[far] ? k : far;
        near = in->near[k] < in->near[near] ? k : near;
    }
    look(in, from, far, out);
    if (near != far) {
        look(in, from, near, out);
    }
    for (size_t k = 0; k < blocks; k++) {
        if (k != far && k != near) {
            look(in, from, k, out);
        }
    }
}

/* The least chord between two pieces, where it may be less than all so far. A
 * sum of two lengths squared is at least the first of these. */
static void take_least_inside(chord_finder *in, const visible *from, size_t i,
                              size_t j, so_far *out) {
    double front = HUGE_VAL;
    double back = HUGE_VAL;
    double far = 0.0;
    piece_reach(from, i, &front, &far);
    piece_reach(from, j, &back, &far);
    front = larger(front - HAIR * far, 0.0);
    back = larger(back - HAIR * far, 0.0);
    if (front + back + 2.0 * lesser(front, back) >= out->least_square ||
        front + back + 2.0 * sqrt(front * back) >= out->least_square) {
        return;
    }
    in->solved++;
    interval here = interval_of(from, i, j);
    double least = least_inside(&here);
    out->least_square = lesser(least * least, out->least_square);
}

/* After all ends of intervals: then the least chord is nearly found, and few
 * insides can beat it. */
static void look_inside(chord_finder *in, const visible *from, so_far *out) {
    for (size_t k = 0; k < in->looked_count; k++) {
        size_t end = facing_end(&in->facing, in->looked[k]);
        for (size_t i = facing_first(&in->facing, in->looked[k]); i < end;
             i++) {
            if (in->square[i] > 0.0) {
                take_least_inside(in, from, i, in->across[i], out);
            }
        }
    }
    out->least = sqrt(out->least_square);
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
                            double greatest_square) {
    double axis[2] = {UNKNOWN, UNKNOWN}; /* every direction comes before */
    double enough = greatest_square * (1.0 - TIE) * (1.0 - TIE);
    for (size_t k = 0; k < in->looked_count; k++) {
        size_t end = facing_end(&in->facing, in->looked[k]);
        for (size_t i = facing_first(&in->facing, in->looked[k]); i < end;
             i++) {
            if (in->square[i] >= enough) {
                take_axis(from->ax[i], from->ay[i], axis);
            }
            if (!from->joined && in->square[from->count + i] >= enough) {
                take_axis(from->bx[i], from->by[i], axis);
            }
        }
    }
    double angle = atan2(axis[1], axis[0]) * DEG_PER_RAD;
    return angle > 0.0 ? angle : 0.0;
}

bool chord_find(chord_finder *finder, const visible *from,
                chord_extremes *out) {
    if (!reserve(finder, from->count) ||
        !facing_find(&finder->facing, from->ax, from->ay, from->count)) {
        return false;
    }
    finder->looked_count = 0;
    finder->solved = 0;
    so_far found = {HUGE_VAL, 0.0, HUGE_VAL, 0.0};
    find_extremes(finder, from, &found);
    look_inside(finder, from, &found);
    out->least = found.least;
    out->greatest = found.greatest;
    out->long_axis_deg = long_axis_deg(finder, from, found.greatest_square);
    return true;
}
