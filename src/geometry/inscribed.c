/*
 * inscribed.c - the largest circle inside a contour, by branch and bound.
 *
 * The clearance of a point is its distance to the contour. An ascent finds a
 * circle that is locally largest; what remains is to prove that no other is
 * larger by more than TOLERANCE, or to find it and climb again. What is
 * returned is a real circle, so it is never too large but for rounding, and at
 * most TOLERANCE too small in radius.
 *
 * The proof first goes outward from the circle's centre c. Every point inside
 * lies in a triangle of c and an edge, since a ray from c through it must meet
 * the contour behind it. In such a triangle only the tip can hold a centre that
 * is further than R = radius + TOLERANCE from its edge. The points where the
 * circle touches the contour each rule out a disc of radius R, which has c in
 * it, and a disc that has the corners of a tip has all of it. For a round
 * contour that is the whole proof. What is left is put into a few
 * rectangles (cells). These are halved, each with an upper bound on the
 * clearance in it, until no bound exceeds R.
 *
 * Bounds are means of distances to up to three edges (witnesses), see bound.c:
 * the edge nearest to the centre, one nearest to where its distance is
 * greatest, and one in the direction both leave open. Where two straight walls
 * face each other the mean of both is exact however long the cell: cells are
 * halved across the direction in which the mean grows more, and the contour is
 * turned to its long edges so that what is pressed flat lies along an axis.
 */
#include "geometry/inscribed.h"

#include "base/constants.h"
#include "base/limits.h"
#include "geometry/ascent.h"
#include "geometry/bound.h"
#include "geometry/edges.h"
#include "geometry/fan.h"
#include "geometry/lanes.h"

#include <math.h>
#include <stdlib.h>

/* In radius; the diameter is then within 9.8e-5 mm. */
#define TOLERANCE 4.9e-5
/* Halvings of one cell after another: 1e9 mm to the tolerance in both
 * directions are fewer. */
#define DEPTH 192
/* A contour of no greater extent has no circle that can be told from none, and
 * squares of its lengths would vanish in single precision. */
#define EXTENT_LEAST 1e-9
/* A circle found larger by this is taken to its top. */
#define WORTH_CLIMBING 1e-6
/* How far, in radii, the first ascent trusts its planes. */
#define FIRST_TRUST 0.3
/* See is_hopeless. */
#define HOPELESS 0.125
/* A cell of which less than this is left is looked at anew. */
#define WORTH_TRIMMING 0.7
typedef struct cell {
    rectangle area;
    double bound;
    bool inside;  /* surely, all of it */
    bool split_x; /* the halves lie side by side in x */
    uint32_t near_edge;
    mean by; /* its bound's witnesses, its parent's at first */
} cell;

struct inscribed_finder {
    edge_set edges;
    circle best;
    cell stack[DEPTH];
    size_t depth;
};

inscribed_finder *inscribed_new(void) {
    return calloc(1, sizeof(inscribed_finder));
}

void inscribed_free(inscribed_finder *finder) {
    if (finder != NULL) {
        edges_free(&finder->edges);
        free(finder);
    }
}

size_t inscribed_work(const inscribed_finder *finder) {
    return finder->edges.looked;
}

static double enough(const inscribed_finder *in) {
    return in->best.radius + TOLERANCE;
}

/* Takes a point as the best if its clearance is better and it is inside, and
 * climbs from there. */
static void raise_best(inscribed_finder *in, double x, double y,
                       const edge_view *nearest, double trust,
                       bool surely_inside) {
    double gain = nearest->distance - in->best.radius;
    if (gain > 0.0 && (surely_inside || edges_inside(&in->edges, x, y))) {
        in->best = (circle){.x = x,
                            .y = y,
                            .radius = nearest->distance,
                            .touch = {*nearest},
                            .touching = 1};
        if (gain > WORTH_CLIMBING) {
            trust = lesser(trust, FIRST_TRUST * nearest->distance);
            ascent_climb(&in->edges, trust, &in->best);
        }
    }
}

