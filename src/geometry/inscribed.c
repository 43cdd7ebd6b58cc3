/*
 * inscribed.c - the largest circle inside a contour, by branch and bound.
 *
 * The clearance of a point is its distance to the contour. An ascent from the
 * centre finds a good circle; then rectangles (cells) are halved, each
 * with an upper bound on the clearance in it, until no bound exceeds the best
 * clearance found by more than TOLERANCE. What is returned is a real circle,
 * so it is never too large but for rounding, and at most TOLERANCE too small in
 * radius.
 *
 * Bounds are means of distances to up to three edges (witnesses), see bound.c:
 * the edge nearest to the centre, one nearest to where its distance is
 * greatest, and one in the direction both leave open. Where two straight walls
 * face each other the mean of both is exact however long the cell: cells are
 * halved across the direction in which the mean grows more, and the contour is
 * turned to its long edges so that what is pressed flat lies along an axis.
 *
 * Rings of cells about the best point come first: those grow outward from
 * where cells must be small, so few have to be halved.
 *
 * In a cell whose bound is U, a nearest edge is within U of the cell: others
 * are not handed to the halves. Where the contour leaves a side of a cell free
 * and that side is outside, the cell is cut back to the contour.
 */
#include "geometry/inscribed.h"

#include "base/constants.h"
#include "geometry/bound.h"
#include "geometry/edges.h"

#include <math.h>
#include <stdlib.h>

/* In radius; the diameter is then within 9.8e-5 mm. */
#define TOLERANCE 4.9e-5
/* Halvings of one cell after another: 1e9 mm to the tolerance in both
 * directions are fewer. */
#define DEPTH 192
/* Rings about the best point; each is this much smaller than the last. */
#define RINGS 12
#define RING_SHARE 0.3
/* The ascent ends when its squares are this small a part of the contour. */
#define ASCENT_ENDS 0.003
/* Part of a cell that must be saved to be worth the even-odd rule. */
#define WORTH_TRIMMING 0.2
/* A contour traced on a vein takes some thousand looks at blocks; past
 * this many the diameter is given up as unknown. */
#define LOOKS_LEAST ((size_t)24000000)
#define LOOKS_PER_EDGE ((size_t)3000)

typedef struct cell {
    rectangle area;
    double bound;
    bool inside;  /* surely, all of it */
    bool split_x; /* the halves lie side by side in x */
    uint32_t near_edge;
    mean by;      /* its bound's witnesses, its parent's at first */
    size_t first; /* its near blocks are near[first .. first + count) */
    size_t count;
    size_t top; /* end of its and its sibling's near blocks */
} cell;

struct inscribed_finder {
    edge_set edges;
    uint32_t *near;
    size_t near_count;
    size_t near_capacity;
    cell stack[DEPTH];
    size_t depth;
    double best;
    double best_x;
    double best_y;
    size_t work;
};

inscribed_finder *inscribed_new(void) {
    return calloc(1, sizeof(inscribed_finder));
}

void inscribed_free(inscribed_finder *finder) {
    if (finder != NULL) {
        edges_free(&finder->edges);
        free(finder->near);
        free(finder);
    }
}

size_t inscribed_work(const inscribed_finder *finder) {
    return finder->work;
}

static bool near_reserve(inscribed_finder *in, size_t more) {
    size_t need = in->near_count + more;
    if (need <= in->near_capacity) {
        return true;
    }
    size_t capacity = need + need / 2 + 256;
    uint32_t *near = realloc(in->near, capacity * sizeof *near);
    if (near == NULL) {
        return false;
    }
    in->near = near;
    in->near_capacity = capacity;
    return true;
}

/* Takes a point as the best if its clearance is better and it is inside. */
static void raise_best(inscribed_finder *in, double x, double y,
                       double clearance, bool surely_inside) {
    if (clearance > in->best &&
        (surely_inside || edges_inside(&in->edges, x, y))) {
        in->best = clearance;
        in->best_x = x;
        in->best_y = y;
    }
}

