/*
 * bins_test.c - scatter, bins and what is made calm, against closed forms.
 */
#include "support/check.h"

#include "assess/bins.h"
#include "assess/scatter.h"
#include "base/circle.h"
#include "base/constants.h"
#include "profile/median.h"

#include <math.h>
#include <stdlib.h>

#define FRAMES ((size_t)600)

static bl_profile_point points[FRAMES];
static arena owner;

static int tear_down(void **state) {
    (void)state;
    arena_free(&owner);
    return 0;
}

static void set_point(size_t i, double x_mm, double diameter_mm) {
    double area = circle_area_mm2(diameter_mm);
    points[i] = (bl_profile_point){
        .after_gap = i == 0 || x_mm - points[i - 1].position_mm > GAP_MM,
        .position_mm = x_mm,
        .raw_area_mm2 = area,
        .area_mm2 = area,
        .equivalent_diameter_mm = diameter_mm,
    };
}

static bins bins_of(size_t count, double width_mm) {
    profile along = {.points = points, .count = count};
    double middle_mm2[FRAMES];
    for (size_t i = 0; i < count; i++) {
        middle_mm2[i] = points[i].raw_area_mm2;
    }
    bins out;
    assert_int_equal(
        bins_make(&along, middle_mm2, width_mm, 0.05, &owner, NULL, &out),
        BL_OK);
    return out;
}

static void test_bins_hold_every_frame(void **state) {
    (void)state;
    for (size_t i = 0; i < FRAMES; i++) {
        /* A gap of 20 mm in the middle. */
        set_point(i, 0.1 * (double)i + (i < 300 ? 0.0 : 20.0), 10.0);
    }
    bins made = bins_of(FRAMES, 0.25);
    double frames = 0.0;
    size_t starts = 0;
    for (size_t i = 0; i < made.along.count; i++) {
        frames += made.frames[i];
        starts += made.along.points[i].after_gap;
        check_close(made.root_frames[i] * made.root_frames[i], made.frames[i],
                    1e-12, "");
        check_close(made.along.points[i].equivalent_diameter_mm, 10.0, 1e-12,
                    "mm");
    }
    check_close(frames, (double)FRAMES, 0.0, "");
    assert_int_equal(starts, 2);
    /* 30 mm less a frame on either side of the gap, in quarters. */
    assert_int_equal(made.along.count, 240);
    assert_int_equal(bins_of(FRAMES, 0.0).along.count, FRAMES);
}

/* A parabola is its own fit, at the ends as well; rounding only. */
static void test_calm_keeps_a_parabola(void **state) {
    (void)state;
    for (size_t i = 0; i < FRAMES; i++) {
        double x = 0.1 * (double)i;
        set_point(i, x, 9.0 + 0.2 * x - 0.003 * x * x);
    }
    bins made = bins_of(FRAMES, 0.0);
    double diameter[FRAMES];
    double calm[FRAMES];
    for (size_t i = 0; i < FRAMES; i++) {
        diameter[i] = made.along.points[i].equivalent_diameter_mm;
    }
    bins_calm(&made, diameter, 0.05, calm);
    for (size_t i = 0; i < FRAMES; i++) {
        check_close(calm[i], diameter[i], 1e-10, "mm");
    }
}

/* Four bins in reach are no fit. */
static void test_calm_leaves_few_bins(void **state) {
    (void)state;
    for (size_t i = 0; i < 4; i++) {
        set_point(i, (double)i, i == 2 ? 7.0 : 10.0);
    }
    bins made = bins_of(4, 0.0);
    double diameter[4] = {10.0, 10.0, 7.0, 10.0};
    double calm[4];
    bins_calm(&made, diameter, 0.05, calm);
    for (size_t i = 0; i < 4; i++) {
        check_close(calm[i], diameter[i], 0.0, "mm");
    }
}

/* Variances of the median of three and five normal numbers, 0.4487 and 0.2868,
 * as tables of order statistics have them (from memory). */
