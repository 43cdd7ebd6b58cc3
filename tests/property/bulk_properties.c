/*
 * bulk_properties.c - long tables read in bulk, by words and byte by byte, are
 * what they are row by row: the same contours to the last bit, the same status
 * and first message; whatever the rows, cut into whatever pieces.
 */
#include "support/check.h"

#include "read/reader.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TABLES 6000
#define TABLE_BYTES 16384
#define CONTOURS 512

/* What a reading left. */
typedef struct outcome {
    bl_status status;
    bl_message message;
    uint64_t lines;
    uint64_t empty_rows;
    uint64_t open;       /* the last line, without an end */
    uint64_t comma_line; /* of the first decimal comma, */
    uint64_t point_line; /* and point */
    size_t said;
    char last[BL_MESSAGE_BYTES]; /* of what was said */
    size_t contours;
    size_t refuse; /* the receiver fails at this contour */
    read_contour all[CONTOURS];
    size_t points;
    double x[TABLE_BYTES]; /* of all contours */
    double y[TABLE_BYTES];
} outcome;

static bl_status keep(void *context, const read_contour *contour) {
    outcome *to = context;
    if (to->contours == to->refuse) {
        return BL_ERR_LIMIT;
    }
    size_t count = contour->contour.count;
    assert_true(to->contours < CONTOURS);
    assert_true(to->points + count <= TABLE_BYTES);
    memcpy(to->x + to->points, contour->contour.x_mm, count * sizeof *to->x);
    memcpy(to->y + to->points, contour->contour.y_mm, count * sizeof *to->y);
    to->points += count;
    to->all[to->contours++] = *contour;
    return BL_OK;
}

/* Each piece has memory of its own, so that a sanitizer sees a byte too
 * many. */
static bl_status feed_piece(reader *to, const char *bytes, size_t size) {
    char *piece = malloc(size);
    memcpy(piece, bytes, size);
    bl_status status = reader_feed(to, piece, size);
    free(piece);
    return status;
}

static void read_table(const char *table, size_t size, bulk_way way,
                       size_t most, uint64_t seed, outcome *out) {
    static reader of;
    notes given = {0};
    findings said = {0};
    dice from = {seed};
    size_t refuse = out->refuse;
    *out = (outcome){.refuse = refuse};
    reader_begin(&of, &given, &said, &out->message, keep, out);
    of.way = way;
    for (size_t at = 0; at < size && out->status == BL_OK;) {
        size_t piece = 1 + dice_next(&from) % most;
        piece = piece < size - at ? piece : size - at;
        out->status = feed_piece(&of, table + at, piece);
        at += piece;
    }
    if (out->status == BL_OK) {
        out->status = reader_finish(&of);
        out->lines = of.lines.number;
        out->empty_rows = of.empty_rows;
        out->open = of.lines.open;
    }
    out->comma_line = of.gather.comma_line;
    out->point_line = of.gather.point_line;
    out->said = said.count;
    if (said.count > 0) {
        memcpy(out->last, said.list[said.count - 1].message.text,
               sizeof out->last);
    }
    reader_free(&of);
    notes_free(&given);
    findings_free(&said);
}

static void check_same_double(double a, double b) {
    assert_true(isnan(a) ? isnan(b) : memcmp(&a, &b, sizeof a) == 0);
}

static void check_same(const outcome *a, const outcome *b, const char *table,
                       bulk_way way) {
    if (a->status != b->status || a->message.line != b->message.line ||
        a->message.column != b->message.column ||
        strcmp(a->message.text, b->message.text) != 0 || a->lines != b->lines ||
        a->contours != b->contours || a->points != b->points ||
        a->empty_rows != b->empty_rows || a->open != b->open ||
        a->comma_line != b->comma_line || a->point_line != b->point_line ||
        a->said != b->said || strcmp(a->last, b->last) != 0) {
        fail_msg("way %d: %zu contours, line %d: %s\nnot %zu contours, line "
                 "%d: %s\n%.500s",
                 (int)way, b->contours, (int)b->message.line, b->message.text,
                 a->contours, (int)a->message.line, a->message.text, table);
    }
    for (size_t i = 0; i < a->contours; i++) {
        const read_contour *p = &a->all[i];
        const read_contour *q = &b->all[i];
        assert_int_equal(p->frame, q->frame);
        assert_int_equal(p->kind, q->kind);
        assert_int_equal(p->line, q->line);
        assert_int_equal(p->contour.count, q->contour.count);
        check_same_double(p->time_s, q->time_s);
        check_same_double(p->position_mm, q->position_mm);
    }
    assert_memory_equal(a->x, b->x, a->points * sizeof *a->x);
    assert_memory_equal(a->y, b->y, a->points * sizeof *a->y);
}