static rectangle rectangle_between(double low_x, double high_x, double low_y,
                                   double high_y) {
    return (rectangle){0.5 * (low_x + high_x), 0.5 * (low_y + high_y),
                       0.5 * (high_x - low_x), 0.5 * (high_y - low_y)};
}

/* ------------------------------------------------------------------ bounds */

/* The longest step along (ux, uy) that stays in the cell. */
static double reach_along(const cell *at, double ux, double uy) {
    double tx = fabs(ux) > 0.0 ? at->area.half_x / fabs(ux) : HUGE_VAL;
    double ty = fabs(uy) > 0.0 ? at->area.half_y / fabs(uy) : HUGE_VAL;
    return lesser(tx, ty);
}

/* Where a look goes: a cell, the blocks that matter in it, and the bound below
 * which nobody cares how low it is. */
typedef struct look {
    const cell *at;
    const uint32_t *near;
    size_t count;
    double enough;
    edge_view a; /* nearest to the centre */
    bool centre_inside;
    mean by; /* the witnesses of the bound */
    double bound;
} look;

/* Looks from a point of the cell, which may be a better place. */
static edge_view look_from(inscribed_finder *in, const look *of, uint32_t hint,
                           double dx, double dy) {
    double x = of->at->area.x + dx;
    double y = of->at->area.y + dy;
    edge_view seen = edges_nearest(&in->edges, of->near, of->count, hint, x, y);
    bool sure =
        of->at->inside || (of->centre_inside &&
                           dx * dx + dy * dy < of->a.distance * of->a.distance);
    raise_best(in, x, y, seen.distance, sure);
    return seen;
}

/* Bounds by the mean of three that is level at the centre; true when there is
 * one, and then the step to where the three are equal, and what they are. */
static bool look_by_three(const inscribed_finder *in, look *of,
                          const edge_view *a, const edge_view *b,
                          const edge_view *c, double step[3]) {
    mean three = {.edge = {a->edge, b->edge, c->edge}, .count = 3};
    if (!bound_level_weights(a, b, c, three.weight, &step[0], &step[1])) {
        return false;
    }
    double bound = bound_mean(&in->edges, &of->at->area, &three);
    if (bound < of->bound) {
        of->bound = bound;
        of->by = three;
    }
    step[2] = three.weight[0] * a->distance + three.weight[1] * b->distance +
              three.weight[2] * c->distance;
    return true;
}

/* A bound for the cell by one, two, three witnesses, as far as needed. */
static void look_around(inscribed_finder *in, look *of) {
    const cell *at = of->at;
    double da[4];
    double db[4];
    int far;
    bound_corners(&in->edges, &at->area, of->a.edge, da);
    of->bound = bound_greatest(da, &far);
    of->by = (mean){.edge = {of->a.edge}, .weight = {1.0}, .count = 1};
    if (of->bound <= of->enough) {
        return;
    }
    double step[3];
    if (at->by.count == 3) { /* the parent's three, weighed anew */
        edge_view old[3];
        for (int i = 0; i < 3; i++) {
            old[i] =
                edges_view(&in->edges, at->by.edge[i], at->area.x, at->area.y);
        }
        look_by_three(in, of, &old[0], &old[1], &old[2], step);
        if (of->bound <= of->enough) {
            return;
        }
    }
    edge_view found = look_from(in, of, of->a.edge,
                                far & 1 ? at->area.half_x : -at->area.half_x,
                                far & 2 ? at->area.half_y : -at->area.half_y);
    edge_view b = edges_view(&in->edges, found.edge, at->area.x, at->area.y);
    double bound;
    bound_corners(&in->edges, &at->area, b.edge, db);
    double share = bound_share(da, db, &bound);
    if (bound < of->bound) {
        of->bound = bound;
        of->by = (mean){.edge = {of->a.edge, b.edge},
                        .weight = {1.0 - share, share},
                        .count = 2};
    }
    if (of->bound <= of->enough) {
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
        found = look_from(in, of, b.edge, reach * ux, reach * uy);
        edge_view c =
            edges_view(&in->edges, found.edge, at->area.x, at->area.y);
        if (look_by_three(in, of, &of->a, &b, &c, step) && step[2] > in->best) {
            double room = reach_along(at, step[0], step[1]);
            share = lesser(room, 1.0);
            look_from(in, of, of->a.edge, share * step[0], share * step[1]);
        }
    }
}

