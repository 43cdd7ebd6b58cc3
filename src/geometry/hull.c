/*
 * hull.c - convex hull and rotating calipers.
 *
 * Points in order round an inner point need no sort. Where every turn is left
 * for certain they are the hull. Else a point where they turn right is no
 * corner; all such are dropped at once, without a branch, again and again while
 * that pays. Then nearly always every turn is left, or else Graham's scan
 * (1972) finishes. Other points take the monotone chain (Andrew 1979).
 *
 * The least width is attained with one tangent along an edge of the hull, the
 * greatest between two corners (Shamos 1978). The corner furthest from an edge
 * is the one where the edges turn beyond the opposite direction, and every
 * pair of corners that parallel tangents can meet is an end of an edge with
 * the corner furthest from it.
 *
 * Edges are taken in blocks. No distance between corners of a block and corners
 * across exceeds the sum of their greatest distances from the origin. No width
 * is less than the sum of the least distances of their edges' lines, if the
 * origin is inside: from one edge to the next the distance of a tangent is a
 * cosine of its direction, least at an end.
 */
#include "geometry/hull.h"

#include "geometry/lanes.h"
#include "geometry/orient.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Relative: bounds may be wrong by roundings. */
#define HAIR 1e-12

void hull_free(hull *of) {
    free(of->edge_x);
    facing_free(&of->facing);
    *of = (hull){0};
}

/* Points twice: what is left of them, and the corners of a scan. */
static bool reserve(hull *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    size_t points = 2 * count + 2;
    double *values = malloc((4 * count + 2 * points) * sizeof *values);
    if (values == NULL) {
        return false;
    }
    free(in->edge_x);
    in->edge_x = values;
    in->edge_y = values + count;
    in->near = values + 2 * count;
    in->far = values + 3 * count;
    in->point_x = values + 4 * count;
    in->point_y = in->point_x + points;
    in->capacity = count;
    return true;
}

static void take_corners(hull *out, const double *x, const double *y,
                         size_t count) {
    out->x = x;
    out->y = y;
    out->count = count;
}

/* ------------------------------------------------------------------ corners */

static bool turns_left(const double *x, const double *y, size_t i, double nx,
                       double ny) {
    return orient_sign(x[i], y[i], x[i + 1], y[i + 1], nx, ny) > 0;
}

/* Lowest, then leftmost: a corner for certain. */
static size_t lowest_point(const double *x, const double *y, size_t count) {
    size_t best = 0;
    for (size_t i = 1; i < count; i++) {
        if (y[i] < y[best] || (y[i] <= y[best] && x[i] < x[best])) {
            best = i;
        }
    }
    return best;
}

static size_t push_corner(double *x, double *y, size_t held, size_t floor,
                          double nx, double ny) {
    while (held > floor && !turns_left(x, y, held - 2, nx, ny)) {
        held--;
    }
    x[held] = nx;
    y[held] = ny;
    return held + 1;
}

/* Drops every point where the closed way turns right for certain; returns how
 * many are kept. *lefts: at how many of those before it turned left for
 * certain. */
static size_t drop_right_turns(double *x, double *y, size_t count,
                               size_t *lefts) {
    assert(count > 0);
    double first_x = x[0];
    double first_y = y[0];
    double before_x = x[count - 1];
    double before_y = y[count - 1];
    double here_x = first_x;
    double here_y = first_y;
    size_t kept = 0;
    *lefts = 0;
    for (size_t i = 0; i < count; i++) {
        double next_x = i + 1 < count ? x[i + 1] : first_x;
        double next_y = i + 1 < count ? y[i + 1] : first_y;
        double error;
        double turn = orient_about(before_x, before_y, here_x, here_y, next_x,
                                   next_y, &error);
        x[kept] = here_x;
        y[kept] = here_y;
        kept += turn >= -error;
        *lefts += turn > error;
        before_x = here_x;
        before_y = here_y;
        here_x = next_x;
        here_y = next_y;
    }
    return kept;
}

/* Graham's scan of points in order round an inner one. */
static size_t scan(const double *x, const double *y, size_t count,
                   double *out_x, double *out_y) {
    assert(count > 0); /* the lowest point never turns right */
    size_t start = lowest_point(x, y, count);
    size_t held = 0;
    for (size_t k = 0; k <= count; k++) {
        size_t i = start + k < count ? start + k : start + k - count;
        held = push_corner(out_x, out_y, held, 1, x[i], y[i]);
    }
    return held - 1; /* the start came twice */
}

