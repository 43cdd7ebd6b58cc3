/*
 * check_test.c - what a check says of rows, at each limit of docs/formats.md
 * and one past it. Positions and points are such that limits are met exactly.
 */
#include "support/check.h"

#include "boreline.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define TEXT_BYTES 65536
/* Round and of 10 mm, so that nothing else is said. */
#define RADIUS_MM 5.0
#define POINTS 40

static char text[TEXT_BYTES];
static size_t held;

__attribute__((format(printf, 1, 2))) static void add(const char *format, ...) {
    va_list of;
    va_start(of, format);
    int size = vsnprintf(text + held, sizeof text - held, format, of);
    va_end(of);
    assert_in_range(size, 1, sizeof text - held - 1);
    held += (size_t)size;
}

static void begin_table(void) {
    held = 0;
}

static void add_round(long frame, const char *kind, double position_mm,
                      unsigned points) {
    add("frame %ld kind=%s position=%.17g\n", frame, kind, position_mm);
    for (unsigned i = 0; i < points; i++) {
        double angle = 2.0 * PI * i / points;
        add("%.6f %.6f\n", RADIUS_MM * cos(angle), RADIUS_MM * sin(angle));
    }
}

/* How many findings of the table have the words, listed or counted. */
static uint64_t times_said(const char *words) {
    bl_study_options how = {.columns = BL_COLUMNS_ASSESS |
                                       BL_BIT(BL_COL_EQUIVALENT_DIAMETER_MM),
                            .go_on = true};
    bl_assess_options options = bl_assess_defaults();
    bl_study *study = NULL;
    bl_check *check = NULL;
    uint64_t times = 0;
    assert_int_equal(bl_study_new(&how, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, text, held), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    assert_int_equal(bl_study_fault_count(study), 0);
    assert_int_equal(bl_check_study(study, NULL, &options, 0, &check), BL_OK);
    for (size_t i = 0; i < check->finding_count; i++) {
        const bl_finding *at = &check->findings[i];
        times += strstr(at->message.text, words) != NULL ? 1 + at->more : 0;
    }
    bl_check_free(check);
    bl_study_free(study);
    return times;
}

/* ------------------------------------------------------ along the pullback */

/* Five frames, the last of this number. */
static uint64_t untraced(long last) {
    static const long frames[] = {0, 2, 4, 6};
    begin_table();
    for (size_t i = 0; i < 4; i++) {
        add_round(frames[i], "lumen", (double)frames[i], POINTS);
    }
    /* Another kind is not traced. */
    add_round(7, "device", 7.0, POINTS);
    add_round(last, "lumen", (double)last, POINTS);
    return times_said("frames are traced, less than half");
}

static void test_half_traced(void **state) {
    (void)state;
    assert_int_equal(untraced(9), 0); /* 5 of 10 */
    assert_int_equal(untraced(10), 1);
    assert_int_equal(times_said("5 of 11 frames are traced"), 1);
}

/* Five steps, one of which is another than most. */
static uint64_t uneven(double usual_mm, double other_mm) {
    double position_mm = 0.0;
    begin_table();
    for (long frame = 0; frame < 6; frame++) {
        add_round(frame, "lumen", position_mm, POINTS);
        position_mm += frame == 2 ? other_mm : usual_mm;
    }
    return times_said("uneven spacing");
}

/* 1.5 times further and nearer, by steps that have few binary digits. */
static void test_uneven(void **state) {
    (void)state;
    const double little = 1.0 / 1024.0;
    assert_int_equal(uneven(1.0, 1.5), 0);
    assert_int_equal(uneven(1.0, 1.5 + little), 1);
    assert_int_equal(uneven(1.5, 1.0), 0);
    assert_int_equal(uneven(1.5, 1.0 - little), 1);
    assert_int_equal(uneven(1.0, 0.0), 0); /* held in place */
}

/* A step of over 5 mm is a gap, and said as that. */
static void test_gap_or_uneven(void **state) {
    (void)state;
    assert_int_equal(uneven(1.0, 5.0), 1);
    assert_int_equal(times_said("no usable frame from"), 0);
    assert_int_equal(uneven(1.0, 5.0 + 1.0 / 1024.0), 0);
    assert_int_equal(times_said("no usable frame from"), 1);
}

/* ------------------------------------------------------------------ points */

/* Five frames of `usual` points but the third. */
static void points_amid(unsigned usual, unsigned third) {
    begin_table();
    for (long frame = 0; frame < 5; frame++) {
        add_round(frame, "lumen", (double)frame, frame == 2 ? third : usual);
    }
}

static void test_few_points(void **state) {
    (void)state;
    points_amid(24, 24);
    assert_int_equal(times_said("fewer than 24 read the area low"), 0);
    points_amid(24, 23);
    assert_int_equal(times_said("23 points; fewer than 24 read"), 1);
}

static uint64_t fewer_points(unsigned usual, unsigned third) {
    points_amid(usual, third);
    return times_said("is a part of it missing?");
}

/* Fewer than half of those beside it, an odd number of them too. */
static void test_half_the_points(void **state) {
    (void)state;
    assert_int_equal(fewer_points(80, 40), 0);
    assert_int_equal(fewer_points(80, 39), 1);
    assert_int_equal(fewer_points(81, 41), 0);
    assert_int_equal(fewer_points(81, 40), 1);
}

/* Of both sides the fewer count; of the two nearest at an end. */
static void test_beside_at_an_end(void **state) {
    (void)state;
    static const unsigned points[][3] = {
        {39, 80, 80}, {40, 80, 80}, {39, 80, 78}, {80, 80, 39}, {78, 80, 39}};
    static const uint64_t said[] = {1, 0, 0, 1, 0};
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        begin_table();
        for (long frame = 0; frame < 3; frame++) {
            add_round(frame, "lumen", (double)frame, points[i][frame]);
        }
        assert_int_equal(times_said("is a part of it missing?"), said[i]);
    }
}

