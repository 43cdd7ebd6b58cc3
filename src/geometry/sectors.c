/*
 * sectors.c - directions from a centre, and stretches of them.
 *
 * Sectors are kept between bearings -2 and 2 and cut where they pass from one
 * to the other, so that they sort like numbers.
 */
#include "geometry/sectors.h"

#include "base/constants.h"

#include <stdlib.h>

/* Sectors no further apart than this, about 1e-10 degrees, are parted by
 * rounding only. */
#define SAME_BEARING 1e-12

void sectors_free(sectors *of) {
    free(of->list);
}

void bearing_point(double bearing, double *x, double *y) {
    double share = bearing;
    if (bearing > 1.0) {
        share = 2.0 - bearing;
    } else if (bearing < -1.0) {
        share = -2.0 - bearing;
    }
    double ahead = 1.0 - fabs(share);
    *x = fabs(bearing) > 1.0 ? -ahead : ahead;
    *y = share;
}

double bearing_deg(double bearing) {
    if (fabs(bearing) >= 2.0) {
        return copysign(180.0, bearing);
    }
    double x;
    double y;
    bearing_point(bearing, &x, &y);
    return atan2(y, x) * DEG_PER_RAD;
}

static int by_from(const void *left, const void *right) {
    const sector *a = left;
    const sector *b = right;
    return (a->from > b->from) - (a->from < b->from);
}

void sectors_merge(sectors *of) {
    if (of->count == 0) {
        return;
    }
    qsort(of->list, of->count, sizeof *of->list, by_from);
    size_t last = 0;
    for (size_t i = 1; i < of->count; i++) {
        sector *held = &of->list[last];
        if (of->list[i].from <= held->to + SAME_BEARING) {
            held->to = fmax(held->to, of->list[i].to);
        } else {
            of->list[++last] = of->list[i];
        }
    }
    of->count = last + 1;
}

/* What overlaps is merged first: folds need no more room than what is seen. */
static bool make_room(sectors *in) {
    sectors_merge(in);
    if (2 * in->count < in->capacity) {
        return true;
    }
    size_t capacity = in->capacity < 64 ? 64 : 2 * in->capacity;
    sector *grown = realloc(in->list, capacity * sizeof *grown);
    if (grown == NULL) {
        return false;
    }
    in->list = grown;
    in->capacity = capacity;
    return true;
}

static bool add_one(sectors *to, double from, double until) {
    if (from >= until) {
        return true;
    }
    if (to->count == to->capacity && !make_room(to)) {
        return false;
    }
    to->list[to->count++] = (sector){from, until};
    return true;
}

bool sectors_add(sectors *to, double ax, double ay, double bx, double by) {
    bool left = ax * by - ay * bx >= 0.0;
    double from_y = left ? ay : by;
    double to_y = left ? by : ay;
    double from = left ? bearing_of(ax, ay) : bearing_of(bx, by);
    double until = left ? bearing_of(bx, by) : bearing_of(ax, ay);
    if (bearing_wraps(from_y, to_y)) {
        return add_one(to, from, 2.0) && add_one(to, -2.0, until);
    }
    return add_one(to, from, until);
}

static double width_deg(const sector *of) {
    return bearing_deg(of->to) - bearing_deg(of->from);
}

static sectors_extent all_round(void) {
    return (sectors_extent){360.0, 360.0, 0.0, 1};
}

sectors_extent sectors_measure(const sectors *of) {
    sectors_extent out = {.widest_from_deg = UNKNOWN, .count = of->count};
    if (of->count == 0) {
        return out;
    }
    const sector *first = &of->list[0];
    const sector *last = &of->list[of->count - 1];
    bool joined =
        first->from <= -2.0 + SAME_BEARING && last->to >= 2.0 - SAME_BEARING;
    if (joined && first == last) {
        return all_round();
    }
    for (size_t i = 0; i < of->count; i++) {
        const sector *one = &of->list[i];
        double width = width_deg(one);
        out.total_deg += width;
        width += joined && one == last ? width_deg(first) : 0.0;
        /* The first in any case: one of some last bits may have no width. */
        if (i == 0 || width > out.widest_deg) {
            out.widest_deg = width;
            out.widest_from_deg = bearing_deg(one->from);
        }
    }
    out.count -= joined;
    return out;
}
