/*
 * hull.c - convex hull and rotating calipers.
 *
 * Points in order round an inner point need no sort. A point where they turn
 * right is no corner; all such are dropped at once, without a branch, again
 * and again while that pays. Then nearly always every turn is left, which
 * makes the rest the hull, or else Graham's scan (1972) finishes. Other points
 * take the monotone chain (Andrew 1979).
 *
 * The least width is attained with one tangent along an edge of the hull, the
 * greatest between two corners (Shamos 1978). The corner furthest from an edge
 * is the one where the edges turn beyond the opposite direction, and every
 * pair of corners that parallel tangents can meet is an end of an edge with
 * the corner furthest from it.
 */
#include "geometry/hull.h"

#include "geometry/opposite.h"
#include "geometry/orient.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

void hull_free(hull *of) {
    free(of->points);
    free(of->edge_x);
    free(of->across);
    *of = (hull){0};
}

/* Points twice, and once more the first. */
static bool reserve(hull *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    hull_free(in);
    in->points = malloc((2 * count + 1) * sizeof *in->points);
    in->edge_x = malloc(2 * count * sizeof *in->edge_x);
    in->across = malloc(count * sizeof *in->across);
    if (in->points == NULL || in->edge_x == NULL || in->across == NULL) {
        hull_free(in);
        return false;
    }
    in->edge_y = in->edge_x + count;
    in->capacity = count;
    return true;
}

static bool turns_left(const hull_point *a, const hull_point *b,
                       const hull_point *c) {
    return orient_sign(a->x, a->y, b->x, b->y, c->x, c->y) > 0;
}

/* Lowest, then leftmost: a corner for certain. */
static size_t lowest_point(const hull_point *points, size_t count) {
    size_t best = 0;
    for (size_t i = 1; i < count; i++) {
        if (points[i].y < points[best].y ||
            (points[i].y <= points[best].y && points[i].x < points[best].x)) {
            best = i;
        }
    }
    return best;
}

static size_t push_corner(hull_point *out, size_t held, size_t floor,
                          hull_point next) {
    while (held > floor && !turns_left(&out[held - 2], &out[held - 1], &next)) {
        held--;
    }
    out[held] = next;
    return held + 1;
}

/* Drops every point where the closed way turns right for certain; returns how
 * many are kept. *lefts: at how many of those before it turned left for
 * certain. */
static size_t drop_right_turns(hull_point *points, size_t count,
                               size_t *lefts) {
    assert(count > 0);
    hull_point first = points[0];
    hull_point before = points[count - 1];
    hull_point here = first;
    size_t kept = 0;
    *lefts = 0;
    for (size_t i = 0; i < count; i++) {
        hull_point next = i + 1 < count ? points[i + 1] : first;
        double error;
        double turn = orient_about(before.x, before.y, here.x, here.y, next.x,
                                   next.y, &error);
        points[kept] = here;
        kept += turn >= -error;
        *lefts += turn > error;
        before = here;
        here = next;
    }
    return kept;
}

/* Graham's scan of points in order round an inner one. */
static size_t scan(const hull_point *points, size_t count, hull_point *out) {
    assert(count > 0); /* the lowest point never turns right */
    size_t start = lowest_point(points, count);
    size_t held = 0;
    for (size_t k = 0; k <= count; k++) {
        size_t i = start + k < count ? start + k : start + k - count;
        held = push_corner(out, held, 1, points[i]);
    }
    return held - 1; /* the start came twice */
}

bool hull_of_star(hull *out, const double *x, const double *y, size_t count,
                  bool left) {
    assert(count >= 3);
    if (!reserve(out, count)) {
        return false;
    }
    hull_point *points = out->points;
    for (size_t k = 0; k < count; k++) {
        size_t i = left ? k : count - 1 - k;
        points[k] = (hull_point){x[i], y[i]};
    }
    size_t before;
    size_t kept = count;
    size_t lefts;
    out->turns = 0;
    do {
        before = kept;
        out->turns += before;
        kept = drop_right_turns(points, before, &lefts);
    } while (before - kept > before / 8);
    if (lefts == before) {
        out->corners = points;
        out->count = kept;
    } else {
        out->corners = points + kept;
        out->count = scan(points, kept, points + kept);
    }
    return true;
}

static int by_x(const void *left, const void *right) {
    const hull_point *a = left;
    const hull_point *b = right;
    int order = (a->x > b->x) - (a->x < b->x);
    return order != 0 ? order : (a->y > b->y) - (a->y < b->y);
}

bool hull_find(hull *out, const double *x, const double *y, size_t count) {
    if (!reserve(out, count)) {
        return false;
    }
    hull_point *sorted = out->points;
    for (size_t i = 0; i < count; i++) {
        sorted[i] = (hull_point){x[i], y[i]};
    }
    qsort(sorted, count, sizeof *sorted, by_x);
    hull_point *corners = sorted + count;
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        held = push_corner(corners, held, 1, sorted[i]);
    }
    size_t floor = held;
    for (size_t i = count - 1; i-- > 0;) {
        held = push_corner(corners, held, floor, sorted[i]);
    }
    out->corners = corners;
    out->count = held - 1; /* the first came twice */
    return true;
}

double hull_area(const hull *of) {
    double twice = 0.0;
    for (size_t i = 0, before = of->count - 1; i < of->count; before = i++) {
        const hull_point *a = &of->corners[before];
        const hull_point *b = &of->corners[i];
        twice += a->x * b->y - b->x * a->y;
    }
    return 0.5 * twice;
}

static double square_distance(const hull_point *a, const hull_point *b) {
    double dx = a->x - b->x;
    double dy = a->y - b->y;
    return dx * dx + dy * dy;
}

void hull_ferets(hull *of, double *least, double *greatest) {
    const hull_point *corners = of->corners;
    size_t count = of->count;
    for (size_t i = 0; i < count; i++) {
        const hull_point *next = &corners[i + 1 < count ? i + 1 : 0];
        of->edge_x[i] = next->x - corners[i].x;
        of->edge_y[i] = next->y - corners[i].y;
    }
    opposite_find(of->edge_x, of->edge_y, count, of->across);
    double width = HUGE_VAL; /* squares of both */
    double length = 0.0;
    for (size_t i = 0; i < count; i++) {
        size_t j = of->across[i];
        const hull_point *far = &corners[j + 1 < count ? j + 1 : 0];
        const hull_point *a = &corners[i];
        const hull_point *b = &corners[i + 1 < count ? i + 1 : 0];
        double dx = of->edge_x[i];
        double dy = of->edge_y[i];
        double height = dx * (far->y - a->y) - dy * (far->x - a->x);
        double square = height * (height / (dx * dx + dy * dy));
        width = square < width ? square : width;
        square = square_distance(a, far);
        length = square > length ? square : length;
        square = square_distance(b, far);
        length = square > length ? square : length;
    }
    *least = sqrt(width);
    *greatest = sqrt(length);
}
