/*
 * fan.c - where a circle that is larger than a given one can be, at a glance.
 *
 * Every point inside the contour lies in a triangle of the circle's centre c
 * and an edge, since a ray from c through it must meet the contour behind it.
 * Let R be the reach. On the segment from c to a contour point p, what is
 * within R of p is ruled out; what is left is a tip at c. The four-sided part
 * of the triangle behind the tips of both its ends is ruled out as well: it is
 * within R of the edge at its corners, and so, distance to an edge being
 * convex, everywhere.
 *
 * A point t in which the circle touches the contour rules out a disc of radius
 * R about t, which has c in it. If it has the tips of both ends in it, it has
 * the triangle of c and these. On the way to a tip k from c the disc goes at
 * least as far as the chord through c of the circle about t, 2 k.t / k.k times
 * k. Around a contour that is round it takes no more than this.
 */
#include "geometry/fan.h"

#include "geometry/lanes.h"

#include <math.h>

typedef struct box {
    double low_x;
    double high_x;
    double low_y;
    double high_y;
} box;

static const box nothing = {HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};

static void box_add(box *to, double x, double y) {
    to->low_x = lesser(to->low_x, x);
    to->high_x = larger(to->high_x, x);
    to->low_y = lesser(to->low_y, y);
    to->high_y = larger(to->high_y, y);
}

/* Contains both. */
static box box_with(const box *a, const box *b) {
    return (box){lesser(a->low_x, b->low_x), larger(a->high_x, b->high_x),
                 lesser(a->low_y, b->low_y), larger(a->high_y, b->high_y)};
}

static rectangle rectangle_of(const box *of) {
    return (rectangle){
        0.5 * (of->low_x + of->high_x), 0.5 * (of->low_y + of->high_y),
        0.5 * (of->high_x - of->low_x), 0.5 * (of->high_y - of->low_y)};
}

typedef struct fan {
    double x;
    double y;
    double reach;
    double touch[3][2]; /* from the centre; (0, 0), which rules out nothing,
                         * where there are fewer */
} fan;

static fan fan_of(const circle *from, double reach) {
    fan out = {.x = from->x, .y = from->y, .reach = reach};
    for (int i = 0; i < from->touching; i++) {
        const edge_view *touch = &from->touch[i];
        if (touch->distance <= reach) {
            out.touch[i][0] = -touch->distance * touch->gx;
            out.touch[i][1] = -touch->distance * touch->gy;
        }
    }
    return out;
}

/* Per touch and point of a block, not negative where the touch rules out the
 * way to the point's tip. */
typedef struct margins {
    double of[3][EDGES_BLOCK + 1];
} margins;

static inline double margin(const fan *in, double x, double y, int touch) {
    double dx = x - in->x;
    double dy = y - in->y;
    double square = dx * dx + dy * dy;
    double along = dx * in->touch[touch][0] + dy * in->touch[touch][1];
    /* k.k / k.p times p.p; not positive where the tip is the centre. */
    double least = square - in->reach * sqrt(square);
    return larger(-least, 2.0 * along - least);
}

/* Of all but the first point, in vectors. */
static void find_margins(const fan *restrict in, const double *restrict x,
                         const double *restrict y, margins *restrict at) {
    for (size_t k = 1; k <= EDGES_BLOCK; k++) {
        at->of[0][k] = margin(in, x[k], y[k], 0);
        at->of[1][k] = margin(in, x[k], y[k], 1);
        at->of[2][k] = margin(in, x[k], y[k], 2);
    }
}

/* Bit k is set when edge k of the block is not ruled out. */
static unsigned edges_left(const margins *at) {
    unsigned left = 0;
    double best[EDGES_BLOCK];
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        double a = lesser(at->of[0][k], at->of[0][k + 1]);
        double b = lesser(at->of[1][k], at->of[1][k + 1]);
        double c = lesser(at->of[2][k], at->of[2][k + 1]);
        best[k] = larger(larger(a, b), c);
    }
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        left |= best[k] < 0.0 ? 1U << k : 0U;
    }
    return left;
}

/* The tip of a contour point, from the centre, and how much of the way to it
 * each touch rules out. */
typedef struct tip {
    double x;
    double y;
    double covered[3];
} tip;

