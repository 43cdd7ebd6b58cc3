/*
 * apart.c - how far the points of one contour are from another.
 *
 * Along an edge of this contour the distance to any one edge of the other is a
 * convex function; the distance to the contour is the least of them. So:
 *
 * Greatest distance. Where the same edge is nearest at both ends of a stretch,
 * the distance between is nowhere more than at one of the ends. Otherwise it is
 * at most what the edge nearest at either end allows at both, and at most what
 * is left when it grows as fast as one goes (by 1); if that may be more than
 * the greatest known, the stretch is parted where both edges are equally far.
 * There the distance is either theirs, and both parts are settled, or a third
 * edge is nearer. The walk starts at the corner that is furthest, so few
 * stretches are looked into.
 *
 * Within or beyond. An edge is cut wherever the other contour comes to it; what
 * is between two cuts is wholly on one side, the same as before if there was
 * no cut. A cut too many does no harm, so they are made generously and rounding
 * cannot hide one.
 *
 * Off by more than a tolerance. The points of a line within a tolerance of an
 * edge are a stretch of it, in closed form; what all these leave is off.
 */
#include "geometry/apart.h"

#include <math.h>
#include <stdlib.h>

/* Of distances, mm: less is not looked for, and as near as this the other
 * contour is on the edge. Rounding is less: 2e-13 at 1000 mm. */
#define SLACK 1e-11
/* So often a stretch is parted where two edges are equally far, then in the
 * middle, which is bound to end. */
#define PARTINGS 24
#define HALVINGS 60
#define STEPS 60

typedef struct walk {
    apart *in;
    edge_set *other;
    const ring *contour;
    const apart_question *asked;
    apart_answer *answer;
    size_t from; /* the corners of the edge */
    size_t to;
    double x; /* where it begins, */
    double y;
    double ux; /* its direction */
    double uy;
    double length;
    bool within; /* the side, */
    bool sure;   /* when it is known from the stretch before */
} walk;

void apart_free(apart *of) {
    free(of->corners);
    free(of->near);
    free(of->cuts);
    free(of->spans);
}

static bool reserve(apart *in, size_t corners, size_t edges) {
    if (corners > in->corner_capacity) {
        apart_spot *grown = realloc(in->corners, corners * sizeof *grown);
        if (grown == NULL) {
            return false;
        }
        in->corners = grown;
        in->corner_capacity = corners;
    }
    if (edges > in->edge_capacity) {
        uint32_t *near = realloc(in->near, edges * sizeof *near);
        in->near = near != NULL ? near : in->near;
        double *cuts = realloc(in->cuts, edges * sizeof *cuts);
        in->cuts = cuts != NULL ? cuts : in->cuts;
        apart_span *spans = realloc(in->spans, edges * sizeof *spans);
        in->spans = spans != NULL ? spans : in->spans;
        if (near == NULL || cuts == NULL || spans == NULL) {
            return false;
        }
        in->edge_capacity = edges;
    }
    return true;
}

static bool is_over(const walk *of) {
    return of->other->looked > of->asked->most_looks;
}

/* A place on the edge; its ends are the corners to the last bit. */
static void place_at(const walk *on, double along, double *x, double *y) {
    bool at_end = along >= on->length;
    *x = at_end ? on->contour->x[on->to] : on->x + along * on->ux;
    *y = at_end ? on->contour->y[on->to] : on->y + along * on->uy;
}

static double distance_at(const walk *on, uint32_t edge, double along) {
    double x;
    double y;
    place_at(on, along, &x, &y);
    on->other->looked++;
    return edges_distance(on->other, edge, x, y);
}

/* ------------------------------------------------------ greatest distance */

/* Where two edges are equally far, if a is nearer at one end and b at the
 * other; a_end, b_start: their distances at the other ends. By false position
 * (the Illinois rule: Dowell and Jarratt, BIT 1971;11:168-74). */
