/*
 * study_fault_test.c - a study that goes on behind faults, or is stopped by
 * one: what it still knows and says.
 */
#include "base/limits.h"
#include "support/check.h"
#include "support/table.h"

#include <stdio.h>
#include <string.h>

#define WORDS_BYTES 8192

/* The table read by a study that goes on behind faults. */
static bl_study *going_on(const char *text) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS, .go_on = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, text, strlen(text)), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    return study;
}

/* Behind a row with a fault positions are those of what was read; behind a
 * fault of what they come from, unknown in every row. */
static void test_positions_behind_faults(void **state) {
    (void)state;
    static const char table[] =
        "frame,x,y\n" TABLE_TRIANGLE "0,a,3\n3,0,0\n3,4,0\n"
        "3,4,3\n";
    static const char *const unknown[] = {"", "# step_mm = a\n",
                                          "# at = 0 = 1\n"};
    char text[200];
    (void)snprintf(text, sizeof text, "# step_mm = 2\n%s", table);
    bl_study *study = going_on(text);
    assert_int_equal(bl_study_fault_count(study), 1);
    assert_int_equal(bl_study_pullback(study)->begins, 2);
    check_close(bl_study_rows(study)[1].position_mm, 6.0, 0.0, "mm");
    check_close(bl_study_pullback(study)->length_mm, 6.0, 0.0, "mm");
    bl_study_free(study);
    for (size_t i = 0; i < sizeof unknown / sizeof unknown[0]; i++) {
        (void)snprintf(text, sizeof text, "%s%s", unknown[i], table);
        study = going_on(text);
        assert_int_equal(bl_study_fault_count(study), 2);
        assert_int_equal(bl_study_row_count(study), 2);
        check_unknown(bl_study_rows(study)[0].position_mm);
        check_unknown(bl_study_rows(study)[1].position_mm);
        check_unknown(bl_study_pullback(study)->length_mm);
        bl_study_free(study);
    }
}

/* Pixels without a scale: shapes are judged, and nothing is measured. */
static void test_pixels_without_a_scale(void **state) {
    (void)state;
    static const char *const heads[] = {
        "# step_mm = 1\n# mm_per_px_y = 0.1\nframe,x_px,y_px\n",
        "# step_mm = 1\n# mm_per_px = 0,1\nframe,x,y\n"};
    char text[300];
    for (size_t i = 0; i < 2; i++) {
        (void)snprintf(text, sizeof text, "%s%s", heads[i],
                       "0,0,0\n0,4000,0\n0,4000,3000\n"
                       "1,0,0\n1,4000,0\n1,0,3000\n1,4000,3000\n");
        bl_study *study = going_on(text);
        const bl_row *rows = bl_study_rows(study);
        assert_int_equal(bl_study_fault_count(study), 1);
        assert_true(bl_study_pullback(study)->scale_is_missing);
        check_unknown(bl_study_pullback(study)->mm_per_px_y);
        assert_int_equal(rows[0].measures.flags, 0);
        assert_int_equal(rows[1].measures.flags, BL_FLAG_CROSSING);
        assert_int_equal(rows[0].points, 3);
        check_unknown(rows[0].measures.area_mm2);
        check_unknown(rows[0].measures.min_diameter_mm);
        check_close(rows[1].position_mm, 1.0, 0.0, "mm");
        bl_study_free(study);
    }
}

/* What came before an error of feed can be told of, without a file. */
static void test_stopped_by_feed(void **state) {
    (void)state;
    static const char table[] =
        "# case = invented\n# step_mm = 1\n# mm_per_px = 0.5\n"
        "frame;x;y\n0;0;0\n0;8;0\n0;8;8\n1;0;0\n1;oops;0\n";
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, table, sizeof table - 1),
                     BL_ERR_INPUT);
    const bl_pullback *of = bl_study_pullback(study);
    assert_string_equal(of->case_name, "invented");
    assert_int_equal(of->separator, ';');
    assert_int_equal(of->begins, 4);
    check_close(of->mm_per_px_x, 0.5, 0.0, "mm");
    check_unknown(of->length_mm);
    assert_int_equal(bl_study_row_count(study), 1);
    check_close(bl_study_rows(study)[0].measures.area_mm2, 8.0, 1e-14, "mm2");
    bl_assess_options how = bl_assess_defaults();
    bl_check *check = NULL;
    assert_int_equal(
        bl_check_study(study, bl_study_message(study), &how, 0, &check), BL_OK);
    assert_false(check->usable);
    assert_string_equal(check->findings[0].message.text,
                        bl_study_message(study)->text);
    bl_check_free(check);
    bl_study_free(study);
}

/* The length is that of all contours, whatever their kind and use; findings of
 * a sort are listed as often as is asked for. */
