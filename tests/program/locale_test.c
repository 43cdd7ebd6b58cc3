/*
 * locale_test.c - the library within a program that speaks another language:
 * numbers have points, in and out. The language is made here by localedef, of
 * the definitions in the package locales, so that none need be installed.
 */
#include "support/check.h"
#include "support/folder.h"

#include "base/number.h"
#include "base/text.h"
#include "boreline.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char folder[FOLDER_BYTES];

static int speak_german(void **state) {
    (void)state;
    char command[FOLDER_BYTES + 128];
    folder_make(folder);
    (void)snprintf(command, sizeof command,
                   "localedef -i de_DE -f UTF-8 '%s/de_DE.UTF-8'", folder);
    if (system(command) != 0) {
        (void)fputs("locale_test: no localedef or no definition of de_DE; "
                    "tools/packages test installs them\n",
                    stderr);
        return -1;
    }
    (void)setenv("LOCPATH", folder, 1);
    return setlocale(LC_ALL, "de_DE.UTF-8") == NULL ? -1 : 0;
}

static int speak_c(void **state) {
    (void)state;
    (void)setlocale(LC_ALL, "C");
    folder_remove(folder);
    return 0;
}

/* Else nothing below is tested. */
static void test_the_comma_is_there(void **state) {
    (void)state;
    char written[16];
    (void)snprintf(written, sizeof written, "%.1f", 1.5);
    assert_string_equal(written, "1,5");
    check_close(strtod("1.5", NULL), 1.0, 0.0, "");
}

static void test_numbers(void **state) {
    (void)state;
    double value = 0.0;
    assert_true(bl_number_from_text("1.5", &value));
    check_close(value, 1.5, 0.0, "");
    assert_false(bl_number_from_text("1,5", &value));
    /* Digits that need the long way. */
    static const char halfway[] = "1.00000000000000011102230246251565404236"
                                  "3166809082031250000000000000000000001";
    assert_int_equal(number_scan(halfway, strlen(halfway), '.', &value),
                     strlen(halfway));
    check_close(value, nextafter(1.0, 2.0), 0.0, "");
    text out = {0};
    text_fixed(&out, 1234.5, 2);
    text_add(&out, " ");
    text_fixed(&out, 1e22, 12);
    text_add(&out, " ");
    text_double(&out, 0.1);
    text_add(&out, " ");
    text_double(&out, 1.0 / 3.0);
    text_add(&out, " ");
    text_format(&out, "%d", 1234567);
    assert_string_equal(text_c(&out),
                        "1234.50 10000000000000000000000.000000000000 0.1 "
                        "0.3333333333333333 1234567");
    text_free(&out);
}

static bl_status keep(void *context, const char *bytes, size_t size) {
    text_bytes(context, bytes, size);
    return BL_OK;
}

/* A table with decimal points and one with commas, read and written. */
static void test_tables(void **state) {
    (void)state;
    static const char *const tables[] = {
        "# step_mm = 0.5\nframe,x_mm,y_mm\n7,0.25,0\n7,4.25,0\n7,4.25,2.5\n",
        "# step_mm = 0.5\nframe;x_mm;y_mm\n7;0,25;0\n7;4,25;0\n7;4,25;2,5\n"};
    const bl_column columns[] = {BL_COL_FRAME, BL_COL_AREA_MM2,
                                 BL_COL_CENTROID_X_MM};
    bl_source source = {.file = "t.csv", .options = ""};
    for (size_t i = 0; i < 2; i++) {
        bl_study_options options = {.columns = BL_COLUMNS_ALL};
        bl_study *study = NULL;
        text out = {0};
        assert_int_equal(bl_study_new(&options, &study), BL_OK);
        assert_int_equal(bl_study_feed(study, tables[i], strlen(tables[i])),
                         BL_OK);
        assert_int_equal(bl_study_finish(study), BL_OK);
        assert_int_equal(
            bl_report_measures_csv(study, columns, 3, 3, keep, &out), BL_OK);
        assert_string_equal(text_c(&out),
                            "frame,area_mm2,centroid_x_mm\n7,5.000,2.917\n");
        out.size = 0;
        assert_int_equal(
            bl_report_measures_json(study, &source, columns, 3, keep, &out),
            BL_OK);
        assert_non_null(strstr(text_c(&out), "\"area_mm2\": 5"));
        assert_non_null(strstr(text_c(&out), "\"step_mm\": 0.5"));
        text_free(&out);
        bl_study_free(study);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_comma_is_there),
        cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_tables),
    };
    return cmocka_run_group_tests_name("locale", tests, speak_german, speak_c);
}
