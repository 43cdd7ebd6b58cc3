/*
 * stock_test.c - a list of devices: the forms that are taken, what is refused,
 * where and with what cure, and every limit from both sides.
 */
#include "support/check.h"

#include "base/limits.h"
#include "boreline.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bl_stock *read_bytes(const char *bytes, size_t size) {
    bl_stock *out = NULL;
    bl_message message;
    if (bl_stock_from_text(bytes, size, "shelf.csv", &out, &message) != BL_OK) {
        fail_msg("%llu:%llu: %s", (unsigned long long)message.line,
                 (unsigned long long)message.column, message.text);
    }
    return out;
}

static bl_stock *read_text(const char *table) {
    return read_bytes(table, strlen(table));
}

static void test_columns(void **state) {
    (void)state;
    bl_stock *of = read_text("# a shelf\n"
                             "label,diameter_mm,length_mm,foreshortening_pct,"
                             "count\n"
                             "\"one, large\",16,120,0,2\n"
                             "\n"
                             "two,14.5,99.5,7.5,0\n");
    const bl_stock_device *devices = bl_stock_devices(of);
    assert_int_equal(bl_stock_device_count(of), 2);
    assert_string_equal(bl_stock_name(of), "shelf.csv");
    assert_string_equal(devices[0].label, "one, large");
    check_close(devices[0].diameter_mm, 16.0, 0.0, "diameter");
    check_close(devices[0].length_mm, 120.0, 0.0, "length");
    check_close(devices[0].foreshortening_pct, 0.0, 0.0, "foreshortening");
    assert_true(devices[0].counted);
    assert_int_equal(devices[0].count, 2);
    assert_int_equal(devices[0].line, 3);
    assert_string_equal(devices[1].label, "two");
    check_close(devices[1].diameter_mm, 14.5, 0.0, "diameter");
    check_close(devices[1].length_mm, 99.5, 0.0, "length");
    check_close(devices[1].foreshortening_pct, 7.5, 0.0, "foreshortening");
    assert_true(devices[1].counted);
    assert_int_equal(devices[1].count, 0);
    assert_int_equal(devices[1].line, 5);
    bl_stock_free(of);
    bl_stock_free(NULL);
}

/* One device of 16.5 x 100 mm in every form that is taken. */
static void test_forms(void **state) {
    (void)state;
    static const char *const tables[] = {
        "label,diameter_mm,length_mm\nx,16.5,100",
        "length_mm;label;diameter_mm\n;;\n100;x;16,5;\n",
        "Diameter mm\tLENGTH_MM\tlabel\r\n16,5\t100\tx\r\n",
        "\xef\xbb\xbf# words; more\rlabel;diameter-mm;length_mm;\rx;16.5;100\r",
        "label,diameter_mm,length_mm\n\"x\",\"16.5\",100\n",
    };
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        bl_stock *of = read_text(tables[i]);
        assert_int_equal(bl_stock_device_count(of), 1);
        const bl_stock_device *one = bl_stock_devices(of);
        assert_string_equal(one->label, "x");
        check_close(one->diameter_mm, 16.5, 0.0, "diameter");
        check_close(one->length_mm, 100.0, 0.0, "length");
        check_close(one->foreshortening_pct, 0.0, 0.0, "foreshortening");
        assert_false(one->counted);
        bl_stock_free(of);
    }
}

static void test_utf16(void **state) {
    (void)state;
    static const char table[] = "label,diameter_mm,length_mm\nx,16,100\n";
    char wide[2 * sizeof table] = {'\xfe', '\xff'};
    for (size_t i = 0; i + 1 < sizeof table; i++) {
        wide[3 + 2 * i] = table[i];
    }
    bl_stock *of = read_bytes(wide, 2 * sizeof table);
    assert_string_equal(bl_stock_devices(of)->label, "x");
    bl_stock_free(of);
}

typedef struct refusal {
    const char *table;
    uint64_t line;
    uint64_t column;
    const char *words;
} refusal;

#define ALL "label,diameter_mm,length_mm,foreshortening_pct,count"
#define NEEDED "label,diameter_mm,length_mm\n"
#define NO_DEVICE                                                              \
    "no device is in it; expected a header row '" ALL                          \
    "', the last two if you want, and a row a size"
#define DIAMETER "where a diameter from 4 to 40 mm is expected; "
#define LENGTH "where a length from 10 to 300 mm is expected; "
#define WHERE_ELSE "is it in mm, and in its column?"

