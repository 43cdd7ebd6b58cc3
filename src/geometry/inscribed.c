/*
 * inscribed.c - the largest circle inside a contour, by branch and bound.
 *
 * Square cells are held in a heap by an upper bound on the clearance (the
 * distance to the contour) that any point in them can have; the best is split
 * in four until no bound exceeds the best clearance found by more than
 * TOLERANCE. What is returned is a real circle, so it is never too large, and
 * at most TOLERANCE too small in radius.
 *
 * Bounds for a cell with centre c and circumradius R. Let d be the distance
 * from c to an edge and g the unit vector from its nearest point to c.
 *   (1) Distance is 1-Lipschitz: clearance <= d1 + R for the nearest edge.
 *   (2) Distance to a convex set has second derivative at most 1/distance, so
 *       for |y| <= R < d:  dist(c + y) <= d + g.y + R^2 / (2 (d - R)).
 *       Averaging that over edges with weights w >= 0, sum w = 1, gives
 *       clearance <= sum w d + R |sum w g| + R^2 / (2 (d1 - R)).
 *       Two opposing edges (w = 1/2) and three edges whose g surround the
 *       origin (sum w g = 0) make it tight to second order, so cells need not
 *       become as small as the tolerance.
 * An edge at c further than d1 + 2R cannot be the nearest anywhere in the
 * cell, so each cell hands only the near edges to its quarters.
 */
#include "geometry/inscribed.h"

#include "base/constants.h"

#include <math.h>
#include <stdlib.h>

/* In radius; the diameter is then within 9.8e-5 mm. */
#define TOLERANCE 4.9e-5
#define SQRT2 1.41421356237309504880
/* A contour traced on a vein takes some hundred thousand looks at edges; past
 * this many the diameter is given up as unknown. */
#define LOOKS_LEAST ((size_t)8000000)
#define LOOKS_PER_EDGE ((size_t)20000)

typedef struct edge {
    double x;
    double y;
    double dx;
    double dy;
    double scale; /* 1 / length^2 */
} edge;

/* An edge as seen from a cell's centre: the vector from its nearest point,
 * and the vector's square. */
typedef struct offset {
    double x;
    double y;
    double square;
} offset;

/* An edge's model in a cell: its distance and unit vector g. */
typedef struct view {
    double distance;
    double gx;
    double gy;
} view;

typedef struct cell {
    double x;
    double y;
    double half;
    double bound;
    double clear; /* clearance of the centre; 0 when that is outside */
    size_t first; /* its near edges are near[first .. first + count) */
    size_t count;
} cell;

struct inscribed_finder {
    edge *edges;
    offset *offsets;
    size_t capacity;
    size_t count;
    cell *heap;
    size_t heap_count;
    size_t heap_capacity;
    uint32_t *near;
    size_t near_count;
    size_t near_capacity;
    double best;
    size_t work;
    size_t looked; /* edges looked at, in all cells */
};

inscribed_finder *inscribed_new(void) {
    return calloc(1, sizeof(inscribed_finder));
}

void inscribed_free(inscribed_finder *finder) {
    if (finder != NULL) {
        free(finder->edges);
        free(finder->offsets);
        free(finder->heap);
        free(finder->near);
        free(finder);
    }
}

size_t inscribed_work(const inscribed_finder *finder) {
    return finder->work;
}

static bool load(inscribed_finder *in, const double *x, const double *y,
                 size_t count) {
    if (count > in->capacity) {
        edge *edges = realloc(in->edges, count * sizeof *edges);
        in->edges = edges != NULL ? edges : in->edges;
        offset *offsets = realloc(in->offsets, count * sizeof *offsets);
        in->offsets = offsets != NULL ? offsets : in->offsets;
        if (edges == NULL || offsets == NULL) {
            return false;
        }
        in->capacity = count;
    }
    for (size_t i = 0; i < count; i++) {
        size_t next = i + 1 == count ? 0 : i + 1;
        double dx = x[next] - x[i];
        double dy = y[next] - y[i];
        in->edges[i] = (edge){x[i], y[i], dx, dy, 1.0 / (dx * dx + dy * dy)};
    }
    in->count = count;
    in->heap_count = 0;
    in->near_count = 0;
    in->best = 0.0;
    in->work = 0;
    in->looked = 0;
    return true;
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

static bool heap_push(inscribed_finder *in, const cell *added) {
    if (in->heap_count == in->heap_capacity) {
        size_t capacity = 2 * in->heap_capacity + 64;
        cell *heap = realloc(in->heap, capacity * sizeof *heap);
        if (heap == NULL) {
            return false;
        }
        in->heap = heap;
        in->heap_capacity = capacity;
    }
    size_t at = in->heap_count++;
    while (at > 0 && in->heap[(at - 1) / 2].bound < added->bound) {
        in->heap[at] = in->heap[(at - 1) / 2];
        at = (at - 1) / 2;
    }
    in->heap[at] = *added;
    return true;
}

static cell heap_pop(inscribed_finder *in) {
    cell top = in->heap[0];
    cell last = in->heap[--in->heap_count];
    size_t at = 0;
    for (;;) {
        size_t child = 2 * at + 1;
        if (child >= in->heap_count) {
            break;
        }
        if (child + 1 < in->heap_count &&
            in->heap[child + 1].bound > in->heap[child].bound) {
            child++;
        }
        if (in->heap[child].bound <= last.bound) {
            break;
        }
        in->heap[at] = in->heap[child];
        at = child;
    }
    in->heap[at] = last;
    return top;
}

static offset offset_from(const edge *of, double x, double y) {
    double px = x - of->x;
    double py = y - of->y;
    double part = (px * of->dx + py * of->dy) * of->scale;
    part = part > 0.0 ? part : 0.0;
    part = part < 1.0 ? part : 1.0;
    offset out = {px - part * of->dx, py - part * of->dy, 0.0};
    out.square = out.x * out.x + out.y * out.y;
    return out;
}

/* Even-odd rule over all edges. */
static bool inside(const inscribed_finder *in, double x, double y) {
    bool odd = false;
    for (size_t i = 0; i < in->count; i++) {
        const edge *of = &in->edges[i];
        double end = of->y + of->dy;
        if ((of->y > y) != (end > y) &&
            x < of->x + of->dx * (y - of->y) / of->dy) {
            odd = !odd;
        }
    }
    return odd;
}

/* Distance to the nearest of a cell's edges. */
static double clearance(const inscribed_finder *in, const uint32_t *near,
                        size_t count, double x, double y) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        double square = offset_from(&in->edges[near[i]], x, y).square;
        least = square < least ? square : least;
    }
    return sqrt(least);
}

