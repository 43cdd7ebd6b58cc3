/*
 * reader_test.c - a table read in pieces of any size is the same table;
 * limits at the limit and one past it; labels and positions by hand.
 */
#include "base/limits.h"
#include "support/check.h"
#include "support/vein.h"

#include <iconv.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Every quirk at once: BOM, CRLF and CR, notes, quotes, decimal commas. */
static const char quirky[] =
    "\xef\xbb\xbf# step_mm = 2\r\n# case = \"x\"\r\n# mark = a @ frame 8\n"
    "frame;kind;\"x_mm\";y_mm;\r\n7;lumen;0,5;0;\r7;lumen;4;0;\n"
    "7;lumen;\"4\";4e0;\r\n\r\n8;lumen;0;0;\n8;lumen;2;0;\n8;lumen;2;2,5;\n"
    "8;device;0;0\n8;device;1;0\n8;device;1;1";

static const char blocks[] = "# at = 3 = 1.5\n# at = 9 = 4.5\nframe 3\n0 0\n"
                             "4 0\n4 4\n\nframe 5 kind=vessel\n0\t0\n9\t0\n9\t9"
                             "\nframe 9\n0 0\n3 0\n3 3\n";

static bl_study *read_pieces(const char *table, size_t size, dice *from,
                             size_t most) {
    bl_study_options options = {.columns = BL_COLUMNS_ALL,
                                .keep_contours = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    for (size_t at = 0; at < size;) {
        size_t piece = 1 + dice_next(from) % most;
        piece = piece < size - at ? piece : size - at;
        if (bl_study_feed(study, table + at, piece) != BL_OK) {
            fail_msg("%s", bl_study_message(study)->text);
        }
        at += piece;
    }
    if (bl_study_finish(study) != BL_OK) {
        fail_msg("%s", bl_study_message(study)->text);
    }
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
        check_close(p->position_mm, q->position_mm, 0.0, "mm");
        check_close(p->measures.area_mm2, q->measures.area_mm2, 0.0, "mm2");
        bl_contour c = bl_study_contour(a, i);
        bl_contour d = bl_study_contour(b, i);
        assert_int_equal(c.count, d.count);
        assert_memory_equal(c.x_mm, d.x_mm, c.count * sizeof *c.x_mm);
        assert_memory_equal(c.y_mm, d.y_mm, c.count * sizeof *c.y_mm);
    }
}

static void test_pieces(void **state) {
    (void)state;
    static const char *const tables[] = {quirky, blocks};
    dice from = {17};
    for (size_t t = 0; t < 2; t++) {
        size_t size = strlen(tables[t]);
        bl_study *whole = read_pieces(tables[t], size, &from, 1 << 20);
        for (int i = 0; i < 300; i++) {
            bl_study *cut =
                read_pieces(tables[t], size, &from, 1 + (size_t)i % 40);
            check_same(whole, cut);
            bl_study_free(cut);
        }
        bl_study_free(whole);
    }
}

/* iconv (glibc) is the reference for UTF-16. */
static void test_utf16(void **state) {
    (void)state;
    static const char *const orders[] = {"UTF-16LE", "UTF-16BE"};
    static const char *const marks[] = {"\xff\xfe", "\xfe\xff"};
    static char text[] =
        "# step_mm = 2\n# case = V\xc3\xa4ne \xe2\x82\xac "
        "\xf0\x9d\x84\x9e\nframe,x_mm,y_mm\n7,0.5,0\r\n7,4,0\n7,4,4\n";
    dice from = {23};
    bl_study *whole = read_pieces(text, sizeof text - 1, &from, 1 << 20);
    for (int order = 0; order < 2; order++) {
        char wide[1024];
        memcpy(wide, marks[order], 2);
        char *in = text;
        char *out = wide + 2;
        size_t left = sizeof text - 1;
        size_t room = sizeof wide - 2;
        iconv_t convert = iconv_open(orders[order], "UTF-8");
        assert_int_equal(iconv(convert, &in, &left, &out, &room), 0);
        assert_int_equal(iconv_close(convert), 0);
        for (int i = 0; i < 100; i++) {
            bl_study *cut = read_pieces(wide, sizeof wide - room, &from,
                                        1 + (size_t)i % 40);
            check_same(whole, cut);
            assert_string_equal(bl_study_pullback(cut)->case_name,
                                "V\xc3\xa4ne \xe2\x82\xac "
                                "\xf0\x9d\x84\x9e");
            bl_study_free(cut);
        }
    }
    bl_study_free(whole);
}