static const refusal refusals[] = {
    {"", 0, 0, NO_DEVICE},
    {"# words\n" NEEDED, 0, 0, NO_DEVICE},
    {"label,diameter_mm\nx,16\n", 1, 1,
     "there is no column length_mm; expected " ALL},
    {"label,length_mm\nx,160\n", 1, 1,
     "there is no column diameter_mm; expected " ALL},
    {"diameter_mm,length_mm\n16,100\n", 1, 1,
     "there is no column label; expected " ALL},
    {"label;diameter;length_mm\nx;16;100\n", 1, 7,
     "'diameter' is no column; did you mean 'diameter_mm'?"},
    {"label,diameter_mm,length_cm\nx,16,10\n", 1, 19,
     "'length_cm' is no column; did you mean 'length_mm'?"},
    {"label,diameter_mm,length_mm,price of each\nx,16,100,1\n", 1, 29,
     "'price of each' is no column; expected " ALL},
    {"label,diameter_mm,length_mm,length mm\nx,16,100,1\n", 1, 29,
     "two columns are called length_mm; drop one"},
    {"label;diameter_mm,length_mm\n", 1, 1,
     "the header row has more than one kind of separator; use one, as in '" ALL
     "'"},
    {NEEDED "x,16,100\n\n x ,14,80\n", 4, 1,
     "a second device called 'x', as in line 2; leave one of them, or tell "
     "them apart by their labels"},
    {NEEDED ",16,100\n", 2, 1,
     "the device has no label; write what it is called by"},
    {NEEDED "x,16 mm,100\n", 2, 3,
     "found '16 mm' where a diameter in mm is expected; write the number "
     "alone, units stand in the names of columns"},
    {NEEDED "x,,100\n", 2, 3,
     "found nothing where a diameter in mm is expected"},
    {NEEDED "x,16,\n", 2, 6, "found nothing where a length in mm is expected"},
    {NEEDED "x,16,nan\n", 2, 6,
     "found 'nan' where a length in mm is expected; leave out the row of "
     "what was not traced, in a wide table leave the cell empty"},
    {NEEDED "x,120,16\n", 2, 3,
     "found '120' " DIAMETER "diameter and length of the row are swapped"},
    {"length_mm,label,diameter_mm\n8,x,18\n", 2, 1,
     "found '8' " LENGTH "diameter and length of the row are swapped"},
    {NEEDED "x,1.6,12\n", 2, 3,
     "found '1.6' " DIAMETER "the row seems to be in cm: write mm"},
    {NEEDED "x,48,100\n", 2, 3, "found '48' " DIAMETER WHERE_ELSE},
    {NEEDED "x,16,1000\n", 2, 6, "found '1000' " LENGTH WHERE_ELSE},
    {NEEDED "x,-16,100\n", 2, 3, "found '-16' " DIAMETER WHERE_ELSE},
    {"label,diameter_mm,length_mm,count\nx,16,100,\n", 2, 10,
     "found nothing where a count is expected; fill it in, or drop the column "
     "for all devices"},
    {"label,diameter_mm,length_mm,count\nx,16,100,1.5\n", 2, 10,
     "found '1.5' where a whole number of devices from 0 to 9999 is expected"},
    {"label,diameter_mm,length_mm,count\nx,16,100,-1\n", 2, 10,
     "found '-1' where a whole number of devices from 0 to 9999 is expected"},
    {"label,diameter_mm,length_mm,count\nx,16,100,many\n", 2, 10,
     "found 'many' where a count is expected"},
    {"label,diameter_mm,length_mm,foreshortening_pct\nx,16,100,\n", 2, 10,
     "found nothing where a foreshortening in % is expected; fill it in, or "
     "drop the column for all devices"},
    {NEEDED "x,16\n", 2, 5,
     "the row has 2 cells and the header 3; leave none out"},
    {NEEDED "x,16,5,100\n", 2, 8,
     "the row has more cells than the header; put a text with the separator in "
     "it in quotes; if the decimal mark is a comma, separate by semicolons"},
    {"label;diameter_mm;length_mm\nx;16,5;100\ny;16.5;100\n", 3, 3,
     "the table has decimal commas and decimal points; use one, and no mark "
     "between thousands"},
    {NEEDED "a\tb,16,100\n", 2, 1,
     "the label 'a?b' is no text; take out its control characters"},
    {"\x1f\x8b\x08", 0, 0,
     "the bytes are compressed with gzip; decompress them first"},
};

static void test_refusals(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        const refusal *one = &refusals[i];
        bl_stock *out = NULL;
        bl_message message;
        assert_int_equal(bl_stock_from_text(one->table, strlen(one->table),
                                            "shelf.csv", &out, &message),
                         BL_ERR_INPUT);
        assert_null(out);
        assert_string_equal(message.text, one->words);
        assert_int_equal(message.line, one->line);
        assert_int_equal(message.column, one->column);
    }
}

static bl_status read_row(const char *row) {
    char table[256];
    (void)snprintf(table, sizeof table, "%s\n%s\n", ALL, row);
    bl_stock *out = NULL;
    bl_status status =
        bl_stock_from_text(table, strlen(table), "s", &out, NULL);
    bl_stock_free(out);
    return status;
}

