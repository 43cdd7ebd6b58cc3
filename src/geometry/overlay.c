/*
 * overlay.c - the area that two contours have in common.
 *
 * With the centre every edge makes a triangle, counted + when the edge goes
 * counter-clockwise about the centre and - when clockwise. At any point that
 * sum is 1 inside the contour and 0 outside (Meister's and Gauss's area
 * formula, taken point by point), so what two contours have in common is the
 * sum over all pairs of their triangles of what these have in common, with
 * both signs. Two triangles with one apex are easy: between the directions that
 * both cover, the nearer of two edges bounds.
 *
 * Nothing in this asks on which side a point lies. Points and edges in common,
 * touches and a centre outside are no special cases, and an error of rounding
 * in a place or a direction is one of rounding in the area.
 *
 * A sweep over directions meets each pair once: triangles are cut at -x, sorted
 * by where they begin and met with those of the other contour that are open
 * then. A contour that goes once round the centre, as nearly all do, is in
 * order already and has one open triangle at a time.
 */
#include "geometry/overlay.h"

#include "base/limits.h"
#include "base/sum.h"

#include <stdlib.h>

/* A triangle of the centre, p and q, cut to what lies in one stretch of
 * sectors or between two; q is counter-clockwise of p. */
struct wedge {
    double from; /* bearing of p */
    double to;   /* bearing of q */
    double px;
    double py;
    double qx;
    double qy;
    double sign;
    bool counts; /* within the sectors */
};

typedef struct point {
    double x;
    double y;
} point;

static double cross(point a, point b) {
    return a.x * b.y - a.y * b.x;
}

static double square(point of) {
    return of.x * of.x + of.y * of.y;
}