/* Equal radii at equal angles are a regular polygon: n/2 r^2 sin(2 pi / n). */
static void test_wide_polar(void **state) {
    (void)state;
    bl_study *study = vein_study_of_text("# step_mm = 1\nframe,r0,r1,r2,r3,r4\n"
                                         "3,2,2,2,2,2\n4,1,1,1,1,1\n");
    const bl_row *rows = bl_study_rows(study);
    assert_int_equal(bl_study_row_count(study), 2);
    double unit = 2.5 * sin(2.0 * acos(-1.0) / 5.0);
    check_close(rows[0].measures.area_mm2, 4.0 * unit, 4e-15, "mm2");
    check_close(rows[1].measures.area_mm2, unit, 2e-15, "mm2");
    assert_int_equal(bl_study_finding_count(study), 1); /* their calibre */
    assert_int_equal(bl_study_pullback(study)->shape, BL_SHAPE_WIDE_POLAR);
    bl_study_free(study);
    study = vein_study_of_text("# step_mm = 1\nframe,r0,r1,r2,r3\n"
                               "3,2,2,3,2\n4,1,2,1,1\n");
    assert_int_equal(bl_study_finding_count(study), 2);
    bl_study_free(study);
}

/* A study that goes on keeps nothing of a wide row with a fault. */
static void test_wide_goes_on(void **state) {
    (void)state;
    static const char text[] = "# step_mm = 1\nframe,x1,y1,x2,y2,x3,y3\n"
                               "0,0,0,4,0,4,4\n1,0,0,4,0,4,a\n2,0,0,4,0,4\n"
                               "3,0,0,4,0,4,4\n";
    bl_study_options options = {.columns = BL_COLUMNS_ALL, .go_on = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, text, sizeof text - 1), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    assert_int_equal(bl_study_fault_count(study), 2);
    assert_int_equal(bl_study_findings(study)[0].message.line, 4);
    assert_int_equal(bl_study_findings(study)[1].message.line, 5);
    assert_int_equal(bl_study_row_count(study), 2);
    assert_int_equal(bl_study_rows(study)[1].frame, 3);
    bl_study_free(study);
}

static void test_quirky_values(void **state) {
    (void)state;
    bl_study *study = vein_study_of_text(quirky);
    const bl_row *rows = bl_study_rows(study);
    const bl_pullback *pullback = bl_study_pullback(study);
    assert_int_equal(bl_study_row_count(study), 3);
    assert_int_equal(rows[0].frame, 7);
    check_close(rows[0].measures.area_mm2, 7.0, 1e-15, "mm2");
    check_close(rows[1].measures.area_mm2, 2.5, 1e-15, "mm2");
    check_close(rows[1].position_mm, 2.0, 0.0, "mm");
    assert_int_equal(rows[2].kind, BL_KIND_DEVICE);
    assert_string_equal(pullback->case_name, "\"x\"");
    assert_int_equal(pullback->mark_count, 1);
    check_close(pullback->marks[0].position_mm, 2.0, 0.0, "mm");
    assert_int_equal(pullback->position_from, BL_POSITION_STEP);
    assert_int_equal(pullback->separator, ';');
    bl_study_free(study);
    study = vein_study_of_text(blocks);
    rows = bl_study_rows(study);
    assert_int_equal(bl_study_pullback(study)->shape, BL_SHAPE_BLOCKS);
    check_close(rows[1].position_mm, 2.5, 1e-15, "mm"); /* 1.5 + 2 * 0.5 */
    check_close(rows[2].position_mm, 4.5, 0.0, "mm");
    bl_study_free(study);
}

