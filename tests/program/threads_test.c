/*
 * threads_test.c - a table measured on any number of threads is the same to
 * the last byte, and so are its errors.
 */
#include "support/check.h"
#include "support/folder.h"
#include "support/shapes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FRAMES 700
#define POINTS 200

static char folder[FOLDER_BYTES];
static char path[FOLDER_BYTES + 16];

/* Noisy round frames, some crossing, some of few points, one very large. */
static void write_table(const char *last_line) {
    FILE *to = fopen(path, "w");
    dice from = {3};
    assert_non_null(to);
    (void)fputs("# step_mm = 0.1\nframe,x_mm,y_mm\n", to);
    for (int frame = 0; frame < FRAMES; frame++) {
        int points = frame % 50 == 7 ? 2 : frame == 100 ? 40000 : POINTS;
        for (int i = 0; i < points; i++) {
            double noise = (double)(dice_next(&from) % 1000) / 1000.0;
            double angle = 6.283185307179586 * i / points;
            double radius = 6.0 + sin(frame / 40.0) + 0.1 * noise +
                            (frame % 60 == 11 ? 5.0 * noise : 0.0);
            double wind = frame % 90 == 13 ? 2.0 * angle : angle;
            if (frame % 70 == 21 && i == 50) {
                radius *= 3.0; /* a stray point */
            }
            (void)fprintf(to, "%d,%.3f,%.3f\n", frame, radius * cos(wind),
                          radius * sin(wind));
        }
    }
    (void)fputs(last_line, to);
    assert_int_equal(fclose(to), 0);
}

static bl_study *read_with(unsigned threads, bool keep, bl_status expected,
                           bl_message *message) {
    bl_study_options options = {
        .columns = BL_COLUMNS_ALL, .keep_contours = keep, .appose = true};
    bl_read_options how = {.threads = threads};
    bl_source source;
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_read(study, path, &how, &source, message),
                     expected);
    return study;
}

static void check_same(const bl_study *a, const bl_study *b) {
    assert_int_equal(bl_study_row_count(a), bl_study_row_count(b));
    for (size_t i = 0; i < bl_study_row_count(a); i++) {
        const bl_row *p = &bl_study_rows(a)[i];
        const bl_row *q = &bl_study_rows(b)[i];
        assert_int_equal(p->frame, q->frame);
        assert_int_equal(p->kind, q->kind);
        assert_int_equal(p->points, q->points);
        assert_memory_equal(&p->time_s, &q->time_s, sizeof p->time_s);
        assert_memory_equal(&p->position_mm, &q->position_mm,
                            sizeof p->position_mm);
        assert_int_equal(bl_study_line(a, i), bl_study_line(b, i));
        assert_memory_equal(&p->measures, &q->measures,
                            offsetof(bl_measures, flags));
        assert_int_equal(p->measures.flags, q->measures.flags);
    }
}

static void check_same_findings(const bl_study *a, const bl_study *b) {
    assert_int_equal(bl_study_fault_count(a), bl_study_fault_count(b));
    assert_int_equal(bl_study_finding_count(a), bl_study_finding_count(b));
    for (size_t i = 0; i < bl_study_finding_count(a); i++) {
        const bl_finding *p = &bl_study_findings(a)[i];
        const bl_finding *q = &bl_study_findings(b)[i];
        assert_string_equal(p->message.text, q->message.text);
        assert_int_equal(p->message.status, q->message.status);
        assert_int_equal(p->message.line, q->message.line);
        assert_int_equal(p->message.column, q->message.column);
        assert_int_equal(p->frame, q->frame);
        assert_int_equal(p->more, q->more);
    }
}

static void check_same_contours(const bl_study *a, const bl_study *b) {
    for (size_t i = 0; i < bl_study_row_count(a); i++) {
        bl_contour p = bl_study_contour(a, i);
        bl_contour q = bl_study_contour(b, i);
        assert_true(p.count > 0);
        assert_int_equal(p.count, q.count);
        assert_memory_equal(p.x_mm, q.x_mm, p.count * sizeof *p.x_mm);
        assert_memory_equal(p.y_mm, q.y_mm, p.count * sizeof *p.y_mm);
    }
}