static point part_way(point a, point b, double share) {
    share = share > 0.0 ? share : 0.0; /* also when it is 0 / 0 */
    share = share < 1.0 ? share : 1.0;
    return (point){a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

/* Where a line from the centre meets the edge from p to q. */
static point hit(point p, point q, point direction) {
    double before = cross(p, direction);
    double behind = cross(direction, q);
    return part_way(p, q, before / (before + behind));
}

static point start_of(const wedge *of) {
    return (point){of->px, of->py};
}

static point end_of(const wedge *of) {
    return (point){of->qx, of->qy};
}

void overlay_free(overlay *of) {
    for (int i = 0; i < 2; i++) {
        free(of->sides[i].list);
        free(of->sides[i].open);
    }
}

/* ---------------------------------------------------------------- wedges */

/* Nothing more is added past the most, which is told by their number. */
static bool add_wedge(wedge_list *to, const wedge *one) {
    if (one->from >= one->to || to->count > to->most) {
        return true; /* rounding has left nothing of it; or too many */
    }
    if (to->count == to->capacity) {
        size_t capacity = to->capacity < 64 ? 64 : 2 * to->capacity;
        wedge *grown = realloc(to->list, capacity * sizeof *grown);
        if (grown == NULL) {
            return false;
        }
        to->list = grown;
        to->capacity = capacity;
    }
    to->list[to->count++] = *one;
    return true;
}

/* Bound number i of the sectors: these begin at even ones. */
static double bound_of(const sectors *of, size_t i) {
    return i % 2 == 0 ? of->list[i / 2].from : of->list[i / 2].to;
}

/* How many bounds are at or before a bearing; most often as many as where the
 * edge before it ended. */
static size_t bounds_before(const sectors *of, double bearing, size_t guess) {
    size_t low = 0;
    if ((guess == 0 || bound_of(of, guess - 1) <= bearing) &&
        (guess == 2 * of->count || bound_of(of, guess) > bearing)) {
        return guess;
    }
    size_t high = 2 * of->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (bound_of(of, middle) <= bearing) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

/* Adds what lies on either side of the bounds that a triangle passes. */
static bool add_cut(wedge_list *to, wedge rest, const sectors *within) {
    point p = start_of(&rest);
    point q = end_of(&rest);
    size_t next = bounds_before(within, rest.from, to->bounds);
    for (; next < 2 * within->count && bound_of(within, next) < rest.to &&
           to->count <= to->most;
         next++) {
        wedge part = rest;
        point direction;
        part.to = bound_of(within, next);
        bearing_point(part.to, &direction.x, &direction.y);
        point at = hit(p, q, direction);
        part.qx = at.x;
        part.qy = at.y;
        part.counts = next % 2 == 1;
        if (!add_wedge(to, &part)) {
            return false;
        }
        rest.from = part.to;
        rest.px = at.x;
        rest.py = at.y;
    }
    rest.counts = next % 2 == 1;
    to->bounds = next;
    return add_wedge(to, &rest);
}

/* The triangle of the edge from a to b. */
static bool add_edge(wedge_list *to, point a, point b, const sectors *within) {
    double turn = cross(a, b);
    if (!(turn < 0.0) && !(turn > 0.0)) {
        return true;
    }
    point p = turn > 0.0 ? a : b;
    point q = turn > 0.0 ? b : a;
    wedge one = {bearing_of(p.x, p.y),
                 bearing_of(q.x, q.y),
                 p.x,
                 p.y,
                 q.x,
                 q.y,
                 turn > 0.0 ? 1.0 : -1.0,
                 false};
    if (!bearing_wraps(p.y, q.y)) {
        return add_cut(to, one, within);
    }
    point at = hit(p, q, (point){-1.0, 0.0});
    wedge above = one;
    above.to = 2.0;
    above.qx = at.x;
    above.qy = at.y;
    one.from = -2.0;
    one.px = at.x;
    one.py = at.y;
    return add_cut(to, above, within) && add_cut(to, one, within);
}

static int sign_of(double difference) {
    return (difference > 0.0) - (difference < 0.0);
}

static int by_bearing(const void *left, const void *right) {
    const wedge *a = left;
    const wedge *b = right;
    int order = sign_of(a->from - b->from);
    order = order != 0 ? order : sign_of(a->to - b->to);
    order = order != 0 ? order : sign_of(a->px - b->px);
    return order != 0 ? order : sign_of(a->py - b->py);
}

/* Once round it is enough to know where they begin. */
static void put_in_order(wedge_list *of) {
    size_t falls = 0;
    of->first = 0;
    for (size_t i = 1; i < of->count; i++) {
        if (of->list[i].from < of->list[i - 1].from) {
            falls++;
            of->first = i;
        }
    }
    bool closes =
        of->count > 0 && of->list[of->count - 1].from <= of->list[0].from;
    if (falls > 1 || (falls == 1 && !closes)) {
        qsort(of->list, of->count, sizeof *of->list, by_bearing);
        of->first = 0;
    }
}

static bool reserve_open(wedge_list *of) {
    of->open_count = 0;
    if (of->count <= of->open_capacity) {
        return true;
    }
    uint32_t *grown = realloc(of->open, of->capacity * sizeof *grown);
    if (grown == NULL) {
        return false;
    }
    of->open = grown;
    of->open_capacity = of->capacity;
    return true;
}

static bool take(wedge_list *to, const ring *of, const sectors *within,
                 size_t most) {
    to->count = 0;
    to->most = most;
    to->bounds = 0;
    point before = {of->x[of->count - 1], of->y[of->count - 1]};
    for (size_t i = 0; i < of->count; i++) {
        point next = {of->x[i], of->y[i]};
        if (!add_edge(to, before, next, within)) {
            return false;
        }
        before = next;
    }
    put_in_order(to);
    return reserve_open(to);
}

/* ----------------------------------------------------------------- sweep */

static const wedge *in_order(const wedge_list *of, size_t i) {
    size_t at = of->first + i;
    return &of->list[at < of->count ? at : at - of->count];
}

/* Twice the area between the centre and the nearer of two edges, from the
 * direction of a0 and b0 to that of a1 and b1. */
static double nearer_area(point a0, point a1, point b0, point b1) {
    double at_start = square(b0) - square(a0);
    double at_end = square(b1) - square(a1);
    if (at_start >= 0.0 && at_end >= 0.0) {
        return cross(a0, a1);
    }
    if (at_start <= 0.0 && at_end <= 0.0) {
        return cross(b0, b1);
    }
    point along = {b1.x - b0.x, b1.y - b0.y};
    double before = cross(along, (point){a0.x - b0.x, a0.y - b0.y});
    double behind = cross(along, (point){a1.x - b0.x, a1.y - b0.y});
    point meet = part_way(a0, a1, before / (before - behind));
    return at_start > 0.0 ? cross(a0, meet) + cross(meet, b1)
                          : cross(b0, meet) + cross(meet, a1);
}

/* What two triangles have in common, twice, with both signs; `late` begins no
 * sooner than `open`. */
static double common_area(const wedge *late, const wedge *open) {
    bool late_lasts = late->to > open->to;
    point from = start_of(late);
    point to = late_lasts ? end_of(open) : end_of(late);
    point open_from = hit(start_of(open), end_of(open), from);
    point late_to = late_lasts ? hit(from, end_of(late), to) : to;
    point open_to = late_lasts ? to : hit(start_of(open), end_of(open), to);
    return late->sign * open->sign *
           nearer_area(from, late_to, open_from, open_to);
}

typedef struct sweep {
    sum both;    /* twice the areas */
    sum counted; /* of it, within the sectors */
} sweep;

/* Meets a triangle that begins with those of the other contour that are open,
 * and drops those that are not any more. */
static void meet_open(overlay *of, int side, const wedge *late, sweep *to) {
    wedge_list *other = &of->sides[1 - side];
    for (size_t i = 0; i < other->open_count;) {
        const wedge *open = &other->list[other->open[i]];
        of->looked++;
        if (open->to <= late->from) {
            other->open[i] = other->open[--other->open_count];
            continue;
        }
        double common = common_area(late, open);
        sum_add(&to->both, common);
        if (late->counts) {
            sum_add(&to->counted, common);
        }
        i++;
    }
}

static bool sweep_all(overlay *of, size_t looks, sweep *out) {
    size_t done[2] = {0, 0};
    of->looked = 0;
    while (done[0] < of->sides[0].count || done[1] < of->sides[1].count) {
        int side = done[0] == of->sides[0].count;
        if (side == 0 && done[1] < of->sides[1].count) {
            side = in_order(&of->sides[1], done[1])->from <
                   in_order(&of->sides[0], done[0])->from;
        }
        wedge_list *own = &of->sides[side];
        const wedge *next = in_order(own, done[side]++);
        meet_open(of, side, next, out);
        own->open[own->open_count++] = (uint32_t)(next - own->list);
        if (of->looked > looks) {
            return false;
        }
    }
    return true;
}

bool overlay_find(overlay *of, const ring *a, const ring *b,
                  const sectors *within, size_t looks, overlay_areas *out,
                  bool *known) {
    size_t most =
        LIMIT_PAIR_WEDGES + LIMIT_PAIR_WEDGES_PER_POINT * (a->count + b->count);
    if (!take(&of->sides[0], a, within, most) ||
        !take(&of->sides[1], b, within, most)) {
        return false;
    }
    sweep found = {{0.0, 0.0}, {0.0, 0.0}};
    *known = of->sides[0].count <= most && of->sides[1].count <= most &&
             sweep_all(of, looks, &found);
    if (!*known) {
        return true;
    }
    sum counted = {0.0, 0.0};
    for (size_t i = 0; i < of->sides[1].count; i++) {
        const wedge *one = &of->sides[1].list[i];
        if (one->counts) {
            sum_add(&counted, one->sign * cross(start_of(one), end_of(one)));
        }
    }
    sum_add(&counted, -sum_value(&found.counted));
    out->both = fmax(0.0, 0.5 * sum_value(&found.both));
    out->only_b = fmax(0.0, 0.5 * sum_value(&counted));
    return true;
}
