/*
 * edges.c - the edges of a contour, to be asked how far they are.
 *
 * Eight neighbouring edges are a block, held in arrays so that a compiler
 * makes vector code of the loop over it. A block is looked into only when what
 * surrounds it is near enough: the distance to the segment between its ends
 * less the greatest distance of its edges from that segment is a lower bound,
 * since distance to a segment is convex and so greatest at a vertex.
 */
#include "geometry/edges.h"

#include <math.h>
#include <stdlib.h>

static bool reserve(edge_set *set, size_t blocks) {
    if (blocks > set->capacity) {
        edge_block *grown = realloc(set->blocks, blocks * sizeof *grown);
        set->blocks = grown != NULL ? grown : set->blocks;
        edge_hull *hulls = realloc(set->hulls, blocks * sizeof *hulls);
        set->hulls = hulls != NULL ? hulls : set->hulls;
        if (grown == NULL || hulls == NULL) {
            return false;
        }
        set->capacity = blocks;
    }
    return true;
}

void edges_free(edge_set *set) {
    free(set->blocks);
    free(set->hulls);
}

/* Cosine and sine of the direction along which long edges run. */
static void main_direction(const double *x, const double *y, size_t count,
                           double *c, double *s) {
    double across = 0.0;
    double along = 0.0;
    size_t from = count - 1;
    for (size_t to = 0; to < count; from = to++) {
        double dx = x[to] - x[from];
        double dy = y[to] - y[from];
        double weight = dx * dx + dy * dy;
        across += weight * (2.0 * dx * dy);
        along += weight * (dx * dx - dy * dy);
    }
    double size = sqrt(across * across + along * along);
    *c = 1.0;
    *s = 0.0;
    if (size > 0.0) { /* half the angle of (along, across) */
        *c = sqrt(fmax(0.0, 0.5 * (1.0 + along / size)));
        *s = sqrt(fmax(0.0, 0.5 * (1.0 - along / size)));
        *s = across < 0.0 ? -*s : *s;
    }
}

static double segment_square(double px, double py, double ux, double uy,
                             double half) {
    double across = px * uy - py * ux;
    double beyond = fabs(px * ux + py * uy) - half;
    beyond = 0.5 * (beyond + fabs(beyond)); /* 0 beside the segment */
    return across * across + beyond * beyond;
}

static void hull_around(const edge_block *of, edge_hull *out) {
    double low_x = HUGE_VAL;
    double high_x = -HUGE_VAL;
    double low_y = HUGE_VAL;
    double high_y = -HUGE_VAL;
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        low_x = lesser(low_x, lesser(of->from_x[k], of->to_x[k]));
        high_x = larger(high_x, larger(of->from_x[k], of->to_x[k]));
        low_y = lesser(low_y, lesser(of->from_y[k], of->to_y[k]));
        high_y = larger(high_y, larger(of->from_y[k], of->to_y[k]));
    }
    double w = high_x - low_x;
    double h = high_y - low_y;
    double dx = of->to_x[EDGES_BLOCK - 1] - of->from_x[0];
    double dy = of->to_y[EDGES_BLOCK - 1] - of->from_y[0];
    double length = sqrt(dx * dx + dy * dy);
    double inverse = length > 0.0 ? 1.0 / length : 0.0;
    out->x = 0.5 * (low_x + high_x);
    out->y = 0.5 * (low_y + high_y);
    /* A hair larger, to cover the rounding of these lines. */
    double hair = 1e-12 * (w + h + fabs(out->x) + fabs(out->y));
    out->radius = 0.5 * sqrt(w * w + h * h) + hair;
    out->middle_x = of->from_x[0] + 0.5 * dx;
    out->middle_y = of->from_y[0] + 0.5 * dy;
    out->ux = length > 0.0 ? dx * inverse : 1.0;
    out->uy = dy * inverse;
    out->half = 0.5 * length;
    double widest = 0.0;
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        widest = larger(widest, segment_square(of->to_x[k] - out->middle_x,
                                               of->to_y[k] - out->middle_y,
                                               out->ux, out->uy, out->half));
    }
    out->width = sqrt(widest) + hair;
}

static void block_finish(edge_block *of) {
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        double dx = of->to_x[k] - of->from_x[k];
        double dy = of->to_y[k] - of->from_y[k];
        double length = sqrt(dx * dx + dy * dy);
        double inverse = length > 0.0 ? 1.0 / length : 0.0;
        of->x[k] = 0.5 * (of->from_x[k] + of->to_x[k]);
        of->y[k] = 0.5 * (of->from_y[k] + of->to_y[k]);
        of->ux[k] = length > 0.0 ? dx * inverse : 1.0; /* a point: any */
        of->uy[k] = dy * inverse;
        of->half[k] = 0.5 * length;
    }
}

