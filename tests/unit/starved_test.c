/*
 * starved_test.c - a study that holds devices against the vein, and two
 * contours, when memory runs out: with each allocation failing in turn, and all
 * behind it, the answer is that, and nothing is lost.
 *
 * The Makefile links this program with --wrap.
 */
#include "faults/failing.h"
#include "geometry/pair.h"
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Calls it with the first, second, ... allocation failing until none does. */
static void starve(bl_status (*work)(void)) {
    size_t failed = 0;
    bl_status status;
    do {
        failing_made = 0;
        failing_from = failed + 1;
        status = work();
        failed += status != BL_OK;
        assert_true(status == BL_OK || status == BL_ERR_MEMORY);
    } while (status != BL_OK);
    failing_from = 0;
    assert_true(failed > 10);
    assert_int_equal(failing_made, failed);
}

#define FRAMES 70 /* more than there is room for at first */
#define POINTS 40

static char text[8 * FRAMES * POINTS * 40];

static void write_frame(size_t *at, int frame, const char *kind,
                        double radius) {
    for (int i = 0; i < POINTS; i++) {
        double angle = 2.0 * 3.14159265358979323846 * i / POINTS;
        *at += (size_t)snprintf(
            text + *at, sizeof text - *at, "%d,%s,%.3f,%.3f\n", frame, kind,
            radius * cos(angle) + (radius < 7 ? 0.5 : 0), radius * sin(angle));
    }
}

static bl_status read_text(void) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS, .appose = true};
    bl_study *study = NULL;
    bl_status status = bl_study_new(&options, &study);
    if (status == BL_OK) {
        status = bl_study_feed(study, text, strlen(text));
        status = status == BL_OK ? bl_study_finish(study) : status;
        size_t count = bl_study_apposition_count(study);
        if (status == BL_OK) {
            assert_int_equal(count, FRAMES);
        }
        assert_int_equal(bl_study_contour(study, 0).count, 0);
    }
    bl_study_free(study);
    return status;
}

static void test_study(void **state) {
    (void)state;
    size_t at = (size_t)snprintf(text, sizeof text,
                                 "# step_mm = 1\nframe,kind,x_mm,y_mm\n");
    for (int i = 0; i < FRAMES; i++) {
        write_frame(&at, i, "device", 6.0);
        write_frame(&at, i, "vessel", 7.0 + 0.01 * i);
    }
    starve(read_text);
}

static shape one;
static shape other;

static bl_status find_pair(void) {
    pair_measures found = {.arcs = 77};
    bl_contour a = shape_contour(&one);
    bl_contour b = shape_contour(&other);
    pair_finder *finder = pair_new();
    bl_status status = BL_ERR_MEMORY;
    if (finder != NULL) {
        status = pair_find(finder, &a, &b, PAIR_ALL, 0.3, &found);
    }
    /* Untouched on an error. */
    assert_int_equal(found.arcs == 77, status != BL_OK);
    pair_free(finder);
    return status;
}

static void test_pair(void **state) {
    (void)state;
    dice from = {5};
    shape_random_bent(&one, &from, 300);
    shape_random_star(&other, &from, 400, 0.05);
    starve(find_pair);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_study),
        cmocka_unit_test(test_pair),
    };
    return cmocka_run_group_tests_name("starved", tests, NULL, NULL);
}