LANES_TWICE
static void find_edges(hull *of, const double *restrict x,
                       const double *restrict y, size_t count) {
    double *restrict edge_x = of->edge_x;
    double *restrict edge_y = of->edge_y;
    size_t i = 0;
    for (; i + LANES < count; i += LANES) {
        for (size_t k = i; k < i + LANES; k++) {
            edge_x[k] = x[k + 1] - x[k];
            edge_y[k] = y[k + 1] - y[k];
        }
    }
    for (; i + 1 < count; i++) {
        edge_x[i] = x[i + 1] - x[i];
        edge_y[i] = y[i + 1] - y[i];
    }
    edge_x[i] = x[0] - x[i];
    edge_y[i] = y[0] - y[i];
}

/* Twice the turn from one edge to the next, less its error. */
LANES_PART double sure_turn(double ax, double ay, double bx, double by) {
    double plus = ax * by;
    double minus = ay * bx;
    return plus - minus - ORIENT_BOUND * (fabs(plus) + fabs(minus));
}

/* Whether all edges turn left for certain. */
LANES_TWICE
static bool turn_left(const double *edge_x, const double *edge_y,
                      size_t count) {
    double least[LANES] = {HUGE_VAL, HUGE_VAL, HUGE_VAL, HUGE_VAL};
    size_t i = 1;
    for (; i + LANES <= count; i += LANES) {
        for (size_t lane = 0; lane < LANES; lane++) {
            size_t at = i + lane;
            least[lane] = lesser(sure_turn(edge_x[at - 1], edge_y[at - 1],
                                           edge_x[at], edge_y[at]),
                                 least[lane]);
        }
    }
    for (; i < count; i++) {
        least[0] = lesser(
            sure_turn(edge_x[i - 1], edge_y[i - 1], edge_x[i], edge_y[i]),
            least[0]);
    }
    least[0] = lesser(
        sure_turn(edge_x[count - 1], edge_y[count - 1], edge_x[0], edge_y[0]),
        least[0]);
    return lesser(lesser(least[0], least[1]), lesser(least[2], least[3])) > 0.0;
}

static void drop_and_scan(hull *out, const double *x, const double *y,
                          size_t count) {
    memcpy(out->point_x, x, count * sizeof *x);
    memcpy(out->point_y, y, count * sizeof *y);
    size_t before;
    size_t kept = count;
    size_t lefts;
    do {
        before = kept;
        out->turns += before;
        kept = drop_right_turns(out->point_x, out->point_y, before, &lefts);
    } while (before - kept > before / 8);
    if (lefts < before) {
        double *corners_x = out->point_x + kept;
        double *corners_y = out->point_y + kept;
        kept = scan(out->point_x, out->point_y, kept, corners_x, corners_y);
        take_corners(out, corners_x, corners_y, kept);
    } else {
        take_corners(out, out->point_x, out->point_y, kept);
    }
    find_edges(out, out->x, out->y, out->count);
}

bool hull_of_star(hull *out, const double *x, const double *y, size_t count) {
    assert(count >= 3);
    if (!reserve(out, count)) {
        return false;
    }
    out->turns = count;
    find_edges(out, x, y, count);
    out->whole = turn_left(out->edge_x, out->edge_y, count);
    if (out->whole) {
        take_corners(out, x, y, count);
    } else {
        drop_and_scan(out, x, y, count);
    }
    return true;
}

static int by_x(const void *left, const void *right) {
    const double *a = left;
    const double *b = right;
    int order = (a[0] > b[0]) - (a[0] < b[0]);
    return order != 0 ? order : (a[1] > b[1]) - (a[1] < b[1]);
}

bool hull_find(hull *out, const double *x, const double *y, size_t count) {
    if (!reserve(out, count)) {
        return false;
    }
    double *sorted = out->point_x; /* x and y in turn */
    for (size_t i = 0; i < count; i++) {
        sorted[2 * i] = x[i];
        sorted[2 * i + 1] = y[i];
    }
    qsort(sorted, count, 2 * sizeof *sorted, by_x);
    double *corner_x = out->point_y;
    double *corner_y = out->point_y + count + 1;
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        held = push_corner(corner_x, corner_y, held, 1, sorted[2 * i],
                           sorted[2 * i + 1]);
    }
    size_t floor = held;
    for (size_t i = count - 1; i-- > 0;) {
        held = push_corner(corner_x, corner_y, held, floor, sorted[2 * i],
                           sorted[2 * i + 1]);
    }
    take_corners(out, corner_x, corner_y, held - 1); /* the first came twice */
    out->whole = out->count == count;
    find_edges(out, out->x, out->y, out->count);
    return true;
}

double hull_area(const hull *of) {
    double twice = 0.0;
    for (size_t i = 0, before = of->count - 1; i < of->count; before = i++) {
        twice += of->x[before] * of->y[i] - of->y[before] * of->x[i];
    }
    return 0.5 * twice;
}

