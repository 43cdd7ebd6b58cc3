/*
 * visible.c - the part of a contour that is seen from a point inside.
 *
 * Each edge covers a span of directions; what is seen is the nearest edge in
 * every direction: the lower envelope of the spans. Edges do not cross, so on
 * a span that two pieces share one of them is nearer throughout, and two
 * envelopes merge in one pass: divide and conquer, O(n log n).
 */
#include "geometry/visible.h"

#include "base/constants.h"
#include "geometry/lanes.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A piece of an edge between two directions, from < to, in -pi .. pi. */
struct span_sight {
    double from;
    double to;
    double ax; /* the whole edge, counter-clockwise */
    double ay;
    double bx;
    double by;
    bool from_a; /* the piece starts at the edge's a, ends at its b */
    bool to_b;
    size_t edge; /* its number, to know pieces of one edge again */
};

void visible_free(visible *of) {
    free(of->ax);
    free(of->spans);
    free(of->other);
    *of = (visible){0};
}

/* Room for count pieces; joined ones share their ends and are closed by the
 * first two points. */
static bool reserve_pieces(visible *out, size_t count, bool joined) {
    if (count + 2 > out->capacity) {
        double *values = malloc(4 * (count + 2) * sizeof *values);
        if (values == NULL) {
            return false;
        }
        free(out->ax);
        out->ax = values;
        out->capacity = count + 2;
    }
    out->ay = out->ax + out->capacity;
    out->bx = joined ? out->ax + 1 : out->ay + out->capacity;
    out->by = joined ? out->ay + 1 : out->bx + out->capacity;
    out->count = count;
    out->joined = joined;
    return true;
}

static bool reserve_spans(visible *out, size_t count) {
    if (count > out->span_capacity) {
        span_sight *spans = realloc(out->spans, count * sizeof *spans);
        out->spans = spans != NULL ? spans : out->spans;
        span_sight *other = realloc(out->other, count * sizeof *other);
        out->other = other != NULL ? other : out->other;
        if (spans == NULL || other == NULL) {
            return false;
        }
        out->span_capacity = count;
    }
    return true;
}

/* One coordinate of all points, relative to the centre, turning left. */
LANES_TWICE
static void take_coordinate(double *restrict out, const double *restrict from,
                            size_t count, bool left, double centre) {
    size_t k = 0;
    for (; left && k + LANES <= count; k += LANES) {
        for (size_t i = k; i < k + LANES; i++) {
            out[i] = from[i] - centre;
        }
    }
    for (; k < count; k++) {
        out[k] = from[left ? k : count - 1 - k] - centre;
    }
    out[count] = out[0];
    out[count + 1] = out[1];
}

bool visible_star(visible *out, const double *x, const double *y, size_t count,
                  bool left, double cx, double cy) {
    assert(count >= 3);
    if (!reserve_pieces(out, count, true)) {
        return false;
    }
    take_coordinate(out->ax, x, count, left, cx);
    take_coordinate(out->ay, y, count, left, cy);
    return true;
}

/* Distance along direction (ux, uy), a unit vector, to the edge's line. */
static double range_of(const span_sight *of, double ux, double uy) {
    double dx = of->bx - of->ax;
    double dy = of->by - of->ay;
    return (of->ax * dy - of->ay * dx) / (ux * dy - uy * dx);
}

static void append(span_sight *out, size_t *count, const span_sight *of,
                   double from, double to) {
    if (!(to > from)) {
        return;
    }
    span_sight piece = *of;
    piece.from_a = of->from_a && from <= of->from;
    piece.to_b = of->to_b && to >= of->to;
    piece.from = from;
    piece.to = to;
    if (*count > 0) {
        span_sight *last = &out[*count - 1];
        bool same = last->edge == piece.edge;
        if (same && last->to >= from) {
            last->to = to;
            last->to_b = piece.to_b;
            return;
        }
    }
    out[(*count)++] = piece;
}