/* ------------------------------------------------------------------ search */

/* The mean grows more along x than along y, or, if neither, x is longer. */
static bool grows_in_x(const inscribed_finder *in, const cell *at,
                       const mean *by) {
    double in_x = larger(
        bound_at(&in->edges, by, at->area.x - at->area.half_x, at->area.y),
        bound_at(&in->edges, by, at->area.x + at->area.half_x, at->area.y));
    double in_y = larger(
        bound_at(&in->edges, by, at->area.x, at->area.y - at->area.half_y),
        bound_at(&in->edges, by, at->area.x, at->area.y + at->area.half_y));
    double little = 0.25 * TOLERANCE;
    if (in_x > in_y + little || in_y > in_x + little) {
        return in_x > in_y;
    }
    return at->area.half_x > at->area.half_y;
}

static void cell_keep_near(inscribed_finder *in, cell *at, size_t first,
                           size_t count) {
    at->first = in->near_count;
    at->count = edges_within(&in->edges, &at->area, at->bound, in->near + first,
                             count, in->near + at->first);
    in->near_count += at->count;
}

/* Where the contour leaves a wide strip at a side of the cell free and that
 * strip is outside, the cell ends at the contour. True when it was changed. */
static bool cell_trim(inscribed_finder *in, cell *at) {
    rectangle held;
    if (!edges_box(&in->edges, &at->area, in->near + at->first, at->count,
                   &held)) {
        return false;
    }
    double low[2] = {at->area.x - at->area.half_x,
                     at->area.y - at->area.half_y};
    double high[2] = {at->area.x + at->area.half_x,
                      at->area.y + at->area.half_y};
    const double held_low[2] = {held.x - held.half_x, held.y - held.half_y};
    const double held_high[2] = {held.x + held.half_x, held.y + held.half_y};
    bool changed = false;
    for (int k = 0; k < 2; k++) {
        double worth_it = WORTH_TRIMMING * (high[k] - low[k]);
        double at_low[2] = {at->area.x, at->area.y};
        double at_high[2] = {at->area.x, at->area.y};
        at_low[k] = 0.5 * (low[k] + held_low[k]);
        at_high[k] = 0.5 * (high[k] + held_high[k]);
        bool cut_low = held_low[k] - low[k] > worth_it &&
                       !edges_inside(&in->edges, at_low[0], at_low[1]);
        bool cut_high = high[k] - held_high[k] > worth_it &&
                        !edges_inside(&in->edges, at_high[0], at_high[1]);
        low[k] = cut_low ? held_low[k] : low[k];
        high[k] = cut_high ? held_high[k] : high[k];
        changed = changed || cut_low || cut_high;
    }
    at->area = rectangle_between(low[0], high[0], low[1], high[1]);
    return changed;
}

/* Bounds a cell from its parent's blocks; *keep is false when it cannot hold a
 * better circle. False when memory is out. */
static bool cell_open(inscribed_finder *in, cell *at, size_t first,
                      size_t count, bool *keep) {
    in->work++;
    if (!near_reserve(in, count)) {
        return false;
    }
    *keep = false;
    if (at->by.count > 0 &&
        bound_mean(&in->edges, &at->area, &at->by) <= in->best + TOLERANCE) {
        return true;
    }
    look here = {.at = at, .near = in->near + first, .count = count};
    here.a = edges_nearest(&in->edges, here.near, count, at->near_edge,
                           at->area.x, at->area.y);
    raise_best(in, at->area.x, at->area.y, here.a.distance, at->inside);
    here.enough = in->best + TOLERANCE;
    look_around(in, &here);
    at->bound = here.bound;
    at->near_edge = here.a.edge;
    at->by = here.by;
    if (at->bound <= in->best + TOLERANCE) {
        return true;
    }
    double radius2 =
        at->area.half_x * at->area.half_x + at->area.half_y * at->area.half_y;
    if (!at->inside && here.a.distance * here.a.distance > radius2) {
        /* No edge in it: all of it is where its centre is. */
        at->inside = edges_inside(&in->edges, at->area.x, at->area.y);
        if (!at->inside) {
            return true;
        }
    }
    cell_keep_near(in, at, first, count);
    if (!at->inside && cell_trim(in, at)) {
        at->bound =
            lesser(at->bound, bound_mean(&in->edges, &at->area, &at->by));
        if (at->bound <= in->best + TOLERANCE) {
            return true;
        }
    }
    at->split_x = grows_in_x(in, at, &at->by);
    *keep = true;
    return true;
}