static double level_place(const walk *on, const apart_spot *a,
                          const apart_spot *b, double a_end, double b_start) {
    double low = a->along;
    double high = b->along;
    double at_low = a->distance - b_start;
    double at_high = a_end - b->distance;
    double at = 0.5 * (low + high);
    int kept = 0;
    for (int i = 0; i < STEPS && at_low < 0.0 && at_high > 0.0; i++) {
        at = low + (high - low) * (at_low / (at_low - at_high));
        double value =
            distance_at(on, a->edge, at) - distance_at(on, b->edge, at);
        if (fabs(value) <= 0.1 * SLACK) {
            break;
        }
        if (value < 0.0) {
            low = at;
            at_low = value;
            at_high *= kept == 1 ? 0.5 : 1.0;
            kept = 1;
        } else {
            high = at;
            at_high = value;
            at_low *= kept == 2 ? 0.5 : 1.0;
            kept = 2;
        }
    }
    return at;
}

static void offer(const walk *on, const apart_spot *spot, apart_place *best) {
    if (spot->distance > (best->found ? best->distance : SLACK)) {
        best->distance = spot->distance;
        best->found = true;
        place_at(on, spot->along, &best->x, &best->y);
    }
}

static apart_spot spot_at(const walk *on, double along, uint32_t hint,
                          uint32_t other_hint) {
    double x;
    double y;
    place_at(on, along, &x, &y);
    uint32_t hints[2] = {hint, other_hint};
    edge_view view = edges_nearest(on->other, hints, 2, x, y);
    return (apart_spot){along, view.distance, view.edge};
}

/* Raises the best to the greatest distance of a stretch, whose ends have been
 * offered. */
static void raise(const walk *on, const apart_spot *a, const apart_spot *b,
                  int depth, apart_place *best) {
    double enough = best->distance + SLACK;
    double steep = 0.5 * (a->distance + b->distance + b->along - a->along);
    if (a->edge == b->edge || steep <= enough || depth > HALVINGS ||
        is_over(on)) {
        return;
    }
    double a_end = distance_at(on, a->edge, b->along);
    double b_start = distance_at(on, b->edge, a->along);
    if (fmax(a->distance, a_end) <= enough ||
        fmax(b->distance, b_start) <= enough) {
        return;
    }
    double at = depth < PARTINGS ? level_place(on, a, b, a_end, b_start)
                                 : 0.5 * (a->along + b->along);
    apart_spot middle = spot_at(on, at, a->edge, b->edge);
    offer(on, &middle, best);
    raise(on, a, &middle, depth + 1, best);
    raise(on, &middle, b, depth + 1, best);
}

/* -------------------------------------------------------------------- off */

/* Widens a span to what lies within a radius of a point that is `along` the
 * line and `across` it. */
static void near_point(double along, double across, double radius,
                       apart_span *span) {
    double square = radius * radius - across * across;
    if (square >= 0.0) {
        double half = sqrt(square);
        span->from = fmin(span->from, along - half);
        span->to = fmax(span->to, along + half);
    }
}

/* Cuts a span down to where at + slope * t is within -limit .. limit. */
static void keep_band(double at, double slope, double limit, apart_span *span) {
    if (fabs(slope) <= 0.0) {
        span->to = fabs(at) <= limit ? span->to : -HUGE_VAL;
        return;
    }
    double one = (-limit - at) / slope;
    double two = (limit - at) / slope;
    span->from = fmax(span->from, fmin(one, two));
    span->to = fmin(span->to, fmax(one, two));
}

/* The part of the line of this edge within a tolerance of one of the other
 * contour, beside it or at its end; the edge before tells of its beginning.
 * Empty: from > to. */
