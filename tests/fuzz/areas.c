/*
 * areas.c - a table of expected areas from arbitrary bytes.
 *
 * What is taken can be written again, by semicolons and with decimal commas,
 * and then says the same; what is not is told with its line.
 */
#include "fuzz/fuzz.h"

#include "base/text.h"
#include "base/unicode.h"
#include "pullback/normals.h"

static void must_be_sane(const bl_normals *of) {
    must(of->count >= 1 && of->count <= NORMALS_ROWS_MOST);
    must(strncmp(bl_normals_source(of), "the table ", 10) == 0);
    for (size_t i = 0; i < of->count; i++) {
        const normals_row *row = &of->rows[i];
        must(row->vein > BL_VEIN_UNKNOWN && row->vein <= BL_VEIN_FEMORAL);
        must(row->area_mm2 > 7.0 && row->area_mm2 < 963.0);
        must(unicode_is_printable(row->source, strlen(row->source)));
        must(normals_find(of, row->vein, row->side) == row);
        must(same_double(bl_normals_area_mm2(of, row->vein, row->side),
                         row->area_mm2));
    }
}

/* 17 decimals bring the same double back: areas have one to three digits
 * before the point. */
static void add_number(text *to, double value) {
    size_t start = to->size;
    text_fixed(to, value, 17);
    must(!to->failed);
    char *point = memchr(to->bytes + start, '.', to->size - start);
    must(point != NULL);
    *point = ',';
}

static void must_read_back(const bl_normals *of) {
    text table = {0};
    text_add(&table, "area_mm2;side;vein\n");
    for (size_t i = 0; i < of->count; i++) {
        add_number(&table, of->rows[i].area_mm2);
        text_format(&table, ";%s;%s\r\n", of->rows[i].side,
                    bl_vein_name(of->rows[i].vein));
    }
    must(!table.failed);
    bl_normals *again = NULL;
    must(bl_normals_from_text(table.bytes, table.size, "again", &again, NULL) ==
         BL_OK);
    must(again->count == of->count);
    for (size_t i = 0; i < of->count; i++) {
        const normals_row *row = &of->rows[i];
        must(same_double(bl_normals_area_mm2(again, row->vein, row->side),
                         row->area_mm2));
    }
    bl_normals_free(again);
    text_free(&table);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    bl_normals *of = NULL;
    bl_message message = {.status = BL_OK};
    bl_status status =
        bl_normals_from_text((const char *)bytes, size, "a.csv", &of, &message);
    must((status == BL_OK) == (of != NULL));
    if (status == BL_OK) {
        must_be_sane(of);
        must_read_back(of);
    } else {
        must(status == BL_ERR_INPUT || status == BL_ERR_LIMIT);
        must(message.status == status && message.text[0] != '\0');
        must(message.line <= size && message.column <= size + 1);
    }
    bl_normals_free(of);
    return 0;
}
