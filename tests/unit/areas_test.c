/*
 * areas_test.c - a user's table of expected areas: the forms that are taken,
 * what is refused and where, and which row a vein gets.
 */
#include "support/check.h"

#include "base/limits.h"
#include "boreline.h"

#include <stdlib.h>
#include <string.h>

static bl_normals *read_bytes(const char *bytes, size_t size) {
    bl_normals *out = NULL;
    bl_message message;
    if (bl_normals_from_text(bytes, size, "a.csv", &out, &message) != BL_OK) {
        fail_msg("%llu:%llu: %s", (unsigned long long)message.line,
                 (unsigned long long)message.column, message.text);
    }
    return out;
}

static void check_area(const bl_normals *of, bl_vein vein, const char *side,
                       double area_mm2) {
    check_close(bl_normals_area_mm2(of, vein, side), area_mm2, 0.0, "mm2");
}

static void test_side_before_any(void **state) {
    (void)state;
    static const char table[] =
        "vein,side,area_mm2,source\n"
        "common iliac vein,,180,one\n"
        "common iliac vein,left,190.5,\"\"\"two\"\", of\"\n"
        "external iliac vein,right,140,one\n";
    bl_normals *of = read_bytes(table, sizeof table - 1);
    check_area(of, BL_VEIN_COMMON_ILIAC, "left", 190.5);
    check_area(of, BL_VEIN_COMMON_ILIAC, "right", 180.0);
    check_area(of, BL_VEIN_COMMON_ILIAC, "", 180.0);
    check_area(of, BL_VEIN_EXTERNAL_ILIAC, "right", 140.0);
    check_unknown(bl_normals_area_mm2(of, BL_VEIN_EXTERNAL_ILIAC, "left"));
    check_unknown(bl_normals_area_mm2(of, BL_VEIN_EXTERNAL_ILIAC, ""));
    /* Nothing of what is published is added. */
    check_unknown(bl_normals_area_mm2(of, BL_VEIN_COMMON_FEMORAL, ""));
    check_unknown(bl_normals_area_mm2(of, BL_VEIN_UNKNOWN, ""));
    assert_string_equal(bl_normals_source(of),
                        "the table a.csv: one; \"two\", of");
    bl_normals_free(of);
    bl_normals_free(NULL);
}

static void test_forms(void **state) {
    (void)state;
    static const char *const tables[] = {
        "vein,area_mm2\nCommon Iliac Vein,180.5",
        "# words\n\nvein;side;area_mm2\n;;\ncommon_iliac_vein;;180,5;\n",
        "area_mm2\tsource\tvein\r\n180,5\tmine\tcommon iliac vein\r\n",
        "\xef\xbb\xbfvein;area_mm2;\r# words; more\rcommon iliac vein;180.5\r",
        "VEIN,AREA MM2,source\n\"common iliac vein\",180.5\n",
    };
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        bl_normals *of = read_bytes(tables[i], strlen(tables[i]));
        check_area(of, BL_VEIN_COMMON_ILIAC, "left", 180.5);
        bl_normals_free(of);
    }
}

static void test_utf16(void **state) {
    (void)state;
    static const char table[] = "vein,area_mm2\ncommon iliac vein,180.5\n";
    char wide[2 * sizeof table] = {'\xff', '\xfe'};
    for (size_t i = 0; i + 1 < sizeof table; i++) {
        wide[2 + 2 * i] = table[i];
    }
    bl_normals *of = read_bytes(wide, 2 * sizeof table);
    check_area(of, BL_VEIN_COMMON_ILIAC, "", 180.5);
    bl_normals_free(of);
}

typedef struct refusal {
    const char *table;
    uint64_t line;
    uint64_t column;
    const char *words;
} refusal;

#define NO_UTF8                                                                \
    "; its bytes are no UTF-8, but perhaps Latin-1 or Windows-1252: save the " \
    "table as UTF-8"

