/*
 * hull.c - convex hull and rotating calipers.
 *
 * Points in order round an inner point need no sort. Where every turn is left
 * for certain they are the hull. Else a point where they do not turn left is
 * no corner: it is dropped, and its neighbours are looked at again. What is
 * left goes round the inner point as before: both edges at the point had that
 * on their left, so the edge that takes their place has too. Other points take
 * the monotone chain (Andrew 1979).
 *
 * The least width is attained with one tangent along an edge of the hull, the
 * greatest between two corners (Shamos 1978). The corner furthest from an edge
 * is the one where the edges turn beyond the opposite direction, and every
 * pair of corners that parallel tangents can meet is an end of an edge with
 * the corner furthest from it. Half a turn of a line meets all edges, in front
 * or across.
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

/* Relative: bounds may be wrong by roundings. */
#define HAIR 1e-12

void hull_free(hull *of) {
    free(of->point_x);
    free(of->before);
    facing_free(&of->facing);
    *of = (hull){0};
}

/* Points twice: sorted, and the corners. */
static bool reserve(hull *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    size_t points = 2 * (count + 2);
    double *values = malloc(2 * points * sizeof *values);
    uint32_t *links = malloc(4 * count * sizeof *links);
    if (values == NULL || links == NULL) {
        free(values);
        free(links);
        return false;
    }
    free(in->point_x);
    free(in->before);
    in->point_x = values;
    in->point_y = values + points;
    in->before = links;
    in->after = links + count;
    in->doubts = links + 2 * count;
    in->capacity = count;
    return true;
}

/* Closes corners of its own: there is room. */
static void close_corners(double *x, double *y, size_t count) {
    for (size_t i = 0; i < 2; i++) {
        x[count + i] = x[i];
        y[count + i] = y[i];
    }
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

static size_t push_corner(double *x, double *y, size_t held, size_t floor,
                          double nx, double ny) {
    while (held > floor && !turns_left(x, y, held - 2, nx, ny)) {
        held--;
    }
    x[held] = nx;
    y[held] = ny;
    return held + 1;
}

/* Twice the turn at b, less its error. */
LANES_PART double sure_turn(double ax, double ay, double bx, double by,
                            double cx, double cy) {
    double plus = (bx - ax) * (cy - by);
    double minus = (by - ay) * (cx - bx);
    return plus - minus - ORIENT_BOUND * (fabs(plus) + fabs(minus));
}

static inline double sure_turn_after(const double *x, const double *y,
                                     size_t i) {
    return sure_turn(x[i], y[i], x[i + 1], y[i + 1], x[i + 2], y[i + 2]);
}

/* Whether all points turn left for certain. */
LANES_TWICE
static bool turn_left(const double *x, const double *y, size_t count) {
    double least[LANES] = {HUGE_VAL, HUGE_VAL, HUGE_VAL, HUGE_VAL};
    size_t i = 0;
    for (; i + LANES <= count; i += LANES) {
        for (size_t k = i; k < i + LANES; k++) {
            least[k - i] = lesser(
                sure_turn(x[k], y[k], x[k + 1], y[k + 1], x[k + 2], y[k + 2]),
                least[k - i]);
        }
    }
    for (; i < count; i++) {
        least[0] = lesser(sure_turn_after(x, y, i), least[0]);
    }
    return lanes_least(least) > 0.0;
}

/* Links all points, and lists those that may not turn left; returns how many
 * there are. */
static size_t find_doubts(hull *in, const double *x, const double *y,
                          size_t count) {
    size_t found = 0;
    uint32_t before = (uint32_t)count - 2;
    uint32_t i = (uint32_t)count - 1;
    for (uint32_t after = 0; after < count; after++) {
        in->before[i] = before;
        in->after[i] = after;
        in->doubts[found] = i;
        found += !(sure_turn_after(x, y, before) > 0.0);
        before = i;
        i = after;
    }
    return found;
}

/* A point that is dropped is linked to itself. Each one dropped adds two to
 * look at and is one less, so there are never more than twice the points. */
static void drop_inner(hull *in, const double *x, const double *y,
                       size_t count) {
    size_t held = find_doubts(in, x, y, count);
    in->turns += count;
    while (held > 0) {
        uint32_t i = in->doubts[--held];
        uint32_t before = in->before[i];
        uint32_t after = in->after[i];
        in->turns++;
        if (after == i || orient_sign(x[before], y[before], x[i], y[i],
                                      x[after], y[after]) > 0) {
            continue;
        }
        in->after[before] = after;
        in->before[after] = before;
        in->before[i] = i;
        in->after[i] = i;
        in->doubts[held++] = before;
        in->doubts[held++] = after;
    }
}

static size_t keep_corners(hull *in, const double *x, const double *y,
                           size_t count) {
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        in->point_x[kept] = x[i];
        in->point_y[kept] = y[i];
        kept += in->after[i] != i;
    }
    return kept;
}