/* Merges two envelopes of na and nb pieces into out; returns its pieces. */
static size_t merge(const span_sight *a, size_t na, const span_sight *b,
                    size_t nb, span_sight *out) {
    const span_sight nowhere = {.from = HUGE_VAL, .to = HUGE_VAL};
    size_t count = 0;
    size_t i = 0;
    size_t j = 0;
    double at = -HUGE_VAL;
    while (i < na || j < nb) {
        const span_sight *p = i < na ? &a[i] : &nowhere;
        const span_sight *q = j < nb ? &b[j] : &nowhere;
        double p_from = fmax(p->from, at);
        double q_from = fmax(q->from, at);
        double end;
        if (p_from < q_from) {
            end = fmin(p->to, q_from);
            append(out, &count, p, p_from, end);
        } else if (q_from < p_from) {
            end = fmin(q->to, p_from);
            append(out, &count, q, q_from, end);
        } else {
            end = fmin(p->to, q->to);
            double middle = 0.5 * (p_from + end);
            double ux = cos(middle);
            double uy = sin(middle);
            bool first = range_of(p, ux, uy) <= range_of(q, ux, uy);
            append(out, &count, first ? p : q, p_from, end);
        }
        at = end;
        i += i < na && p->to <= at;
        j += j < nb && q->to <= at;
    }
    return count;
}

/* Envelope of spans[first .. first + count) into other or back; blocks of
 * twice the input are set apart, which an envelope of segments that do not
 * cross never exceeds. */
static size_t envelope(span_sight *from, span_sight *to, size_t count) {
    if (count <= 1) {
        return count;
    }
    size_t half = count / 2;
    size_t a = envelope(from, to, half);
    size_t b = envelope(from + 2 * half, to + 2 * half, count - half);
    size_t merged = merge(from, a, from + 2 * half, b, to);
    memcpy(from, to, merged * sizeof *from);
    return merged;
}

/* Adds the directions of edge a -> b, turned counter-clockwise, cut where
 * the angle jumps from pi to -pi. Spans are laid two apart. */
static size_t add_edge(span_sight *out, size_t count, size_t edge, double ax,
                       double ay, double bx, double by) {
    double turn = ax * by - ay * bx;
    if (turn < 0.0) {
        return add_edge(out, count, edge, bx, by, ax, ay);
    }
    double from = atan2(ay, ax);
    double to = atan2(by, bx);
    if (!(turn > 0.0) || !(from < to || to < from)) {
        return count; /* seen end on */
    }
    span_sight whole = {from, to, ax, ay, bx, by, true, true, edge};
    if (to > from) {
        out[2 * count] = whole;
        return count + 1;
    }
    span_sight part = whole;
    part.to = PI;
    part.to_b = false;
    if (part.to > part.from) {
        out[2 * count++] = part;
    }
    whole.from = -PI;
    whole.from_a = false;
    if (whole.to > whole.from) {
        out[2 * count++] = whole;
    }
    return count;
}

/* The point of the edge in a direction. */
static void point_towards(const span_sight *of, double angle, double *x,
                          double *y) {
    double ux = cos(angle);
    double uy = sin(angle);
    double range = range_of(of, ux, uy);
    *x = range * ux;
    *y = range * uy;
}

static void add_piece(visible *out, size_t i, const span_sight *of) {
    out->ax[i] = of->ax;
    out->ay[i] = of->ay;
    out->bx[i] = of->bx;
    out->by[i] = of->by;
    if (!of->from_a) {
        point_towards(of, of->from, &out->ax[i], &out->ay[i]);
    }
    if (!of->to_b) {
        point_towards(of, of->to, &out->bx[i], &out->by[i]);
    }
}

bool visible_from(visible *out, const double *x, const double *y, size_t count,
                  double cx, double cy) {
    /* Each edge is cut at most once; each span gets two places. */
    if (!reserve_spans(out, 4 * count)) {
        return false;
    }
    size_t spans = 0;
    for (size_t i = 0, before = count - 1; i < count; before = i++) {
        spans = add_edge(out->spans, spans, i, x[before] - cx, y[before] - cy,
                         x[i] - cx, y[i] - cy);
    }
    size_t seen = envelope(out->spans, out->other, spans);
    if (!reserve_pieces(out, seen, false)) {
        return false;
    }
    for (size_t i = 0; i < seen; i++) {
        add_piece(out, i, &out->spans[i]);
    }
    return true;
}
