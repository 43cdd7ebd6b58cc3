/*
 * geometry.c - one contour of arbitrary points: what is measured of it is
 * finite and in order, or flagged; turned around it measures the same.
 *
 * The first byte chooses how the rest becomes points: small integers, which
 * touch and overlap often; tenths, which are inexact; any doubles; points
 * next to a line; radii around a centre; a grid far from the origin. It also
 * chooses whether the inscribed circle is asked for, which takes most time.
 */
#include "fuzz/fuzz.h"

#include <float.h>
#include <math.h>

#define POINTS_MAX 1024
/* So much of an input makes points whose circle is sought. */
#define CIRCLE_BYTES 64
#define PI 3.14159265358979323846

typedef struct points {
    double x[POINTS_MAX];
    double y[POINTS_MAX];
    size_t count;
} points;

typedef void (*point_maker)(bites *from, size_t i, double *x, double *y);

static void on_grid(bites *from, size_t i, double *x, double *y) {
    uint8_t both = bite(from);
    (void)i;
    *x = both % 16;
    *y = both / 16;
}

static void in_tenths(bites *from, size_t i, double *x, double *y) {
    (void)i;
    *x = 0.1 * (bite(from) - 128);
    *y = 0.1 * (bite(from) - 128);
}

static void anything(bites *from, size_t i, double *x, double *y) {
    (void)i;
    *x = bite_double(from);
    *y = bite_double(from);
}

/* Up to 8 steps of the last bit off a line. */
static void near_a_line(bites *from, size_t i, double *x, double *y) {
    (void)i;
    *x = 0.1 * bite(from);
    *y = *x / 3.0;
    int steps = bite(from) % 17 - 8;
    for (int k = 0; k < abs(steps); k++) {
        *y = nextafter(*y, steps < 0 ? -HUGE_VAL : HUGE_VAL);
    }
}

static void around(bites *from, size_t i, double *x, double *y) {
    double radius = 0.05 * bite(from);
    *x = radius * cos(0.1 * (double)i);
    *y = radius * sin(0.1 * (double)i);
}

static void far_off(bites *from, size_t i, double *x, double *y) {
    on_grid(from, i, x, y);
    *x = 999.0 + ldexp(*x, -30);
    *y = 999.0 + ldexp(*y, -30);
}

static void make_points(bites *from, uint8_t choice, points *out) {
    static const point_maker makers[] = {on_grid,     in_tenths, anything,
                                         near_a_line, around,    far_off};
    point_maker make = makers[choice % (sizeof makers / sizeof makers[0])];
    out->count = 0;
    while (from->left > 0 && out->count < POINTS_MAX) {
        make(from, out->count, &out->x[out->count], &out->y[out->count]);
        out->count++;
    }
}

static bool are_finite(const points *of) {
    for (size_t i = 0; i < of->count; i++) {
        if (!isfinite(of->x[i]) || !isfinite(of->y[i])) {
            return false;
        }
    }
    return true;
}

static bl_measures measure(const points *of, uint32_t columns) {
    bl_measurer *measurer = NULL;
    bl_measures out;
    must(bl_measurer_new(columns, &measurer) == BL_OK);
    /* Copies of their own, so that reading past their end is found. */
    size_t size = of->count * sizeof(double);
    double *x = malloc(size);
    double *y = malloc(size);
    must(of->count == 0 || (x != NULL && y != NULL));
    if (of->count > 0) {
        memcpy(x, of->x, size);
        memcpy(y, of->y, size);
    }
    bl_contour contour = {x, y, of->count};
    bl_status status = bl_measurer_measure(measurer, &contour, &out);
    must(status == (are_finite(of) ? BL_OK : BL_ERR_ARGUMENT));
    bl_measurer_free(measurer);
    free(x);
    free(y);
    return out;
}

static bool is_unknown(double value) {
    return isnan(value) != 0;
}

static void must_be_unknown(const bl_measures *of) {
    const double *value = &of->area_mm2;
    size_t count = offsetof(bl_measures, flags) / sizeof *value;
    for (size_t i = 0; i < count; i++) {
        must(is_unknown(value[i]));
    }
}

/* a <= b but for rounding. */
static bool at_most(double a, double b) {
    return isfinite(a) && isfinite(b) && a <= b * (1.0 + 1e-9);
}

static void must_be_ordered(const bl_measures *of) {
    must(of->area_mm2 > 0.0 && of->perimeter_mm > 0.0);
    must(at_most(of->equivalent_diameter_mm, of->perimeter_diameter_mm));
    must(of->min_feret_mm > 0.0 && of->min_feret_mm <= of->max_feret_mm);
    must(at_most(2.0 * of->max_feret_mm, of->perimeter_mm));
    must(of->circularity > 0.0 && at_most(of->circularity, 1.0));
    must(of->solidity > 0.0 && of->solidity <= 1.0);
    must(isfinite(of->centroid_x_mm) && isfinite(of->centroid_y_mm));
    if (!is_unknown(of->inscribed_diameter_mm)) {
        must(of->inscribed_diameter_mm >= 0.0);
        must(at_most(of->inscribed_diameter_mm, of->min_feret_mm));
        must(at_most(of->inscribed_diameter_mm, of->equivalent_diameter_mm));
    }
}

