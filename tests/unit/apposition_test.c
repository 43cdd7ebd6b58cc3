/*
 * apposition_test.c - a study that holds devices against the vein: which
 * contours it takes, wherever they stand in the table, and what it says when
 * one is missing.
 *
 * Contours are boxes and diamonds, whose areas, distances and angles follow
 * from their corners.
 */
#include "base/limits.h"
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define DEG (180.0 / PI)
#define HEAD "# step_mm = 0.5\nframe,kind,x_mm,y_mm\n"
#define TEXT_BYTES 60000

static bl_study *begin(const bl_study_options *options) {
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(options, &study), BL_OK);
    return study;
}

static bl_study *read_with(const char *text, const bl_study_options *options) {
    bl_study *study = begin(options);
    if (bl_study_feed(study, text, strlen(text)) != BL_OK ||
        bl_study_finish(study) != BL_OK) {
        fail_msg("%s\n%s", text, bl_study_message(study)->text);
    }
    return study;
}

static bl_study *read_text(const char *text) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS, .appose = true};
    return read_with(text, &options);
}

static const bl_apposition *only_one(const bl_study *study) {
    assert_int_equal(bl_study_apposition_count(study), 1);
    return bl_study_appositions(study);
}

#define BOX(frame, kind, x0, y0, x1, y1)                                       \
#frame "," #kind "," #x0 "," #y0 "\n" #frame "," #kind "," #x1 "," #y0     \
           "\n" #frame "," #kind "," #x1 "," #y1 "\n" #frame "," #kind "," #x0 \
           "," #y1 "\n"

static void test_against_the_vessel(void **state) {
    (void)state;
    bl_study *study = read_text(HEAD BOX(4, lumen, -2, -2, 2, 3) BOX(
        4, device, -3, -3, 3, 3) BOX(4, vessel, -4, -3.1, 5, 3.2));
    const bl_apposition *of = only_one(study);
    assert_int_equal(of->frame, 4);
    check_close(of->position_mm, 0.0, 0.0, "mm");
    assert_int_equal(bl_study_rows(study)[of->device].kind, BL_KIND_DEVICE);
    assert_int_equal(bl_study_rows(study)[of->lumen].kind, BL_KIND_LUMEN);
    assert_int_equal(bl_study_rows(study)[of->vessel].kind, BL_KIND_VESSEL);
    check_close(of->device_mm2, 36.0, 1e-13, "mm2");
    check_close(of->lumen_mm2, 20.0, 1e-13, "mm2");
    check_close(of->vessel_mm2, 9.0 * 6.3, 1e-13, "mm2");
    assert_true(of->is_held);
    assert_int_equal(of->outer, BL_KIND_VESSEL);
    /* The right side, 2 mm from the right wall, where it is no nearer to the
     * others: y from -1.1 to 1.2. */
    check_close(of->gap_mm, 2.0, 1e-11, "mm");
    assert_true(of->gap_deg <= atan2(1.2, 3.0) * DEG + 1e-9 ||
                of->gap_deg >= 360.0 - atan2(1.1, 3.0) * DEG - 1e-9);
    /* Off by more than 0.3 are the right and the left side but for what is near
     * the corners: y from -2.8 to 2.9. */
    double half = (atan2(2.9, 3.0) + atan2(2.8, 3.0)) * DEG;
    check_close(of->arc_deg, 2.0 * half, 1e-10, "deg");
    check_close(of->widest_arc_deg, half, 1e-10, "deg");
    /* Beside the device 2 and 1 mm over the height of the vessel, less what
     * lies beyond the rays through the ends: these rise from 2.9 to 3.2, and
     * fall from 2.8 to 3.1, within 0.3 * 3 / 2.9 and 0.3 * 3 / 2.8. */
    check_close(of->between_mm2, 3.0 * 6.3 - 0.3 * (0.9 / 2.9 + 0.9 / 2.8),
                1e-11, "mm2");
    check_close(of->outside_mm, 0.0, 0.0, "mm");
    check_unknown(of->outside_deg);
    check_close(of->outside_mm2, 0.0, 1e-13, "mm2");
    check_close(of->lumen_inside_mm2, 20.0, 1e-13, "mm2");
    check_close(of->tissue_mm2, 16.0, 1e-13, "mm2");
    bl_study_free(study);
}

