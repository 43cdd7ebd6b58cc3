/*
 * pair.c - two contours of arbitrary points against each other: what is found
 * is finite, in order and the same from both sides.
 *
 * The first byte chooses how the rest becomes points, the second the tolerance
 * and where the first contour ends. A contour that is to be left out is not
 * looked at: nobody asks for it.
 */
#include "geometry/pair.h"

#include "fuzz/fuzz.h"

#include <math.h>

#define POINTS_MAX 48

typedef struct points {
    double x[POINTS_MAX];
    double y[POINTS_MAX];
    size_t count;
} points;

typedef void (*point_maker)(bites *from, size_t i, double *x, double *y);

static void on_grid(bites *from, size_t i, double *x, double *y) {
    uint8_t both = bite(from);
    (void)i;
    *x = both % 8;
    *y = both / 8 % 8;
}

static void in_tenths(bites *from, size_t i, double *x, double *y) {
    (void)i;
    *x = 0.1 * (bite(from) - 128);
    *y = 0.1 * (bite(from) - 128);
}

/* Some last bits off a grid. */
static void beside_grid(bites *from, size_t i, double *x, double *y) {
    on_grid(from, i, x, y);
    int steps = bite(from) % 9 - 4;
    for (int k = 0; k < abs(steps); k++) {
        *x = nextafter(*x, steps < 0 ? -HUGE_VAL : HUGE_VAL);
    }
}

static void around(bites *from, size_t i, double *x, double *y) {
    double radius = 0.05 * (1 + bite(from));
    *x = radius * cos(0.3 * (double)i);
    *y = radius * sin(0.3 * (double)i);
}

static void far_off(bites *from, size_t i, double *x, double *y) {
    on_grid(from, i, x, y);
    *x = 990.0 + ldexp(*x, -20);
    *y = -990.0 + *y;
}

static void make_points(bites *from, uint8_t choice, size_t most, points *out) {
    static const point_maker makers[] = {on_grid, in_tenths, beside_grid,
                                         around, far_off};
    point_maker make = makers[choice % (sizeof makers / sizeof makers[0])];
    out->count = 0;
    while (from->left > 0 && out->count < most) {
        make(from, out->count, &out->x[out->count], &out->y[out->count]);
        out->count++;
    }
}

static bl_contour contour_of(const points *of) {
    return (bl_contour){of->x, of->y, of->count};
}

static bool is_usable(const points *of) {
    bl_measurer *measurer = NULL;
    bl_measures found;
    bl_contour contour = contour_of(of);
    must(bl_measurer_new(BL_BIT(BL_COL_AREA_MM2), &measurer) == BL_OK);
    must(bl_measurer_measure(measurer, &contour, &found) == BL_OK);
    bl_measurer_free(measurer);
    return (found.flags & BL_FLAGS_LEFT_OUT) == 0;
}

/* So large contours are here; roundings are some last bits of their square. */
static double extent(const points *a, const points *b) {
    double most = 0.0;
    const points *const both[2] = {a, b};
    for (int k = 0; k < 2; k++) {
        for (size_t i = 0; i < both[k]->count; i++) {
            most = fmax(most, fabs(both[k]->x[i] - a->x[0]));
            most = fmax(most, fabs(both[k]->y[i] - a->y[0]));
        }
    }
    return most + 1.0;
}

static void must_be_areas(const pair_measures *of, double rounding) {
    must(of->a_mm2 > 0.0 && of->b_mm2 > 0.0);
    must(of->both_mm2 >= 0.0 && of->both_mm2 <= of->a_mm2);
    must(of->both_mm2 <= of->b_mm2);
    must(of->only_a_mm2 >= 0.0 && of->only_b_mm2 >= 0.0);
    must(of->dice >= 0.0 && of->dice <= 1.0 + 1e-15);
    must(of->between_mm2 >= 0.0);
    must(of->between_mm2 <= of->only_b_mm2 + rounding);
}

static void must_be_reach(const pair_reach *of) {
    must(of->distance_mm >= 0.0 && isfinite(of->distance_mm));
    must((of->distance_mm > 0.0) == (isfinite(of->x_mm) != 0));
    must(!(of->distance_mm > 0.0) ||
         (of->direction_deg >= 0.0 && of->direction_deg < 360.0));
}

static void must_be_arcs(const pair_measures *of, double tolerance_mm) {
    must(of->arc_deg >= 0.0 && of->arc_deg <= 360.0 + 1e-9);
    must(of->widest_arc_deg >= 0.0 && of->widest_arc_deg <= 360.0);
    must(of->widest_arc_deg <= of->arc_deg + 1e-9);
    must(of->arcs == 0 || of->gap.distance_mm > tolerance_mm - 1e-11);
    must(of->arcs == 0 ||
         (of->widest_from_deg >= 0.0 && of->widest_from_deg < 360.0));
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    static points a;
    static points b;
    bites in = {bytes, size};
    uint8_t choice = bite(&in);
    uint8_t more = bite(&in);
    double tolerance_mm = 0.25 * (more % 8);
    make_points(&in, choice, 3 + (size_t)more / 8, &a);
    make_points(&in, choice, POINTS_MAX, &b);
    if (!is_usable(&a) || !is_usable(&b)) {
        return 0;
    }
    bl_contour one = contour_of(&a);
    bl_contour other = contour_of(&b);
    pair_measures found;
    pair_measures back;
    pair_measures alone;
    pair_finder *finder = pair_new();
    must(finder != NULL);
    must(pair_find(finder, &one, &other, PAIR_ALL, tolerance_mm, &found) ==
         BL_OK);
    must(pair_find(finder, &other, &one, PAIR_ALL, tolerance_mm, &back) ==
         BL_OK);
    must(pair_find(finder, &one, &other, PAIR_OUTSIDE, 0.0, &alone) == BL_OK);
    pair_free(finder);
    must(fabs(alone.outside.distance_mm - found.outside.distance_mm) <= 1e-11);
    double length = extent(&a, &b);
    double rounding = 1e-12 * length * length;
    must_be_areas(&found, rounding);
    must_be_reach(&found.gap);
    must_be_reach(&found.outside);
    must_be_arcs(&found, tolerance_mm);
    must(found.hausdorff_mm >=
         fmax(found.gap.distance_mm, found.outside.distance_mm));
    must(fabs(found.both_mm2 - back.both_mm2) <= rounding);
    must(fabs(found.hausdorff_mm - back.hausdorff_mm) <= 3e-11);
    return 0;
}