static int make_folder(void **state) {
    (void)state;
    folder_make(folder);
    (void)snprintf(path, sizeof path, "%s/table.csv", folder);
    return 0;
}

static int remove_folder(void **state) {
    (void)state;
    folder_remove(folder);
    return 0;
}

static void test_same_rows(void **state) {
    (void)state;
    bl_message message;
    write_table("");
    bl_study *alone = read_with(1, true, BL_OK, &message);
    assert_int_equal(bl_study_row_count(alone), FRAMES);
    assert_true(bl_study_finding_count(alone) > 2); /* stray points at least */
    static const unsigned counts[] = {2, 3, 8, 64};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        bool keep = i % 2 == 0;
        bl_study *many = read_with(counts[i], keep, BL_OK, &message);
        check_same(alone, many);
        check_same_findings(alone, many);
        if (keep) {
            check_same_contours(alone, many);
        }
        bl_study_free(many);
    }
    bl_study_free(alone);
}

static void test_same_errors(void **state) {
    (void)state;
    static const char *const last[] = {"900,a,1\n",
                                       "901,1e308,1e308\n902,1,1\n", "3,0,0\n"};
    for (size_t i = 0; i < sizeof last / sizeof last[0]; i++) {
        bl_message one = {0};
        bl_message more = {0};
        write_table(last[i]);
        /* The second is measured, and flagged out of range. */
        bl_status expected = i == 1 ? BL_OK : BL_ERR_INPUT;
        bl_study_free(read_with(1, false, expected, &one));
        bl_study_free(read_with(2, false, expected, &more));
        assert_int_equal(one.line, more.line);
        assert_string_equal(one.text, more.text);
    }
}

/* Devices in one half of the table, lumens in the other, some of them crossing
 * or of few points. */
static void write_devices(void) {
    FILE *to = fopen(path, "w");
    dice from = {4};
    assert_non_null(to);
    (void)fputs("# step_mm = 0.1\nframe,kind,x_mm,y_mm\n", to);
    for (int row = 0; row < 2 * FRAMES; row++) {
        bool device = row < FRAMES;
        int points = row % 50 == 7 ? 2 : 60;
        for (int i = 0; i < points; i++) {
            double angle = 6.283185307179586 * i / points;
            double radius = (device ? 6.0 : 6.3) +
                            (row % 60 == 11 ? 5.0 : 0.3) *
                                (double)(dice_next(&from) % 1000) / 1000.0;
            (void)fprintf(to, "%d,%s,%.3f,%.3f\n", row % FRAMES,
                          device ? "device" : "lumen", radius * cos(angle),
                          radius * sin(angle));
        }
    }
    assert_int_equal(fclose(to), 0);
}

static void test_same_appositions(void **state) {
    (void)state;
    bl_message message;
    write_devices();
    bl_study *alone = read_with(1, false, BL_OK, &message);
    size_t count = bl_study_apposition_count(alone);
    assert_int_equal(count, FRAMES);
    static const unsigned counts[] = {2, 7};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        bl_study *many = read_with(counts[i], i == 0, BL_OK, &message);
        assert_int_equal(bl_study_apposition_count(many), count);
        for (size_t k = 0; k < count; k++) {
            const bl_apposition *p = &bl_study_appositions(alone)[k];
            const bl_apposition *q = &bl_study_appositions(many)[k];
            assert_int_equal(p->device, q->device);
            assert_int_equal(p->is_held, q->is_held);
            assert_memory_equal(&p->gap_mm, &q->gap_mm,
                                sizeof *p - offsetof(bl_apposition, gap_mm));
        }
        bl_study_free(many);
    }
    bl_study_free(alone);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same_rows),
        cmocka_unit_test(test_same_errors),
        cmocka_unit_test(test_same_appositions),
    };
    return cmocka_run_group_tests_name("threads", tests, make_folder,
                                       remove_folder);
}