/* A device of 6 by 6 in a vessel of 7 by 8, by hand. */
static void test_outside_the_vessel(void **state) {
    (void)state;
    bl_study *study = read_text(HEAD BOX(1, device, 0, 0, 6, 6)
                                    BOX(1, vessel, 1.5, -1, 8.5, 7));
    const bl_apposition *of = only_one(study);
    assert_int_equal(of->lumen, BL_NO_ROW);
    check_unknown(of->lumen_mm2);
    check_unknown(of->lumen_inside_mm2);
    check_unknown(of->tissue_mm2);
    check_close(of->outside_mm, 1.5, 1e-12, "mm");
    check_close(fabs(of->outside_deg - 180.0), 0.0, 45.0, "deg");
    check_close(of->outside_mm2, 9.0, 1e-12, "mm2");
    check_close(of->gap_mm, 2.5, 1e-12, "mm");
    bl_study_free(study);
}

/* Without a vessel contour: the lumen, unless it lies wholly inside. */
static void test_against_the_lumen(void **state) {
    (void)state;
    const struct {
        const char *text;
        bool held;
        double gap_mm;
        double outside_mm;
        double tissue_mm2;
    } cases[] = {
        {BOX(1, device, 0, 0, 6, 6) BOX(1, lumen, -1, -1, 7, 7), true, 1.0, 0.0,
         0.0},
        /* beyond it on the right only */
        {BOX(1, device, 0, 0, 6, 6) BOX(1, lumen, 1, 1, 8, 5), true, 2.0,
         sqrt(2.0), 16.0},
        {BOX(1, device, 0, 0, 6, 6) BOX(1, lumen, 1, 1, 5, 5), false,
         (double)NAN, (double)NAN, 20.0},
        /* the same, and all but the same */
        {BOX(1, device, 0, 0, 6, 6) BOX(1, lumen, 0, 0, 6, 6), true, 0.0, 0.0,
         0.0},
        {BOX(1, device, 0, 0, 6, 6) BOX(1, lumen, 0.2, 0.2, 5.8, 5.8), true,
         0.0, sqrt(0.08), 36.0 - 5.6 * 5.6},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[1000];
        (void)snprintf(text, sizeof text, "%s%s", HEAD, cases[i].text);
        bl_study *study = read_text(text);
        const bl_apposition *of = only_one(study);
        assert_int_equal(of->is_held, cases[i].held);
        check_close(of->tissue_mm2, cases[i].tissue_mm2, 1e-12, "mm2");
        check_close(of->lumen_inside_mm2, 36.0 - cases[i].tissue_mm2, 1e-12,
                    "mm2");
        if (cases[i].held) {
            assert_int_equal(of->outer, BL_KIND_LUMEN);
            check_close(of->gap_mm, cases[i].gap_mm, 1e-11, "mm");
            check_close(of->outside_mm, cases[i].outside_mm, 1e-11, "mm");
        } else {
            check_unknown(of->gap_mm);
            check_unknown(of->arc_deg);
            check_unknown(of->between_mm2);
            check_unknown(of->outside_mm);
        }
        bl_study_free(study);
    }
}