static bl_status feed_line(size_t bytes, bl_message *message) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = false};
    bl_study *study = NULL;
    char *line = malloc(bytes + 1);
    assert_non_null(line);
    memset(line, '#', bytes);
    line[bytes] = '\n';
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    bl_status status = bl_study_feed(study, line, bytes + 1);
    *message = *bl_study_message(study);
    bl_study_free(study);
    free(line);
    return status;
}

static void test_line_limit(void **state) {
    (void)state;
    bl_message message;
    assert_int_equal(feed_line(LIMIT_LINE_BYTES, &message), BL_OK);
    assert_int_equal(feed_line(LIMIT_LINE_BYTES + 1, &message), BL_ERR_LIMIT);
    assert_int_equal(message.line, 1);
}

static bl_status feed_columns(int count) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = false};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    (void)bl_study_feed(study, "frame,x_mm,y_mm", 15);
    for (int i = 3; i < count; i++) {
        (void)bl_study_feed(study, ",extra", 6);
    }
    bl_status status = bl_study_feed(study, "\n", 1);
    bl_study_free(study);
    return status;
}

/* Columns before the coordinates, which may be many more. */
static bl_status feed_wide_columns(int count) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    (void)bl_study_feed(study, "# step_mm = 1\nframe", 19);
    for (int i = 1; i < count; i++) {
        (void)bl_study_feed(study, ",extra", 6);
    }
    char name[32];
    for (int i = 2; i < 2 * LIMIT_COLUMNS; i++) {
        int size =
            snprintf(name, sizeof name, ",%c%d", i % 2 == 0 ? 'x' : 'y', i / 2);
        (void)bl_study_feed(study, name, (size_t)size);
    }
    bl_status status = bl_study_feed(study, "\n", 1);
    bl_study_free(study);
    return status;
}

static void test_column_limit(void **state) {
    (void)state;
    assert_int_equal(feed_wide_columns(LIMIT_COLUMNS), BL_OK);
    assert_int_equal(feed_wide_columns(LIMIT_COLUMNS + 1), BL_ERR_LIMIT);
    assert_int_equal(feed_columns(LIMIT_COLUMNS), BL_OK);
    assert_int_equal(feed_columns(LIMIT_COLUMNS + 1), BL_ERR_LIMIT);
}

static bl_status feed_points(long count) {
    bl_study_options options = {.columns = BL_BIT(BL_COL_AREA_MM2),
                                .keep_contours = false};
    bl_study *study = NULL;
    bl_status status = bl_study_new(&options, &study);
    const char head[] = "# step_mm = 1\nframe,x_mm,y_mm\n0,1,1\n0,0,1\n";
    status = bl_study_feed(study, head, sizeof head - 1);
    for (long i = 2; i < count && status == BL_OK; i++) {
        status = bl_study_feed(study, "0,0,0\n", 6);
    }
    if (status == BL_OK) {
        status = bl_study_finish(study);
    }
    bl_study_free(study);
    return status;
}

static void test_point_limit(void **state) {
    (void)state;
    assert_int_equal(feed_points(LIMIT_POINTS), BL_OK);
    assert_int_equal(feed_points(LIMIT_POINTS + 1), BL_ERR_LIMIT);
}

static bl_status feed_frame(const char *frame) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = false};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    (void)bl_study_feed(study, "frame,x_mm,y_mm\n", 16);
    (void)bl_study_feed(study, frame, strlen(frame));
    bl_status status = bl_study_feed(study, ",1,1\n", 5);
    bl_study_free(study);
    return status;
}

static void test_frame_limit(void **state) {
    (void)state;
    assert_int_equal(feed_frame("999999999"), BL_OK);
    assert_int_equal(feed_frame("1000000000"), BL_ERR_INPUT);
    assert_int_equal(feed_frame("0"), BL_OK);
    assert_int_equal(feed_frame("-1"), BL_ERR_INPUT);
    assert_int_equal(feed_frame("12.0"), BL_OK);
    assert_int_equal(feed_frame("12.5"), BL_ERR_INPUT);
}

