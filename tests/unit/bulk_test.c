/*
 * bulk_test.c - how far rows are taken in bulk: all that are in the common
 * form, and none behind the first that is not.
 */
#include "support/check.h"

#include "read/bulk.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ROWS 40

static const header plain_header = {
    .separator = ',',
    .roles = {ROLE_FRAME, ROLE_X, ROLE_Y},
    .count = 3,
};

static bl_status count_contours(void *context, const read_contour *contour) {
    (void)contour;
    *(size_t *)context += 1;
    return BL_OK;
}

/* What bulk_take made of a text. */
typedef struct taken {
    size_t used;
    uint64_t rows;
    size_t contours; /* handed over */
    uint64_t point_line;
    double x; /* the last point */
    double y;
} taken;

static taken take(const header *of, bulk_way way, const char *text,
                  size_t size) {
    taken out = {0};
    bl_message message = {0};
    gather to = {.receiver = count_contours,
                 .context = &out.contours,
                 .message = &message};
    /* A copy of its own, so that a sanitizer sees a byte too many. */
    char *bytes = malloc(size);
    memcpy(bytes, text, size);
    assert_int_equal(bulk_take(of, way, bytes, size, &to, &out.rows, &out.used),
                     BL_OK);
    if (to.count > 0) {
        out.x = to.x[to.count - 1];
        out.y = to.y[to.count - 1];
    }
    out.point_line = to.point_line;
    free(bytes);
    gather_free(&to);
    return out;
}

/* ROWS good rows, the row in question, more good rows. Those before it are of
 * one length or, when they vary, of many. */
static size_t write_rows(char *text, bool vary, const char *odd,
                         size_t odd_size) {
    size_t size = 0;
    for (int i = 0; i < ROWS; i++) {
        size += (size_t)sprintf(text + size, "7,1.25%.*s,-%d.5\n",
                                vary ? i % 3 : 0, "125", i % 9);
    }
    memcpy(text + size, odd, odd_size);
    size += odd_size;
    for (int i = 0; i < ROWS; i++) {
        size += (size_t)sprintf(text + size, "7,1.25,-%d.5\n", i);
    }
    return size;
}

static void check_stop(bool vary, const char *odd, size_t odd_size) {
    static char text[8192];
    size_t size = write_rows(text, vary, odd, odd_size);
    for (bulk_way way = BULK_BYTES; way <= bulk_best(); way++) {
        taken is = take(&plain_header, way, text, size);
        if (is.rows != ROWS || is.contours != 0 ||
            memcmp(text + is.used, odd, odd_size) != 0) {
            fail_msg("'%s' way %d: %d rows, %zu bytes", odd, (int)way,
                     (int)is.rows, is.used);
        }
    }
}

static void test_stops_before_what_is_unusual(void **state) {
    (void)state;
    static const char *const odd[] = {
        "\n", "#7,1,2\n", " 7,1,2\n", "7, 1,2\n", "7,1,2 \n", "7,1,2,\n",
        "7,1\n", "7,1,2,3\n", "7,,2\n", "7,1,\n", "7,1e0,2\n", "7,1,2e0\n",
        "7,+1,2\n", "7,1.,2\n", "7,.,2\n", "7,-,2\n", "7,--1,2\n",
        "7,1.2.3,4\n", "7,\"1\",2\n", "\"7\",1,2\n", "7,x,2\n", "7.0,1,2\n",
        "-7,1,2\n", "7e0,1,2\n", "7,1,2\r\r\n", "7;1;2\n", "7,1,2\rx",
        "7,nan,2\n", "7,inf,2\n", ",1,2\n", "1234567890,1,2\n",
        "7,12345678901234567890,2\n", "7,1.2345678901234567890,2\n",
        /* As long as the rows before, and nearly as good. */
        "7,1.25,-1.5;\n", "7,1.25,-1.5\r7,1.25,-1.5\n", "7,1.25,\xff.5\n",
        "7,1.25,-\xba.5\n", "7,1.25,-1.\xba\n", "7,1.2/,-1.5\n",
        "7,1.2:,-1.5\n", "7,1.\xba\x39,-1.5\n", "7,1;25,-1.5\n",
        "7,1.25,-1:5\n", "7,x.25,-1.5\n", "7,1.25,-/.5\n", "7,1.25;-1.5\n",
        "7,1.,-1.5\n", "7,1.25,-1.\n"};
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        check_stop(false, odd[i], strlen(odd[i]));
        check_stop(true, odd[i], strlen(odd[i]));
    }
    check_stop(false, "7,1.25,-1\0.5\n", 13);
    check_stop(true, "7,1.25,-1\0.5\n", 13);
}