/* The edge whose nearest point is nearest to c + reach (ux, uy). Any edge
 * gives a true bound; this one gives a good one, and squares suffice. */
static view nearest_towards(const offset *offsets, size_t count, double ux,
                            double uy, double reach) {
    size_t best = 0;
    double least = HUGE_VAL;
    double wx = 2.0 * reach * ux;
    double wy = 2.0 * reach * uy;
    for (size_t i = 0; i < count; i++) {
        double value =
            offsets[i].square + (offsets[i].x * wx + offsets[i].y * wy);
        best = value < least ? i : best;
        least = value < least ? value : least;
    }
    double distance = sqrt(offsets[best].square);
    return (view){distance, offsets[best].x / distance,
                  offsets[best].y / distance};
}

/* Bound of three edges whose g surround the origin; HUGE_VAL otherwise. The
 * point where the three models meet goes to (*mx, *my). */
static double bound_of_three(const view *a, const view *b, const view *c,
                             double *mx, double *my) {
    double wa = b->gx * c->gy - b->gy * c->gx;
    double wb = c->gx * a->gy - c->gy * a->gx;
    double wc = a->gx * b->gy - a->gy * b->gx;
    double total = wa + wb + wc;
    if (fabs(total) < 1e-9) {
        return HUGE_VAL;
    }
    double p = wa / total;
    double q = wb / total;
    double r = wc / total;
    if (p < 0.0 || q < 0.0 || r < 0.0) {
        return HUGE_VAL;
    }
    /* (a.g - b.g) . m = b.d - a.d and the same with c. */
    double ux = a->gx - b->gx;
    double uy = a->gy - b->gy;
    double vx = a->gx - c->gx;
    double vy = a->gy - c->gy;
    double du = b->distance - a->distance;
    double dv = c->distance - a->distance;
    double det = ux * vy - uy * vx;
    *mx = (du * vy - dv * uy) / det;
    *my = (ux * dv - vx * du) / det;
    return p * a->distance + q * b->distance + r * c->distance;
}

/* Raises the best clearance by a look at c + (mx, my), when that is surely
 * inside: nearer to c than the contour is. */
static void try_point(inscribed_finder *in, const cell *at, double mx,
                      double my, double room) {
    double square = mx * mx + my * my;
    if (square < room * room) {
        double radius = SQRT2 * at->half;
        if (square > radius * radius) {
            double back = radius / sqrt(square);
            mx *= back;
            my *= back;
        }
        double found = clearance(in, in->near + at->first, at->count,
                                 at->x + mx, at->y + my);
        in->best = found > in->best ? found : in->best;
    }
}

/* Bound (2), and a try at the place where it is attained. */
static double second_order_bound(inscribed_finder *in, const cell *at) {
    double radius = SQRT2 * at->half;
    const offset *offsets = in->offsets;
    view a = nearest_towards(offsets, at->count, 0.0, 0.0, 0.0);
    double curve = radius * radius / (2.0 * (a.distance - radius));
    view b = nearest_towards(offsets, at->count, a.gx, a.gy, radius);
    double sx = a.gx + b.gx;
    double sy = a.gy + b.gy;
    double size = sqrt(sx * sx + sy * sy);
    double bound = 0.5 * (a.distance + b.distance + radius * size);
    double ux = size > 1e-6 ? sx / size : -a.gy;
    double uy = size > 1e-6 ? sy / size : a.gx;
    view c = nearest_towards(offsets, at->count, ux, uy, radius);
    double mx = 0.0;
    double my = 0.0;
    double three = bound_of_three(&a, &b, &c, &mx, &my);
    if (three < HUGE_VAL) {
        bound = three < bound ? three : bound;
        try_point(in, at, mx, my, a.distance);
    }
    return bound + curve;
}