/* ------------------------------------------------------------ random tables */

/* How the rows of one table are written. */
typedef struct style {
    const char *const *columns;
    size_t count;
    char separator;
    const char *line_end;
    int decimals; /* most */
    bool drop_zeros;
    bool vary;           /* how many decimals */
    char mark;           /* before decimals */
    uint64_t other_mark; /* one number in so many has the other; 0: none */
    uint64_t whole_rows; /* so many rows come first without decimals */
    double largest;
    uint64_t change; /* one row in so many starts a contour */
    uint64_t fault;  /* one row in so many is unusual; 0: none */
} style;

static const char *const orders[][8] = {
    {"frame", "x_mm", "y_mm"},
    {"frame", "x_mm", "y_mm"},
    {"frame", "x_mm", "y_mm"},
    {"x_mm", "y_mm", "frame"},
    {"y_mm", "frame", "x_mm"},
    {"frame", "point", "x_mm", "y_mm"},
    {"frame", "kind", "x_mm", "y_mm"},
    {"kind", "frame", "time_s", "position_mm", "x_mm", "y_mm"},
    {"frame", "time_s", "y_mm", "remark", "x_mm", "kind"},
    {"remark", "frame", "x_mm", "y_mm", "position_mm", "point"}};

static style any_style(dice *from) {
    static const char separators[] = ",,,;\t| ";
    static const char *const ends[] = {"\n", "\n", "\r\n", "\r"};
    style out = {
        .columns = orders[dice_next(from) % (sizeof orders / sizeof orders[0])],
        .separator = separators[dice_next(from) % (sizeof separators - 1)],
        .line_end = ends[dice_next(from) % 4],
        .decimals = (int)(dice_next(from) % 18),
        .drop_zeros = dice_next(from) % 3 == 0,
        .vary = dice_next(from) % 4 == 0,
        .mark = dice_next(from) % 8 == 0 ? ',' : '.',
        .other_mark = dice_next(from) % 8 == 0 ? 50 : 0,
        .whole_rows = dice_next(from) % 4 == 0 ? dice_next(from) % 60 : 0,
        .largest = pow(10, dice_between(from, -1, 6)),
        .change = 1 + dice_next(from) % 60,
        .fault = dice_next(from) % 3 == 0 ? 0 : 4 + dice_next(from) % 200,
    };
    if (out.separator == ',') {
        out.mark = '.';
        out.other_mark = 0;
    }
    while (out.count < 8 && out.columns[out.count] != NULL) {
        out.count++;
    }
    return out;
}

static size_t write_number(dice *from, const style *as, char *to) {
    int decimals = as->decimals;
    if (as->vary) {
        decimals = (int)(dice_next(from) % (uint64_t)(decimals + 1));
    }
    int size = sprintf(to, "%.*f", decimals,
                       dice_between(from, -as->largest, as->largest));
    if (as->drop_zeros && decimals > 0) {
        for (; to[size - 1] == '0'; size--) {
        }
        size -= to[size - 1] == '.';
    }
    char *mark = memchr(to, '.', (size_t)size);
    if (mark != NULL) {
        bool other =
            as->other_mark > 0 && dice_next(from) % as->other_mark == 0;
        *mark = other == (as->mark == '.') ? ',' : '.';
    }
    return (size_t)size;
}

/* What the rows of a contour have in common. */
typedef struct common {
    int frame;
    bl_kind kind;
} common;

static size_t write_cell(dice *from, const style *as, const common *of,
                         const char *name, char *to) {
    if (strcmp(name, "frame") == 0) {
        return (size_t)sprintf(to, "%d", of->frame);
    }
    if (strcmp(name, "kind") == 0) {
        return (size_t)sprintf(to, "%s", bl_kind_name(of->kind));
    }
    if (strcmp(name, "time_s") == 0) {
        return of->frame % 5 == 0
                   ? 0
                   : (size_t)sprintf(to, "%.3f", of->frame * 0.033);
    }
    if (strcmp(name, "position_mm") == 0) {
        return (size_t)sprintf(to, "%d", of->frame * 2);
    }
    if (strcmp(name, "point") == 0) {
        return (size_t)sprintf(to, "%d", (int)(dice_next(from) % 300));
    }
    if (strcmp(name, "remark") == 0) {
        static const char *const remarks[] = {"",
                                              "nothing",
                                              "nothing much was to be seen",
                                              "nothing much was to be seen",
                                              "\"it, or not;\t\"",
                                              "#1"};
        uint64_t odd = dice_next(from) % 30 == 0 ? 6 : 4;
        return (size_t)sprintf(to, "%s", remarks[dice_next(from) % odd]);
    }
    return write_number(from, as, to);
}