static tip tip_of(const fan *in, double px, double py) {
    double dx = px - in->x;
    double dy = py - in->y;
    double square = dx * dx + dy * dy;
    double distance = sqrt(square);
    double part = distance > in->reach ? 1.0 - in->reach / distance : 0.0;
    tip out = {part * dx, part * dy, {1.0, 1.0, 1.0}};
    for (int i = 0; i < 3 && part > 0.0; i++) {
        double along = dx * in->touch[i][0] + dy * in->touch[i][1];
        out.covered[i] = 2.0 * along / (part * square);
    }
    return out;
}

/* Adds what the best touch leaves of an edge's tips. */
static void add_rest(const fan *in, const edge_set *edges, size_t edge,
                     box *to) {
    tip a = tip_of(in, edges->x[edge], edges->y[edge]);
    tip b = tip_of(in, edges->x[edge + 1], edges->y[edge + 1]);
    double covered = 0.0;
    for (int i = 0; i < 3; i++) {
        covered = larger(covered, lesser(a.covered[i], b.covered[i]));
    }
    covered = lesser(covered, 1.0);
    box_add(to, in->x + a.x, in->y + a.y);
    box_add(to, in->x + b.x, in->y + b.y);
    box_add(to, in->x + covered * a.x, in->y + covered * a.y);
    box_add(to, in->x + covered * b.x, in->y + covered * b.y);
}

/* Neighbouring edges of which something is left, with short gaps. */
typedef struct run {
    size_t first;
    size_t last;
    box rest;
} run;

typedef struct runs {
    run of[FAN_BOXES];
    size_t count;
    size_t gap; /* so long that there is room for all */
} runs;

static void add_edge(const fan *in, const edge_set *edges, size_t edge,
                     runs *to) {
    if (to->count == 0 || edge - to->of[to->count - 1].last > to->gap) {
        to->of[to->count++] = (run){edge, edge, nothing};
    }
    run *now = &to->of[to->count - 1];
    now->last = edge;
    add_rest(in, edges, edge, &now->rest);
}

static void find_runs(const fan *in, const edge_set *edges, runs *out) {
    margins at;
    out->count = 0;
    out->gap = edges->count / FAN_BOXES + 1;
    for (int k = 0; k < 3; k++) {
        at.of[k][EDGES_BLOCK] = margin(in, edges->x[0], edges->y[0], k);
    }
    for (size_t i = 0; i < edges->count; i += EDGES_BLOCK) {
        for (int k = 0; k < 3; k++) {
            at.of[k][0] = at.of[k][EDGES_BLOCK];
        }
        find_margins(in, &edges->x[i], &edges->y[i], &at);
        size_t edge = i;
        for (unsigned left = edges_left(&at); left != 0; left >>= 1) {
            if ((left & 1U) && edge < edges->count) {
                add_edge(in, edges, edge, out);
            }
            edge++;
        }
    }
}

/* The last run may go on in the first. */
static void close_runs(runs *of, size_t edges) {
    if (of->count > 1) {
        run *last = &of->of[of->count - 1];
        if (of->of[0].first + edges - last->last <= of->gap) {
            of->of[0].rest = box_with(&of->of[0].rest, &last->rest);
            of->count--;
        }
    }
}

/* Boxes that overlap much, as in a contour wound up, become one. */
static void unite_runs(runs *of) {
    box all = nothing;
    double sum = 0.0;
    for (size_t i = 0; i < of->count; i++) {
        rectangle one = rectangle_of(&of->of[i].rest);
        all = box_with(&all, &of->of[i].rest);
        sum += one.half_x * one.half_y;
    }
    rectangle whole = rectangle_of(&all);
    if (of->count > 1 && sum >= whole.half_x * whole.half_y) {
        of->of[0].rest = all;
        of->count = 1;
    }
}

size_t fan_boxes(const edge_set *edges, const circle *from, double reach,
                 rectangle out[FAN_BOXES]) {
    fan in = fan_of(from, reach);
    runs left;
    find_runs(&in, edges, &left);
    close_runs(&left, edges->count);
    unite_runs(&left);
    for (size_t i = 0; i < left.count; i++) {
        out[i] = rectangle_of(&left.of[i].rest);
    }
    return left.count;
}