static void find_extent(edge_set *set) {
    set->low_x = HUGE_VAL;
    set->high_x = -HUGE_VAL;
    set->low_y = HUGE_VAL;
    set->high_y = -HUGE_VAL;
    for (size_t i = 0; i < set->count; i++) {
        const edge_block *of = &set->blocks[i];
        for (size_t k = 0; k < EDGES_BLOCK; k++) {
            set->low_x = lesser(set->low_x, of->from_x[k]);
            set->high_x = larger(set->high_x, of->from_x[k]);
            set->low_y = lesser(set->low_y, of->from_y[k]);
            set->high_y = larger(set->high_y, of->from_y[k]);
        }
    }
    set->extent = larger(larger(fabs(set->low_x), fabs(set->high_x)),
                         larger(fabs(set->low_y), fabs(set->high_y)));
}

/* Turns the points. Points alone fill up the last block. */
bool edges_load(edge_set *set, const double *x, const double *y, size_t count) {
    size_t blocks = (count + EDGES_BLOCK - 1) / EDGES_BLOCK;
    if (!reserve(set, blocks)) {
        return false;
    }
    double c;
    double s;
    main_direction(x, y, count, &c, &s);
    double first_x = c * x[0] + s * y[0];
    double first_y = c * y[0] - s * x[0];
    double from_x = first_x;
    double from_y = first_y;
    for (size_t i = 0; i < blocks * EDGES_BLOCK; i++) {
        bool last = i + 1 >= count;
        double to_x = last ? first_x : c * x[i + 1] + s * y[i + 1];
        double to_y = last ? first_y : c * y[i + 1] - s * x[i + 1];
        edge_block *into = &set->blocks[i / EDGES_BLOCK];
        into->from_x[i % EDGES_BLOCK] = from_x;
        into->from_y[i % EDGES_BLOCK] = from_y;
        into->to_x[i % EDGES_BLOCK] = to_x;
        into->to_y[i % EDGES_BLOCK] = to_y;
        from_x = to_x;
        from_y = to_y;
    }
    for (size_t i = 0; i < blocks; i++) {
        block_finish(&set->blocks[i]);
        hull_around(&set->blocks[i], &set->hulls[i]);
    }
    set->count = blocks;
    find_extent(set);
    set->looked = 0;
    return true;
}

/* --------------------------------------------------------------- distances */

/* Squares of the distances to a block's edges, in vectors, and the least. */
static double block_squares(const edge_block *restrict of, double x, double y,
                            double *restrict squares) {
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        squares[k] = segment_square(x - of->x[k], y - of->y[k], of->ux[k],
                                    of->uy[k], of->half[k]);
    }
    double a = lesser(squares[0], squares[1]);
    double b = lesser(squares[2], squares[3]);
    double c = lesser(squares[4], squares[5]);
    double d = lesser(squares[6], squares[7]);
    return lesser(lesser(a, b), lesser(c, d));
}

double edges_distance(const edge_set *set, uint32_t edge, double x, double y) {
    const edge_block *of = &set->blocks[edge / EDGES_BLOCK];
    size_t k = edge % EDGES_BLOCK;
    double px = x - of->x[k];
    double py = y - of->y[k];
    double across = px * of->uy[k] - py * of->ux[k];
    double beyond = fabs(px * of->ux[k] + py * of->uy[k]) - of->half[k];
    beyond = beyond > 0.0 ? beyond : 0.0;
    return sqrt(across * across + beyond * beyond);
}

edge_view edges_view(const edge_set *set, uint32_t edge, double x, double y) {
    const edge_block *of = &set->blocks[edge / EDGES_BLOCK];
    size_t k = edge % EDGES_BLOCK;
    double px = x - of->x[k];
    double py = y - of->y[k];
    double along = px * of->ux[k] + py * of->uy[k];
    along = along > of->half[k] ? of->half[k] : along;
    along = along < -of->half[k] ? -of->half[k] : along;
    double qx = px - along * of->ux[k];
    double qy = py - along * of->uy[k];
    double distance = sqrt(qx * qx + qy * qy);
    double inverse = distance > 0.0 ? 1.0 / distance : 0.0;
    return (edge_view){distance, qx * inverse, qy * inverse, edge};
}

/* The nearest edge of some blocks; the nearer the hint, the fewer blocks are
 * looked into. */
edge_view edges_nearest(edge_set *set, const uint32_t *near, size_t count,
                        uint32_t hint, double x, double y) {
    double reach = edges_distance(set, hint, x, y);
    double least = reach * reach;
    uint32_t edge = hint;
    for (size_t i = 0; i < count; i++) {
        const edge_hull *around = &set->hulls[near[i]];
        double limit = reach + around->width;
        if (segment_square(x - around->middle_x, y - around->middle_y,
                           around->ux, around->uy,
                           around->half) < limit * limit) {
            double squares[EDGES_BLOCK];
            double found = block_squares(&set->blocks[near[i]], x, y, squares);
            if (found < least) {
                uint32_t k = 0;
                while (squares[k] > found) {
                    k++;
                }
                least = found;
                edge = near[i] * EDGES_BLOCK + k;
                reach = sqrt(least);
            }
        }
    }
    set->looked += count + EDGES_BLOCK;
    return edges_view(set, edge, x, y);
}