/* ------------------------------------------------------------------ calipers
 */

static inline double square(double x, double y) {
    return x * x + y * y;
}

/* Squares of how far the line of an edge is from the origin, and its start. */
LANES_PART void edge_reach(const hull *of, size_t i, double *near,
                           double *far) {
    double x = of->x[i];
    double y = of->y[i];
    double dx = of->edge_x[i];
    double dy = of->edge_y[i];
    double cross = x * dy - y * dx;
    *near = lesser(cross * cross / square(dx, dy), *near);
    *far = larger(square(x, y), *far);
}

LANES_PART void block_reach(hull *of, size_t block) {
    double near[LANES] = {HUGE_VAL, HUGE_VAL, HUGE_VAL, HUGE_VAL};
    size_t i = facing_first(&of->facing, block);
    size_t end = facing_end(&of->facing, block);
    size_t after = end < of->count ? end : 0;
    double far[LANES] = {square(of->x[after], of->y[after]), 0.0, 0.0, 0.0};
    for (; i + LANES <= end; i += LANES) {
        for (size_t lane = 0; lane < LANES; lane++) {
            edge_reach(of, i + lane, &near[lane], &far[lane]);
        }
    }
    for (; i < end; i++) {
        edge_reach(of, i, &near[0], &far[0]);
    }
    of->near[block] =
        sqrt(lesser(lesser(near[0], near[1]), lesser(near[2], near[3])));
    of->far[block] =
        sqrt(larger(larger(far[0], far[1]), larger(far[2], far[3])));
}

LANES_TWICE
static void reach_hull_blocks(hull *of) {
    for (size_t k = 0; k < of->facing.blocks; k++) {
        block_reach(of, k);
    }
}

/* The extremes so far and their squares. */
typedef struct so_far {
    double width;
    double length;
    double width_square;
    double length_square;
} so_far;

static void take_edge(const hull *of, size_t i, size_t far, so_far *out) {
    size_t next = i + 1 < of->count ? i + 1 : 0;
    double dx = of->edge_x[i];
    double dy = of->edge_y[i];
    double ax = of->x[far] - of->x[i];
    double ay = of->y[far] - of->y[i];
    double bx = of->x[far] - of->x[next];
    double by = of->y[far] - of->y[next];
    double cross = dx * ay - dy * ax;
    double width = cross * (cross / square(dx, dy));
    double length = larger(square(ax, ay), square(bx, by));
    out->width_square = lesser(width, out->width_square);
    out->length_square = larger(length, out->length_square);
}

static bool is_worth_it(const hull *of, size_t i, facing_worth what) {
    size_t next = i + 1 < of->count ? i + 1 : 0;
    double dx = of->edge_x[i];
    double dy = of->edge_y[i];
    double cross = of->x[i] * dy - of->y[i] * dx;
    double far =
        larger(square(of->x[i], of->y[i]), square(of->x[next], of->y[next]));
    return far >= what.far || cross * cross < what.near * square(dx, dy);
}

static void look(hull *of, size_t block, so_far *out) {
    facing_worth what =
        facing_worth_of(&of->facing, block, of->near, of->far,
                        out->width * (1.0 + HAIR), out->length * (1.0 - HAIR));
    if (of->far[block] * of->far[block] < what.far &&
        of->near[block] * of->near[block] >= what.near) {
        return;
    }
    size_t across = facing_first(&of->facing, of->facing.across[block]);
    size_t end = facing_end(&of->facing, block);
    for (size_t i = facing_first(&of->facing, block); i < end; i++) {
        if (is_worth_it(of, i, what)) {
            facing_seek(&of->facing, block, of->edge_x[i], of->edge_y[i],
                        &across);
            take_edge(of, i, across + 1 < of->count ? across + 1 : 0, out);
        }
    }
    out->width = sqrt(out->width_square);
    out->length = sqrt(out->length_square);
}

bool hull_ferets(hull *of, double *least, double *greatest) {
    if (!facing_find(&of->facing, of->edge_x, of->edge_y, of->count)) {
        return false;
    }
    so_far found = {HUGE_VAL, 0.0, HUGE_VAL, 0.0};
    size_t near = 0;
    size_t far = 0;
    reach_hull_blocks(of);
    for (size_t k = 0; k < of->facing.blocks; k++) {
        near = of->near[k] < of->near[near] ? k : near;
        far = of->far[k] > of->far[far] ? k : far;
    }
    look(of, near, &found);
    look(of, far, &found);
    for (size_t k = 0; k < of->facing.blocks; k++) {
        look(of, k, &found);
    }
    *least = found.width;
    *greatest = found.length;
    return true;
}
