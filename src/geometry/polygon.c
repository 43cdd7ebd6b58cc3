/*
 * polygon.c - area, perimeter and centre of gravity of a closed contour.
 *
 * Area by the trapezoid (shoelace) sum and centre of gravity by its first
 * moments (handbook formulas), on coordinates relative to a point of the
 * contour, so that distance from the origin costs no digits.
 *
 * Sums and counts over all edges are kept in lanes, edge i in lane i modulo
 * LANES: then no addition waits for the one before, compilers use vector
 * instructions, and all of them, whatever their vectors, give the same bits.
 * Where triangles take turns in sign, lanes grow to what only their total
 * takes back, and rounding with them: they are added up every BLOCK edges.
 */
#include "geometry/polygon.h"

#include "geometry/lanes.h"
#include "geometry/orient.h"

#include <float.h>
#include <math.h>

#define BLOCK ((size_t)64)

static double total(const double lane[LANES]) {
    return (lane[0] + lane[1]) + (lane[2] + lane[3]);
}

typedef struct sum_lanes {
    double twice_sum; /* of the blocks before, as of the moments */
    double moment_x_sum;
    double moment_y_sum;
    double twice[LANES];
    double moment_x[LANES];
    double moment_y[LANES];
    double length[LANES];
    double step[LANES]; /* least |dx| + |dy|: 0 for a repeat, and only then */
    double extent[LANES];
    double nearest[LANES];
    double longest[LANES];
} sum_lanes;

/* The length of the edge b -> a, and what is asked of its end a. */
LANES_PART void add_step(sum_lanes *to, size_t lane, double ax, double ay,
                         double bx, double by) {
    double dx = ax - bx;
    double dy = ay - by;
    double length = sqrt(dx * dx + dy * dy);
    double far = larger(fabs(ax), fabs(ay));
    to->length[lane] += length;
    to->longest[lane] = larger(length, to->longest[lane]);
    to->step[lane] = lesser(fabs(dx) + fabs(dy), to->step[lane]);
    to->extent[lane] = larger(far, to->extent[lane]);
    to->nearest[lane] = lesser(far, to->nearest[lane]);
}

/* The edge that ends in point i, with the triangle it makes with point 0. */
LANES_PART void add_edge(sum_lanes *to, size_t lane, const double *x,
                         const double *y, size_t i, double *relative_x,
                         double *relative_y) {
    double ax = x[i - 1] - x[0];
    double ay = y[i - 1] - y[0];
    double bx = x[i] - x[0];
    double by = y[i] - y[0];
    relative_x[i] = bx;
    relative_y[i] = by;
    double cross = ax * by - ay * bx;
    to->twice[lane] += cross;
    to->moment_x[lane] += cross * (ax + bx);
    to->moment_y[lane] += cross * (ay + by);
    add_step(to, lane, x[i], y[i], x[i - 1], y[i - 1]);
}

LANES_PART void end_block(sum_lanes *of) {
    of->twice_sum += total(of->twice);
    of->moment_x_sum += total(of->moment_x);
    of->moment_y_sum += total(of->moment_y);
    for (size_t lane = 0; lane < LANES; lane++) {
        of->twice[lane] = 0.0;
        of->moment_x[lane] = 0.0;
        of->moment_y[lane] = 0.0;
    }
}

static polygon_sums sums_of(const sum_lanes *of) {
    double twice = of->twice_sum;
    polygon_sums out = {
        .twice_area = twice,
        .centre_x = of->moment_x_sum / (3.0 * twice),
        .centre_y = of->moment_y_sum / (3.0 * twice),
        .perimeter = total(of->length),
        .least_step = HUGE_VAL,
        .nearest = HUGE_VAL,
    };
    for (size_t lane = 0; lane < LANES; lane++) {
        out.least_step = lesser(of->step[lane], out.least_step);
        out.extent = larger(of->extent[lane], out.extent);
        out.nearest = lesser(of->nearest[lane], out.nearest);
        out.longest = larger(of->longest[lane], out.longest);
    }
    return out;
}