bool hull_of_star(hull *out, const double *x, const double *y, size_t count) {
    assert(count >= 3);
    if (!reserve(out, count)) {
        return false;
    }
    out->turns = count;
    out->whole = turn_left(x, y, count);
    if (out->whole) {
        take_corners(out, x, y, count);
    } else {
        drop_inner(out, x, y, count);
        size_t kept = keep_corners(out, x, y, count);
        close_corners(out->point_x, out->point_y, kept);
        take_corners(out, out->point_x, out->point_y, kept);
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
    double *corner_y = out->point_y + count + 2;
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
    held--; /* the first came twice */
    close_corners(corner_x, corner_y, held);
    take_corners(out, corner_x, corner_y, held);
    out->whole = out->count == count;
    return true;
}

double hull_area(const hull *of) {
    double twice = 0.0;
    for (size_t i = 0, before = of->count - 1; i < of->count; before = i++) {
        twice += of->x[before] * of->y[i] - of->y[before] * of->x[i];
    }
    return 0.5 * twice;
}

/* ---------------------------------------------------------------- calipers */

static inline double square(double x, double y) {
    return x * x + y * y;
}

/* Of edges, in lanes: squares of how near their lines are to the origin, how
 * far their starts are and how long they are. */
typedef struct reach {
    double near[LANES];
    double far[LANES];
    double longest[LANES];
} reach;

LANES_PART void add_reach(reach *to, size_t lane, const double *x,
                          const double *y, size_t i) {
    double dx = x[i + 1] - x[i];
    double dy = y[i + 1] - y[i];
    double cross = x[i] * dy - y[i] * dx;
    double length = square(dx, dy);
    to->near[lane] = lesser(cross * cross / length, to->near[lane]);
    to->far[lane] = larger(square(x[i], y[i]), to->far[lane]);
    to->longest[lane] = larger(length, to->longest[lane]);
}

/* The edges of a block and the first of the next: a tangent turns from one to
 * the next between them. Distances are left squared. `longest` goes on from
 * block to block. */
LANES_PART void reach_block(hull *of, size_t block, reach *is) {
    size_t first = block * FACING_WIDTH;
    const double *x = of->x + first;
    const double *y = of->y + first;
    for (size_t lane = 0; lane < LANES; lane++) {
        is->near[lane] = HUGE_VAL;
        is->far[lane] = 0.0;
    }
    if (first + FACING_WIDTH <= of->count) {
        for (size_t i = 0; i <= FACING_WIDTH; i += LANES) {
            for (size_t lane = 0; lane < LANES; lane++) {
                add_reach(is, lane, x, y, i + lane);
            }
        }
    } else {
        for (size_t i = 0; first + i <= of->count; i++) {
            add_reach(is, 0, x, y, i);
        }
    }
    of->facing.x[block] = x[1] - x[0];
    of->facing.y[block] = y[1] - y[0];
    of->facing.near[block] = lanes_least(is->near);
    of->facing.far[block] = lanes_most(is->far);
}

LANES_PART void take_roots(double *of, size_t count) {
    size_t i = 0;
    for (; i + LANES <= count; i += LANES) {
        for (size_t lane = 0; lane < LANES; lane++) {
            of[i + lane] = sqrt(of[i + lane]);
        }
    }
    for (; i < count; i++) {
        of[i] = sqrt(of[i]);
    }
}

LANES_TWICE
static void reach_hull_blocks(hull *of) {
    reach is = {.longest = {0.0}};
    for (size_t k = 0; k < of->facing.blocks; k++) {
        reach_block(of, k, &is);
    }
    take_roots(of->facing.near, of->facing.blocks);
    take_roots(of->facing.far, of->facing.blocks);
    of->facing.longest = sqrt(lanes_most(is.longest));
}

/* Squares of the extremes so far. */
typedef struct so_far {
    double width;
    double length;
} so_far;

/* Edge i and the corner across. */
static inline void take_edge(const double *x, const double *y, size_t i,
                             size_t across, so_far *out) {
    double ax = x[across] - x[i];
    double ay = y[across] - y[i];
    double bx = x[across] - x[i + 1];
    double by = y[across] - y[i + 1];
    double dx = x[i + 1] - x[i];
    double dy = y[i + 1] - y[i];
    double cross = dx * ay - dy * ax;
    out->width = lesser(cross * (cross / square(dx, dy)), out->width);
    out->length = larger(larger(square(ax, ay), square(bx, by)), out->length);
}

/* The turn from one edge to another. */
static inline double turn(const double *x, const double *y, size_t a,
                          size_t b) {
    return (x[a + 1] - x[a]) * (y[b + 1] - y[b]) -
           (y[a + 1] - y[a]) * (x[b + 1] - x[b]);
}

/* A line turns, in front along edge i or beyond it, across along the opposite
 * of edge j or beyond it. */
static void walk(const hull *of, const facing_span *over, so_far *out) {
    const double *x = of->x;
    const double *y = of->y;
    const size_t front_last = over->front_last;
    const size_t back_last = over->back_last;
    size_t i = over->front;
    size_t j = over->back;
    bool front = over->from_front;
    if (front) {
        while (j + 1 < of->count && turn(x, y, i, j + 1) >= 0.0) {
            j++;
        }
    } else {
        while (i < front_last && turn(x, y, j, i + 1) >= 0.0) {
            i++;
        }
    }
    so_far now = *out;
    do {
        /* The ends mostly take turns: branches, which are foretold then, do not
         * wait for the turn as an index would. */
        if (front) {
            take_edge(x, y, i, j + 1, &now);
        } else {
            take_edge(x, y, j, i + 1, &now);
        }
        front = j == back_last ||
                (i < front_last && turn(x, y, i + 1, j + 1) <= 0.0);
        if (front) {
            i++;
        } else {
            j++;
        }
    } while (!facing_is_over(over, i, j));
    *out = now;
}

/* Nearest and furthest are good to start with: then most others are out. */
static void walk_over_pairs(hull *of, so_far *out) {
    facing_span over = facing_nearest(&of->facing);
    walk(of, &over, out);
    over = facing_furthest(&of->facing);
    walk(of, &over, out);
    size_t at = 0;
    while (facing_next(&of->facing, sqrt(out->width) * (1.0 + HAIR),
                       sqrt(out->length) * (1.0 - HAIR), &at, &over)) {
        walk(of, &over, out);
    }
}

bool hull_ferets(hull *of, double *least, double *greatest) {
    if (!facing_reserve(&of->facing, of->count)) {
        return false;
    }
    reach_hull_blocks(of);
    so_far found = {HUGE_VAL, 0.0};
    if (facing_match(&of->facing)) {
        walk_over_pairs(of, &found);
    } else {
        facing_span all = facing_whole(of->count);
        walk(of, &all, &found);
    }
    *least = sqrt(found.width);
    *greatest = sqrt(found.length);
    return true;
}
