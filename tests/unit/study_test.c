/*
 * study_test.c - what a study holds at its end: rows in order with their own
 * contours, the pullback described, warnings, and calls out of turn.
 */
#include "study/batch.h"
#include "study/store.h"
#include "support/check.h"
#include "support/table.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FRAMES 60

/* Frames shuffled, two kinds each, positions falling with the frame number:
 * every row must keep its own area and points. */
static void test_order(void **state) {
    (void)state;
    static char text[FRAMES * 400];
    long order[FRAMES];
    dice from = {77};
    for (long i = 0; i < FRAMES; i++) {
        order[i] = i;
    }
    for (size_t i = FRAMES - 1; i > 0; i--) {
        size_t other = dice_next(&from) % (i + 1);
        long swapped = order[i];
        order[i] = order[other];
        order[other] = swapped;
    }
    size_t at = 0;
    for (size_t i = 0; i < FRAMES; i++) {
        static const char *const kinds[] = {"vessel", "lumen"};
        for (int k = 0; k < 2; k++) {
            long side = order[i] + 1;
            at += (size_t)snprintf(
                text + at, sizeof text - at,
                "frame %ld kind=%s position=%ld\n%d 0\n%ld 0\n%ld %ld\n",
                order[i], kinds[k], FRAMES - order[i], k, side + k, side + k,
                side);
        }
    }
    bl_study *study = table_study(text, BL_COLUMNS_ASSESS);
    assert_int_equal(bl_study_row_count(study), 2 * FRAMES);
    for (size_t i = 0; i < 2 * FRAMES; i++) {
        const bl_row *row = &bl_study_rows(study)[i];
        long frame = FRAMES - 1 - (long)(i / 2);
        double side = (double)frame + 1.0;
        bl_contour contour = bl_study_contour(study, i);
        assert_int_equal(row->frame, frame);
        assert_int_equal(row->kind,
                         i % 2 == 0 ? BL_KIND_LUMEN : BL_KIND_VESSEL);
        check_close(row->position_mm, (double)(FRAMES - frame), 0.0, "mm");
        check_relative(row->measures.area_mm2, side * side / 2.0, 1e-14);
        assert_int_equal(contour.count, 3);
        check_close(contour.x_mm[0], i % 2 == 0 ? 1.0 : 0.0, 0.0, "mm");
        check_close(contour.y_mm[2], side, 0.0, "mm");
    }
    check_close(bl_study_pullback(study)->length_mm, FRAMES - 1, 0.0, "mm");
    bl_study_free(study);
}

static void test_description(void **state) {
    (void)state;
    bl_study *study = table_study(
        "# case = invented\n# side = right\n# reader = r\n# stage = after\n"
        "# travel = cranial\n# y_axis = down\n# mm_per_px_x = 0.5\n"
        "# mm_per_px_y = 0.25\n# step_mm = 1\nframe,x,y,point,extra,more\n"
        "0,0,0,1,a,b\n0,4,0,2,a,b\n0,4,3,3,a,b\n",
        BL_COLUMNS_ALL);
    const bl_pullback *of = bl_study_pullback(study);
    assert_string_equal(of->case_name, "invented");
    assert_string_equal(of->side, "right");
    assert_string_equal(of->reader, "r");
    assert_string_equal(of->stage, "after");
    assert_int_equal(of->travel, BL_END_CRANIAL);
    assert_true(of->y_down);
    check_close(of->mm_per_px_x, 0.5, 0.0, "mm");
    check_close(of->mm_per_px_y, 0.25, 0.0, "mm");
    check_close(of->step_mm, 1.0, 0.0, "mm");
    check_unknown(of->speed_mm_per_s);
    check_unknown(of->frame_rate_hz);
    assert_int_equal(of->shape, BL_SHAPE_LONG);
    assert_int_equal(of->separator, ',');
    assert_int_equal(of->points, 3);
    assert_int_equal(bl_study_finding_count(study), 3);
    const bl_finding *said = bl_study_findings(study);
    assert_string_equal(said[0].message.text,
                        "2 unknown columns are ignored, the first is 'extra'");
    /* The circle of 0.75 mm2 is 0.977 mm wide. */
    assert_non_null(strstr(said[1].message.text, "diameter is 0.98 mm"));
    assert_non_null(strstr(said[2].message.text, "0.500000 mm across"));
    check_close(bl_study_rows(study)[0].measures.area_mm2, 0.75, 1e-15, "mm2");
    check_close(bl_study_contour(study, 0).y_mm[2], -0.75, 0.0, "mm");
    bl_study_free(study);
    study = table_study("# step_mm = 1\nframe,x_mm,y_mm\n" TABLE_TRIANGLE,
                        BL_COLUMNS_ALL);
    of = bl_study_pullback(study);
    assert_string_equal(of->case_name, "");
    assert_int_equal(of->travel, BL_END_CAUDAL);
    check_unknown(of->mm_per_px_x);
    assert_int_equal(bl_study_finding_count(study), 1); /* its calibre */
    bl_study_free(study);
}