/* ------------------------------------------------------------------ bounds */

/* The longest step along (ux, uy) that stays in the cell. */
static double reach_along(const cell *at, double ux, double uy) {
    double tx = fabs(ux) > 0.0 ? at->area.half_x / fabs(ux) : HUGE_VAL;
    double ty = fabs(uy) > 0.0 ? at->area.half_y / fabs(uy) : HUGE_VAL;
    return lesser(tx, ty);
}

/* A look at a cell, and the best bound so far. */
typedef struct look {
    const cell *at;
    edge_view a; /* nearest to the centre */
    mean by;     /* the witnesses of the bound */
    double bound;
    uint32_t hints[8]; /* edges that may be near */
    size_t hint_count;
} look;

/* Looks from a point of the cell, which may be a better place. */
static edge_view look_from(inscribed_finder *in, look *of, double dx,
                           double dy) {
    double x = of->at->area.x + dx;
    double y = of->at->area.y + dy;
    edge_view seen = edges_nearest(&in->edges, of->hints, of->hint_count, x, y);
    raise_best(in, x, y, &seen,
               larger(of->at->area.half_x, of->at->area.half_y),
               of->at->inside);
    of->hints[of->hint_count++] = seen.edge;
    return seen;
}

static edge_view view_from_centre(const inscribed_finder *in, const look *of,
                                  uint32_t edge) {
    return edges_view(&in->edges, edge, of->at->area.x, of->at->area.y);
}

static void take_bound(look *of, double bound, const mean *by) {
    if (bound < of->bound) {
        of->bound = bound;
        of->by = *by;
    }
}

/* Bounds by the mean of two, with the best weights. */
static void look_by_two(const inscribed_finder *in, look *of, uint32_t a,
                        uint32_t b) {
    double at_a[4];
    double at_b[4];
    double bound;
    bound_corners(&in->edges, &of->at->area, a, at_a);
    bound_corners(&in->edges, &of->at->area, b, at_b);
    double share = bound_share(at_a, at_b, &bound);
    mean two = {.edge = {a, b}, .weight = {1.0 - share, share}, .count = 2};
    take_bound(of, bound, &two);
}

/* Bounds by the mean of three that is level at the centre; true when there is
 * one, and then the step to where the three are equal, and what they are. */
static bool look_by_three(const inscribed_finder *in, look *of,
                          const uint32_t edges[3], double step[3]) {
    mean three = {.edge = {edges[0], edges[1], edges[2]}, .count = 3};
    edge_view a = view_from_centre(in, of, edges[0]);
    edge_view b = view_from_centre(in, of, edges[1]);
    edge_view c = view_from_centre(in, of, edges[2]);
    if (!bound_level_weights(&a, &b, &c, three.weight, &step[0], &step[1])) {
        return false;
    }
    take_bound(of, bound_mean(&in->edges, &of->at->area, &three), &three);
    step[2] = three.weight[0] * a.distance + three.weight[1] * b.distance +
              three.weight[2] * c.distance;
    return true;
}

/* A bound by the witnesses of what the cell is a part of, as they were weighed
 * and weighed anew. */
static void look_back(const inscribed_finder *in, look *of) {
    const mean *by = &of->at->by;
    double step[3];
    if (by->count == 0) {
        return;
    }
    take_bound(of, bound_mean(&in->edges, &of->at->area, by), by);
    if (of->bound > enough(in) && by->count == 2) {
        look_by_two(in, of, by->edge[0], by->edge[1]);
    } else if (of->bound > enough(in) && by->count == 3) {
        look_by_three(in, of, by->edge, step);
    }
}

/* Whether the cell is so long that other edges than those witnesses must be
 * nearest at its ends: two or three, seen from them, are too far. A guess. */