static apart_span near_edge(const walk *on, uint32_t edge, double tolerance) {
    const edge_block *of = &on->other->blocks[edge / EDGES_BLOCK];
    size_t k = edge % EDGES_BLOCK;
    double dx = of->x[k] - on->x;
    double dy = of->y[k] - on->y;
    double half = of->half[k];
    double along = dx * on->ux + dy * on->uy;
    double across = dy * on->ux - dx * on->uy;
    double same = of->ux[k] * on->ux + of->uy[k] * on->uy;
    double turn = of->uy[k] * on->ux - of->ux[k] * on->uy;
    apart_span beside = {-HUGE_VAL, HUGE_VAL};
    /* Seen from the other edge's middle, along it and across it. */
    keep_band(-(dx * of->ux[k] + dy * of->uy[k]), same, half, &beside);
    keep_band(dx * of->uy[k] - dy * of->ux[k], -turn, tolerance, &beside);
    apart_span span = {HUGE_VAL, -HUGE_VAL};
    if (beside.from <= beside.to) {
        span = beside;
    }
    near_point(along + half * same, across + half * turn, tolerance, &span);
    return span;
}

static int by_from(const void *left, const void *right) {
    const apart_span *a = left;
    const apart_span *b = right;
    return (a->from > b->from) - (a->from < b->from);
}

static bool add_off(const walk *on, double from, double to) {
    double ax;
    double ay;
    double bx;
    double by;
    place_at(on, from, &ax, &ay);
    place_at(on, to, &bx, &by);
    return from >= to || sectors_add(on->asked->off, ax, ay, bx, by);
}

/* What of a stretch none of the edges near by is within a tolerance of. */
static bool add_rest(const walk *on, double from, double to) {
    double tolerance = on->asked->tolerance;
    double x;
    double y;
    size_t count = 0;
    place_at(on, 0.5 * (from + to), &x, &y);
    size_t near = edges_within(on->other, x, y, 0.5 * (to - from) + tolerance,
                               on->in->near);
    on->other->looked += near;
    for (size_t i = 0; i < near; i++) {
        apart_span span = near_edge(on, on->in->near[i], tolerance);
        if (span.from <= span.to && span.from < to && span.to > from) {
            on->in->spans[count++] = span;
        }
    }
    qsort(on->in->spans, count, sizeof *on->in->spans, by_from);
    for (size_t i = 0; i < count; i++) {
        if (!add_off(on, from, on->in->spans[i].from)) {
            return false;
        }
        from = fmax(from, on->in->spans[i].to);
    }
    return add_off(on, from, to);
}

/* Adds the directions in which a stretch is off by more than the tolerance. */
static bool add_stretch(const walk *on, const apart_spot *a,
                        const apart_spot *b) {
    double tolerance = on->asked->tolerance;
    double length = b->along - a->along;
    if (0.5 * (a->distance + b->distance - length) > tolerance) {
        return add_off(on, a->along, b->along);
    }
    bool none =
        0.5 * (a->distance + b->distance + length) <= tolerance ||
        fmax(a->distance, distance_at(on, a->edge, b->along)) <= tolerance ||
        fmax(b->distance, distance_at(on, b->edge, a->along)) <= tolerance;
    return none || add_rest(on, a->along, b->along);
}

/* ------------------------------------------------------------------- cuts */

static size_t add_cut(const walk *on, size_t count, double along) {
    if (along > SLACK && along < on->length - SLACK) {
        on->in->cuts[count++] = along;
    }
    return count;
}

/* Where an edge of the other contour comes to this one: at a crossing, or with
 * its end on it; the edge before tells of its beginning. */
static size_t cut_by(const walk *on, uint32_t edge, size_t count) {
    const edge_set *of = on->other;
    double px = of->x[edge] - on->x;
    double py = of->y[edge] - on->y;
    double qx = of->x[edge + 1] - on->x;
    double qy = of->y[edge + 1] - on->y;
    double p_along = px * on->ux + py * on->uy;
    double q_along = qx * on->ux + qy * on->uy;
    double p_off = py * on->ux - px * on->uy;
    double q_off = qy * on->ux - qx * on->uy;
    bool p_is_on = fabs(p_off) <= SLACK;
    bool q_is_on = fabs(q_off) <= SLACK;
    if (q_is_on) {
        return add_cut(on, count, q_along);
    }
    if (!p_is_on && (p_off > 0.0) != (q_off > 0.0)) {
        double share = p_off / (p_off - q_off);
        count = add_cut(on, count, p_along + share * (q_along - p_along));
    }
    return count;
}