/* A contour that is left out is as good as none; what is there is told. */
static void test_left_out(void **state) {
    (void)state;
    static const char crossing[] = "1,vessel,0,0\n1,vessel,8,8\n1,vessel,8,0\n"
                                   "1,vessel,0,8\n";
    char text[1000];
    (void)snprintf(text, sizeof text, "%s%s%s%s", HEAD,
                   BOX(1, device, 1, 1, 5, 5), BOX(1, lumen, 0, 0, 6, 6),
                   crossing);
    bl_study *study = read_text(text);
    const bl_apposition *of = only_one(study);
    assert_true(of->vessel != BL_NO_ROW);
    check_unknown(of->vessel_mm2);
    assert_int_equal(of->outer, BL_KIND_LUMEN);
    check_close(of->gap_mm, 1.0, 1e-12, "mm");
    bl_study_free(study);
    study = read_text(HEAD "1,device,0,0\n1,device,8,8\n1,device,8,0\n"
                           "1,device,0,8\n" BOX(1, lumen, 0, 0, 6, 6));
    of = only_one(study);
    assert_false(of->is_held);
    check_unknown(of->device_mm2);
    check_close(of->lumen_mm2, 36.0, 1e-13, "mm2");
    check_unknown(of->tissue_mm2);
    check_unknown(of->gap_mm);
    bl_study_free(study);
}

/* Frames with a device and something to hold it against. */
static void test_which_frames(void **state) {
    (void)state;
    bl_study *study = read_text(
        HEAD BOX(1, lumen, 0, 0, 6, 6) BOX(2, device, 0, 0, 6, 6)
            BOX(3, lumen, 0, 0, 6, 6) BOX(3, device, 0, 0, 5, 6)
                BOX(5, vessel, 0, 0, 6, 6) BOX(5, device, 0, 0, 5, 5)
                    BOX(6, vessel, 0, 0, 6, 6) BOX(6, lumen, 0, 0, 5, 5));
    assert_int_equal(bl_study_apposition_count(study), 2);
    const bl_apposition *of = bl_study_appositions(study);
    assert_int_equal(of[0].frame, 3);
    check_close(of[0].position_mm, 1.0, 1e-12, "mm");
    assert_int_equal(of[1].frame, 5);
    check_close(of[1].position_mm, 2.0, 1e-12, "mm");
    bl_study_free(study);
}

/* ------------------------------------------------------------------ tables */

#define FRAMES 40
#define POINTS 24

/* One contour as rows; the device lies off centre by how far the frame is. */
static size_t write_contour(char *to, size_t room, int frame,
                            const char *kind) {
    bool device = strcmp(kind, "device") == 0;
    double radius = device ? 6.0 : strcmp(kind, "lumen") == 0 ? 6.5 : 8.0;
    size_t at = 0;
    for (int i = 0; i < POINTS; i++) {
        double angle = 2.0 * PI * i / POINTS;
        at += (size_t)snprintf(
            to + at, room - at, "%d,%s,%.3f,%.3f\n", frame, kind,
            radius * cos(angle) + (device ? 0.05 * frame : 0.0),
            radius * sin(angle));
    }
    return at;
}

static const char *const kinds[] = {"device", "vessel", "lumen"};

typedef void (*order)(int i, int *frame, const char **kind);

static void by_frame(int i, int *frame, const char **kind) {
    *frame = i / 3;
    *kind = kinds[i % 3];
}

static void by_kind(int i, int *frame, const char **kind) {
    *frame = i % FRAMES;
    *kind = kinds[i / FRAMES];
}

static void by_other_kind(int i, int *frame, const char **kind) {
    *frame = i % FRAMES;
    *kind = kinds[2 - i / FRAMES];
}

static void backwards(int i, int *frame, const char **kind) {
    by_frame(3 * FRAMES - 1 - i, frame, kind);
}

static void write_table(char text[3 * TEXT_BYTES], order in) {
    size_t at = (size_t)snprintf(text, TEXT_BYTES, "%s", HEAD);
    for (int i = 0; i < 3 * FRAMES; i++) {
        int frame;
        const char *kind;
        in(i, &frame, &kind);
        at += write_contour(text + at, 3 * TEXT_BYTES - at, frame, kind);
    }
    assert_true(at < 3 * TEXT_BYTES);
}

static void check_same(const bl_study *a, const bl_study *b) {
    assert_int_equal(bl_study_apposition_count(a), FRAMES);
    assert_int_equal(bl_study_apposition_count(b), FRAMES);
    for (size_t i = 0; i < FRAMES; i++) {
        const bl_apposition *p = &bl_study_appositions(a)[i];
        const bl_apposition *q = &bl_study_appositions(b)[i];
        assert_int_equal(p->frame, q->frame);
        assert_int_equal(p->device, q->device);
        assert_int_equal(p->outer, q->outer);
        assert_memory_equal(&p->gap_mm, &q->gap_mm,
                            sizeof *p - offsetof(bl_apposition, gap_mm));
    }
}