static bool is_hopeless(const inscribed_finder *in, const look *of) {
    const edge_block *block = &in->edges.blocks[of->a.edge / EDGES_BLOCK];
    double half = larger(of->at->area.half_x, of->at->area.half_y) -
                  block->half[of->a.edge % EDGES_BLOCK];
    double far = HOPELESS * half * half / of->a.distance;
    return half > 0.0 && of->a.distance + far > enough(in);
}

/* A bound by one, two, three new witnesses, as far as needed. */
static void look_around(inscribed_finder *in, look *of) {
    const cell *at = of->at;
    double corners[4];
    int far;
    mean one = {.edge = {of->a.edge}, .weight = {1.0}, .count = 1};
    bound_corners(&in->edges, &at->area, of->a.edge, corners);
    take_bound(of, bound_greatest(corners, &far), &one);
    if (of->bound <= enough(in)) {
        return;
    }
    if (is_hopeless(in, of)) {
        return;
    }
    edge_view found =
        look_from(in, of, far & 1 ? at->area.half_x : -at->area.half_x,
                  far & 2 ? at->area.half_y : -at->area.half_y);
    edge_view b = view_from_centre(in, of, found.edge);
    look_by_two(in, of, of->a.edge, b.edge);
    if (of->bound <= enough(in)) {
        return;
    }
    double ux = of->a.gx + b.gx;
    double uy = of->a.gy + b.gy;
    if (ux * ux + uy * uy < 1e-12) {
        ux = -of->a.gy;
        uy = of->a.gx;
    }
    double reach = reach_along(at, ux, uy);
    if (reach < HUGE_VAL) {
        found = look_from(in, of, reach * ux, reach * uy);
        const uint32_t edges[3] = {of->a.edge, b.edge, found.edge};
        double step[3];
        if (look_by_three(in, of, edges, step) && step[2] > in->best.radius) {
            double share = lesser(reach_along(at, step[0], step[1]), 1.0);
            look_from(in, of, share * step[0], share * step[1]);
        }
    }
}

/* ------------------------------------------------------------------ search */

/* Where the mean is more curved, since a part would have other witnesses; or
 * across the longer side. */
static bool splits_in_x(const inscribed_finder *in, const cell *at) {
    const rectangle *of = &at->area;
    double left = bound_at(&in->edges, &at->by, of->x - of->half_x, of->y);
    double right = bound_at(&in->edges, &at->by, of->x + of->half_x, of->y);
    double low = bound_at(&in->edges, &at->by, of->x, of->y - of->half_y);
    double high = bound_at(&in->edges, &at->by, of->x, of->y + of->half_y);
    double more_in_x = (left + right) - (low + high);
    if (fabs(more_in_x) > 0.5 * TOLERANCE) {
        return more_in_x > 0.0;
    }
    return of->half_x > of->half_y;
}

/* Bounds a cell; false when it cannot hold a better circle. */
static bool cell_bound(inscribed_finder *in, cell *at) {
    look here = {.at = at, .bound = HUGE_VAL, .hints = {at->near_edge}};
    here.hint_count = 1;
    for (size_t i = 0; i < at->by.count; i++) {
        here.hints[here.hint_count++] = at->by.edge[i];
    }
    look_back(in, &here);
    if (here.bound <= enough(in)) {
        return false;
    }
    here.a = look_from(in, &here, 0.0, 0.0);
    look_around(in, &here);
    at->bound = here.bound;
    at->near_edge = here.a.edge;
    at->by = here.by;
    if (at->bound <= enough(in)) {
        return false;
    }
    double radius2 =
        at->area.half_x * at->area.half_x + at->area.half_y * at->area.half_y;
    if (!at->inside && here.a.distance * here.a.distance > radius2) {
        /* No edge in it: all of it is where its centre is. */
        at->inside = edges_inside(&in->edges, at->area.x, at->area.y);
        return at->inside;
    }
    return true;
}

/* Cuts off what the witnesses rule out along a side; false when that is
 * little. */