/* The halves go on the stack, the better one on top. */
static bool cell_halve(inscribed_finder *in, const cell *of) {
    double hx = of->split_x ? 0.5 * of->area.half_x : of->area.half_x;
    double hy = of->split_x ? of->area.half_y : 0.5 * of->area.half_y;
    cell halves[2];
    size_t kept = 0;
    for (int side = -1; side <= 1; side += 2) {
        cell half = {
            .area = {of->split_x ? of->area.x + side * hx : of->area.x,
                     of->split_x ? of->area.y : of->area.y + side * hy, hx, hy},
            .inside = of->inside,
            .near_edge = of->near_edge,
            .by = of->by,
        };
        bool keep;
        if (!cell_open(in, &half, of->first, of->count, &keep)) {
            return false;
        }
        if (keep) {
            halves[kept++] = half;
        }
    }
    if (kept == 2 && halves[0].bound > halves[1].bound) {
        cell other = halves[0];
        halves[0] = halves[1];
        halves[1] = other;
    }
    for (size_t i = 0; i < kept; i++) {
        halves[i].top = in->near_count;
        in->stack[in->depth++] = halves[i];
    }
    return true;
}

/* Squares about the best point, smaller whenever they show nothing better;
 * near blocks, and at last the witnesses, are those of *in_cell. */
static void ascend(inscribed_finder *in, cell *in_cell, double half,
                   double until) {
    const uint32_t *near = in->near + in_cell->first;
    uint32_t hint = in_cell->near_edge;
    while (half > until) {
        double before = in->best;
        cell around = {.area = {in->best_x, in->best_y, half, half}};
        look here = {.at = &around,
                     .near = near,
                     .count = in_cell->count,
                     .enough = -1.0,
                     .centre_inside = in->best > 0.0};
        here.a = edges_nearest(&in->edges, near, in_cell->count, hint,
                               in->best_x, in->best_y);
        raise_best(in, in->best_x, in->best_y, here.a.distance, false);
        hint = here.a.edge;
        look_around(in, &here);
        in_cell->by = here.by;
        half *= in->best > before ? 0.5 : 0.125;
    }
    in_cell->near_edge = hint;
}

/* The best point may be a tolerance short; a last ascent mostly takes it to
 * the top, so that a turned or scaled contour gives the same number. */
static bool polish(inscribed_finder *in) {
    const edge_set *edges = &in->edges;
    double size =
        lesser(edges->high_x - edges->low_x, edges->high_y - edges->low_y);
    double half = ASCENT_ENDS * size;
    in->near_count = edges->count;
    if (!near_reserve(in, edges->count)) {
        return false;
    }
    /* The squares' halves sum up to less than 2 half, and half beside that. */
    cell around = {.area = {in->best_x, in->best_y, 3.0 * half, 3.0 * half}};
    edge_view nearest = edges_nearest(&in->edges, in->near, edges->count, 0,
                                      in->best_x, in->best_y);
    around.near_edge = nearest.edge;
    around.by = (mean){.edge = {nearest.edge}, .weight = {1.0}, .count = 1};
    around.bound = bound_mean(&in->edges, &around.area, &around.by);
    cell_keep_near(in, &around, 0, edges->count);
    ascend(in, &around, half, 1e-7 * size);
    return true;
}

