/*
 * stock.c - a list of the devices on the shelf: bl_stock_from_text.
 * docs/formats.md has its grammar.
 *
 * A column that is there is filled in every row: an empty count may mean none
 * or enough, an empty foreshortening none or not known, and a plan is made of
 * what it means.
 */
#include "base/arena.h"
#include "base/limits.h"
#include "pullback/quote.h"
#include "read/small_table.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef enum stock_column {
    COLUMN_LABEL,
    COLUMN_DIAMETER,
    COLUMN_LENGTH,
    COLUMN_FORESHORTENING,
    COLUMN_COUNT,
    STOCK_COLUMNS
} stock_column;

static const char *const column_names[STOCK_COLUMNS] = {
    "label", "diameter_mm", "length_mm", "foreshortening_pct", "count"};

#define HEADER "label,diameter_mm,length_mm,foreshortening_pct,count"

/* What a cell of numbers may hold. */
typedef struct bounds {
    double least;
    double most;
    const char *wanted; /* where it is no number */
    const char *range;  /* where it is another */
} bounds;

static const bounds of_diameter = {
    BL_DEVICE_DIAMETER_LEAST_MM, BL_DEVICE_DIAMETER_MOST_MM, "a diameter in mm",
    "a diameter from 4 to 40 mm"};
static const bounds of_length = {BL_DEVICE_LENGTH_LEAST_MM,
                                 BL_DEVICE_LENGTH_MOST_MM, "a length in mm",
                                 "a length from 10 to 300 mm"};
static const bounds of_foreshortening = {0.0, 50.0, "a foreshortening in %",
                                         "a foreshortening from 0 to 50 %"};
static const bounds of_count = {0.0, LIMIT_STOCK_COUNT, "a count",
                                "a whole number of devices from 0 to 9999"};

struct bl_stock {
    arena memory; /* of the texts */
    const char *name;
    bl_stock_device devices[LIMIT_STOCK];
    size_t count;
};

/* A list under way. What stands in the row is judged when all of it is there:
 * that two columns are swapped is told by both. */
typedef struct stock_list {
    bl_stock *to;
    bl_stock_device row;
    char diameter_cell[QUOTE_BYTES]; /* as written, in quotes */
    char length_cell[QUOTE_BYTES];
    uint64_t diameter_column; /* of the line */
    uint64_t length_column;
} stock_list;

static bool lies_within(const bounds *of, double value) {
    return value >= of->least && value <= of->most;
}

/* -------------------------------------------------------------------- cells */

static bl_status read_label(const small_table *in, const cell_text *cell,
                            stock_list *of) {
    if (cell->size == 0) {
        return small_table_refuse(in, cell,
                                  "the device has no label; write what it is "
                                  "called by");
    }
    return small_table_text(in, cell, "label", LIMIT_LABEL_BYTES,
                            &of->to->memory, &of->row.label);
}

/* A number that is judged with its row; where it stands and as what is kept. */
static bl_status read_size(small_table *in, cells *row, const cell_text *cell,
                           const bounds *want, double *value, char *as_written,
                           uint64_t *column) {
    quote found = quote_bytes(cell->bytes, cell->size);
    memcpy(as_written, found.text, sizeof found.text);
    *column = quote_column(in->line, cell->start);
    return small_table_number(in, row, cell, want->wanted, value);
}

static bl_status read_bounded(small_table *in, cells *row,
                              const cell_text *cell, const bounds *want,
                              double *value) {
    if (cell->size == 0) {
        return small_table_refuse(in, cell,
                                  "found nothing where %s is expected; fill it "
                                  "in, or drop the column for all devices",
                                  want->wanted);
    }
    double read = 0.0;
    bl_status status = small_table_number(in, row, cell, want->wanted, &read);
    if (status == BL_OK && !lies_within(want, read)) {
        status = small_table_refuse(in, cell, "found %s where %s is expected",
                                    quote_bytes(cell->bytes, cell->size).text,
                                    want->range);
    }
    if (status == BL_OK) {
        *value = read;
    }
    return status;
}

static bl_status read_count(small_table *in, cells *row, const cell_text *cell,
                            bl_stock_device *out) {
    double value = 0.0;
    bl_status status = read_bounded(in, row, cell, &of_count, &value);
    if (status == BL_OK && value > floor(value)) {
        status = small_table_refuse(in, cell, "found %s where %s is expected",
                                    quote_bytes(cell->bytes, cell->size).text,
                                    of_count.range);
    }
    out->counted = true;
    out->count = status == BL_OK ? (uint32_t)value : 0;
    return status;
}