static uint64_t doubled(unsigned usual, unsigned third) {
    points_amid(usual, third);
    return times_said("was it traced twice?");
}

/* Two tracings may share two points; they are no more than twice as many, and
 * as many as 24 are a tracing. */
static void test_twice_the_points(void **state) {
    (void)state;
    assert_int_equal(doubled(30, 57), 0);
    assert_int_equal(doubled(30, 58), 1);
    assert_int_equal(doubled(30, 60), 1);
    assert_int_equal(doubled(30, 61), 0);
    assert_int_equal(doubled(24, 48), 1);
    assert_int_equal(doubled(23, 46), 0);
}

/* A round contour, gone around twice: it crosses itself. */
static void add_wound(long frame, unsigned points) {
    add("frame %ld position=%ld\n", frame, frame);
    for (unsigned i = 0; i < points; i++) {
        double angle = 4.0 * PI * i / points;
        double radius = RADIUS_MM + 0.01 * i / points;
        add("%.6f %.6f\n", radius * cos(angle), radius * sin(angle));
    }
}

static uint64_t crossing_doubled(unsigned before, unsigned third,
                                 unsigned after) {
    begin_table();
    add_round(0, "lumen", 0.0, before);
    add_round(1, "lumen", 1.0, before);
    add_wound(2, third);
    add_round(3, "lumen", 3.0, after);
    add_round(4, "lumen", 4.0, after);
    assert_int_equal(times_said("contour left out: an edge crosses another"),
                     1);
    return times_said("was it traced twice?");
}

/* One that crosses has twice the points of the side that has more, or more. */
static void test_crossing_twice_the_points(void **state) {
    (void)state;
    assert_int_equal(crossing_doubled(30, 57, 30), 0);
    assert_int_equal(crossing_doubled(30, 58, 30), 1);
    assert_int_equal(crossing_doubled(30, 75, 30), 1);
    assert_int_equal(crossing_doubled(30, 65, 34), 0);
    assert_int_equal(crossing_doubled(30, 66, 34), 1);
}

/* Four rows away, by whatever kinds were traced, is beside; five is not. */
static void test_rows_beside(void **state) {
    (void)state;
    for (int more = 0; more < 2; more++) {
        begin_table();
        add_round(0, "lumen", 0.0, 30);
        add_round(0, "device", 0.0, 30);
        add_round(0, "vessel", 0.0, 30);
        if (more) {
            add_round(1, "device", 1.0, 30);
        }
        add_round(1, "vessel", 1.0, 30);
        add_round(2, "lumen", 2.0, 60);
        add_round(3, "lumen", 3.0, 30);
        assert_int_equal(times_said("was it traced twice?"), more ? 0 : 1);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_half_traced),
        cmocka_unit_test(test_uneven),
        cmocka_unit_test(test_gap_or_uneven),
        cmocka_unit_test(test_few_points),
        cmocka_unit_test(test_half_the_points),
        cmocka_unit_test(test_beside_at_an_end),
        cmocka_unit_test(test_twice_the_points),
        cmocka_unit_test(test_crossing_twice_the_points),
        cmocka_unit_test(test_rows_beside),
    };
    return cmocka_run_group_tests_name("check", tests, NULL, NULL);
}