/* To the last byte, whatever the order of contours. */
static void test_order_of_the_table(void **state) {
    (void)state;
    static char text[3 * TEXT_BYTES];
    const order orders[] = {by_kind, by_other_kind, backwards};
    write_table(text, by_frame);
    bl_study *first = read_text(text);
    for (size_t i = 0; i < sizeof orders / sizeof orders[0]; i++) {
        write_table(text, orders[i]);
        bl_study *other = read_text(text);
        check_same(first, other);
        bl_study_free(other);
    }
    bl_study_free(first);
}

/* Image rows grow downwards; directions are those of y up. */
static void test_y_down(void **state) {
    (void)state;
    const char *const notes[] = {"", "# y_axis = down\n"};
    for (size_t i = 0; i < 2; i++) {
        char text[1000];
        (void)snprintf(text, sizeof text, "%s%s%s", notes[i], HEAD,
                       BOX(1, device, -1, -1, 1, 1)
                           BOX(1, vessel, -1.1, -1.1, 1.1, 9));
        bl_study *study = read_text(text);
        const bl_apposition *of = only_one(study);
        /* The side of the vessel at 9 is far from the middle of the device's,
         * but both walls beside are near: up or down. */
        check_close(of->gap_mm, 1.1, 1e-11, "mm");
        check_close(of->gap_deg, i == 0 ? 90.0 : 270.0, 1e-9, "deg");
        bl_study_free(study);
    }
}

/* ----------------------------------------------------------------- options */

static void test_not_asked_for(void **state) {
    (void)state;
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
    static const char text[] =
        HEAD BOX(1, device, 0, 0, 6, 6) BOX(1, vessel, 0, 0, 7, 7);
    bl_study *study = read_with(text, &options);
    assert_int_equal(bl_study_apposition_count(study), 0);
    bl_study_free(study);
    /* Points are kept for it alone, and not to be had. */
    study = read_text(text);
    assert_int_equal(bl_study_contour(study, 0).count, 0);
    bl_study_free(study);
    options.appose = true;
    options.keep_contours = true;
    study = read_with(text, &options);
    assert_int_equal(bl_study_contour(study, 0).count, 4);
    assert_int_equal(bl_study_apposition_count(study), 1);
    bl_study_free(study);
}

static void test_tolerance(void **state) {
    (void)state;
    static const char text[] =
        HEAD BOX(1, device, 0, 0, 6, 6) BOX(1, vessel, -0.25, -0.35, 6.5, 6.3);
    const struct {
        double given_mm;
        double used_mm;
        double arc_deg;
    } cases[] = {
        {0.0, 0.3, 0.0}, {0.4, 0.4, 0.0}, {0.6, 0.6, 0.0}, {0.2, 0.2, 360.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                    .appose = true,
                                    .tolerance_mm = cases[i].given_mm};
        bl_study *study = read_with(text, &options);
        check_close(bl_study_tolerance_mm(study), cases[i].used_mm, 0.0, "mm");
        double arc = only_one(study)->arc_deg;
        if (cases[i].used_mm < 0.5 && cases[i].used_mm > 0.25) {
            assert_true(arc > 45.0 && arc < 180.0);
        } else {
            check_close(arc, cases[i].arc_deg, 1e-10, "deg");
        }
        bl_study_free(study);
    }
    const double wrong[] = {-0.1, (double)NAN, HUGE_VAL};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        bl_study_options options = {.appose = true, .tolerance_mm = wrong[i]};
        bl_study *study = NULL;
        assert_int_equal(bl_study_new(&options, &study), BL_ERR_ARGUMENT);
        assert_null(study);
    }
}

