/*
 * table_properties.c - broken tables: thousands of them, made from good ones by
 * changing, dropping, doubling and cutting bytes. Whatever comes, the library
 * ends in a status with words, the same whole or in pieces, and what it reads
 * it can assess, draw and report (or says why not).
 */
#include "support/check.h"

#include "boreline.h"

#include <string.h>

#define TABLE_BYTES 4096
#define ROUNDS 20000

static const char *const seeds[] = {
    "# speed_mm_per_s = 1\n# frame_rate_hz = 10\n# mark = a @ 3\n"
    "# reference = 0..0.2\nframe,x_mm,y_mm\n0,0,0\n0,9,0\n0,9,9\n1,0,0\n1,8,0\n"
    "1,8,8\n2,0,0\n2,7,0\n2,7,8\n3,0,0\n3,3,0\n3,3,3\n",
    "sep=;\n# step_mm = 2\nframe;kind;x;y\n0;lumen;0,5;1\n0;lumen;4;1,25\n"
    "0;lumen;4;7\n0;device;1;1\n0;device;2;1\n0;device;2;2\n1;vessel;0;0\n",
    "# at = 0 = 1\n# at = 9 = 30\n# travel = cranial\nframe 0\n0 0\n5 "
    "0\n"
    "5 5\n\nframe 4 kind=lumen\n0,5 0\n5 0\n5 5\nframe 9\n1 1\n2 "
    "2\n",
    "# speed_mm_per_s = 2\n# mm_per_px_x = 0.02\n# mm_per_px_y = 0.03\n# "
    "y_axis = down\n"
    "frame\tangle_deg\tradius_px\ttime_s\n0\t0\t9\t0\n0\t90\t9\t0\n0\t200\t9\t0"
    "\n1\t0\t8\t1\n1\t90\t8\t1\n1\t200\t8\t1\n",
};

static size_t break_table(char *table, size_t size, dice *from) {
    static const char bytes[] =
        "0123456789.,;:-+eE#=@ \t\n\r\"'frame\0\xff\x80";
    size_t changes = 1 + dice_next(from) % 3;
    for (size_t i = 0; i < changes && size > 2; i++) {
        size_t at = dice_next(from) % size;
        char byte = bytes[dice_next(from) % (sizeof bytes - 1)];
        switch (dice_next(from) % 5) {
        case 0:
            table[at] = byte;
            break;
        case 1:
            memmove(table + at, table + at + 1, size - at - 1);
            size--;
            break;
        case 2:
            if (size + 1 < TABLE_BYTES) {
                memmove(table + at + 1, table + at, size - at);
                table[at] = byte;
                size++;
            }
            break;
        case 3: { /* a piece of the table again, somewhere else */
            size_t length = dice_next(from) % 40;
            if (at + length < size && size + length < TABLE_BYTES) {
                memmove(table + size, table + at, length);
                size += length;
            }
            break;
        }
        default:
            size = at + 1;
            break;
        }
    }
    return size;
}

static bl_status swallow(void *context, const char *bytes, size_t size) {
    assert_non_null(bytes);
    *(size_t *)context += size;
    return BL_OK;
}

/* Everything that can be done with a study that was read. */
static void use(const bl_study *study) {
    bl_source source = {"-", 0, 0, ""};
    bl_assess_options options = bl_assess_defaults();
    bl_figure_options size = bl_figure_defaults();
    bl_assessment *assessment = NULL;
    bl_figure *figure = NULL;
    bl_message message = {0};
    size_t written = 0;
    const bl_column columns[] = {BL_COL_FRAME, BL_COL_AREA_MM2, BL_COL_FLAGS};
    assert_int_equal(
        bl_report_measures_csv(study, columns, 3, 4, swallow, &written), BL_OK);
    options.accept_gaps = true;
    if (bl_assess(study, &options, &assessment, &message) != BL_OK) {
        assert_true(strlen(message.text) > 0);
        options.reference = BL_REFERENCE_NONE;
        if (bl_assess(study, &options, &assessment, &message) != BL_OK) {
            return;
        }
    }
    assert_int_equal(bl_report_assessment_text(study, assessment, &source,
                                               swallow, &written),
                     BL_OK);
    assert_int_equal(bl_report_assessment_json(study, assessment, &source,
                                               swallow, &written),
                     BL_OK);
    assert_int_equal(
        bl_figure_profile(study, assessment, &source, &size, &figure), BL_OK);
    assert_int_equal(bl_figure_svg(figure, swallow, &written), BL_OK);
    bl_figure_free(figure);
    bl_assessment_free(assessment);
}

static bl_status read_table(const char *table, size_t size, size_t piece,
                            bool then_use, bl_message *message) {
    bl_study_options options = {.columns = BL_COLUMNS_ALL,
                                .keep_contours = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    bl_status status = BL_OK;
    for (size_t at = 0; at < size && status == BL_OK; at += piece) {
        size_t length = piece < size - at ? piece : size - at;
        status = bl_study_feed(study, table + at, length);
    }
    if (status == BL_OK) {
        status = bl_study_finish(study);
    }
    if (status == BL_OK && then_use) {
        use(study);
    }
    *message = *bl_study_message(study);
    bl_study_free(study);
    return status;
}

static void test_whole_tables(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof seeds / sizeof seeds[0]; i++) {
        bl_message message;
        if (read_table(seeds[i], strlen(seeds[i]), 9, true, &message) !=
            BL_OK) {
            fail_msg("seed %zu: %s", i, message.text);
        }
    }
}

static void test_broken_tables(void **state) {
    (void)state;
    dice from = {1234};
    size_t read = 0;
    for (int i = 0; i < ROUNDS; i++) {
        char table[TABLE_BYTES];
        const char *seed =
            seeds[dice_next(&from) % (sizeof seeds / sizeof seeds[0])];
        size_t size = strlen(seed);
        memcpy(table, seed, size);
        size = break_table(table, size, &from);
        bl_message whole = {0};
        bl_message cut = {0};
        bl_status status = read_table(table, size, size, i % 8 == 0, &whole);
        bl_status again =
            read_table(table, size, 1 + (size_t)i % 17, false, &cut);
        assert_int_equal(status, again);
        if (status == BL_OK) {
            read++;
            continue;
        }
        assert_int_equal(status, whole.status);
        assert_string_equal(whole.text, cut.text);
        assert_int_equal(whole.line, cut.line);
        assert_true(strlen(whole.text) > 10);
        assert_null(strchr(whole.text, '\n'));
    }
    /* Both outcomes were put to the test. */
    assert_in_range(read, ROUNDS / 20, ROUNDS - ROUNDS / 20);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_whole_tables),
                                       cmocka_unit_test(test_broken_tables)};
    return cmocka_run_group_tests_name("broken tables", tests, NULL, NULL);
}