static size_t write_row(dice *from, const style *as, const common *of,
                        char *to) {
    size_t size = 0;
    for (size_t i = 0; i < as->count; i++) {
        if (i > 0) {
            to[size++] = as->separator;
        }
        size += write_cell(from, as, of, as->columns[i], to + size);
    }
    return size + (size_t)sprintf(to + size, "%s", as->line_end);
}

/* One byte changed, added or left out, or a whole line that is no row. */
static size_t spoil(dice *from, char *row, size_t size) {
    static const char bytes[] =
        "0123456789.,;:-+eE#=@ \t\n\r\"'frame\0\xff\x80\xba/|";
    static const char *const others[] = {
        ",,\n", ";;\n", "\n", "# a remark\n", "\r\n", " \n", "0 1 2\n"};
    size_t at = dice_next(from) % size;
    char byte = bytes[dice_next(from) % (sizeof bytes - 1)];
    switch (dice_next(from) % 5) {
    case 0:
        row[at] = byte;
        return size;
    case 1:
        memmove(row + at, row + at + 1, size - at - 1);
        return size - 1;
    case 2:
        memmove(row + at + 1, row + at, size - at);
        row[at] = byte;
        return size + 1;
    case 3:
        row[at] = (char)('0' + dice_next(from) % 10);
        return size;
    default:
        return size +
               (size_t)sprintf(row + size, "%s", others[dice_next(from) % 5]);
    }
}

/* What the ordinary way reads on from, so that a table has more than one. */
static size_t spoil_mildly(dice *from, char *row, size_t size) {
    size_t at = dice_next(from) % size;
    if (row[at] == '.' || (row[at] >= '0' && row[at] <= '9')) {
        row[at] = (char)('0' + dice_next(from) % 10);
    } else if (row[at] == ',' || row[at] == ';') {
        memmove(row + at + 1, row + at, size - at);
        row[at] = ' ';
        size++;
    }
    return size;
}

static size_t write_table(dice *from, char *table) {
    style as = any_style(from);
    size_t size = 0;
    for (size_t i = 0; i < as.count; i++) {
        size +=
            (size_t)sprintf(table + size, "%s%c", as.columns[i], as.separator);
    }
    size += (size_t)sprintf(table + size - 1, "%s", as.line_end) - 1;
    size_t rows = 1 + dice_next(from) % 200;
    common of = {0, BL_KIND_LUMEN};
    for (size_t i = 0; i < rows && size < TABLE_BYTES - 400; i++) {
        if (dice_next(from) % as.change == 0) {
            of.frame += 1 + (int)(dice_next(from) % 3) * 9;
            of.kind = (bl_kind)(dice_next(from) % 3);
        }
        style now = as;
        now.decimals = i < as.whole_rows ? 0 : as.decimals;
        size_t length = write_row(from, &now, &of, table + size);
        if (as.fault > 0 && dice_next(from) % as.fault == 0) {
            length = dice_next(from) % 4 == 0
                         ? spoil(from, table + size, length)
                         : spoil_mildly(from, table + size, length);
        }
        size += length;
    }
    return size;
}

static void test_same_whatever_the_way(void **state) {
    (void)state;
    static char table[TABLE_BYTES];
    static outcome expected;
    static outcome is;
    dice from = {20};
    size_t good = 0;
    for (int i = 0; i < TABLES; i++) {
        size_t size = write_table(&from, table);
        size_t most = i % 3 == 0 ? TABLE_BYTES : 1 + dice_next(&from) % 2000;
        uint64_t seed = dice_next(&from) | 1;
        is.refuse = expected.refuse =
            i % 5 == 0 ? dice_next(&from) % 20 : CONTOURS;
        read_table(table, size, BULK_OFF, most, seed, &expected);
        good += expected.status == BL_OK;
        for (bulk_way way = BULK_BYTES; way <= bulk_best(); way++) {
            read_table(table, size, way, most, seed, &is);
            check_same(&expected, &is, table, way);
        }
    }
    /* Neither all fine nor all refused. */
    assert_in_range(good, TABLES / 4, TABLES * 3 / 4);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same_whatever_the_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