/* Half of the contours 2 mm wide and half `wide`: the median, half way, is
 * what is doubted, and what a check prints. */
static void test_doubted_calibre(void **state) {
    (void)state;
    static const struct {
        double wide;
        bool doubted;
    } cases[] = {{3.9, true}, {4.1, false}};
    for (size_t k = 0; k < 2; k++) {
        char text[1024] = "# step_mm = 1\nframe,x_mm,y_mm\n";
        for (int frame = 0; frame < 6; frame++) {
            /* A square with the area of the circle that wide. */
            double side =
                (frame % 2 == 0 ? 2.0 : cases[k].wide) * 0.886226925452758;
            size_t used = strlen(text);
            (void)snprintf(text + used, sizeof text - used,
                           "%d,0,0\n%d,%.6f,0\n%d,%.6f,%.6f\n%d,0,%.6f\n",
                           frame, frame, side, frame, side, side, frame, side);
        }
        bl_study *study = table_study(text, BL_COLUMNS_ALL);
        size_t found = bl_study_finding_count(study);
        const char *last =
            found == 0 ? "" : bl_study_findings(study)[found - 1].message.text;
        assert_int_equal(
            strstr(last, "median equivalent diameter is 2.95 mm") != NULL,
            cases[k].doubted);
        bl_study_free(study);
    }
}

/* Repeats are no points: a closing one, and one after the other. */
static void test_points(void **state) {
    (void)state;
    bl_study *study = table_study(
        "# step_mm = 1\nframe,x_mm,y_mm\n0,0,0\n0,4,0\n0,4,0\n0,4,3\n0,0,0\n"
        "1,5,5\n1,5,5\n",
        BL_COLUMNS_ALL);
    const bl_row *rows = bl_study_rows(study);
    assert_int_equal(rows[0].points, 3);
    assert_int_equal(rows[0].measures.flags, 0);
    assert_int_equal(rows[1].points, 1);
    assert_true((rows[1].measures.flags & BL_FLAG_FEW_POINTS) != 0);
    assert_int_equal(bl_study_contour(study, 0).count, 5); /* as written */
    assert_int_equal(bl_study_contour(study, 2).count, 0);
    bl_study_free(study);
}

static void test_contours_not_kept(void **state) {
    (void)state;
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = false};
    bl_study *study = NULL;
    static const char text[] =
        "# step_mm = 1\nframe,x_mm,y_mm\n" TABLE_TRIANGLE;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, text, sizeof text - 1), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    assert_int_equal(bl_study_contour(study, 0).count, 0);
    assert_int_equal(bl_study_finish(study), BL_ERR_ARGUMENT);
    assert_string_equal(bl_study_message(study)->text,
                        "the study is finished already");
    bl_study_free(study);
    bl_study_free(NULL);
}

/* Jumps are found in order of position, whatever the order of the table. */
static void test_jump_after_sorting(void **state) {
    (void)state;
    static const int order[] = {6, 2, 0, 4, 1, 5, 3};
    char text[2048];
    size_t at = 0;
    for (size_t i = 0; i < 7; i++) {
        int side = order[i] == 3 ? 9 : 4;
        at += (size_t)snprintf(text + at, sizeof text - at,
                               "frame %d position=%d\n0 0\n%d 0\n%d %d\n",
                               order[i], order[i], side, side, side);
    }
    bl_study *study = table_study(text, BL_COLUMNS_ASSESS);
    for (size_t i = 0; i < 7; i++) {
        assert_int_equal(bl_study_rows(study)[i].measures.flags,
                         i == 3 ? BL_FLAG_JUMP : 0);
    }
    bl_study_free(study);
}

static void test_fed_after_the_end(void **state) {
    (void)state;
    bl_study *study =
        table_study("# step_mm = 1\nframe,x_mm,y_mm\n0,0,0\n0,4,0\n0,4,4\n",
                    BL_COLUMNS_ASSESS);
    assert_int_equal(bl_study_feed(study, "0,0,4\n", 6), BL_ERR_ARGUMENT);
    assert_int_equal(bl_study_finish(study), BL_ERR_ARGUMENT);
    assert_int_equal(bl_study_row_count(study), 1);
    bl_study_free(study);
}