/* Keeps of the parent's edges those that can be nearest in the cell, and
 * their offsets at the front. */
static void keep_near(inscribed_finder *in, cell *at, size_t parent_first,
                      size_t parent_count, double nearest) {
    double reach = nearest + 2.0 * SQRT2 * at->half;
    double square = reach * reach;
    const uint32_t *parent = in->near + parent_first;
    uint32_t *near = in->near + in->near_count;
    offset *offsets = in->offsets;
    size_t count = 0;
    for (size_t i = 0; i < parent_count; i++) {
        /* Written always and kept sometimes: no branch to mispredict. */
        near[count] = parent[i];
        offsets[count] = offsets[i];
        count += offsets[i].square <= square;
    }
    at->first = in->near_count;
    at->count = count;
    in->near_count += count;
}

/* Finds the cell's clearance, near edges and bound from its parent's edges;
 * *keep is false when it cannot hold a better circle. surely_inside saves the
 * even-odd rule where the centre is known to be inside. */
static bool cell_open(inscribed_finder *in, cell *at, size_t parent_first,
                      size_t parent_count, bool surely_inside, bool *keep) {
    double radius = SQRT2 * at->half;
    double least = HUGE_VAL;
    in->work++;
    /* The even-odd rule costs a fraction of a look. */
    in->looked += parent_count + (surely_inside ? 0 : in->count / 8);
    if (!near_reserve(in, parent_count)) {
        return false;
    }
    const uint32_t *parent = in->near + parent_first;
    for (size_t i = 0; i < parent_count; i++) {
        offset seen = offset_from(&in->edges[parent[i]], at->x, at->y);
        in->offsets[i] = seen;
        least = seen.square < least ? seen.square : least;
    }
    double nearest = sqrt(least);
    bool within = surely_inside || inside(in, at->x, at->y);
    at->bound = within ? nearest + radius : radius - nearest;
    at->clear = within ? nearest : 0.0;
    in->best = within && nearest > in->best ? nearest : in->best;
    *keep = at->bound > in->best + TOLERANCE;
    if (!*keep) {
        return true;
    }
    keep_near(in, at, parent_first, parent_count, nearest);
    if (within && nearest > radius) {
        double bound = second_order_bound(in, at);
        at->bound = bound < at->bound ? bound : at->bound;
        *keep = at->bound > in->best + TOLERANCE;
    }
    if (!*keep) {
        in->near_count = at->first;
    }
    return true;
}

static bool first_cell(inscribed_finder *in) {
    double low_x = HUGE_VAL;
    double high_x = -HUGE_VAL;
    double low_y = HUGE_VAL;
    double high_y = -HUGE_VAL;
    if (!near_reserve(in, in->count)) {
        return false;
    }
    for (size_t i = 0; i < in->count; i++) {
        const edge *of = &in->edges[i];
        low_x = fmin(low_x, of->x);
        high_x = fmax(high_x, of->x);
        low_y = fmin(low_y, of->y);
        high_y = fmax(high_y, of->y);
        in->near[i] = (uint32_t)i;
    }
    in->near_count = in->count;
    cell whole = {
        .x = 0.5 * (low_x + high_x),
        .y = 0.5 * (low_y + high_y),
        .half = 0.5 * fmax(high_x - low_x, high_y - low_y),
    };
    bool keep;
    if (!cell_open(in, &whole, 0, in->count, false, &keep)) {
        return false;
    }
    return !keep || heap_push(in, &whole);
}

static bool split_cell(inscribed_finder *in, const cell *of) {
    double half = 0.5 * of->half;
    bool sure = of->clear > SQRT2 * half;
    for (int quarter = 0; quarter < 4; quarter++) {
        cell part = {
            .x = of->x + (quarter & 1 ? half : -half),
            .y = of->y + (quarter & 2 ? half : -half),
            .half = half,
        };
        bool keep;
        if (!cell_open(in, &part, of->first, of->count, sure, &keep) ||
            (keep && !heap_push(in, &part))) {
            return false;
        }
    }
    return true;
}

bl_status inscribed_find(inscribed_finder *in, const double *x, const double *y,
                         size_t count, double *diameter_mm) {
    if (!load(in, x, y, count) || !first_cell(in)) {
        return BL_ERR_MEMORY;
    }
    while (in->heap_count > 0) {
        cell top = heap_pop(in);
        if (top.bound <= in->best + TOLERANCE) {
            break;
        }
        if (in->looked > LOOKS_LEAST + LOOKS_PER_EDGE * count) {
            *diameter_mm = UNKNOWN;
            return BL_OK;
        }
        if (!split_cell(in, &top)) {
            return BL_ERR_MEMORY;
        }
    }
    *diameter_mm = 2.0 * in->best;
    return BL_OK;
}