static int by_size(const void *left, const void *right) {
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

static size_t find_cuts(const walk *on) {
    double x;
    double y;
    size_t count = 0;
    place_at(on, 0.5 * on->length, &x, &y);
    size_t near =
        edges_within(on->other, x, y, 0.5 * on->length + SLACK, on->in->near);
    on->other->looked += near;
    for (size_t i = 0; i < near; i++) {
        count = cut_by(on, on->in->near[i], count);
    }
    qsort(on->in->cuts, count, sizeof *on->in->cuts, by_size);
    return count;
}

/* ------------------------------------------------------------------- walk */

static void find_side(walk *on, double along) {
    double x;
    double y;
    place_at(on, along, &x, &y);
    on->within = edges_inside(on->other, x, y);
}

/* A stretch that is wholly on one side. */
static bool walk_stretch(walk *on, const apart_spot *a, const apart_spot *b) {
    if (on->asked->sided && !on->sure) {
        find_side(on, 0.5 * (a->along + b->along));
    }
    on->sure = b->distance > SLACK;
    bool within = on->within || !on->asked->sided;
    apart_place *best = within ? &on->answer->within : &on->answer->beyond;
    offer(on, a, best);
    offer(on, b, best);
    raise(on, a, b, 0, best);
    return !within || on->asked->off == NULL || add_stretch(on, a, b);
}

static void step_on(walk *on, size_t from) {
    const ring *of = on->contour;
    on->from = from;
    on->to = from + 1 < of->count ? from + 1 : 0;
    on->x = of->x[from];
    on->y = of->y[from];
    double dx = of->x[on->to] - on->x;
    double dy = of->y[on->to] - on->y;
    on->length = sqrt(dx * dx + dy * dy);
    on->ux = dx / on->length;
    on->uy = dy / on->length;
}

static bool walk_edge(walk *on, size_t from) {
    step_on(on, from);
    apart_spot a = on->in->corners[on->from];
    apart_spot b = on->in->corners[on->to];
    a.along = 0.0;
    b.along = on->length;
    size_t cuts = 0;
    if (on->asked->sided && a.distance + b.distance <= on->length + SLACK) {
        cuts = find_cuts(on);
    }
    for (size_t i = 0; i < cuts && !is_over(on); i++) {
        apart_spot cut = spot_at(on, on->in->cuts[i], a.edge, b.edge);
        if (!walk_stretch(on, &a, &cut)) {
            return false;
        }
        a = cut;
        on->sure = false;
    }
    return walk_stretch(on, &a, &b);
}

/* The distances of all corners; gives the one that is furthest. */
static size_t find_corners(walk *on) {
    const ring *of = on->contour;
    apart_spot *corners = on->in->corners;
    uint32_t hint = 0;
    size_t furthest = 0;
    for (size_t i = 0; i < of->count && !is_over(on); i++) {
        uint32_t next = hint + 1 < on->other->count ? hint + 1 : 0;
        uint32_t hints[2] = {hint, next};
        edge_view view = edges_nearest(on->other, hints, 2, of->x[i], of->y[i]);
        hint = view.edge < on->other->count ? view.edge : 0;
        corners[i] = (apart_spot){0.0, view.distance, view.edge};
        furthest = view.distance > corners[furthest].distance ? i : furthest;
    }
    return furthest;
}

bool apart_find(apart *of, const ring *contour, edge_set *other,
                const apart_question *question, apart_answer *out) {
    *out = (apart_answer){.known = false};
    if (!reserve(of, contour->count, other->count)) {
        return false;
    }
    apart_question asked = *question;
    asked.tolerance = fmax(asked.tolerance, SLACK);
    walk on = {.in = of,
               .other = other,
               .contour = contour,
               .asked = &asked,
               .answer = out};
    size_t start = find_corners(&on);
    for (size_t i = 0; i < contour->count && !is_over(&on); i++) {
        if (!walk_edge(&on, (start + i) % contour->count)) {
            return false;
        }
    }
    out->known = !is_over(&on);
    return true;
}