static const refusal refusals[] = {
    {"", 0, 0,
     "no area is in it; expected a header row 'vein,side,area_mm2,source' and "
     "a row a vein"},
    {"vein,area_mm2\n", 0, 0,
     "no area is in it; expected a header row 'vein,side,area_mm2,source' and "
     "a row a vein"},
    {"vein\n", 1, 1,
     "the header row 'vein' has no separator; expected "
     "'vein,side,area_mm2,source', or semicolons or tabs"},
    {"vein,side;area_mm2\n", 1, 1,
     "the header row has more than one kind of separator; use one, as in "
     "'vein,side,area_mm2,source'"},
    {"vein,area\n", 1, 6, "'area' is no column; did you mean 'area_mm2'?"},
    {"vein,area_mm2,remarks of ours\n", 1, 15,
     "'remarks of ours' is no column; expected vein,side,area_mm2,source"},
    {"vein,area_mm2,vein\n", 1, 15, "two columns are called vein; drop one"},
    {"vein,side\n", 1, 1,
     "there is no column area_mm2; expected vein,side,area_mm2,source"},
    {"side,area_mm2\n", 1, 1,
     "there is no column vein; expected vein,side,area_mm2,source"},
    {"# a\nvein,area_mm2\ncommon iliac,180\n", 3, 1,
     "'common iliac' is no vein; did you mean 'common iliac vein'?"},
    {"vein,area_mm2\n,180\n", 2, 1,
     "nothing is no vein; expected inferior vena cava, common iliac vein, "
     "external iliac vein, common femoral vein or femoral vein"},
    {"vein,side,area_mm2\ncommon iliac vein,lefft,180\n", 2, 19,
     "'lefft' is no side; did you mean 'left'?"},
    {"vein,area_mm2\ncommon iliac vein,many\n", 2, 19,
     "found 'many' where an area in mm2 is expected"},
    {"vein,area_mm2\ncommon iliac vein,\"180,5\"\n", 2, 19,
     "found '180,5' where an area in mm2 is expected; is its comma the decimal "
     "mark? Then separate by semicolons"},
    {"vein,area_mm2\ncommon iliac vein,1.8\n", 2, 19,
     "an area of '1.8' mm2 is that of no deep vein, whose equivalent diameters "
     "are 3 to 35 mm (7.07 to 962 mm2); is it in mm2?"},
    {"vein,area_mm2\ncommon iliac vein,-180\n", 2, 19,
     "an area of '-180' mm2 is that of no deep vein, whose equivalent "
     "diameters are 3 to 35 mm (7.07 to 962 mm2); is it in mm2?"},
    {"vein,area_mm2\ncommon iliac vein,180,5\n", 2, 23,
     "the row has more cells than the header; put a text with the separator in "
     "it in quotes; if the decimal mark is a comma, separate by semicolons"},
    {"vein,side,area_mm2\ncommon iliac vein,180\n", 2, 19,
     "'180' is no side; expected left, right, or nothing for any"},
    {"vein,side,area_mm2\ncommon iliac vein,left\n", 2, 23,
     "the row has 2 cells and the header 3; leave none out, an empty one "
     "between separators is allowed"},
    {"vein;area_mm2\ncommon iliac vein;180,5\nfemoral vein;90.5\n", 3, 14,
     "the table has decimal commas and decimal points; use one, and no mark "
     "between thousands"},
    {"vein,area_mm2\nfemoral vein,90\nfemoral vein,80\n", 3, 1,
     "a second row of the femoral vein; leave one"},
    {"vein,side,area_mm2\nfemoral vein,left,90\nfemoral vein,left,90\n", 3, 1,
     "a second row of the femoral vein, left; leave one"},
    {"vein,area_mm2\n#REF!,90\n", 2, 1,
     "'#REF!' is no vein; expected inferior vena cava, common iliac vein, "
     "external iliac vein, common femoral vein or femoral vein"},
    {"vein,area_mm2,source\nfemoral vein,90,caf\xe9\n", 2, 17,
     "the source 'caf?' is no text" NO_UTF8},
    {"vein,area_mm2,source\nfemoral vein,90,a\tb\n", 2, 17,
     "the source 'a?b' is no text; take out its control characters"},
    {"vein;area_mm2\nfemoral\u00a0vein;90\n", 2, 1,
     "'femoral\u00a0vein' is no vein; it holds a no-break space, U+00A0: take "
     "it out"},
    {"v\xfcin;area_mm2\nfemoral vein;90\n", 1, 1,
     "'v?in' is no column" NO_UTF8},
    {"vein;area_mm2\nfemoral vein;90 mm2\n", 2, 14,
     "found '90 mm2' where an area in mm2 is expected; write the number alone, "
     "units stand in the names of columns"},
    {"\x1f\x8b\x08", 0, 0,
     "the bytes are compressed with gzip; decompress them first"},
};

static void test_refusals(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        const refusal *one = &refusals[i];
        bl_normals *out = NULL;
        bl_message message;
        assert_int_equal(bl_normals_from_text(one->table, strlen(one->table),
                                              "a.csv", &out, &message),
                         BL_ERR_INPUT);
        assert_null(out);
        assert_string_equal(message.text, one->words);
        assert_int_equal(message.line, one->line);
        assert_int_equal(message.column, one->column);
    }
}

/* The table at its limit, and a byte past it; a source likewise. */
static void test_limits(void **state) {
    (void)state;
    static const char start[] = "vein,area_mm2,source\nfemoral vein,90,";
    size_t used = sizeof start - 1;
    char *bytes = malloc(LIMIT_SMALL_BYTES + 1);
    assert_non_null(bytes);
    memcpy(bytes, start, used);
    bl_normals *out = NULL;
    bl_message message;
    memset(bytes + used, 'x', LIMIT_SMALL_BYTES + 1 - used);
    assert_int_equal(bl_normals_from_text(bytes, used + LIMIT_NOTE_BYTES + 1,
                                          "a", &out, &message),
                     BL_ERR_LIMIT);
    assert_int_equal(message.line, 2);
    assert_int_equal(bl_normals_from_text(bytes, used + LIMIT_NOTE_BYTES, "a",
                                          &out, &message),
                     BL_OK);
    bl_normals_free(out);
    memset(bytes + used, '\n', LIMIT_SMALL_BYTES + 1 - used);
    assert_int_equal(
        bl_normals_from_text(bytes, LIMIT_SMALL_BYTES, "a", &out, &message),
        BL_OK);
    bl_normals_free(out);
    assert_int_equal(
        bl_normals_from_text(bytes, LIMIT_SMALL_BYTES + 1, "a", &out, &message),
        BL_ERR_LIMIT);
    free(bytes);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_side_before_any), cmocka_unit_test(test_forms),
        cmocka_unit_test(test_utf16),           cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_limits),
    };
    return cmocka_run_group_tests_name("areas", tests, NULL, NULL);
}
