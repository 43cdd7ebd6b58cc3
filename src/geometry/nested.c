/*
 * nested.c - whether one closed contour lies within another, told in one turn.
 *
 * Around a point that sees all of both, each ray meets either once. Between the
 * directions of two corners that follow each other, of whichever contour, both
 * are straight; 1 / distance is then a sinus of the angle for either, so that
 * what lies nearer at both ends, less than half a turn apart, does between.
 */
#include "geometry/nested.h"

#include "geometry/polygon.h"

typedef struct point {
    double x;
    double y;
} point;

static point corner(const ring *of, size_t i) {
    size_t k = i < of->count ? i : i - of->count;
    return (point){of->x[k], of->y[k]};
}

/* Above 0 where b is counter-clockwise from a, by less than half a turn. */
static double turn(point a, point b) {
    return a.x * b.y - a.y * b.x;
}

/* Above 0 where it lies left of the edge from a to b. */
static double side(point a, point b, point of) {
    return turn((point){b.x - a.x, b.y - a.y}, (point){of.x - a.x, of.y - a.y});
}

static bool sees_all(const ring *of) {
    return polygon_is_star(of->x, of->y, of->count, true, 0.0, 0.0);
}

/* The edge in whose directions a point lies. */
static size_t edge_towards(const ring *of, point at) {
    size_t i = 0;
    while (i + 1 < of->count && !(turn(corner(of, i), at) >= 0.0 &&
                                  turn(at, corner(of, i + 1)) > 0.0)) {
        i++;
    }
    return i;
}

bool nested_in(const ring *inner, const ring *outer) {
    if (!sees_all(inner) || !sees_all(outer)) {
        return false;
    }
    size_t i = 0;
    size_t first = edge_towards(outer, corner(inner, 0));
    size_t j = first;
    bool within =
        side(corner(outer, j), corner(outer, j + 1), corner(inner, 0)) >= 0.0;
    while (within && (i < inner->count || j - first < outer->count)) {
        point a = corner(inner, i % inner->count);
        point a_next = corner(inner, i % inner->count + 1);
        point b = corner(outer, j % outer->count);
        point b_next = corner(outer, j % outer->count + 1);
        if (turn(a_next, b_next) > 0.0) {
            within = side(b, b_next, a_next) >= 0.0;
            i++;
        } else {
            within = side(a, a_next, b_next) <= 0.0;
            j++;
        }
    }
    return within;
}
