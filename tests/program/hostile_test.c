/*
 * hostile_test.c - inputs made to take long: contours of 100,000 points and
 * tables in which nothing is right. Each would take minutes if the work grew
 * with the square of the input; no clock is looked at, since a test that does
 * not end is noticed.
 */
#include "support/check.h"

#include "base/limits.h"
#include "boreline.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define POINTS 100000
#define ROWS 1000000
#define FRAMES 300000
#define COMMENTS 20000
#define CHANNEL 4000
#define PI 3.14159265358979323846

typedef void (*point_maker)(size_t i, double *x, double *y);

static double turn(size_t i) {
    return 2.0 * PI * (double)i / POINTS;
}

/* Every second point near the centre. */
static void star(size_t i, double *x, double *y) {
    double radius = i % 2 == 0 ? 10.0 : 5.0;
    *x = radius * cos(turn(i));
    *y = radius * sin(turn(i));
}

/* Narrow teeth on a back. */
static void comb(size_t i, double *x, double *y) {
    *x = i == 0 ? 0.0 : i == POINTS - 1 ? 20.0 : 20.0 * (double)i / POINTS;
    *y = i == 0 || i == POINTS - 1 ? -1.0 : i % 2 == 0 ? 0.0 : 10.0;
}

/* A ribbon wound up: outward along one side, back along the other. */
static void spiral(size_t i, double *x, double *y) {
    bool back = i >= POINTS / 2;
    double part = (double)(back ? POINTS - 1 - i : i) / POINTS;
    double radius = 1.0 + 18.0 * part + (back ? 0.2 : 0.0);
    *x = radius * cos(40.0 * PI * part);
    *y = radius * sin(40.0 * PI * part);
}

/* A band whose both sides go up and down together. */
static void zigzag(size_t i, double *x, double *y) {
    bool back = i >= POINTS / 2;
    size_t along = back ? POINTS - 1 - i : i;
    *x = 40.0 * (double)along / POINTS;
    *y = (along % 2 == 0 ? 0.0 : 5.0) + (back ? 0.5 : 0.0);
}

/* The fractional parts of multiples of irrational numbers fill a square. */
static void scattered(size_t i, double *x, double *y) {
    *x = 20.0 * fmod((double)i * 0.6180339887498949, 1.0);
    *y = 20.0 * fmod((double)i * 0.4142135623730951, 1.0);
}

static void on_a_line(size_t i, double *x, double *y) {
    *x = fmod((double)i * 7919.0, POINTS) / 1024.0;
    *y = 0.5 * *x;
}

static void all_the_same(size_t i, double *x, double *y) {
    (void)i;
    *x = 3.0;
    *y = 4.0;
}

static void two_in_turn(size_t i, double *x, double *y) {
    *x = i % 2 == 0 ? 1.0 : 2.0;
    *y = i % 2 == 0 ? 3.0 : 5.0;
}

static bl_measures measure(point_maker make, uint32_t columns) {
    double *x = malloc(POINTS * sizeof *x);
    double *y = malloc(POINTS * sizeof *y);
    assert_non_null(x);
    assert_non_null(y);
    for (size_t i = 0; i < POINTS; i++) {
        make(i, &x[i], &y[i]);
    }
    bl_measurer *measurer = NULL;
    bl_measures out;
    bl_contour contour = {x, y, POINTS};
    assert_int_equal(bl_measurer_new(columns, &measurer), BL_OK);
    assert_int_equal(bl_measurer_measure(measurer, &contour, &out), BL_OK);
    bl_measurer_free(measurer);
    free(x);
    free(y);
    return out;
}