static void must_have_chords(const bl_measures *of) {
    must(of->min_diameter_mm >= 0.0);
    must(of->min_diameter_mm <= of->max_diameter_mm);
    must(at_most(of->max_diameter_mm, of->max_feret_mm));
    must(of->aspect_ratio >= 1.0);
    must(of->eccentricity >= 0.0 && of->eccentricity <= 1.0);
    must(of->long_axis_deg >= 0.0 && of->long_axis_deg < 180.0);
}

static void must_be_sane(const bl_measures *of) {
    uint32_t known = (UINT32_C(1) << BL_FLAG_COUNT) - 1;
    must((of->flags & ~known) == 0 && (of->flags & BL_FLAG_JUMP) == 0);
    if ((of->flags & BL_FLAGS_LEFT_OUT) != 0) {
        must_be_unknown(of);
        return;
    }
    must_be_ordered(of);
    if ((of->flags & BL_FLAG_CENTRE_OUTSIDE) != 0) {
        must(is_unknown(of->min_diameter_mm));
        must(is_unknown(of->max_diameter_mm));
        must(is_unknown(of->long_axis_deg));
    } else {
        must_have_chords(of);
    }
}

static void turn_around(points *of) {
    for (size_t i = 0; i < of->count / 2; i++) {
        size_t j = of->count - 1 - i;
        double x = of->x[i];
        double y = of->y[i];
        of->x[i] = of->x[j];
        of->y[i] = of->y[j];
        of->x[j] = x;
        of->y[j] = y;
    }
}

static double largest_mm(const points *of) {
    double largest = 0.0;
    for (size_t i = 0; i < of->count; i++) {
        largest = fmax(largest, fmax(fabs(of->x[i]), fabs(of->y[i])));
    }
    return largest;
}

/* The area that roundings of the coordinates can make. */
static double rounding_mm2(const points *of, const bl_measures *all) {
    return 4.0 * DBL_EPSILON * largest_mm(of) * all->perimeter_mm;
}

/* From the centre to the edge that ends in point i. */
static double distance_mm(const points *of, const bl_measures *all, size_t i) {
    size_t before = i > 0 ? i - 1 : of->count - 1;
    double dx = of->x[i] - of->x[before];
    double dy = of->y[i] - of->y[before];
    double px = all->centroid_x_mm - of->x[before];
    double py = all->centroid_y_mm - of->y[before];
    double square = dx * dx + dy * dy;
    double part = square > 0.0 ? (px * dx + py * dy) / square : 0.0;
    part = fmin(fmax(part, 0.0), 1.0);
    return hypot(px - part * dx, py - part * dy);
}

/* Whether the centre is on the contour but for rounding, and may be told to
 * lie on either side. Its moments are sums of count products of three lengths,
 * none longer than half the perimeter, divided by the area. */
static bool is_centre_on_contour(const points *of, const bl_measures *all) {
    double length = all->perimeter_mm;
    double rounding = DBL_EPSILON * ((double)of->count * length * length *
                                         length / all->area_mm2 +
                                     2.0 * largest_mm(of));
    for (size_t i = 0; i < of->count; i++) {
        if (distance_mm(of, all, i) <= rounding) {
            return true;
        }
    }
    return false;
}

static void must_have_same_flags(const points *of, const bl_measures *all,
                                 const bl_measures *turned) {
    uint32_t differ = turned->flags ^ all->flags;
    must((differ & ~(uint32_t)BL_FLAG_CENTRE_OUTSIDE) == 0);
    must(differ == 0 || is_centre_on_contour(of, all));
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    static points of;
    bites in = {bytes, size};
    uint8_t choice = bite(&in);
    uint32_t columns = BL_COLUMNS_ALL;
    if (choice < 192) {
        columns &= ~BL_BIT(BL_COL_INSCRIBED_DIAMETER_MM);
    } else if (in.left > CIRCLE_BYTES) {
        in.left = CIRCLE_BYTES;
    }
    make_points(&in, choice, &of);
    bl_measures all = measure(&of, columns);
    if (!are_finite(&of)) {
        return 0;
    }
    must_be_sane(&all);
    bl_measures area = measure(&of, BL_BIT(BL_COL_AREA_MM2));
    must(area.flags == all.flags);
    must(same_double(area.area_mm2, all.area_mm2));
    turn_around(&of);
    bl_measures turned = measure(&of, columns);
    must_be_sane(&turned);
    must_have_same_flags(&of, &all, &turned);
    must(is_unknown(all.area_mm2) ||
         fabs(turned.area_mm2 - all.area_mm2) <= rounding_mm2(&of, &all));
    /* Each is at most 1e-4 mm short. */
    double difference =
        turned.inscribed_diameter_mm - all.inscribed_diameter_mm;
    must(is_unknown(difference) || fabs(difference) <= 1e-4);
    return 0;
}
