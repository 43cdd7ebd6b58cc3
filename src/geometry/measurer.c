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
 * no longer exact. What is smaller counts as 0; what is larger is far out of
 * range and not looked at any further. */
#define TINY_MM 1e-60
#define HUGE_MM 1e60

struct bl_measurer {
    uint32_t columns;
    double *x; /* as given, repeats passed over */
    double *y;
    double *rx; /* relative to the first point */
    double *ry;
    hull_point *hull;
    size_t count;
    size_t capacity;
    double largest; /* magnitude of a coordinate */
    visible view;
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
        free(measurer->x);
        free(measurer->hull);
        visible_free(&measurer->view);
        crossing_free(measurer->crossing);
        inscribed_free(measurer->inscribed);
        free(measurer);
    }
}

size_t measurer_point_count(const bl_measurer *measurer) {
    return measurer->count;
}

static bool reserve(bl_measurer *in, size_t count) {
    if (count <= in->capacity) {
        return true;
    }
    double *values = malloc(4 * count * sizeof *values);
    hull_point *hull = malloc((3 * count + 2) * sizeof *hull);
    if (values == NULL || hull == NULL) {
        free(values);
        free(hull);
        return false;
    }
    free(in->x);
    free(in->hull);
    in->x = values;
    in->y = values + count;
    in->rx = values + 2 * count;
    in->ry = values + 3 * count;
    in->hull = hull;
    in->capacity = count;
    return true;
}

static bool same_point(const bl_measurer *in, size_t i, double x, double y) {
    /* Exact on purpose: a repeat is the same text in the table. */
    return !(in->x[i] < x || in->x[i] > x || in->y[i] < y || in->y[i] > y);
}

/* What counts of a coordinate; keeps the largest. */
static double coordinate(bl_measurer *in, double value) {
    double magnitude = fabs(value);
    in->largest = magnitude > in->largest ? magnitude : in->largest;
    return magnitude < TINY_MM ? 0.0 : value;
}

/* Copies without repeats; false for a value that is not finite. */
static bool take(bl_measurer *in, const bl_contour *contour) {
    in->count = 0;
    in->largest = 0.0;
    for (size_t i = 0; i < contour->count; i++) {
        if (!isfinite(contour->x_mm[i]) || !isfinite(contour->y_mm[i])) {
            return false;
        }
        double x = coordinate(in, contour->x_mm[i]);
        double y = coordinate(in, contour->y_mm[i]);
        if (in->count > 0 && same_point(in, in->count - 1, x, y)) {
            continue;
        }
        in->x[in->count] = x;
        in->y[in->count] = y;
        in->count++;
    }
    while (in->count > 1 && same_point(in, in->count - 1, in->x[0], in->y[0])) {
        in->count--;
    }
    for (size_t i = 0; i < in->count; i++) {
        in->rx[i] = in->x[i] - in->x[0];
        in->ry[i] = in->y[i] - in->y[0];
    }
    return true;
}

static bl_measures unknown(void) {
    const double u = UNKNOWN;
    return (bl_measures){u, u, u, u, u, u, u, u, u, u, u, u, u, u, u, u, 0};
}

static bl_status measure_chords(bl_measurer *in, bool star, double cx,
                                double cy, bl_measures *out) {
    if (!star && !polygon_holds(in->rx, in->ry, in->count, cx, cy)) {
        out->flags |= BL_FLAG_CENTRE_OUTSIDE;
        return BL_OK;
    }
    if ((in->columns & NEEDS_CHORDS) == 0) {
        return BL_OK;
    }
    bool seen =
        star ? visible_star(&in->view, in->rx, in->ry, in->count, cx, cy)
             : visible_from(&in->view, in->rx, in->ry, in->count, cx, cy);
    if (!seen) {
        return BL_ERR_MEMORY;
    }
    chord_extremes found = chord_find(&in->view);
    out->min_diameter_mm = found.least;
    out->max_diameter_mm = found.greatest;
    out->aspect_ratio = found.greatest / found.least;
    out->eccentricity = (found.greatest - found.least) / found.greatest;
    out->long_axis_deg = found.long_axis_deg;
    return BL_OK;
}

