/*
 * polygon.c - area, perimeter and centre of gravity of a closed contour.
 *
 * Area by the trapezoid (shoelace) sum and centre of gravity by its first
 * moments (handbook formulas), on coordinates relative to a point of the
 * contour, so that distance from the origin costs no digits.
 */
#include "geometry/polygon.h"

#include "geometry/orient.h"

#include <float.h>
#include <math.h>

double polygon_moments(const double *x, const double *y, size_t count,
                       double *centre_x, double *centre_y) {
    double twice = 0.0;
    double mx = 0.0;
    double my = 0.0;
    for (size_t i = 0, before = count - 1; i < count; before = i++) {
        double cross = x[before] * y[i] - x[i] * y[before];
        twice += cross;
        mx += cross * (x[before] + x[i]);
        my += cross * (y[before] + y[i]);
    }
    *centre_x = mx / (3.0 * twice);
    *centre_y = my / (3.0 * twice);
    return twice;
}

double polygon_perimeter(const double *x, const double *y, size_t count) {
    double total = 0.0;
    for (size_t i = 0, before = count - 1; i < count; before = i++) {
        double dx = x[i] - x[before];
        double dy = y[i] - y[before];
        total += sqrt(dx * dx + dy * dy);
    }
    return total;
}

bool polygon_is_flat(const double *x, const double *y, size_t count) {
    for (size_t i = 2; i < count; i++) {
        if (orient_sign(x[0], y[0], x[1], y[1], x[i], y[i]) != 0) {
            return false;
        }
    }
    return true;
}

/* The error bound is that of orient.c: the coordinates are taken relative to
 * the centre first. */
#define BOUND ((3.0 + 8.0 * DBL_EPSILON) * (DBL_EPSILON / 2.0))

bool polygon_is_star(const double *x, const double *y, size_t count, double cx,
                     double cy) {
    size_t left = 0;
    size_t right = 0;
    size_t up = 0; /* edges over the ray from the centre in +x, upward */
    size_t down = 0;
    double ax = x[count - 1] - cx;
    double ay = y[count - 1] - cy;
    for (size_t i = 0; i < count; i++) {
        double bx = x[i] - cx;
        double by = y[i] - cy;
        double plus = ax * by;
        double minus = ay * bx;
        double turn = plus - minus;
        double bound = BOUND * (fabs(plus) + fabs(minus));
        left += turn > bound;
        right += turn < -bound;
        up += ay < 0.0 && by >= 0.0;
        down += ay >= 0.0 && by < 0.0;
        ax = bx;
        ay = by;
    }
    /* Turning left by less than half a turn each, an edge that rises through
     * the level of the centre does so on its right: one such, one full turn.
     * The other way round likewise. */
    return (left == count && up == 1) || (right == count && down == 1);
}

static bool between(double a, double b, double value) {
    return (a <= value && value <= b) || (b <= value && value <= a);
}

bool polygon_holds(const double *x, const double *y, size_t count, double px,
                   double py) {
    bool odd = false;
    for (size_t i = 0, before = count - 1; i < count; before = i++) {
        if (!between(y[before], y[i], py)) {
            continue;
        }
        int side = orient_sign(x[before], y[before], x[i], y[i], px, py);
        if (side == 0 && between(x[before], x[i], px)) {
            return false;
        }
        bool over = y[i] > py;
        odd ^= over != (y[before] > py) && (over ? side > 0 : side < 0);
    }
    return odd;
}
