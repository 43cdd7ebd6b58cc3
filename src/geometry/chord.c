/*
 * chord.c - shortest and longest chord through a point inside a contour.
 *
 * Turning a line by half a turn about the point, its front and back ends run
 * over the seen pieces. Between two directions where either end changes piece
 * both ends stay on fixed lines, and the chord is
 *     f(t) = p / cos(t - u) + q / cos(t - v),
 * with the distances p, q of the lines from the point. Both terms are convex,
 * so the greatest chord is at an end of such an interval; the least is at an
 * end or where f' = 0, found by Newton's method kept between bounds. It is at
 * least p + q, which spares nearly all intervals the search.
 */
#include "geometry/chord.h"

#include "base/constants.h"

#include <math.h>

/* Relative for chords, degrees for directions. */
#define TIE 1e-10

/* One interval of directions, as unit vectors, with its two pieces. */
typedef struct interval {
    double fx; /* direction at its start */
    double fy;
    double tx; /* and at its end */
    double ty;
    const sight *front;
    const sight *back;
    double front_from; /* ranges of both ends of the chord, at its start */
    double back_from;
    double front_to; /* and at its end */
    double back_to;
} interval;

/* Distance along unit direction (ux, uy) to the line of a piece. */
static double range_along(const sight *of, double ux, double uy) {
    double dx = of->bx - of->ax;
    double dy = of->by - of->ay;
    return (of->ax * dy - of->ay * dx) / (ux * dy - uy * dx);
}

/* Derivative by the direction's angle of the range along unit direction
 * (ux, uy), where that is `range`: range * tan(angle from the normal). */
static double range_slope(const sight *of, double range, double ux, double uy) {
    double dx = of->bx - of->ax;
    double dy = of->by - of->ay;
    return range * (dx * ux + dy * uy) / (ux * dy - uy * dx);
}

/* Distance of the piece's line, and the angle from its normal to the unit
 * direction. */
static double line_distance(const sight *of, double ux, double uy,
                            double *angle) {
    double dx = of->bx - of->ax;
    double dy = of->by - of->ay;
    double length = sqrt(dx * dx + dy * dy);
    *angle = atan2(dx * ux + dy * uy, ux * dy - uy * dx);
    return (of->ax * dy - of->ay * dx) / length;
}

static double slope(double p, double u, double q, double v, double *second) {
    double cu = cos(u);
    double cv = cos(v);
    double su = sin(u);
    double sv = sin(v);
    *second = p * (1.0 + su * su) / (cu * cu * cu) +
              q * (1.0 + sv * sv) / (cv * cv * cv);
    return p * su / (cu * cu) + q * sv / (cv * cv);
}

/* Whether the chord falls at the interval's start and rises at its end. */
static bool dips(const interval *in) {
    return range_slope(in->front, in->front_from, in->fx, in->fy) +
                   range_slope(in->back, in->back_from, -in->fx, -in->fy) <
               0.0 &&
           range_slope(in->front, in->front_to, in->tx, in->ty) +
                   range_slope(in->back, in->back_to, -in->tx, -in->ty) >
               0.0;
}

/* The least chord strictly inside the interval; HUGE_VAL when there is none
 * or it cannot be below `so_far`. */
static double least_inside(const interval *in, double so_far) {
    if (!dips(in)) {
        return HUGE_VAL;
    }
    double u;
    double v;
    double p = line_distance(in->front, in->fx, in->fy, &u);
    double q = line_distance(in->back, -in->fx, -in->fy, &v);
    if (p + q >= so_far) {
        return HUGE_VAL;
    }
    double low = 0.0;
    double high = atan2(in->fx * in->ty - in->fy * in->tx,
                        in->fx * in->tx + in->fy * in->ty);
    double close = 1e-12 * high; /* the chord is flat there: 1e-24 relative */
    double t = 0.5 * high;
    for (int i = 0; i < 64 && high - low > close; i++) {
        double second;
        double first = slope(p, u + t, q, v + t, &second);
        double step = first / second;
        if (fabs(step) < close) {
            break;
        }
        *(first < 0.0 ? &low : &high) = t;
        double next = t - step;
        t = next > low && next < high ? next : 0.5 * (low + high);
    }
    return p / cos(u + t) + q / cos(v + t);
}

/* The direction in [0, 180); a rounding below 180 is 0. */
static double axis_deg(double ux, double uy) {
    double angle = atan2(uy, ux) * DEG_PER_RAD;
    angle = angle < 0.0 ? angle + 180.0 : angle;
    return angle >= 180.0 - TIE ? 0.0 : angle;
}

/* Of chords that are equal but for rounding the one of least angle counts, so
 * that the long axis of a square does not hang on where its points start. */
static void take_end(chord_extremes *into, double chord, double ux, double uy,
                     double *ax, double *ay) {
    double slack = TIE * into->greatest;
    into->least = chord < into->least ? chord : into->least;
    if (chord > into->greatest + slack ||
        (chord >= into->greatest - slack &&
         axis_deg(ux, uy) < axis_deg(*ax, *ay))) {
        *ax = ux;
        *ay = uy;
    }
    into->greatest = chord > into->greatest ? chord : into->greatest;
}

/* The piece that direction (ux, uy) meets, at or after its start. */
static size_t piece_towards(const visible *from, double ux, double uy) {
    for (size_t i = 0; i < from->count; i++) {
        const sight *of = &from->sights[i];
        if (of->ax * uy - of->ay * ux >= 0.0 &&
            ux * of->by - uy * of->bx > 0.0) {
            return i;
        }
    }
    return 0;
}

chord_extremes chord_find(const visible *from) {
    chord_extremes out = {HUGE_VAL, 0.0, 0.0};
    const sight *sights = from->sights;
    size_t front = 0;
    double fx = sights[0].ax / sights[0].ra;
    double fy = sights[0].ay / sights[0].ra;
    double ax = fx;
    double ay = fy;
    size_t back = piece_towards(from, -fx, -fy);
    bool front_starts = true; /* the direction is the start of the piece */
    bool back_starts = false;
    /* Half a turn meets every end of a piece once, in front or behind. */
    for (size_t k = 0; k <= from->count; k++) {
        const sight *f = &sights[front];
        const sight *b = &sights[back];
        double turn = -(f->bx * b->by - f->by * b->bx);
        bool front_ends = turn >= 0.0;
        bool back_ends = turn <= 0.0;
        double tx = front_ends ? f->bx / f->rb : -b->bx / b->rb;
        double ty = front_ends ? f->by / f->rb : -b->by / b->rb;
        interval now = {
            .fx = fx,
            .fy = fy,
            .tx = tx,
            .ty = ty,
            .front = f,
            .back = b,
            .front_from = front_starts ? f->ra : range_along(f, fx, fy),
            .back_from = back_starts ? b->ra : range_along(b, -fx, -fy),
            .front_to = front_ends ? f->rb : range_along(f, tx, ty),
            .back_to = back_ends ? b->rb : range_along(b, -tx, -ty),
        };
        take_end(&out, now.front_from + now.back_from, fx, fy, &ax, &ay);
        take_end(&out, now.front_to + now.back_to, tx, ty, &ax, &ay);
        double inside = least_inside(&now, out.least);
        out.least = inside < out.least ? inside : out.least;
        front = front_ends ? (front + 1) % from->count : front;
        back = back_ends ? (back + 1) % from->count : back;
        front_starts = front_ends;
        back_starts = back_ends;
        fx = tx;
        fy = ty;
    }
    out.long_axis_deg = axis_deg(ax, ay);
    return out;
}