/* Frames of one point each; a contour is handed over when the next begins. */
static void test_contour_limit(void **state) {
    (void)state;
    bl_study_options options = {.columns = BL_BIT(BL_COL_FRAME),
                                .keep_contours = false};
    bl_study *study = NULL;
    bl_status status = BL_OK;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_feed(study, "frame,x_mm,y_mm\n", 16), BL_OK);
    for (long i = 0; i <= LIMIT_CONTOURS && status == BL_OK; i++) {
        char line[32];
        int size = snprintf(line, sizeof line, "%ld,0,0\n", i);
        status = bl_study_feed(study, line, (size_t)size);
    }
    assert_int_equal(status, BL_OK);
    assert_int_equal(bl_study_row_count(study), LIMIT_CONTOURS);
    assert_int_equal(bl_study_feed(study, "3000000,0,0\n", 12), BL_ERR_LIMIT);
    bl_study_free(study);
}

static bl_status finish_at(const char *position) {
    char text[128];
    bl_study_options options = {.columns = BL_BIT(BL_COL_FRAME),
                                .keep_contours = false};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    int size = snprintf(text, sizeof text,
                        "frame 0 position=%s\n0 0\n4 0\n4 4\n", position);
    assert_int_equal(bl_study_feed(study, text, (size_t)size), BL_OK);
    bl_status status = bl_study_finish(study);
    bl_study_free(study);
    return status;
}

static void test_position_limit(void **state) {
    (void)state;
    assert_int_equal(LIMIT_POSITION_MM, 10000);
    assert_int_equal(finish_at("10000"), BL_OK);
    assert_int_equal(finish_at("-10000"), BL_OK);
    assert_int_equal(finish_at("10000.001"), BL_ERR_INPUT);
    assert_int_equal(finish_at("-1e308"), BL_ERR_INPUT);
}

/* Marks and warnings. */
static void test_note_limits(void **state) {
    (void)state;
    for (int count = LIMIT_MARKS; count <= LIMIT_MARKS + 1; count++) {
        bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                    .keep_contours = false};
        bl_study *study = NULL;
        assert_int_equal(bl_study_new(&options, &study), BL_OK);
        bl_status status = BL_OK;
        for (int i = 0; i < count; i++) {
            char mark[64];
            (void)snprintf(mark, sizeof mark, "m%d @ %d", i, i);
            status = bl_study_set(study, "mark", mark);
        }
        assert_int_equal(status, count > LIMIT_MARKS ? BL_ERR_LIMIT : BL_OK);
        bl_study_free(study);
    }
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = false};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    for (int i = 0; i < LIMIT_REPEATS + 1; i++) {
        assert_int_equal(bl_study_feed(study, "# unknown = 1\n", 14), BL_OK);
    }
    assert_int_equal(bl_study_finding_count(study), LIMIT_REPEATS);
    assert_int_equal(bl_study_findings(study)[LIMIT_REPEATS - 1].more, 1);
    assert_int_equal(bl_study_findings(study)[0].more, 0);
    bl_study_free(study);
}

/* Options win over notes: a key set from outside makes the table's void. */
static void test_options_win(void **state) {
    (void)state;
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = false};
    bl_study *study = NULL;
    const char table[] =
        "# speed_mm_per_s = 1\n# frame_rate_hz = 10\n# mark = a @ 1\n"
        "# mark = b @ 2\n# reference = 0..1\nframe,x_mm,y_mm\n0,0,0\n0,4,0\n"
        "0,4,4\n20,0,0\n20,4,0\n20,4,4\n";
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_set(study, "speed_mm_per_s", "5"), BL_OK);
    assert_int_equal(bl_study_set(study, "mark", "b @ 7"), BL_OK);
    assert_int_equal(bl_study_set(study, "reference", "3..4"), BL_OK);
    assert_int_equal(bl_study_set(study, "speed", "5"), BL_ERR_ARGUMENT);
    assert_int_equal(bl_study_feed(study, table, sizeof table - 1), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    const bl_pullback *pullback = bl_study_pullback(study);
    check_close(bl_study_rows(study)[1].position_mm, 10.0, 1e-15, "mm");
    assert_int_equal(pullback->mark_count, 2);
    check_close(pullback->marks[1].position_mm, 7.0, 0.0, "mm");
    assert_int_equal(pullback->reference_count, 1);
    check_close(pullback->references[0].from_mm, 3.0, 0.0, "mm");
    bl_study_free(study);
}