/* Notes come before the table, which may go by them from its first byte on. */
static void test_set_after_the_start(void **state) {
    (void)state;
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
    bl_study *study = NULL;
    static const char table[] = "frame,x_mm,y_mm\n0,0,0\n0,4,0\n0,4,4\n";
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_set(study, "step_mm", "1"), BL_OK);
    assert_int_equal(bl_study_feed(study, "", 0), BL_OK);
    assert_int_equal(bl_study_set(study, "y_axis", "down"), BL_ERR_ARGUMENT);
    assert_string_equal(bl_study_message(study)->text,
                        "'y_axis' is set after the table has begun; set it "
                        "before the first feed");
    assert_int_equal(bl_study_feed(study, table, sizeof table - 1), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    assert_int_equal(bl_study_set(study, "y_axis", "down"), BL_ERR_ARGUMENT);
    assert_false(bl_study_pullback(study)->y_down);
    bl_study_free(study);
}

/* The error stays what it was, and its words. */
static void test_fed_after_a_failed_end(void **state) {
    (void)state;
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
    bl_study *study = NULL;
    static const char table[] = "frame,x_mm,y_mm\n0,0,0\n0,4,0\n0,4,4\n";
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, table, sizeof table - 1), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_ERR_INPUT);
    bl_message first = *bl_study_message(study);
    assert_int_equal(bl_study_feed(study, "0,0,4\n", 6), BL_ERR_INPUT);
    assert_int_equal(bl_study_finish(study), BL_ERR_INPUT);
    assert_string_equal(bl_study_message(study)->text, first.text);
    bl_study_free(study);
}

/* Only what the study needs itself comes unasked. */
static void test_measures_not_asked_for(void **state) {
    (void)state;
    bl_study *study =
        table_study("# step_mm = 1\nframe,x_mm,y_mm\n0,0,0\n0,4,0\n0,4,4\n",
                    BL_BIT(BL_COL_FRAME));
    const bl_measures *of = &bl_study_rows(study)->measures;
    check_close(of->area_mm2, 8.0, 1e-15, "mm2");
    check_close(of->perimeter_mm, 8.0 + sqrt(32.0), 1e-15, "mm");
    check_close(of->centroid_x_mm, 8.0 / 3.0, 1e-15, "mm");
    check_close(of->centroid_y_mm, 4.0 / 3.0, 1e-15, "mm");
    check_unknown(of->equivalent_diameter_mm);
    check_unknown(of->min_diameter_mm);
    check_unknown(of->max_feret_mm);
    check_unknown(of->inscribed_diameter_mm);
    check_unknown(of->solidity);
    bl_study_free(study);
}

static bl_status read_within(uint64_t memory_limit, bool keep,
                             bl_message *message) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = keep,
                                .memory_limit = memory_limit};
    bl_study *study = NULL;
    static const char text[] =
        "# step_mm = 1\nframe,x_mm,y_mm\n0,0,0\n0,4,0\n0,4,4\n0,0,4\n";
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    bl_status status = bl_study_feed(study, text, sizeof text - 1);
    if (status == BL_OK) {
        status = bl_study_finish(study);
    }
    *message = *bl_study_message(study);
    bl_study_free(study);
    return status;
}

/* The least limit that a table fits is found; one byte less does not fit. */
static void test_memory_limit(void **state) {
    (void)state;
    for (int keep = 0; keep < 2; keep++) {
        bl_message message;
        uint64_t fits = 1 << 24;
        uint64_t not = 1;
        assert_int_equal(read_within(fits, keep, &message), BL_OK);
        while (fits - not > 1) {
            uint64_t middle = not +(fits - not ) / 2;
            bool is_fit = read_within(middle, keep, &message) == BL_OK;
            fits = is_fit ? middle : fits;
            not = is_fit ? not : middle;
        }
        assert_int_equal(read_within(not, keep, &message), BL_ERR_LIMIT);
        assert_non_null(strstr(message.text, "--max-memory"));
        /* Room for 256 rows and what may be odd of each; of four points kept,
         * for half as many more. */
        size_t row = sizeof(bl_row) + sizeof(uint64_t) + 2 * sizeof(stray_row);
        size_t points = 6 * 2 * sizeof(double);
        assert_int_equal(fits, keep ? 256 * (row + sizeof(kept)) + points
                                    : 256 * row);
    }
}

/* In mm it may lie anywhere, by frames where these lie, whichever comes first
 * along the vessel. */