static void measure_hull(bl_measurer *in, bool star, bl_measures *out) {
    if ((in->columns & NEEDS_HULL) == 0) {
        return;
    }
    size_t corners = hull_of(in->rx, in->ry, in->count, star, in->hull);
    double area = hull_area(in->hull, corners);
    /* A convex contour is its own hull, but for rounding. */
    out->solidity = fmin(out->area_mm2 / area, 1.0);
    if (in->columns & NEEDS_FERETS) {
        hull_ferets(in->hull, corners, &out->min_feret_mm, &out->max_feret_mm);
    }
}

static void measure_size(const bl_measurer *in, double twice, double cx,
                         double cy, bl_measures *out) {
    out->area_mm2 = 0.5 * fabs(twice);
    out->perimeter_mm = polygon_perimeter(in->rx, in->ry, in->count);
    out->equivalent_diameter_mm = circle_diameter_mm(out->area_mm2);
    out->perimeter_diameter_mm = out->perimeter_mm / PI;
    out->circularity =
        4.0 * PI * out->area_mm2 / (out->perimeter_mm * out->perimeter_mm);
    out->centroid_x_mm = in->x[0] + cx;
    out->centroid_y_mm = in->y[0] + cy;
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

/* The contour is simple and has an area. */
static bl_status measure_simple(bl_measurer *in, bool star, double twice,
                                double cx, double cy, bl_measures *out) {
    measure_size(in, twice, cx, cy, out);
    measure_hull(in, star, out);
    bl_status status = measure_chords(in, star, cx, cy, out);
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
static bool is_within_rounding(const bl_measurer *in, double twice) {
    double length = polygon_perimeter(in->rx, in->ry, in->count);
    return 0.5 * fabs(twice) <= 4.0 * DBL_EPSILON * in->largest * length;
}

static bl_status shape(bl_measurer *in, bl_measures *out) {
    *out = unknown();
    if (in->largest > HUGE_MM) {
        out->flags = BL_FLAG_OUT_OF_RANGE;
        return BL_OK;
    }
    if (in->count < 3) {
        out->flags = BL_FLAG_FEW_POINTS;
        return BL_OK;
    }
    double cx;
    double cy;
    double twice = polygon_moments(in->rx, in->ry, in->count, &cx, &cy);
    bool star =
        polygon_is_star(in->x, in->y, in->count, in->x[0] + cx, in->y[0] + cy);
    if (!star) {
        if (polygon_is_flat(in->x, in->y, in->count)) {
            out->flags = BL_FLAG_NO_AREA;
            return BL_OK;
        }
        bool crosses;
        bl_status status =
            crossing_find(in->crossing, in->x, in->y, in->count, &crosses);
        if (status != BL_OK) {
            return status;
        }
        if (crosses) {
            out->flags = BL_FLAG_CROSSING;
            return BL_OK;
        }
    }
    if (is_within_rounding(in, twice)) {
        out->flags = BL_FLAG_NO_AREA;
        return BL_OK;
    }
    return measure_simple(in, star, twice, cx, cy, out);
}

bl_status measurer_shape(bl_measurer *measurer, const bl_contour *contour,
                         bl_measures *out) {
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
    if (!take(measurer, contour)) {
        return BL_ERR_ARGUMENT;
    }
    bl_measures found;
    bl_status status = shape(measurer, &found);
    if (status == BL_OK) {
        *out = found;
    }
    return status;
}

bl_status bl_measurer_measure(bl_measurer *measurer, const bl_contour *contour,
                              bl_measures *out) {
    bl_measures found;
    bl_status status = measurer_shape(measurer, contour, &found);
    if (status != BL_OK) {
        return status;
    }
    if (measurer->largest > LIMIT_COORDINATE_MM) {
        uint32_t flags = found.flags & BL_FLAGS_LEFT_OUT;
        found = unknown();
        found.flags = flags | BL_FLAG_OUT_OF_RANGE;
    }
    *out = found;
    return BL_OK;
}