/* Nearly all: the last row may be too near the end of the piece. */
static void test_goes_on_over_what_is_usual(void **state) {
    (void)state;
    static const char *const usual[] = {
        "7,1,2\n",
        "7,1.25,2.5\r\n",
        "7,.5,-.25\n",
        "8,1.25,2.5\n",
        "007,1.25,2.5\n",
        "7,-0,0\n",
        "7,1.2345678901234567,-0.12345678901234567\n",
        "7,123456789,1234567.1234567\n",
        "123456789,1.25,-1.5\n"};
    static char text[8192];
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        size_t size = write_rows(text, i % 2, usual[i], strlen(usual[i]));
        for (bulk_way way = BULK_BYTES; way <= bulk_best(); way++) {
            taken is = take(&plain_header, way, text, size);
            if (is.rows < 2 * ROWS || size - is.used > 20) {
                fail_msg("'%s' way %d: %d rows", usual[i], (int)way,
                         (int)is.rows);
            }
            check_close(is.x, 1.25, 0, "mm");
            check_close(is.y, -(double)(is.rows - ROWS - 2) - 0.5, 0, "mm");
        }
    }
}

/* Names as columns, and a row for them. */
static void test_every_order_of_columns(void **state) {
    (void)state;
    static const struct {
        header columns;
        const char *row;
    } cases[] = {
        {{.separator = '\t',
          .roles = {ROLE_X, ROLE_Y, ROLE_FRAME},
          .count = 3,
          .ignored = 0},
         "1.25\t-3.5\t7\n"},
        {{.separator = ';',
          .roles = {ROLE_Y, ROLE_FRAME, ROLE_X},
          .count = 3,
          .ignored = 0},
         "-3.5;7;1.25\n"},
        {{.separator = ',',
          .roles = {ROLE_FRAME, ROLE_KIND, ROLE_TIME, ROLE_POSITION, ROLE_X,
                    ROLE_Y},
          .count = 6,
          .ignored = 0},
         "7,Lumen,,0.125,1.25,-3.5\n"},
        {{.separator = ',',
          .roles = {ROLE_IGNORED, ROLE_FRAME, ROLE_IGNORED, ROLE_X,
                    ROLE_IGNORED, ROLE_Y, ROLE_IGNORED},
          .count = 7,
          .ignored = 4},
         "a much longer note,7,,1.25,and another one,-3.5,the end\r\n"},
    };
    static char text[8192];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        size_t size = 0;
        for (int k = 0; k < ROWS; k++) {
            size += (size_t)sprintf(text + size, "%s", cases[i].row);
        }
        for (bulk_way way = BULK_BYTES; way <= bulk_best(); way++) {
            taken is = take(&cases[i].columns, way, text, size);
            if (is.rows < ROWS - 1) {
                fail_msg("case %zu way %d: %d rows", i, (int)way, (int)is.rows);
            }
            check_close(is.x, 1.25, 0, "mm");
            check_close(is.y, -3.5, 0, "mm");
        }
    }
}

static void test_contours_are_handed_over(void **state) {
    (void)state;
    static char text[8192];
    size_t size = 0;
    for (int k = 0; k < 10 * ROWS; k++) {
        size += (size_t)sprintf(text + size, "%d,1.25,2.5\n", k / ROWS);
    }
    for (bulk_way way = BULK_BYTES; way <= bulk_best(); way++) {
        assert_int_equal(take(&plain_header, way, text, size).contours, 9);
    }
}

/* Where commas may be decimal marks, the first point is kept, also where rows
 * of whole numbers have none. */
static void test_the_first_point_is_kept(void **state) {
    (void)state;
    static const char *const rows[][2] = {{"7;12;-345\n", "7;1.2;-3.45\n"},
                                          {"7;12;-345\n", "7;12;-3.5\n"},
                                          {"7;12;-345\n", "7;1.25;-345\n"}};
    header semicolons = plain_header;
    semicolons.separator = ';';
    static char text[8192];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        size_t size = 0;
        for (int k = 0; k < 3 * ROWS; k++) {
            size += (size_t)sprintf(text + size, "%s", rows[i][k >= ROWS]);
        }
        for (bulk_way way = BULK_BYTES; way <= bulk_best(); way++) {
            taken is = take(&semicolons, way, text, size);
            assert_in_range(is.rows, 2 * ROWS, 3 * ROWS);
            assert_int_equal(is.point_line, ROWS + 1);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_stops_before_what_is_unusual),
        cmocka_unit_test(test_goes_on_over_what_is_usual),
        cmocka_unit_test(test_every_order_of_columns),
        cmocka_unit_test(test_contours_are_handed_over),
        cmocka_unit_test(test_the_first_point_is_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