static void simple_contours_end(void **state) {
    /* The comb is enough of a search that ends at the bound on its work. */
    const uint32_t circle = BL_BIT(BL_COL_INSCRIBED_DIAMETER_MM);
    (void)state;
    /* Triangles from the centre, two sides and the angle between. */
    bl_measures of = measure(star, BL_COLUMNS_ALL);
    assert_int_equal(of.flags, 0);
    check_relative(of.area_mm2, POINTS * 0.5 * 50.0 * sin(turn(1)), 1e-12);
    of = measure(comb, BL_COLUMNS_ALL);
    assert_int_equal(of.flags & BL_FLAGS_LEFT_OUT, 0);
    of = measure(spiral, BL_COLUMNS_ALL);
    assert_int_equal(of.flags & BL_FLAGS_LEFT_OUT, 0);
    of = measure(zigzag, BL_COLUMNS_ALL & ~circle);
    assert_int_equal(of.flags & BL_FLAGS_LEFT_OUT, 0);
    /* Width times height of the band, whatever it does on its way. */
    check_relative(of.area_mm2, 0.5 * 40.0 * (POINTS / 2 - 1) / POINTS, 1e-9);
}

static void degenerate_contours_end(void **state) {
    (void)state;
    assert_int_equal(measure(scattered, BL_COLUMNS_ALL).flags,
                     BL_FLAG_CROSSING);
    assert_int_equal(measure(on_a_line, BL_COLUMNS_ALL).flags, BL_FLAG_NO_AREA);
    assert_int_equal(measure(all_the_same, BL_COLUMNS_ALL).flags,
                     BL_FLAG_FEW_POINTS);
    assert_int_equal(measure(two_in_turn, BL_COLUMNS_ALL).flags,
                     BL_FLAG_NO_AREA);
}

/* ------------------------------------------------------------------ tables */

static bl_study *begin(const char *header) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS, .go_on = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, header, strlen(header)), BL_OK);
    return study;
}

static void a_table_of_faults_ends(void **state) {
    static const char *const rows[] = {"x,1,2\n", "1,x,2\n", "1,2\n",
                                       "1,2,3,4\n", "-1,2,3\n"};
    (void)state;
    bl_study *study = begin("frame,x_mm,y_mm\n");
    for (size_t i = 0; i < ROWS; i++) {
        const char *row = rows[i % 5];
        assert_int_equal(bl_study_feed(study, row, strlen(row)), BL_OK);
    }
    /* No contour, and the faults say why. */
    assert_int_equal(bl_study_finish(study), BL_OK);
    assert_int_equal(bl_study_row_count(study), 0);
    assert_int_equal(bl_study_fault_count(study), ROWS);
    size_t listed = bl_study_finding_count(study);
    const bl_finding *findings = bl_study_findings(study);
    assert_true(listed <= 5 * LIMIT_REPEATS);
    uint64_t counted = listed;
    for (size_t i = 0; i < listed; i++) {
        counted += findings[i].more;
    }
    assert_int_equal(counted, ROWS);
    bl_study_free(study);
}

/* A channel wound up in eighty turns, every place as good as any other, as in
 * tests/unit/inscribed_test.c. */
static void channel(size_t i, double *x, double *y) {
    bool back = i >= CHANNEL / 2;
    double part =
        (double)(back ? CHANNEL - 1 - i : i) / (double)(CHANNEL / 2 - 1);
    double turns = 1.0 + 80.0 * part;
    double radius = 0.05 * turns - (back ? 0.03 : 0.0);
    *x = radius * cos(2.0 * PI * turns);
    *y = radius * sin(2.0 * PI * turns);
}

/* The bound on the search for its circle is met: the cell stays empty, which is
 * told, and not of the triangle beside it. */