/* Marks of the four confluences tell the veins, in either travel. */
static void test_veins(void **state) {
    (void)state;
    static const char marks[] = "# mark = iliocaval_confluence @ 10\n"
                                "# mark = internal_iliac_confluence @ 60\n"
                                "# mark = inguinal_ligament @ 150\n"
                                "# mark = femoral_confluence @ 190\n";
    static const bl_vein veins[] = {BL_VEIN_CAVA, BL_VEIN_COMMON_ILIAC,
                                    BL_VEIN_EXTERNAL_ILIAC,
                                    BL_VEIN_COMMON_FEMORAL, BL_VEIN_FEMORAL};
    static const double places[] = {5.0, 30.0, 100.0, 170.0, 200.0};
    char text[512];
    (void)snprintf(text, sizeof text,
                   "%s# step_mm = 1\nframe 0\n0 0\n4 0\n4 4\nframe 210\n0 0\n"
                   "4 0\n4 4\n",
                   marks);
    bl_study *study = vein_study_of_text(text);
    for (size_t i = 0; i < 5; i++) {
        assert_int_equal(
            bl_pullback_vein_at(bl_study_pullback(study), places[i]), veins[i]);
    }
    bl_study_free(study);
}

/* One or two stray frames are flagged, a step and a steep slope are not. */
static size_t jumps_in(const double *areas, size_t count) {
    static vein one;
    one.count = count;
    one.notes = "";
    for (size_t i = 0; i < count; i++) {
        one.frames[i] = (vein_frame){(double)i, areas[i], 1.0};
    }
    bl_study *study = vein_study(&one);
    size_t jumps = 0;
    for (size_t i = 0; i < count; i++) {
        jumps += (bl_study_rows(study)[i].measures.flags & BL_FLAG_JUMP) != 0;
    }
    bl_study_free(study);
    return jumps;
}

static void test_jumps(void **state) {
    (void)state;
    static const double stray[] = {9, 9, 9, 30, 9, 9, 9, 9};
    static const double two[] = {9, 9, 9, 3, 3, 9, 9, 9};
    static const double step[] = {9, 9, 9, 9, 30, 30, 30, 30};
    static const double slope[] = {5, 10, 20, 40, 80, 160, 320, 640};
    static const double noise[] = {9, 10, 9, 12, 9, 8, 9, 11};
    assert_int_equal(jumps_in(stray, 8), 1);
    assert_int_equal(jumps_in(two, 8), 2);
    assert_int_equal(jumps_in(step, 8), 0);
    assert_int_equal(jumps_in(slope, 8), 0);
    assert_int_equal(jumps_in(noise, 8), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pieces),
        cmocka_unit_test(test_utf16),
        cmocka_unit_test(test_wide_polar),
        cmocka_unit_test(test_wide_goes_on),
        cmocka_unit_test(test_quirky_values),
        cmocka_unit_test(test_line_limit),
        cmocka_unit_test(test_column_limit),
        cmocka_unit_test(test_point_limit),
        cmocka_unit_test(test_frame_limit),
        cmocka_unit_test(test_contour_limit),
        cmocka_unit_test(test_position_limit),
        cmocka_unit_test(test_note_limits),
        cmocka_unit_test(test_options_win),
        cmocka_unit_test(test_veins),
        cmocka_unit_test(test_jumps),
    };
    return cmocka_run_group_tests_name("reader", tests, NULL, NULL);
}