static void test_windows_scatter_as_medians_do(void **state) {
    (void)state;
    static const struct {
        double smooth_mm;
        double variance;
    } table[] = {{2.0, 0.4487}, {4.0, 0.2868}};
    for (size_t i = 0; i < 100; i++) {
        set_point(i, (double)i, 10.0);
    }
    bins made = bins_of(100, 0.0);
    bins_window windows[100];
    for (size_t k = 0; k < 2; k++) {
        assert_int_equal(
            bins_windows(&made, table[k].smooth_mm, &owner, windows), BL_OK);
        bins_window middle = windows[50];
        double frames = (double)(middle.to - middle.from);
        check_close(frames, table[k].smooth_mm + 1.0, 0.0, "");
        check_relative(middle.scale * sqrt(frames), sqrt(table[k].variance),
                       0.005);
        /* At the ends the window shrinks to one. */
        check_close(windows[0].scale, 1.0, 1e-12, "");
        check_close(windows[99].scale, 1.0, 1e-12, "");
    }
}

/* 600 areas that scatter by 7 %: the median of residuals tells it to a few
 * percent of itself; on a slope nothing is added. */
static void test_scatter_of_frames(void **state) {
    (void)state;
    chance by = chance_start(3, 0);
    double share;
    for (size_t i = 0; i < FRAMES; i++) {
        set_point(i, 0.1 * (double)i, 10.0 + 0.05 * (double)i);
    }
    assert_int_equal(scatter_of_frames(points, FRAMES, &share), BL_OK);
    check_close(share, 0.0, 1e-4, "");
    for (size_t i = 0; i < FRAMES; i++) {
        points[i].raw_area_mm2 *= 1.0 + 0.07 * chance_bell(&by);
    }
    assert_int_equal(scatter_of_frames(points, FRAMES, &share), BL_OK);
    check_relative(share, 0.07, 0.15);
    assert_int_equal(scatter_of_frames(points, SCATTER_FRAMES + 1, &share),
                     BL_OK);
    check_unknown(share);
    assert_int_equal(scatter_of_frames(points, SCATTER_FRAMES + 2, &share),
                     BL_OK);
    assert_true(share > 0.0);
}

/* Eight batches with means 92, 94 .. 106: standard deviation 2 sqrt 6. */
static void test_scatter_of_mean(void **state) {
    (void)state;
    for (size_t i = 0; i < 80; i++) {
        set_point(i, (double)i, 10.0);
        points[i].raw_area_mm2 =
            92.0 + 2.0 * floor((double)i / 10.0) + (i % 2 == 0 ? 1.0 : -1.0);
    }
    scatter_mean mean = scatter_of_mean(points, 80, (bl_span){0.0, 79.0}, 0.01);
    check_relative(mean.share, 2.0 * sqrt(6.0) / 99.0 / sqrt(8.0), 1e-12);
    assert_int_equal(mean.freedom, 7);
    /* Batches that agree better than frames scatter: theirs counts. */
    mean = scatter_of_mean(points, 80, (bl_span){0.0, 79.0}, 0.5);
    check_relative(mean.share, 0.5 / sqrt(80.0), 1e-12);
    assert_int_equal(mean.freedom, 0);
    /* Eleven frames make no four batches of three. */
    mean = scatter_of_mean(points, 80, (bl_span){0.0, 10.0}, 0.01);
    check_relative(mean.share, 0.01 / sqrt(11.0), 1e-12);
    mean = scatter_of_mean(points, 80, (bl_span){0.0, 11.0}, 0.0);
    assert_int_equal(mean.freedom, 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_teardown(test_bins_hold_every_frame, tear_down),
        cmocka_unit_test_teardown(test_calm_keeps_a_parabola, tear_down),
        cmocka_unit_test_teardown(test_calm_leaves_few_bins, tear_down),
        cmocka_unit_test_teardown(test_windows_scatter_as_medians_do,
                                  tear_down),
        cmocka_unit_test(test_scatter_of_frames),
        cmocka_unit_test(test_scatter_of_mean),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
