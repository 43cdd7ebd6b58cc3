/*
 * shapes.c - contours for tests.
 */
#include "support/shapes.h"

#include "geometry/measurer.h"

#include <math.h>

#define PI 3.14159265358979323846

bl_contour shape_contour(const shape *of) {
    return (bl_contour){of->x, of->y, of->count};
}

void shape_ellipse(shape *out, size_t count, double a, double b) {
    out->count = count;
    for (size_t i = 0; i < count; i++) {
        double angle = 2.0 * PI * (double)i / (double)count;
        out->x[i] = a * cos(angle);
        out->y[i] = b * sin(angle);
    }
}

void shape_points(shape *out, size_t count, const double (*points)[2]) {
    out->count = count;
    for (size_t i = 0; i < count; i++) {
        out->x[i] = points[i][0];
        out->y[i] = points[i][1];
    }
}

void shape_random_star(shape *out, dice *from, size_t count, double rough) {
    double amplitude[6];
    double phase[6];
    double base = dice_between(from, 4.0, 9.0);
    for (int k = 0; k < 6; k++) {
        amplitude[k] = dice_between(from, 0.0, 0.25) / (k + 1);
        phase[k] = dice_between(from, 0.0, 2.0 * PI);
    }
    out->count = count;
    for (size_t i = 0; i < count; i++) {
        double angle = 2.0 * PI * (double)i / (double)count;
        double radius = 1.0;
        for (int k = 0; k < 6; k++) {
            radius += amplitude[k] * cos((k + 1) * angle + phase[k]);
        }
        radius *= base * (1.0 + dice_between(from, -rough, rough));
        radius = fmax(radius, 0.5);
        out->x[i] = radius * cos(angle);
        out->y[i] = radius * sin(angle);
    }
}

void shape_random_bent(shape *out, dice *from, size_t count) {
    /* An arc-shaped band: out along the outer side, back along the inner. */
    double turn = dice_between(from, 0.6, 5.2);
    double inner = dice_between(from, 3.0, 6.0);
    double outer = inner + dice_between(from, 0.5, 4.0);
    size_t half = count / 2;
    out->count = 2 * half;
    for (size_t i = 0; i < half; i++) {
        double share = (double)i / (double)(half - 1);
        double wobble = dice_between(from, -0.1, 0.1);
        double angle = turn * share;
        out->x[i] = (outer + wobble) * cos(angle);
        out->y[i] = (outer + wobble) * sin(angle);
        out->x[2 * half - 1 - i] = (inner + wobble) * cos(angle);
        out->y[2 * half - 1 - i] = (inner + wobble) * sin(angle);
    }
}

bl_measures shape_measure(const shape *of) {
    bl_measurer *measurer = NULL;
    bl_measures out = {0};
    bl_contour contour = shape_contour(of);
    assert_int_equal(bl_measurer_new(BL_COLUMNS_ALL, &measurer), BL_OK);
    assert_int_equal(measurer_shape(measurer, &contour, &out), BL_OK);
    bl_measurer_free(measurer);
    return out;
}

void shape_move(shape *of, double dx, double dy) {
    for (size_t i = 0; i < of->count; i++) {
        of->x[i] += dx;
        of->y[i] += dy;
    }
}

void shape_rotate(shape *of, double degrees) {
    double c = cos(degrees * PI / 180.0);
    double s = sin(degrees * PI / 180.0);
    for (size_t i = 0; i < of->count; i++) {
        double x = of->x[i];
        of->x[i] = c * x - s * of->y[i];
        of->y[i] = s * x + c * of->y[i];
    }
}

void shape_scale(shape *of, double factor) {
    for (size_t i = 0; i < of->count; i++) {
        of->x[i] *= factor;
        of->y[i] *= factor;
    }
}

void shape_mirror(shape *of) {
    for (size_t i = 0; i < of->count; i++) {
        of->x[i] = -of->x[i];
    }
}

void shape_reverse(shape *of) {
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

void shape_restart(shape *of, size_t start) {
    static shape copy; /* too large for the stack of a small machine */
    copy = *of;
    for (size_t i = 0; i < of->count; i++) {
        of->x[i] = copy.x[(i + start) % of->count];
        of->y[i] = copy.y[(i + start) % of->count];
    }
}