/* Opens a cell between two corners, if there is any, and stacks it. */
static bool stack_between(inscribed_finder *in, const cell *whole, double low_x,
                          double high_x, double low_y, double high_y) {
    cell part = {
        .area = rectangle_between(low_x, high_x, low_y, high_y),
        .near_edge = whole->near_edge,
        .by = whole->by,
        .inside = whole->inside,
    };
    bool keep = false;
    if (part.area.half_x > 0.0 && part.area.half_y > 0.0 &&
        !cell_open(in, &part, whole->first, whole->count, &keep)) {
        return false;
    }
    if (keep) {
        part.top = in->near_count;
        in->stack[in->depth++] = part;
    }
    return true;
}

/* Boxes about the best point, each a fraction of the last, leave a ring
 * of four cells between them, until the mean that is level there suffices. */
static bool stack_rings(inscribed_finder *in, cell *at) {
    const double x = in->best_x; /* a look may find better ones */
    const double y = in->best_y;
    for (int ring = 0; ring < RINGS; ring++) {
        at->bound = bound_mean(&in->edges, &at->area, &at->by);
        if (at->bound <= in->best + TOLERANCE) {
            return true;
        }
        if (!near_reserve(in, at->count)) {
            return false;
        }
        cell_keep_near(in, at, at->first, at->count);
        double low_x = at->area.x - at->area.half_x;
        double high_x = at->area.x + at->area.half_x;
        double low_y = at->area.y - at->area.half_y;
        double high_y = at->area.y + at->area.half_y;
        double hx = at->area.half_x * RING_SHARE;
        double hy = at->area.half_y * RING_SHARE;
        double in_low_x = larger(x - hx, low_x);
        double in_high_x = lesser(x + hx, high_x);
        double in_low_y = larger(y - hy, low_y);
        double in_high_y = lesser(y + hy, high_y);
        if (!stack_between(in, at, low_x, in_low_x, low_y, high_y) ||
            !stack_between(in, at, in_high_x, high_x, low_y, high_y) ||
            !stack_between(in, at, in_low_x, in_high_x, low_y, in_low_y) ||
            !stack_between(in, at, in_low_x, in_high_x, in_high_y, high_y)) {
            return false;
        }
        at->area = rectangle_between(in_low_x, in_high_x, in_low_y, in_high_y);
    }
    return stack_between(
        in, at, at->area.x - at->area.half_x, at->area.x + at->area.half_x,
        at->area.y - at->area.half_y, at->area.y + at->area.half_y);
}

static bool first_cells(inscribed_finder *in) {
    const edge_set *edges = &in->edges;
    in->near_count = 0;
    if (!near_reserve(in, edges->count)) {
        return false;
    }
    for (size_t i = 0; i < edges->count; i++) {
        in->near[i] = (uint32_t)i;
    }
    in->near_count = edges->count;
    cell whole = {
        .area = rectangle_between(edges->low_x, edges->high_x, edges->low_y,
                                  edges->high_y),
        .count = edges->count,
    };
    in->depth = 0;
    in->work = 0;
    in->best = 0.0;
    in->best_x = whole.area.x;
    in->best_y = whole.area.y;
    double half = lesser(whole.area.half_x, whole.area.half_y);
    ascend(in, &whole, 0.5 * half, ASCENT_ENDS * half);
    return stack_rings(in, &whole);
}

bl_status inscribed_find(inscribed_finder *in, const double *x, const double *y,
                         size_t count, double *diameter_mm) {
    if (!edges_load(&in->edges, x, y, count) || !first_cells(in)) {
        return BL_ERR_MEMORY;
    }
    while (in->depth > 0) {
        cell top = in->stack[--in->depth];
        in->near_count = top.top;
        if (top.bound <= in->best + TOLERANCE) {
            continue;
        }
        if (in->edges.looked > LOOKS_LEAST + LOOKS_PER_EDGE * count ||
            in->depth + 2 > DEPTH) {
            *diameter_mm = UNKNOWN;
            return BL_OK;
        }
        if (!cell_halve(in, &top)) {
            return BL_ERR_MEMORY;
        }
    }
    if (!polish(in)) {
        return BL_ERR_MEMORY;
    }
    *diameter_mm = 2.0 * in->best;
    return BL_OK;
}