static void test_length_and_repeats(void **state) {
    (void)state;
    static const char table[] =
        "frame,position_mm,kind,x_mm,y_mm\n"
        "0,1,vessel,0,0\n0,1,vessel,4,0\n0,1,vessel,4,4\n"
        "1,3,lumen,0,0\n1,3,lumen,4,0\n1,3,lumen,4,4\n"
        "2,a,lumen,0,0\n3,a,lumen,0,0\n4,a,lumen,0,0\n"
        "5,6,lumen,0,0\n5,6,lumen,4,0\n5,6,lumen,8,0\n";
    bl_study_options options = {
        .columns = BL_COLUMNS_ASSESS, .go_on = true, .repeats = 2};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_set(study, "mark", "near @ frame 1"), BL_OK);
    assert_int_equal(bl_study_set(study, "mark", "off @ frame 9"), BL_OK);
    assert_int_equal(bl_study_set(study, "reference", "frame 1..frame 9"),
                     BL_OK);
    assert_int_equal(bl_study_feed(study, table, sizeof table - 1), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    const bl_pullback *of = bl_study_pullback(study);
    check_close(of->length_mm, 5.0, 0.0, "mm");
    assert_int_equal(of->mark_count, 1);
    assert_string_equal(of->marks[0].name, "near");
    assert_int_equal(of->reference_count, 0);
    assert_int_equal(bl_study_fault_count(study), 5);
    const bl_finding *said = bl_study_findings(study);
    assert_int_equal(said[0].message.line, 8);
    assert_int_equal(said[1].message.line, 9);
    assert_int_equal(said[0].more + said[1].more, 1);
    bl_study_free(study);
}

static bl_status keep_words(void *context, const char *bytes, size_t size) {
    char *to = context;
    assert_true(strlen(to) + size < WORDS_BYTES);
    (void)strncat(to, bytes, size);
    return BL_OK;
}

/* What the check of a study that was fed says, and in JSON. */
static void must_say(const bl_study *study, const char *const *words,
                     size_t count) {
    static const bl_source source = {.file = "a", .options = ""};
    bl_assess_options options = bl_assess_defaults();
    bl_check *check = NULL;
    char text[WORDS_BYTES] = "";
    assert_int_equal(
        bl_check_study(study, bl_study_message(study), &options, 0, &check),
        BL_OK);
    assert_int_equal(
        bl_report_check_text(study, check, &source, keep_words, text), BL_OK);
    assert_int_equal(
        bl_report_check_json(study, check, &source, keep_words, text), BL_OK);
    for (size_t i = 0; i < count; i++) {
        if (strstr(text, words[i]) == NULL) {
            fail_msg("no '%s' in\n%s", words[i], text);
        }
    }
    bl_check_free(check);
}

/* A line over the limit stops also a study that goes on: what was read before
 * it is measured and described, and nothing more is taken. Half of 4 by 4 mm is
 * the area of a circle of 3.19 mm. */
static void test_stopped(void **state) {
    (void)state;
    static const char table[] = "# case = Nn\n# mm_per_px = 0.5\n"
                                "frame;x;y\n0;0;0\n0;8;0\n0;8;8\n1;1;1\n";
    static const char *const words[] = {"a:8:1: error: ", "separator semicolon",
                                        "pixels of 0.5 by 0.5 mm (note)",
                                        "3.19 mm equivalent"};
    static char line[LIMIT_LINE_BYTES + 2]; /* one may be a CR */
    memset(line, '1', sizeof line);
    bl_study_options options = {
        .columns = BL_COLUMNS_ASSESS | BL_BIT(BL_COL_EQUIVALENT_DIAMETER_MM),
        .go_on = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, table, sizeof table - 1), BL_OK);
    assert_int_equal(bl_study_feed(study, line, sizeof line), BL_ERR_LIMIT);
    assert_int_equal(bl_study_pullback(study)->begins, 3);
    assert_int_equal(bl_study_row_count(study), 1);
    assert_string_equal(bl_study_pullback(study)->case_name, "Nn");
    must_say(study, words, sizeof words / sizeof words[0]);
    assert_int_equal(bl_study_feed(study, "\n1;2;3\n", 7), BL_ERR_LIMIT);
    assert_int_equal(bl_study_finish(study), BL_ERR_LIMIT);
    assert_int_equal(bl_study_message(study)->line, 8);
    assert_int_equal(bl_study_row_count(study), 1);
    bl_study_free(study);
}

/* An error that only the end shows, and one before any table. */
static void test_stopped_at_the_ends(void **state) {
    (void)state;
    static const char *const tables[] = {"# side = left\nframe,x_mm,y_mm\n",
                                         "# side = left\n# ste"};
    for (size_t i = 0; i < 2; i++) {
        static const char *const words[] = {"a:2: error", "\"errors\": 1"};
        bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                    .go_on = true};
        bl_study *study = NULL;
        assert_int_equal(bl_study_new(&options, &study), BL_OK);
        assert_int_equal(bl_study_feed(study, tables[i], strlen(tables[i])),
                         BL_OK);
        assert_int_equal(bl_study_finish(study), BL_ERR_INPUT);
        assert_string_equal(bl_study_pullback(study)->side, "left");
        must_say(study, words, 2);
        bl_study_free(study);
    }
}

/* Before anything is known labels are empty and numbers unknown. */
static void test_nothing_read(void **state) {
    (void)state;
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    const bl_pullback *pullback = bl_study_pullback(study);
    assert_string_equal(pullback->case_name, "");
    assert_string_equal(pullback->side, "");
    assert_string_equal(pullback->reader, "");
    assert_string_equal(pullback->stage, "");
    check_unknown(pullback->length_mm);
    check_unknown(pullback->speed_mm_per_s);
    check_unknown(pullback->mm_per_px_x);
    assert_int_equal(pullback->separator, 0);
    bl_study_free(study);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_stopped_by_feed),
        cmocka_unit_test(test_positions_behind_faults),
        cmocka_unit_test(test_pixels_without_a_scale),
        cmocka_unit_test(test_length_and_repeats),
        cmocka_unit_test(test_stopped),
        cmocka_unit_test(test_stopped_at_the_ends),
        cmocka_unit_test(test_nothing_read),
    };
    return cmocka_run_group_tests_name("study faults", tests, NULL, NULL);
}