static bl_status read_within(const char *text, uint64_t limit) {
    bl_study_options options = {
        .columns = BL_COLUMNS_ASSESS, .appose = true, .memory_limit = limit};
    bl_study *study = begin(&options);
    bl_status status = bl_study_feed(study, text, strlen(text));
    status = status == BL_OK ? bl_study_finish(study) : status;
    bl_study_free(study);
    return status;
}

/* Points, rows and what comes of them count against the limit. */
static void test_memory_limit(void **state) {
    (void)state;
    static const char text[] =
        HEAD BOX(1, device, 0, 0, 6, 6) BOX(1, vessel, 0, 0, 7, 7);
    uint64_t fits = 1 << 24;
    uint64_t not = 1;
    assert_int_equal(read_within(text, fits), BL_OK);
    while (fits - not > 1) {
        uint64_t middle = not +(fits - not ) / 2;
        bool is_fit = read_within(text, middle) == BL_OK;
        fits = is_fit ? middle : fits;
        not = is_fit ? not : middle;
    }
    assert_int_equal(read_within(text, not ), BL_ERR_LIMIT);
    assert_true(fits > 256 * (sizeof(bl_row) + sizeof(bl_apposition)));
}

/* Without a scale there is nothing to measure. */
static void test_unscaled(void **state) {
    (void)state;
    bl_study_options options = {
        .columns = BL_COLUMNS_ASSESS, .appose = true, .go_on = true};
    static const char text[] =
        "# step_mm = 1\nframe,kind,x_px,y_px\n" BOX(1, device, 0, 0, 6, 6)
            BOX(1, vessel, 0, 0, 7, 7);
    bl_study *study = begin(&options);
    bl_status status = bl_study_feed(study, text, strlen(text));
    if (status == BL_OK) {
        (void)bl_study_finish(study);
    }
    assert_int_equal(bl_study_apposition_count(study), 0);
    bl_study_free(study);
}

/* ------------------------------------------------------------------- folds */

/* Teeth between two levels on a bar, along y or along x. */
static size_t write_comb(char *to, size_t room, const char *kind, int teeth,
                         bool along_y) {
    size_t at = 0;
    for (int i = 0; i < teeth + 2; i++) {
        double x = 100.0 / teeth * (i < teeth ? i : i == teeth ? i - 1 : 0);
        double y = i < teeth ? (i % 2 == 0 ? -50.0 : 150.0) : -51.0;
        at += (size_t)snprintf(to + at, room - at, "1,%s,%.6f,%.6f\n", kind,
                               along_y ? 100.0 - y : x, along_y ? x : y);
    }
    return at;
}

static void test_given_up(void **state) {
    (void)state;
    static char text[3 * TEXT_BYTES];
    size_t at = (size_t)snprintf(text, sizeof text, "%s", HEAD);
    at += write_comb(text + at, sizeof text - at, "device", 600, false);
    at += write_comb(text + at, sizeof text - at, "vessel", 600, true);
    assert_true(at < sizeof text);
    bl_study *study = read_text(text);
    const bl_apposition *of = only_one(study);
    assert_true(of->is_held);
    check_unknown(of->gap_mm);
    check_unknown(of->arc_deg);
    bool told = false;
    for (size_t i = 0; i < bl_study_finding_count(study); i++) {
        const bl_finding *one = &bl_study_findings(study)[i];
        told = told || (one->frame == 1 &&
                        strstr(one->message.text, "could not be held against"));
    }
    assert_true(told);
    bl_study_free(study);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_the_vessel),
        cmocka_unit_test(test_outside_the_vessel),
        cmocka_unit_test(test_against_the_lumen),
        cmocka_unit_test(test_left_out),
        cmocka_unit_test(test_which_frames),
        cmocka_unit_test(test_order_of_the_table),
        cmocka_unit_test(test_y_down),
        cmocka_unit_test(test_not_asked_for),
        cmocka_unit_test(test_tolerance),
        cmocka_unit_test(test_memory_limit),
        cmocka_unit_test(test_unscaled),
        cmocka_unit_test(test_given_up),
    };
    return cmocka_run_group_tests_name("apposition", tests, NULL, NULL);
}
