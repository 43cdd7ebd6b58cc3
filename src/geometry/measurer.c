/*
 * measurer.c - everything that is measured of one contour.
 *
 * Repeated points are passed over, then everything but the test for crossing
 * works on coordinates relative to the first point. A contour that is proved
 * star-shaped about its centre, as nearly all are, needs neither the sweep for
 * crossings nor a sort for its hull nor a search for what its centre sees.
 * Working memory is kept from contour to contour.
 */
#include "geometry/measurer.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/limits.h"
#include "geometry/chord.h"
#include "geometry/crossing.h"
#include "geometry/hull.h"
#include "geometry/inscribed.h"
#include "geometry/polygon.h"
#include "geometry/visible.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>

#define NEEDS_CHORDS                                                           \
    (BL_BIT(BL_COL_MIN_DIAMETER_MM) | BL_BIT(BL_COL_MAX_DIAMETER_MM) |         \
     BL_BIT(BL_COL_ASPECT_RATIO) | BL_BIT(BL_COL_ECCENTRICITY) |               \
     BL_BIT(BL_COL_LONG_AXIS_DEG))
#define NEEDS_FERETS (BL_BIT(BL_COL_MIN_FERET_MM) | BL_BIT(BL_COL_MAX_FERET_MM))
#define NEEDS_HULL (NEEDS_FERETS | BL_BIT(BL_COL_SOLIDITY))

/* Outside these products of coordinates vanish or overflow, and orient_sign is
 * no longer exact. What is smaller counts as 0 where more than a proof of a
 * star is asked; what is larger is far out of range and not looked at. */
#define TINY_MM 1e-60
#define HUGE_MM 1e60

struct bl_measurer {
    uint32_t columns;
    const double *x; /* as given, repeats passed over */
    const double *y;
    size_t count;
    polygon_sums sums;
    double *rx; /* relative to the first point */
    double *ry;
    double *copy_x; /* where there are repeats */
    double *copy_y;
    hull hull;
    size_t capacity;
    visible view;
    chord_finder chords;
    crossing_finder *crossing;
    inscribed_finder *inscribed;
};

bl_status bl_measurer_new(uint32_t columns, bl_measurer **out) {
    bl_measurer *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return BL_ERR_MEMORY;
    }
    made->columns = columns;
    made->crossing = crossing_new();
    made->inscribed = inscribed_new();
    if (made->crossing == NULL || made->inscribed == NULL) {
        bl_measurer_free(made);
        return BL_ERR_MEMORY;
    }
    *out = made;
    return BL_OK;
}

void bl_measurer_free(bl_measurer *measurer) {
    if (measurer != NULL) {
        free(measurer->rx);
        hull_free(&measurer->hull);
        visible_free(&measurer->view);
        chord_free(&measurer->chords);
        crossing_free(measurer->crossing);
        inscribed_free(measurer->inscribed);
        free(measurer);
    }
}

size_t measurer_point_count(const bl_measurer *measurer) {
    return measurer->count;
}

stray measurer_stray(const bl_measurer *measurer, uint32_t flags) {
    return (flags & BL_FLAGS_LEFT_OUT) != 0
               ? (stray){.what = STRAY_NONE}
               : stray_find(measurer->x, measurer->y, measurer->count,
                            &measurer->sums);
}

static bool reserve(bl_measurer *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    double *values = malloc(4 * count * sizeof *values);
    if (values == NULL) {
        return false;
    }
    free(in->rx);
    in->rx = values;
    in->ry = values + count;
    in->copy_x = values + 2 * count;
    in->copy_y = values + 3 * count;
    in->capacity = count;
    return true;
}

static bool same_point(const double *x, const double *y, size_t i, size_t j) {
    /* Exact on purpose: a repeat is the same text in the table. */
    return !(x[i] < x[j] || x[i] > x[j] || y[i] < y[j] || y[i] > y[j]);
}

static double without_tiny(double value) {
    return fabs(value) < TINY_MM ? 0.0 : value;
}

/* Copies without repeats; false for a value that is not finite. */
static bool copy_distinct(bl_measurer *in, const bl_contour *contour) {
    double *x = in->copy_x;
    double *y = in->copy_y;
    size_t count = 0;
    for (size_t i = 0; i < contour->count; i++) {
        if (!isfinite(contour->x_mm[i]) || !isfinite(contour->y_mm[i])) {
            return false;
        }
        x[count] = without_tiny(contour->x_mm[i]);
        y[count] = without_tiny(contour->y_mm[i]);
        count += count == 0 || !same_point(x, y, count, count - 1);
    }
    while (count > 1 && same_point(x, y, 0, count - 1)) {
        count--;
    }
    in->x = in->copy_x;
    in->y = in->copy_y;
    in->count = count;
    return true;
}