static void a_circle_is_given_up(void **state) {
    char row[128];
    (void)state;
    bl_study_options options = {.columns = BL_COLUMNS_ALL};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    static const char begin_with[] =
        "# step_mm = 1\nframe,x_mm,y_mm\n6,1,2\n6,5,2\n6,1,7\n";
    assert_int_equal(bl_study_feed(study, begin_with, strlen(begin_with)),
                     BL_OK);
    for (size_t i = 0; i < CHANNEL; i++) {
        double x;
        double y;
        channel(i, &x, &y);
        int size = snprintf(row, sizeof row, "7,%.17g,%.17g\n", x, y);
        assert_int_equal(bl_study_feed(study, row, (size_t)size), BL_OK);
    }
    assert_int_equal(bl_study_finish(study), BL_OK);
    const bl_row *rows = bl_study_rows(study);
    assert_int_equal(bl_study_row_count(study), 2);
    check_close(rows[0].measures.inscribed_diameter_mm,
                20.0 / (9.0 + sqrt(41.0)) * 2.0, 1e-4, "mm");
    assert_int_equal(rows[1].measures.flags & BL_FLAGS_LEFT_OUT, 0);
    check_unknown(rows[1].measures.inscribed_diameter_mm);
    assert_true(rows[1].measures.area_mm2 > 0.0);
    size_t told = 0;
    for (size_t i = 0; i < bl_study_finding_count(study); i++) {
        const bl_finding *one = &bl_study_findings(study)[i];
        if (strstr(one->message.text, "largest circle inside") != NULL) {
            told++;
            assert_int_equal(one->frame, 7);
            assert_int_equal(one->message.line, 6);
        }
    }
    assert_int_equal(told, 1);
    bl_study_free(study);
}

/* Frames fall, so that sorting has work, and each comes back once. */
static void a_frame_a_row_ends(void **state) {
    char row[64];
    (void)state;
    bl_study *study = begin("# step_mm = 0.001\nframe,x_mm,y_mm\n");
    for (size_t i = 0; i < FRAMES; i++) {
        int size = snprintf(row, sizeof row, "%zu,1,2\n",
                            (FRAMES - 1 - i) % (FRAMES / 2));
        assert_int_equal(bl_study_feed(study, row, (size_t)size), BL_OK);
    }
    assert_int_equal(bl_study_finish(study), BL_OK);
    assert_int_equal(bl_study_row_count(study), FRAMES);
    assert_int_equal(bl_study_fault_count(study), FRAMES / 2);
    bl_study_free(study);
}

/* A line of just the limit, of nothing but separators. */
static void a_header_of_separators_ends(void **state) {
    static const char separators[] = {',', ';', '\t', ' '};
    (void)state;
    char *header = malloc(LIMIT_LINE_BYTES + 1);
    assert_non_null(header);
    for (size_t i = 0; i < sizeof separators; i++) {
        memset(header, separators[i], LIMIT_LINE_BYTES);
        header[LIMIT_LINE_BYTES - 1] = 'x'; /* else it is an empty row */
        header[LIMIT_LINE_BYTES] = '\n';
        bl_study *study = begin("");
        bl_status status = bl_study_feed(study, header, LIMIT_LINE_BYTES + 1);
        if (status == BL_OK) {
            status = bl_study_finish(study);
        }
        /* Any number of blanks is one separator. */
        bool blank = separators[i] == ' ';
        assert_int_equal(status, blank ? BL_OK : BL_ERR_LIMIT);
        assert_int_equal(bl_study_fault_count(study), blank ? 2 : 0);
        bl_study_free(study);
    }
    free(header);
}

/* Comments that are looked at for a note without its sign, at every word. */
static void comments_of_separators_end(void **state) {
    static char line[LIMIT_NOTE_BYTES];
    (void)state;
    bl_study *study = begin("# step_mm = 1\n");
    memset(line, ',', sizeof line);
    line[0] = '#';
    line[sizeof line - 2] = 'x'; /* else the separators are dropped */
    line[sizeof line - 1] = '\n';
    for (size_t i = 0; i < COMMENTS; i++) {
        assert_int_equal(bl_study_feed(study, line, sizeof line), BL_OK);
    }
    static const char table[] = "frame,x_mm,y_mm\n1,2,3\n";
    assert_int_equal(bl_study_feed(study, table, strlen(table)), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    assert_int_equal(bl_study_row_count(study), 1);
    assert_int_equal(bl_study_finding_count(study), 0);
    bl_study_free(study);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(simple_contours_end),
        cmocka_unit_test(degenerate_contours_end),
        cmocka_unit_test(a_table_of_faults_ends),
        cmocka_unit_test(a_circle_is_given_up),
        cmocka_unit_test(a_frame_a_row_ends),
        cmocka_unit_test(a_header_of_separators_ends),
        cmocka_unit_test(comments_of_separators_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