static bool cell_trim(const inscribed_finder *in, cell *at) {
    double corners[4];
    int side = 0;
    bound_mean_corners(&in->edges, &at->area, &at->by, corners);
    double part = bound_part_above(corners, enough(in), &side);
    if (part > WORTH_TRIMMING) {
        return false;
    }
    double toward = side & 1 ? 1.0 - part : part - 1.0;
    if (side < 2) {
        at->area.x += toward * at->area.half_x;
        at->area.half_x *= part;
    } else {
        at->area.y += toward * at->area.half_y;
        at->area.half_y *= part;
    }
    return true;
}

/* Bounds a cell as long as it gets smaller by that; false when it cannot hold
 * a better circle. */
static bool cell_open(inscribed_finder *in, cell *at) {
    do {
        if (!cell_bound(in, at)) {
            return false;
        }
    } while (cell_trim(in, at));
    at->split_x = splits_in_x(in, at);
    return true;
}

/* The halves go on the stack, the better one on top. */
static void cell_halve(inscribed_finder *in, const cell *of) {
    double hx = of->split_x ? 0.5 * of->area.half_x : of->area.half_x;
    double hy = of->split_x ? of->area.half_y : 0.5 * of->area.half_y;
    for (int side = -1; side <= 1; side += 2) {
        cell half = {
            .area = {of->split_x ? of->area.x + side * hx : of->area.x,
                     of->split_x ? of->area.y : of->area.y + side * hy, hx, hy},
            .inside = of->inside,
            .near_edge = of->near_edge,
            .by = of->by,
        };
        if (cell_open(in, &half)) {
            in->stack[in->depth++] = half;
        }
    }
    cell *top = &in->stack[in->depth];
    if (in->depth >= 2 && top[-1].bound < top[-2].bound) {
        cell other = top[-1];
        top[-1] = top[-2];
        top[-2] = other;
    }
}

/* Searches a cell and its halves. False when the bound on work is passed. */
static bool cell_search(inscribed_finder *in, const cell *whole) {
    cell start = *whole;
    size_t looks = LIMIT_CIRCLE_LOOKS +
                   (size_t)LIMIT_CIRCLE_LOOKS_PER_POINT * in->edges.count;
    in->depth = 0;
    if (cell_open(in, &start)) {
        in->stack[in->depth++] = start;
    }
    while (in->depth > 0) {
        cell top = in->stack[--in->depth];
        if (top.bound <= enough(in)) {
            continue;
        }
        if (in->edges.looked > looks || in->depth + 2 > DEPTH) {
            return false;
        }
        cell_halve(in, &top);
    }
    return true;
}

/* Searches wherever a larger circle may be. */
static bool prove(inscribed_finder *in) {
    rectangle left[FAN_BOXES];
    size_t count = fan_boxes(&in->edges, &in->best, enough(in), left);
    for (size_t i = 0; i < count; i++) {
        cell start = {.area = left[i], .near_edge = in->best.touch[0].edge};
        if (!cell_search(in, &start)) {
            return false;
        }
    }
    return true;
}

bl_status inscribed_find(inscribed_finder *in, const double *x, const double *y,
                         size_t count, double *diameter_mm) {
    const uint32_t first = 0;
    const edge_set *edges = &in->edges;
    if (!edges_load(&in->edges, x, y, count)) {
        return BL_ERR_MEMORY;
    }
    if (larger(edges->high_x - edges->low_x, edges->high_y - edges->low_y) <
        EXTENT_LEAST) {
        *diameter_mm = 0.0;
        return BL_OK;
    }
    double middle_x = 0.5 * (edges->low_x + edges->high_x);
    double middle_y = 0.5 * (edges->low_y + edges->high_y);
    edge_view nearest =
        edges_nearest(&in->edges, &first, 1, middle_x, middle_y);
    in->best = (circle){.x = middle_x, .y = middle_y};
    raise_best(in, middle_x, middle_y, &nearest, HUGE_VAL, false);
    *diameter_mm = prove(in) ? 2.0 * in->best.radius : UNKNOWN;
    return BL_OK;
}