/* Each number at both its ends, and the next one that can be written so. */
static void test_ranges(void **state) {
    (void)state;
    static const char *const in[] = {"x,4,100,0,0", "x,40,100,50,9999",
                                     "x,16,10,0,1", "x,16,300,0,1"};
    static const char *const out[] = {
        "x,3.999,100,0,1", "x,40.001,100,0,1",   "x,16,9.999,0,1",
        "x,16,300.01,0,1", "x,16,100,-0.001,1",  "x,16,100,50.001,1",
        "x,16,100,0,-1",   "x,16,100,0,10000.0",
    };
    for (size_t i = 0; i < sizeof in / sizeof in[0]; i++) {
        assert_int_equal(read_row(in[i]), BL_OK);
    }
    for (size_t i = 0; i < sizeof out / sizeof out[0]; i++) {
        assert_int_equal(read_row(out[i]), BL_ERR_INPUT);
    }
}

/* A list of `count` devices with labels of their own. */
static char *list_of(size_t count) {
    size_t room = 64 * (count + 1);
    char *bytes = malloc(room);
    assert_non_null(bytes);
    size_t used = (size_t)snprintf(bytes, room, NEEDED);
    for (size_t i = 0; i < count; i++) {
        used += (size_t)snprintf(bytes + used, room - used, "d%zu,16,100\n", i);
    }
    return bytes;
}

static void test_most_devices(void **state) {
    (void)state;
    char *bytes = list_of(LIMIT_STOCK);
    bl_stock *out = read_text(bytes);
    assert_int_equal(bl_stock_device_count(out), LIMIT_STOCK);
    assert_string_equal(bl_stock_devices(out)[LIMIT_STOCK - 1].label, "d199");
    bl_stock_free(out);
    free(bytes);
    bytes = list_of(LIMIT_STOCK + 1);
    bl_message message;
    assert_int_equal(
        bl_stock_from_text(bytes, strlen(bytes), "s", &out, &message),
        BL_ERR_LIMIT);
    assert_int_equal(message.line, LIMIT_STOCK + 2);
    assert_string_equal(message.text,
                        "more than 200 devices, the limit of a stock list; "
                        "leave out sizes that no vein here needs");
    free(bytes);
}

static void test_most_bytes(void **state) {
    (void)state;
    char label[LIMIT_LABEL_BYTES + 2] = {0};
    char row[LIMIT_LABEL_BYTES + 32];
    memset(label, 'x', LIMIT_LABEL_BYTES);
    (void)snprintf(row, sizeof row, "%s,16,100,0,1", label);
    assert_int_equal(read_row(row), BL_OK);
    label[LIMIT_LABEL_BYTES] = 'x';
    (void)snprintf(row, sizeof row, "%s,16,100,0,1", label);
    assert_int_equal(read_row(row), BL_ERR_LIMIT);

    static const char start[] = NEEDED "x,16,100";
    char *bytes = malloc(LIMIT_SMALL_BYTES + 1);
    assert_non_null(bytes);
    memcpy(bytes, start, sizeof start - 1);
    memset(bytes + sizeof start - 1, '\n',
           LIMIT_SMALL_BYTES + 1 - (sizeof start - 1));
    bl_stock_free(read_bytes(bytes, LIMIT_SMALL_BYTES));
    bl_stock *out = NULL;
    bl_message message;
    assert_int_equal(
        bl_stock_from_text(bytes, LIMIT_SMALL_BYTES + 1, "s", &out, &message),
        BL_ERR_LIMIT);
    assert_string_equal(
        message.text,
        "more than 1048576 bytes, the limit of a stock list; is this one?");
    free(bytes);
}

/* The list that comes with the program. */
static void test_sample(void **state) {
    (void)state;
    bl_stock *of = NULL;
    bl_message message;
    assert_int_equal(bl_stock_read("samples/stock.csv", &of, &message), BL_OK);
    assert_string_equal(bl_stock_name(of), "samples/stock.csv");
    for (size_t i = 0; i < bl_stock_device_count(of); i++) {
        const bl_stock_device *one = &bl_stock_devices(of)[i];
        assert_true(one->diameter_mm >= 10.0 && one->diameter_mm <= 20.0);
        assert_true(one->length_mm >= 40.0 && one->length_mm <= 160.0);
    }
    bl_stock_free(of);
    assert_int_equal(bl_stock_read("samples/none.csv", &of, &message),
                     BL_ERR_FILE);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_columns),    cmocka_unit_test(test_forms),
        cmocka_unit_test(test_utf16),      cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_ranges),     cmocka_unit_test(test_most_devices),
        cmocka_unit_test(test_most_bytes), cmocka_unit_test(test_sample),
    };
    return cmocka_run_group_tests_name("stock", tests, NULL, NULL);
}
