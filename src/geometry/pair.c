/*
 * pair.c - two closed contours against each other.
 *
 * Both are taken relative to A's centre of gravity, without repeats and
 * counter-clockwise, and turned as the set of B's edges is turned, which
 * changes nothing but directions. First the distances are found, and with them
 * in which directions A is off B; then the areas, in all directions and in
 * those.
 */
#include "geometry/pair.h"

#include "base/constants.h"
#include "base/limits.h"
#include "geometry/apart.h"
#include "geometry/nested.h"
#include "geometry/polygon.h"

#include <math.h>
#include <stdlib.h>

/* A contour relative to A's centre, and the same turned. */
typedef struct outline {
    double *x;
    double *y;
    double *turned_x;
    double *turned_y;
    size_t count;
    size_t capacity;
    double area;
} outline;

struct pair_finder {
    outline a;
    outline b;
    double centre_x;
    double centre_y;
    edge_set edges;
    apart apart;
    sectors off;
    overlay overlay;
    size_t most_looks;
    size_t looked;
};

pair_finder *pair_new(void) {
    return calloc(1, sizeof(pair_finder));
}

void pair_free(pair_finder *finder) {
    if (finder != NULL) {
        free(finder->a.x);
        free(finder->b.x);
        edges_free(&finder->edges);
        apart_free(&finder->apart);
        sectors_free(&finder->off);
        overlay_free(&finder->overlay);
        free(finder);
    }
}

size_t pair_work(const pair_finder *finder) {
    return finder->looked;
}

/* ---------------------------------------------------------------- outlines */

static bool reserve(outline *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    double *values = malloc(4 * count * sizeof *values);
    if (values == NULL) {
        return false;
    }
    free(in->x);
    in->x = values;
    in->y = values + count;
    in->turned_x = values + 2 * count;
    in->turned_y = values + 3 * count;
    in->capacity = count;
    return true;
}

static bool is_repeat(const outline *of, size_t i, size_t j) {
    return !(fabs(of->x[i] - of->x[j]) + fabs(of->y[i] - of->y[j]) > 0.0);
}

/* Relative to a point, without repeats. */
static void copy_distinct(outline *to, const bl_contour *of, double x,
                          double y) {
    size_t count = 0;
    for (size_t i = 0; i < of->count; i++) {
        to->x[count] = of->x_mm[i] - x;
        to->y[count] = of->y_mm[i] - y;
        count += count == 0 || !is_repeat(to, count, count - 1);
    }
    while (count > 1 && is_repeat(to, 0, count - 1)) {
        count--;
    }
    to->count = count;
}

static void swap(double *one, double *other) {
    double kept = *one;
    *one = *other;
    *other = kept;
}

static polygon_sums measure(outline *of) {
    polygon_sums sums =
        polygon_sum(of->x, of->y, of->count, of->turned_x, of->turned_y);
    of->area = 0.5 * fabs(sums.twice_area);
    for (size_t i = 0; sums.twice_area < 0.0 && i < of->count / 2; i++) {
        swap(&of->x[i], &of->x[of->count - 1 - i]);
        swap(&of->y[i], &of->y[of->count - 1 - i]);
    }
    return sums;
}

/* A first about its own first point, to find its centre. */
static bool take(pair_finder *in, const bl_contour *a, const bl_contour *b) {
    if (!reserve(&in->a, a->count) || !reserve(&in->b, b->count)) {
        return false;
    }
    copy_distinct(&in->a, a, a->x_mm[0], a->y_mm[0]);
    polygon_sums sums = polygon_sum(in->a.x, in->a.y, in->a.count,
                                    in->a.turned_x, in->a.turned_y);
    in->centre_x = a->x_mm[0] + sums.centre_x;
    in->centre_y = a->y_mm[0] + sums.centre_y;
    copy_distinct(&in->a, a, in->centre_x, in->centre_y);
    copy_distinct(&in->b, b, in->centre_x, in->centre_y);
    (void)measure(&in->a);
    (void)measure(&in->b);
    return true;
}

/* Turns both as the edges of one are turned. */
static bool load(pair_finder *in, const outline *edges_of) {
    if (!edges_load(&in->edges, edges_of->x, edges_of->y, edges_of->count)) {
        return false;
    }
    edges_turn(&in->edges, in->a.x, in->a.y, in->a.count, in->a.turned_x,
               in->a.turned_y);
    edges_turn(&in->edges, in->b.x, in->b.y, in->b.count, in->b.turned_x,
               in->b.turned_y);
    return true;
}

static ring turned(const outline *of) {
    return (ring){of->turned_x, of->turned_y, of->count};
}

/* --------------------------------------------------------------- distances */

static double in_circle(double deg) {
    double around = deg < 0.0 ? deg + 360.0 : deg;
    return around >= 360.0 ? around - 360.0 : around;
}

static pair_reach unknown_reach(void) {
    return (pair_reach){UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN};
}

static pair_reach reach_of(const pair_finder *in, const apart_place *of) {
    pair_reach out = unknown_reach();
    out.distance_mm = of->distance;
    if (of->found) {
        double x = of->x;
        double y = of->y;
        edges_turn_back(&in->edges, &x, &y);
        out.x_mm = x + in->centre_x;
        out.y_mm = y + in->centre_y;
        out.direction_deg = in_circle(atan2(y, x) * DEG_PER_RAD);
    }
    return out;
}