static bl_status take_cell(small_table *in, size_t column, cells *row,
                           const cell_text *cell) {
    stock_list *of = in->to;
    switch ((stock_column)column) {
    case COLUMN_LABEL:
        return read_label(in, cell, of);
    case COLUMN_DIAMETER:
        return read_size(in, row, cell, &of_diameter, &of->row.diameter_mm,
                         of->diameter_cell, &of->diameter_column);
    case COLUMN_LENGTH:
        return read_size(in, row, cell, &of_length, &of->row.length_mm,
                         of->length_cell, &of->length_column);
    case COLUMN_FORESHORTENING:
        return read_bounded(in, row, cell, &of_foreshortening,
                            &of->row.foreshortening_pct);
    case COLUMN_COUNT:
    case STOCK_COLUMNS:
    default:
        return read_count(in, row, cell, &of->row);
    }
}

/* --------------------------------------------------------------------- rows */

/* A size out of its range: swapped with the other, in cm, or something else. */
static bl_status judge_sizes(const small_table *in, const stock_list *of) {
    double diameter = of->row.diameter_mm;
    double length = of->row.length_mm;
    bool narrow = !lies_within(&of_diameter, diameter);
    if (!narrow && lies_within(&of_length, length)) {
        return BL_OK;
    }
    bool swapped =
        lies_within(&of_diameter, length) && lies_within(&of_length, diameter);
    bool in_cm = lies_within(&of_diameter, 10.0 * diameter) &&
                 lies_within(&of_length, 10.0 * length);
    return message_set(in->message, BL_ERR_INPUT, in->number,
                       narrow ? of->diameter_column : of->length_column,
                       "found %s where %s is expected; %s",
                       narrow ? of->diameter_cell : of->length_cell,
                       narrow ? of_diameter.range : of_length.range,
                       swapped ? "diameter and length of the row are swapped"
                       : in_cm ? "the row seems to be in cm: write mm"
                               : "is it in mm, and in its column?");
}

static bl_status end_row(small_table *in) {
    stock_list *of = in->to;
    bl_stock *to = of->to;
    bl_status status = judge_sizes(in, of);
    for (size_t i = 0; status == BL_OK && i < to->count; i++) {
        if (strcmp(to->devices[i].label, of->row.label) == 0) {
            return small_table_refuse(
                in, NULL,
                "a second device called %s, as in line %llu; leave one of "
                "them, or tell them apart by their labels",
                quote_bytes(of->row.label, strlen(of->row.label)).text,
                (unsigned long long)to->devices[i].line);
        }
    }
    if (status == BL_OK && to->count == LIMIT_STOCK) {
        status = message_set(in->message, BL_ERR_LIMIT, in->number, 1,
                             "more than %d devices, the limit of a stock list; "
                             "leave out sizes that no vein here needs",
                             LIMIT_STOCK);
    }
    if (status == BL_OK) {
        of->row.line = in->number;
        to->devices[to->count++] = of->row;
        of->row = (bl_stock_device){.label = ""};
    }
    return status;
}

static const small_table_kind kind = {
    .what = "a stock list",
    .names = column_names,
    .name_count = STOCK_COLUMNS,
    .header = HEADER,
    .needed = 1U << COLUMN_LABEL | 1U << COLUMN_DIAMETER | 1U << COLUMN_LENGTH,
    .take_cell = take_cell,
    .end_row = end_row,
};

/* -------------------------------------------------------------------- whole */

bl_status bl_stock_from_text(const char *bytes, size_t size, const char *name,
                             bl_stock **out, bl_message *message) {
    bl_stock *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return message_memory(message);
    }
    stock_list of = {.to = made};
    small_table in = {.kind = &kind, .to = &of, .message = message};
    bl_status status = small_table_read(&in, bytes, size);
    if (status == BL_OK && made->count == 0) {
        status = message_set(message, BL_ERR_INPUT, 0, 0,
                             "no device is in it; expected a header row '%s', "
                             "the last two if you want, and a row a size",
                             HEADER);
    }
    if (status == BL_OK) {
        made->name = arena_text(&made->memory, name, strlen(name));
        status = made->name != NULL ? BL_OK : message_memory(message);
    }
    if (status != BL_OK) {
        bl_stock_free(made);
        return status;
    }
    *out = made;
    return BL_OK;
}

void bl_stock_free(bl_stock *stock) {
    if (stock != NULL) {
        arena_free(&stock->memory);
        free(stock);
    }
}

size_t bl_stock_device_count(const bl_stock *stock) {
    return stock->count;
}

const bl_stock_device *bl_stock_devices(const bl_stock *stock) {
    return stock->devices;
}

const char *bl_stock_name(const bl_stock *stock) {
    return stock->name;
}