static void sum_up(bl_measurer *in) {
    in->sums = (polygon_sums){0};
    if (in->count > 0) {
        in->sums = polygon_sum(in->x, in->y, in->count, in->rx, in->ry);
    }
}

static bool is_star(const bl_measurer *in) {
    return in->count >= 3 &&
           polygon_is_star(in->x, in->y, in->count, in->sums.twice_area > 0.0,
                           in->x[0] + in->sums.centre_x,
                           in->y[0] + in->sums.centre_y);
}

/* Nearly every contour is finite, free of repeats, which its sums tell, and a
 * star: it is used where it lies. False for a value that is not finite. */
static bool take(bl_measurer *in, const bl_contour *contour, bool *star) {
    in->x = contour->x_mm;
    in->y = contour->y_mm;
    in->count = contour->count;
    sum_up(in);
    *star = isfinite(in->sums.perimeter) && in->sums.least_step > TINY_MM &&
            is_star(in);
    if (*star) {
        return true;
    }
    if (!copy_distinct(in, contour)) {
        return false;
    }
    sum_up(in);
    *star = is_star(in);
    return true;
}

bl_measures measurer_unknown(void) {
    const double u = UNKNOWN;
    return (bl_measures){u, u, u, u, u, u, u, u, u, u, u, u, u, u, u, u, 0};
}

static bl_status measure_chords(bl_measurer *in, bool star, bl_measures *out) {
    double cx = in->sums.centre_x;
    double cy = in->sums.centre_y;
    if (!star && !polygon_holds(in->rx, in->ry, in->count, cx, cy)) {
        out->flags |= BL_FLAG_CENTRE_OUTSIDE;
        return BL_OK;
    }
    if ((in->columns & NEEDS_CHORDS) == 0) {
        return BL_OK;
    }
    /* A hull of all points has been looked at in blocks. */
    bool looked = star && in->hull.whole && (in->columns & NEEDS_FERETS) != 0;
    const facing *known = looked ? &in->hull.facing : NULL;
    chord_extremes found;
    if ((!star &&
         !visible_from(&in->view, in->rx, in->ry, in->count, cx, cy)) ||
        !chord_find(&in->chords, &in->view, known, &found)) {
        return BL_ERR_MEMORY;
    }
    out->min_diameter_mm = found.least;
    out->max_diameter_mm = found.greatest;
    out->aspect_ratio = found.greatest / found.least;
    out->eccentricity = (found.greatest - found.least) / found.greatest;
    out->long_axis_deg = found.long_axis_deg;
    return BL_OK;
}

static bl_status measure_hull(bl_measurer *in, bool star, bl_measures *out) {
    if ((in->columns & NEEDS_HULL) == 0) {
        return BL_OK;
    }
    hull *round = &in->hull;
    bool found = star ? hull_of_star(round, in->view.ax, in->view.ay, in->count)
                      : hull_find(round, in->rx, in->ry, in->count);
    if (!found) {
        return BL_ERR_MEMORY;
    }
    /* At most 1 but for rounding. */
    out->solidity =
        round->whole ? 1.0 : fmin(out->area_mm2 / hull_area(round), 1.0);
    if ((in->columns & NEEDS_FERETS) &&
        !hull_ferets(round, &out->min_feret_mm, &out->max_feret_mm)) {
        return BL_ERR_MEMORY;
    }
    return BL_OK;
}

static void measure_size(const bl_measurer *in, bl_measures *out) {
    out->area_mm2 = 0.5 * fabs(in->sums.twice_area);
    out->perimeter_mm = in->sums.perimeter;
    out->equivalent_diameter_mm = circle_diameter_mm(out->area_mm2);
    out->perimeter_diameter_mm = out->perimeter_mm / PI;
    out->circularity =
        4.0 * PI * out->area_mm2 / (out->perimeter_mm * out->perimeter_mm);
    out->centroid_x_mm = in->x[0] + in->sums.centre_x;
    out->centroid_y_mm = in->y[0] + in->sums.centre_y;
}