static void test_stretch(void **state) {
    (void)state;
    bl_study *study = table_study("frame 3 position=10\n0 0\n1 0\n0 1\n"
                                  "frame 5 position=4.5\n0 0\n1 0\n0 1\n",
                                  BL_COLUMNS_ASSESS);
    bl_span of = {-1.0, -1.0};
    bl_message message;
    assert_int_equal(bl_study_stretch(study, " 2..99.5 ", &of, NULL), BL_OK);
    check_close(of.from_mm, 2.0, 0.0, "mm");
    check_close(of.to_mm, 99.5, 0.0, "mm");
    assert_int_equal(bl_study_stretch(study, "frame 3..frame 5", &of, NULL),
                     BL_OK);
    check_close(of.from_mm, 4.5, 0.0, "mm");
    check_close(of.to_mm, 10.0, 0.0, "mm");
    assert_int_equal(bl_study_stretch(study, "frame 2..frame 3", &of, &message),
                     BL_ERR_INPUT);
    assert_string_equal(message.text,
                        "frame 2 is not in the table; name frames that are");
    assert_int_equal(bl_study_stretch(study, "frame 3..frame 4", &of, NULL),
                     BL_ERR_INPUT);
    static const char *const refused[][2] = {
        {"9..2", "'9..2' is no stretch; write A..B in mm or 'frame A..frame "
                 "B', B not before A"},
        {"2-9", "'2-9' is no stretch; write A..B in mm or 'frame A..frame B', "
                "B not before A; write '..' between the two"},
        {"frame 3..10", "'frame 3..10' is no stretch; write A..B in mm or "
                        "'frame A..frame B', B not before A"},
    };
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        assert_int_equal(bl_study_stretch(study, refused[i][0], &of, &message),
                         BL_ERR_ARGUMENT);
        assert_string_equal(message.text, refused[i][1]);
        check_close(of.from_mm, 4.5, 0.0, "mm");
    }
    bl_study_free(study);
}

/* Rows lie in the room that is given, and are the same where it does not
 * suffice. */
static void test_room(void **state) {
    (void)state;
    static const char text[] =
        "# step_mm = 1\nframe,x_mm,y_mm\n0,0,0\n0,4,0\n0,4,4\n"
        "1,0,0\n1,5,0\n1,5,5\n2,0,0\n2,6,0\n2,6,6\n";
    for (size_t capacity = 1; capacity <= 4; capacity++) {
        bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
        bl_study *study = NULL;
        bl_row *room = malloc(capacity * sizeof *room);
        assert_non_null(room);
        assert_int_equal(bl_study_new(&options, &study), BL_OK);
        assert_true(study_take_room(study, room, capacity));
        assert_int_equal(bl_study_feed(study, text, sizeof text - 1), BL_OK);
        assert_int_equal(bl_study_finish(study), BL_OK);
        assert_int_equal(bl_study_row_count(study), 3);
        assert_true(capacity < 3 || bl_study_rows(study) == room);
        for (int i = 0; i < 3; i++) {
            check_close(bl_study_rows(study)[i].measures.area_mm2,
                        0.5 * (4 + i) * (4 + i), 1e-14, "mm2");
        }
        bl_study_free(study);
    }
}

/* It is not taken where points are kept, beyond the limit or twice. */
static void test_room_not_taken(void **state) {
    (void)state;
    const bl_study_options all[] = {{.keep_contours = true},
                                    {.memory_limit = 16 * sizeof(bl_row)},
                                    {.memory_limit = 0}};
    bl_row *room = malloc(16 * sizeof *room);
    bl_row *other = malloc(16 * sizeof *other);
    assert_non_null(room);
    assert_non_null(other);
    for (size_t i = 0; i < 3; i++) {
        bl_study *study = NULL;
        assert_int_equal(bl_study_new(&all[i], &study), BL_OK);
        assert_true(study_take_room(study, room, 16) == (i == 2));
        assert_false(i == 2 && study_take_room(study, other, 16));
        bl_study_free(study); /* and the room with it, if taken */
    }
    free(other);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_order),
        cmocka_unit_test(test_description),
        cmocka_unit_test(test_doubted_calibre),
        cmocka_unit_test(test_points),
        cmocka_unit_test(test_contours_not_kept),
        cmocka_unit_test(test_jump_after_sorting),
        cmocka_unit_test(test_memory_limit),
        cmocka_unit_test(test_fed_after_the_end),
        cmocka_unit_test(test_set_after_the_start),
        cmocka_unit_test(test_fed_after_a_failed_end),
        cmocka_unit_test(test_measures_not_asked_for),
        cmocka_unit_test(test_stretch),
        cmocka_unit_test(test_room),
        cmocka_unit_test(test_room_not_taken),
    };
    return cmocka_run_group_tests_name("study", tests, NULL, NULL);
}
