/*
 * hull.c - convex hull and rotating calipers.
 *
 * Star-shaped contours are already in order round an inner point, so Graham's
 * scan (1972) needs no sort; others take the monotone chain (Andrew 1979).
 * The least width is attained with one tangent along an edge of the hull, the
 * greatest between two corners (Shamos 1978): one turn of the calipers visits
 * every edge with its furthest corner and every antipodal pair.
 */
#include "geometry/hull.h"

#include "geometry/orient.h"

#include <math.h>
#include <stdlib.h>

static bool turns_left(const hull_point *a, const hull_point *b,
                       const hull_point *c) {
    return orient_sign(a->x, a->y, b->x, b->y, c->x, c->y) > 0;
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

static bool goes_left(const double *x, const double *y, size_t count) {
    double twice = 0.0;
    for (size_t i = 0, before = count - 1; i < count; before = i++) {
        twice += x[before] * y[i] - x[i] * y[before];
    }
    return twice > 0.0;
}

static size_t push_corner(hull_point *out, size_t held, size_t floor,
                          hull_point next) {
    while (held > floor && !turns_left(&out[held - 2], &out[held - 1], &next)) {
        held--;
    }
    out[held] = next;
    return held + 1;
}

static size_t hull_of_star(const double *x, const double *y, size_t count,
                           hull_point *out) {
    size_t start = lowest_point(x, y, count);
    bool forward = goes_left(x, y, count);
    size_t held = 0;
    for (size_t k = 0; k <= count; k++) {
        size_t i =
            forward ? (start + k) % count : (start + count - k % count) % count;
        held = push_corner(out, held, 1, (hull_point){x[i], y[i]});
    }
    return held - 1; /* the start came twice */
}

static int by_x(const void *left, const void *right) {
    const hull_point *a = left;
    const hull_point *b = right;
    int order = (a->x > b->x) - (a->x < b->x);
    return order != 0 ? order : (a->y > b->y) - (a->y < b->y);
}

/* Sorts into the upper half of out and builds the hull in the lower: the
 * corners found never overtake the points still to be read. */
static size_t hull_by_sorting(const double *x, const double *y, size_t count,
                              hull_point *out) {
    hull_point *sorted = out + 2 * count;
    for (size_t i = 0; i < count; i++) {
        sorted[i] = (hull_point){x[i], y[i]};
    }
    qsort(sorted, count, sizeof *sorted, by_x);
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        held = push_corner(out, held, 1, sorted[i]);
    }
    size_t floor = held;
    for (size_t i = count - 1; i-- > 0;) {
        held = push_corner(out, held, floor, sorted[i]);
    }
    return held - 1;
}

size_t hull_of(const double *x, const double *y, size_t count, bool star,
               hull_point *out) {
    return star ? hull_of_star(x, y, count, out)
                : hull_by_sorting(x, y, count, out);
}

double hull_area(const hull_point *corners, size_t count) {
    double twice = 0.0;
    for (size_t i = 0, before = count - 1; i < count; before = i++) {
        twice +=
            corners[before].x * corners[i].y - corners[i].x * corners[before].y;
    }
    return 0.5 * twice;
}

static double square_distance(const hull_point *a, const hull_point *b) {
    double dx = a->x - b->x;
    double dy = a->y - b->y;
    return dx * dx + dy * dy;
}

/* Height of corner p over the edge a -> b, times the edge's length. */
static double height(const hull_point *a, const hull_point *b,
                     const hull_point *p) {
    return (b->x - a->x) * (p->y - a->y) - (b->y - a->y) * (p->x - a->x);
}

void hull_ferets(const hull_point *corners, size_t count, double *least,
                 double *greatest) {
    double width = HUGE_VAL;
    double square = 0.0;
    size_t far = 1;
    for (size_t i = 0; i < count; i++) {
        const hull_point *a = &corners[i];
        const hull_point *b = &corners[(i + 1) % count];
        double top = height(a, b, &corners[far]);
        for (;;) {
            const hull_point *next = &corners[(far + 1) % count];
            square = fmax(square, fmax(square_distance(a, &corners[far]),
                                       square_distance(b, &corners[far])));
            double above = height(a, b, next);
            if (above < top) {
                break;
            }
            far = (far + 1) % count;
            square = fmax(square, square_distance(a, next));
            if (above <= top) {
                square = fmax(square, square_distance(b, next));
                break; /* a parallel edge: both its corners are seen */
            }
            top = above;
        }
        width = fmin(width, top / sqrt(square_distance(a, b)));
    }
    *least = width;
    *greatest = sqrt(square);
}