/* Forgets what was computed on the way and not asked for. */
static void keep_wanted(uint32_t columns, bl_measures *out) {
    double *const fields[] = {
        &out->area_mm2,
        &out->perimeter_mm,
        &out->equivalent_diameter_mm,
        &out->perimeter_diameter_mm,
        &out->min_diameter_mm,
        &out->max_diameter_mm,
        &out->min_feret_mm,
        &out->max_feret_mm,
        &out->inscribed_diameter_mm,
        &out->aspect_ratio,
        &out->eccentricity,
        &out->circularity,
        &out->solidity,
        &out->long_axis_deg,
        &out->centroid_x_mm,
        &out->centroid_y_mm,
    };
    for (unsigned i = 0; i < sizeof fields / sizeof fields[0]; i++) {
        if ((columns & BL_BIT(BL_COL_AREA_MM2 + i)) == 0) {
            *fields[i] = UNKNOWN;
        }
    }
}

/* The contour is simple and has an area. All of a star is seen. */
static bl_status measure_simple(bl_measurer *in, bool star, bl_measures *out) {
    measure_size(in, out);
    if (star && (in->columns & (NEEDS_HULL | NEEDS_CHORDS)) != 0 &&
        !visible_star(&in->view, in->rx, in->ry, in->count,
                      in->sums.twice_area > 0.0, in->sums.centre_x,
                      in->sums.centre_y)) {
        return BL_ERR_MEMORY;
    }
    bl_status status = measure_hull(in, star, out);
    if (status == BL_OK) {
        status = measure_chords(in, star, out);
    }
    if (status == BL_OK &&
        (in->columns & BL_BIT(BL_COL_INSCRIBED_DIAMETER_MM))) {
        status = inscribed_find(in->inscribed, in->rx, in->ry, in->count,
                                &out->inscribed_diameter_mm);
    }
    keep_wanted(in->columns, out);
    return status;
}

/* Points on a line in decimals miss it by a rounding in doubles: an area that
 * such roundings of the coordinates can make is none. */
static bool is_within_rounding(const polygon_sums *of) {
    return 0.5 * fabs(of->twice_area) <=
           4.0 * DBL_EPSILON * of->extent * of->perimeter;
}

static bl_status find_faults(bl_measurer *in, bool star, uint32_t *flags) {
    if (!star) {
        if (polygon_is_flat(in->x, in->y, in->count)) {
            *flags = BL_FLAG_NO_AREA;
            return BL_OK;
        }
        bool crosses;
        bl_status status =
            crossing_find(in->crossing, in->x, in->y, in->count, &crosses);
        if (status != BL_OK || crosses) {
            *flags = BL_FLAG_CROSSING;
            return status;
        }
    }
    *flags = is_within_rounding(&in->sums) ? BL_FLAG_NO_AREA : 0;
    return BL_OK;
}

/* Past the limit in mm from the origin only what is wrong is told. */
static bl_status shape(bl_measurer *in, bool star, double limit,
                       bl_measures *out) {
    *out = measurer_unknown();
    if (in->sums.extent > HUGE_MM) {
        out->flags = BL_FLAG_OUT_OF_RANGE;
        return BL_OK;
    }
    if (in->count < 3) {
        out->flags = BL_FLAG_FEW_POINTS;
        return BL_OK;
    }
    bl_status status = find_faults(in, star, &out->flags);
    if (in->sums.extent > limit) {
        out->flags |= BL_FLAG_OUT_OF_RANGE;
    }
    if (status != BL_OK || out->flags != 0) {
        return status;
    }
    return measure_simple(in, star, out);
}

static bl_status measure(bl_measurer *measurer, const bl_contour *contour,
                         double limit, bl_measures *out) {
    if (contour->count > LIMIT_POINTS) {
        return BL_ERR_LIMIT;
    }
    if (contour->count > 0 &&
        (contour->x_mm == NULL || contour->y_mm == NULL)) {
        return BL_ERR_ARGUMENT;
    }
    if (!reserve(measurer, contour->count)) {
        return BL_ERR_MEMORY;
    }
    bool star;
    if (!take(measurer, contour, &star)) {
        return BL_ERR_ARGUMENT;
    }
    bl_measures found;
    bl_status status = shape(measurer, star, limit, &found);
    if (status == BL_OK) {
        *out = found;
    }
    return status;
}

bl_status measurer_shape(bl_measurer *measurer, const bl_contour *contour,
                         bl_measures *out) {
    return measure(measurer, contour, HUGE_MM, out);
}

bl_status bl_measurer_measure(bl_measurer *measurer, const bl_contour *contour,
                              bl_measures *out) {
    return measure(measurer, contour, LIMIT_COORDINATE_MM, out);
}