static void tell_arcs(pair_finder *in, pair_measures *out) {
    sectors_merge(&in->off);
    sectors_extent all = sectors_measure(&in->off);
    double turn = atan2(-in->edges.turn_y, in->edges.turn_x) * DEG_PER_RAD;
    out->arcs = all.count;
    out->arc_deg = all.total_deg;
    out->widest_arc_deg = all.widest_deg;
    out->widest_from_deg =
        all.widest_deg < 360.0 ? in_circle(all.widest_from_deg + turn) : 0.0;
}

/* B's edges are loaded. */
static bool find_gap(pair_finder *in, unsigned parts, double tolerance_mm,
                     pair_measures *out) {
    ring a = turned(&in->a);
    bool arcs = (parts & PAIR_ARCS) != 0;
    apart_question question = {.sided = true,
                               .off = arcs ? &in->off : NULL,
                               .tolerance = tolerance_mm,
                               .most_looks = in->most_looks};
    apart_answer found;
    if (!apart_find(&in->apart, &a, &in->edges, &question, &found)) {
        return false;
    }
    in->looked += in->edges.looked;
    if (found.known) {
        out->gap = reach_of(in, &found.within);
        out->outside = reach_of(in, &found.beyond);
    }
    if (found.known && arcs) {
        tell_arcs(in, out);
    }
    return true;
}

/* From B to A, when that from A to B is known. */
static bool find_hausdorff(pair_finder *in, pair_measures *out) {
    if (!load(in, &in->a)) {
        return false;
    }
    ring b = turned(&in->b);
    apart_question question = {.most_looks = in->most_looks};
    apart_answer found;
    if (!apart_find(&in->apart, &b, &in->edges, &question, &found)) {
        return false;
    }
    in->looked += in->edges.looked;
    if (found.known) {
        out->hausdorff_mm =
            fmax(found.within.distance,
                 fmax(out->gap.distance_mm, out->outside.distance_mm));
    }
    return true;
}

/* ------------------------------------------------------------------- areas */

static double limited(double value, double most) {
    return value < most ? value : most;
}

/* Turned as B's edges are, as the sectors are. */
static bool find_areas(pair_finder *in, unsigned parts, pair_measures *out) {
    ring a = turned(&in->a);
    ring b = turned(&in->b);
    overlay_areas found;
    bool known;
    if (!overlay_find(&in->overlay, &a, &b, &in->off, in->most_looks, &found,
                      &known)) {
        return false;
    }
    in->looked += in->overlay.looked;
    if (known && (parts & PAIR_AREAS) != 0) {
        double least = limited(in->a.area, in->b.area);
        out->both_mm2 = limited(found.both, least);
        out->only_a_mm2 = in->a.area - out->both_mm2;
        out->only_b_mm2 = in->b.area - out->both_mm2;
        out->dice = 2.0 * out->both_mm2 / (in->a.area + in->b.area);
    }
    if (known && (parts & PAIR_ARCS) != 0 && !isnan(out->arc_deg)) {
        out->between_mm2 = found.only_b;
    }
    return true;
}

/* -------------------------------------------------------------------- all */

static pair_measures nothing_known(void) {
    const double u = UNKNOWN;
    const pair_reach reach = unknown_reach();
    return (pair_measures){u, u, u, u, u, u, reach, reach, u, u, u, 0, u, u};
}

/* Mostly there is nothing outside, which is told without any distance. */
static bool find_outside(pair_finder *in, pair_measures *out) {
    ring a = {in->a.x, in->a.y, in->a.count};
    ring b = {in->b.x, in->b.y, in->b.count};
    if (nested_in(&a, &b)) {
        out->outside.distance_mm = 0.0;
        return true;
    }
    bool found = load(in, &in->b) && find_gap(in, PAIR_GAP, 0.0, out);
    out->gap = unknown_reach();
    return found;
}

static bool find_all(pair_finder *in, unsigned parts, double tolerance_mm,
                     pair_measures *out) {
    if (parts == PAIR_OUTSIDE) {
        return find_outside(in, out);
    }
    if (!load(in, &in->b)) {
        return false;
    }
    if ((parts & PAIR_GAP) != 0 && !find_gap(in, parts, tolerance_mm, out)) {
        return false;
    }
    if ((parts & (PAIR_AREAS | PAIR_ARCS)) != 0 &&
        !find_areas(in, parts, out)) {
        return false;
    }
    return (parts & PAIR_HAUSDORFF) == 0 || isnan(out->gap.distance_mm) ||
           find_hausdorff(in, out);
}

bl_status pair_find(pair_finder *finder, const bl_contour *a,
                    const bl_contour *b, unsigned parts, double tolerance_mm,
                    pair_measures *out) {
    pair_measures found = nothing_known();
    finder->off.count = 0;
    finder->looked = 0;
    if (!take(finder, a, b)) {
        return BL_ERR_MEMORY;
    }
    finder->most_looks =
        LIMIT_PAIR_LOOKS + LIMIT_PAIR_LOOKS_PER_POINT * (a->count + b->count);
    if ((parts & PAIR_AREAS) != 0) {
        found.a_mm2 = finder->a.area;
        found.b_mm2 = finder->b.area;
    }
    if (!find_all(finder, parts, tolerance_mm, &found)) {
        return BL_ERR_MEMORY;
    }
    *out = found;
    return BL_OK;
}