/* Whether a ray to the right crosses an odd number of a block's edges. Rounding
 * could only mistake a point that is on an edge but for rounding. */
static unsigned crossings(const edge_block *of, double x, double y) {
    unsigned odd = 0;
    for (size_t k = 0; k < EDGES_BLOCK; k++) {
        double side = of->ux[k] * (y - of->y[k]) - of->uy[k] * (x - of->x[k]);
        unsigned from = of->from_y[k] > y;
        unsigned to = of->to_y[k] > y;
        odd ^= (from ^ to) & ((unsigned)(side > 0.0) ^ to ^ 1U);
    }
    return odd;
}

bool edges_inside(edge_set *set, double x, double y) {
    unsigned odd = 0;
    for (size_t i = 0; i < set->count; i++) {
        const edge_hull *around = &set->hulls[i];
        if (fabs(y - around->y) <= around->radius &&
            x <= around->x + around->radius) {
            odd ^= crossings(&set->blocks[i], x, y);
        }
    }
    set->looked += set->count / 8;
    return odd != 0;
}

size_t edges_within(const edge_set *set, const rectangle *at, double distance,
                    const uint32_t *from, size_t count, uint32_t *near) {
    size_t kept = 0;
    double radius = sqrt(at->half_x * at->half_x + at->half_y * at->half_y);
    for (size_t i = 0; i < count; i++) {
        const edge_hull *around = &set->hulls[from[i]];
        double ex = fabs(around->x - at->x) - at->half_x;
        double ey = fabs(around->y - at->y) - at->half_y;
        ex = ex > 0.0 ? ex : 0.0;
        ey = ey > 0.0 ? ey : 0.0;
        double limit = (distance + around->radius) * (1.0 + 1e-12);
        double wide = (distance + radius + around->width) * (1.0 + 1e-12);
        double square =
            segment_square(at->x - around->middle_x, at->y - around->middle_y,
                           around->ux, around->uy, around->half);
        near[kept] = from[i];
        kept += (size_t)((ex * ex + ey * ey <= limit * limit) &
                         (square <= wide * wide));
    }
    return kept;
}

/* The box of the contour in a cell, as far as it reaches into it. */
typedef struct box {
    double low_x;
    double high_x;
    double low_y;
    double high_y;
} box;

/* Narrows 0 .. 1 along an edge to where low <= from + t step <= high. */
static void clip(double from, double step, double low, double high,
                 double *start, double *end) {
    double a = (low - from) / step;
    double b = (high - from) / step;
    if (fabs(step) > 0.0) {
        *start = larger(*start, lesser(a, b));
        *end = lesser(*end, larger(a, b));
    } else if (from < low || from > high) {
        *end = -1.0;
    }
}

static void box_add(box *to, const rectangle *at, double margin,
                    const edge_block *of, size_t k) {
    double dx = of->to_x[k] - of->from_x[k];
    double dy = of->to_y[k] - of->from_y[k];
    double start = 0.0;
    double end = 1.0;
    clip(of->from_x[k], dx, at->x - at->half_x - margin,
         at->x + at->half_x + margin, &start, &end);
    clip(of->from_y[k], dy, at->y - at->half_y - margin,
         at->y + at->half_y + margin, &start, &end);
    if (start <= end) {
        double ax = of->from_x[k] + start * dx;
        double bx = of->from_x[k] + end * dx;
        double ay = of->from_y[k] + start * dy;
        double by = of->from_y[k] + end * dy;
        to->low_x = lesser(to->low_x, lesser(ax, bx) - margin);
        to->high_x = larger(to->high_x, larger(ax, bx) + margin);
        to->low_y = lesser(to->low_y, lesser(ay, by) - margin);
        to->high_y = larger(to->high_y, larger(ay, by) + margin);
    }
}

bool edges_box(edge_set *set, const rectangle *at, const uint32_t *near,
               size_t count, rectangle *out) {
    double margin = 1e-12 * set->extent;
    box held = {HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < count; i++) {
        const edge_hull *around = &set->hulls[near[i]];
        if (fabs(around->x - at->x) <= at->half_x + around->radius &&
            fabs(around->y - at->y) <= at->half_y + around->radius) {
            for (size_t k = 0; k < EDGES_BLOCK; k++) {
                box_add(&held, at, margin, &set->blocks[near[i]], k);
            }
        }
    }
    set->looked += count;
    if (held.low_x > held.high_x) {
        return false;
    }
    *out = (rectangle){
        0.5 * (held.low_x + held.high_x), 0.5 * (held.low_y + held.high_y),
        0.5 * (held.high_x - held.low_x), 0.5 * (held.high_y - held.low_y)};
    return true;
}