LANES_TWICE
polygon_sums polygon_sum(const double *restrict x, const double *restrict y,
                         size_t count, double *restrict relative_x,
                         double *restrict relative_y) {
    sum_lanes lanes = {0};
    for (size_t lane = 0; lane < LANES; lane++) {
        lanes.step[lane] = HUGE_VAL;
        lanes.nearest[lane] = HUGE_VAL;
    }
    relative_x[0] = 0.0;
    relative_y[0] = 0.0;
    size_t i = 1;
    while (i + LANES <= count) {
        size_t end = count - i < BLOCK ? count : i + BLOCK;
        for (; i + LANES <= end; i += LANES) {
            for (size_t lane = 0; lane < LANES; lane++) {
                add_edge(&lanes, lane, x, y, i + lane, relative_x, relative_y);
            }
        }
        end_block(&lanes);
    }
    for (size_t lane = 0; i < count; i++, lane++) {
        add_edge(&lanes, lane, x, y, i, relative_x, relative_y);
    }
    end_block(&lanes);
    /* The closing edge: point 0 is the origin, so it has no triangle. */
    add_step(&lanes, 0, x[0], y[0], x[count - 1], y[count - 1]);
    return sums_of(&lanes);
}

bool polygon_is_flat(const double *x, const double *y, size_t count) {
    for (size_t i = 2; i < count; i++) {
        if (orient_sign(x[0], y[0], x[1], y[1], x[i], y[i]) != 0) {
            return false;
        }
    }
    return true;
}

typedef struct star_lanes {
    double least[LANES]; /* turn less its error, both times a length squared;
 the coordinates are relative to the centre */
    double total[LANES]; /* of the same: not finite where a product is not */
    double level[LANES]; /* 1 for an edge on one side of the centre's level,
                            -1 for one that passes it, added up */
} star_lanes;

/* side: -1 to mirror a contour that turns right. */
LANES_PART void add_turn(star_lanes *to, size_t lane, double side, double ax,
                         double ay, double bx, double by) {
    double plus = ax * by;
    double minus = ay * bx;
    double turn =
        side * (plus - minus) - ORIENT_BOUND * (fabs(plus) + fabs(minus));
    to->least[lane] = lesser(turn, to->least[lane]);
    to->total[lane] += turn;
    to->level[lane] += copysign(1.0, ay) * copysign(1.0, by);
}

/* Turning left by less than half a turn each, an edge that rises through the
 * level of the centre does so on its right and one that falls on its left: two
 * that pass, one full turn. That holds on whichever side a point on the level
 * is counted. Mirrored likewise. */
static bool turns_once(const star_lanes *of, size_t count) {
    double least = HUGE_VAL;
    for (size_t lane = 0; lane < LANES; lane++) {
        least = lesser(of->least[lane], least);
    }
    return least > 0.0 && isfinite(total(of->total)) &&
           total(of->level) > (double)count - 5.0;
}

LANES_TWICE
bool polygon_is_star(const double *x, const double *y, size_t count, bool left,
                     double cx, double cy) {
    double side = left ? 1.0 : -1.0;
    star_lanes lanes = {0};
    for (size_t lane = 0; lane < LANES; lane++) {
        lanes.least[lane] = HUGE_VAL;
    }
    size_t i = 1;
    for (; i + LANES <= count; i += LANES) {
        for (size_t lane = 0; lane < LANES; lane++) {
            size_t at = i + lane;
            add_turn(&lanes, lane, side, x[at - 1] - cx, y[at - 1] - cy,
                     x[at] - cx, y[at] - cy);
        }
    }
    for (; i < count; i++) {
        add_turn(&lanes, 0, side, x[i - 1] - cx, y[i - 1] - cy, x[i] - cx,
                 y[i] - cy);
    }
    add_turn(&lanes, 0, side, x[count - 1] - cx, y[count - 1] - cy, x[0] - cx,
             y[0] - cy);
    return turns_once(&lanes, count);
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
