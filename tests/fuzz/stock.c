/*
 * stock.c - a stock list from arbitrary bytes.
 *
 * What is taken can be written again, in other columns, by semicolons and with
 * decimal commas, and then says the same; what is not is told with its line.
 */
#include "fuzz/fuzz.h"

#include "base/limits.h"
#include "base/text.h"
#include "base/unicode.h"

static void must_be_sane(const bl_stock *of) {
    const bl_stock_device *devices = bl_stock_devices(of);
    size_t count = bl_stock_device_count(of);
    must(count >= 1 && count <= LIMIT_STOCK);
    must(strcmp(bl_stock_name(of), "s.csv") == 0);
    for (size_t i = 0; i < count; i++) {
        const bl_stock_device *one = &devices[i];
        size_t size = strlen(one->label);
        must(size >= 1 && size <= LIMIT_LABEL_BYTES);
        must(unicode_is_printable(one->label, size));
        must(one->diameter_mm >= 4.0 && one->diameter_mm <= 40.0);
        must(one->length_mm >= 10.0 && one->length_mm <= 300.0);
        must(one->foreshortening_pct >= 0.0 && one->foreshortening_pct <= 50.0);
        must(one->counted ? one->count <= LIMIT_STOCK_COUNT : one->count == 0);
        must(one->line > (i > 0 ? devices[i - 1].line : 1));
        for (size_t j = 0; j < i; j++) {
            must(strcmp(devices[j].label, one->label) != 0);
        }
    }
}

/* Shortest digits that bring the same double back, with a decimal comma. */
static void add_number(text *to, double value) {
    size_t start = to->size;
    text_double(to, value);
    must(!to->failed);
    char *point = memchr(to->bytes + start, '.', to->size - start);
    if (point != NULL) {
        *point = ',';
    }
}

static void must_read_back(const bl_stock *of) {
    const bl_stock_device *devices = bl_stock_devices(of);
    size_t count = bl_stock_device_count(of);
    text table = {0};
    text_add(&table, "length_mm;foreshortening_pct;diameter_mm;");
    text_add(&table, devices[0].counted ? "count;label\n" : "label\n");
    for (size_t i = 0; i < count; i++) {
        const bl_stock_device *one = &devices[i];
        must(one->counted == devices[0].counted);
        add_number(&table, one->length_mm);
        text_add(&table, ";");
        add_number(&table, one->foreshortening_pct);
        text_add(&table, ";");
        add_number(&table, one->diameter_mm);
        text_add(&table, ";");
        if (one->counted) {
            text_format(&table, "%u;", (unsigned)one->count);
        }
        text_format(&table, "\"%s\"\r\n", one->label);
    }
    must(!table.failed);
    bl_stock *again = NULL;
    must(bl_stock_from_text(table.bytes, table.size, "again", &again, NULL) ==
         BL_OK);
    must(bl_stock_device_count(again) == count);
    for (size_t i = 0; i < count; i++) {
        const bl_stock_device *one = &bl_stock_devices(again)[i];
        must(strcmp(one->label, devices[i].label) == 0);
        must(same_double(one->diameter_mm, devices[i].diameter_mm));
        must(same_double(one->length_mm, devices[i].length_mm));
        must(same_double(one->foreshortening_pct,
                         devices[i].foreshortening_pct));
        must(one->counted == devices[i].counted);
        must(one->count == devices[i].count);
    }
    bl_stock_free(again);
    text_free(&table);
}

/* A quote inside a label that is not quoted cannot be written in quotes. */
static bool has_quote(const bl_stock *of) {
    for (size_t i = 0; i < bl_stock_device_count(of); i++) {
        if (strchr(bl_stock_devices(of)[i].label, '"') != NULL) {
            return true;
        }
    }
    return false;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    bl_stock *of = NULL;
    bl_message message = {.status = BL_OK};
    bl_status status =
        bl_stock_from_text((const char *)bytes, size, "s.csv", &of, &message);
    must((status == BL_OK) == (of != NULL));
    if (status == BL_OK) {
        must_be_sane(of);
        if (!has_quote(of)) {
            must_read_back(of);
        }
    } else {
        must(status == BL_ERR_INPUT || status == BL_ERR_LIMIT);
        must(message.status == status && message.text[0] != '\0');
        must(message.line <= size && message.column <= size + 1);
    }
    bl_stock_free(of);
    return 0;
}
