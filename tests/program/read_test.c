/*
 * read_test.c - what reading a file that cannot be read leaves: its words, in
 * the message and in the study.
 */
#include "support/check.h"
#include "support/folder.h"

#include "boreline.h"

#include <stdio.h>
#include <string.h>
#include <zlib.h>

static char folder[FOLDER_BYTES];
static char path[FOLDER_BYTES + 16];

static const char table[] = "# step_mm = 1\nframe,x_mm,y_mm\n0,0,0\n0,4,0\n"
                            "0,4,4\n";

/* Writes what gzip makes of the table, less the last `cut` bytes. */
static void write_packed(size_t cut) {
    gzFile to = gzopen(path, "wb");
    assert_non_null(to);
    assert_true(gzputs(to, table) > 0);
    assert_int_equal(gzclose(to), Z_OK);
    char bytes[1024];
    FILE *of = fopen(path, "rb");
    assert_non_null(of);
    size_t size = fread(bytes, 1, sizeof bytes, of);
    (void)fclose(of);
    of = fopen(path, "wb");
    assert_non_null(of);
    assert_int_equal(fwrite(bytes, 1, size - cut, of), size - cut);
    assert_int_equal(fclose(of), 0);
}

static bl_study *read_file(const char *name, bl_status expected,
                           bl_message *message) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
    bl_source source;
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_read(study, name, NULL, &source, message),
                     expected);
    return study;
}

/* With a message of the caller's and without, the study has it too. */
static void check_words(const char *name, bl_status expected,
                        const char *words) {
    bl_message message = {.text = ""};
    bl_study *study = read_file(name, expected, &message);
    assert_int_equal(message.status, expected);
    assert_non_null(strstr(message.text, words));
    assert_string_equal(bl_study_message(study)->text, message.text);
    assert_int_equal(bl_study_message(study)->status, expected);
    bl_study_free(study);
    study = read_file(name, expected, NULL);
    assert_string_equal(bl_study_message(study)->text, message.text);
    bl_study_free(study);
}

static void test_words_of_errors(void **state) {
    (void)state;
    char nowhere[FOLDER_BYTES + 32];
    (void)snprintf(nowhere, sizeof nowhere, "%s/nowhere.csv", folder);
    check_words(nowhere, BL_ERR_FILE, "cannot open: ");
    check_words(folder, BL_ERR_FILE, "cannot read: ");
    write_packed(6);
    check_words(path, BL_ERR_INPUT, "gzip");
    write_packed(0);
    bl_study_free(read_file(path, BL_OK, NULL));
}

/* A file that cannot be opened has told the study nothing. */
static void test_another_try(void **state) {
    (void)state;
    bl_source source;
    char nowhere[FOLDER_BYTES + 32];
    (void)snprintf(nowhere, sizeof nowhere, "%s/nowhere.csv", folder);
    bl_study *study = read_file(nowhere, BL_ERR_FILE, NULL);
    write_packed(0);
    assert_int_equal(bl_study_read(study, path, NULL, &source, NULL), BL_OK);
    assert_int_equal(bl_study_row_count(study), 1);
    bl_study_free(study);
}

/* Stopped in its midst, it takes no more. */
static void test_stopped_by_the_stream(void **state) {
    (void)state;
    write_packed(6);
    bl_study *study = read_file(path, BL_ERR_INPUT, NULL);
    bl_message first = *bl_study_message(study);
    assert_int_equal(bl_study_feed(study, "0,0,4\n", 6), BL_ERR_INPUT);
    assert_int_equal(bl_study_finish(study), BL_ERR_INPUT);
    assert_string_equal(bl_study_message(study)->text, first.text);
    bl_study_free(study);
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

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_words_of_errors),
        cmocka_unit_test(test_another_try),
        cmocka_unit_test(test_stopped_by_the_stream),
    };
    return cmocka_run_group_tests_name("read", tests, make_folder,
                                       remove_folder);
}
