/*
 * areas.c - a user's table of the areas that healthy veins are expected to
 * have: bl_normals_from_text. docs/formats.md has its grammar.
 */
#include "base/circle.h"
#include "base/constants.h"
#include "base/limits.h"
#include "base/text.h"
#include "pullback/normals.h"
#include "pullback/quote.h"
#include "read/small_table.h"

#include <stdlib.h>
#include <string.h>

typedef enum area_column {
    COLUMN_VEIN,
    COLUMN_SIDE,
    COLUMN_AREA,
    COLUMN_SOURCE,
    COLUMN_COUNT
} area_column;

static const char *const column_names[COLUMN_COUNT] = {"vein", "side",
                                                       "area_mm2", "source"};

#define EXPECTED_COLUMNS "vein,side,area_mm2,source"
#define VEINS_NAMED ((size_t)(BL_VEIN_FEMORAL - BL_VEIN_CAVA) + 1)

/* A table under way. */
typedef struct areas {
    bl_normals *to;
    normals_row row;
} areas;

static const normals_row empty_row = {.side = "", .source = ""};

/* --------------------------------------------------------------------- rows */

static bl_status read_vein(const small_table *in, const cell_text *cell,
                           normals_row *out) {
    const char *names[VEINS_NAMED];
    for (size_t i = 0; i < VEINS_NAMED; i++) {
        names[i] = bl_vein_name((bl_vein)(BL_VEIN_CAVA + i));
    }
    size_t found = 0;
    bl_status status = small_table_name(
        in, cell, names, VEINS_NAMED, "vein",
        "inferior vena cava, common iliac vein, external iliac vein, "
        "common femoral vein or femoral vein",
        &found);
    out->vein = (bl_vein)(BL_VEIN_CAVA + found);
    return status;
}

static bl_status read_side(const small_table *in, const cell_text *cell,
                           normals_row *out) {
    static const char *const names[] = {"left", "right"};
    size_t found = 0;
    if (cell->size == 0) {
        return BL_OK;
    }
    bl_status status = small_table_name(
        in, cell, names, 2, "side", "left, right, or nothing for any", &found);
    out->side = names[found];
    return status;
}

/* A unit or a column mistaken shows in the diameter. */
static bl_status read_area(small_table *in, cells *row, const cell_text *cell,
                           normals_row *out) {
    bl_status status =
        small_table_number(in, row, cell, "an area in mm2", &out->area_mm2);
    if (status != BL_OK) {
        return status;
    }
    double diameter =
        out->area_mm2 > 0.0 ? circle_diameter_mm(out->area_mm2) : 0.0;
    bool plausible =
        diameter >= PLAUSIBLE_LEAST_MM && diameter <= PLAUSIBLE_MOST_MM;
    return plausible
               ? BL_OK
               : small_table_refuse(
                     in, cell,
                     "an area of %s mm2 is that of no deep vein, whose "
                     "equivalent diameters are 3 to 35 mm (7.07 to 962 mm2); "
                     "is it in mm2?",
                     quote_bytes(cell->bytes, cell->size).text);
}

static bl_status take_cell(small_table *in, size_t column, cells *row,
                           const cell_text *cell) {
    areas *of = in->to;
    switch ((area_column)column) {
    case COLUMN_VEIN:
        return read_vein(in, cell, &of->row);
    case COLUMN_SIDE:
        return read_side(in, cell, &of->row);
    case COLUMN_AREA:
        return read_area(in, row, cell, &of->row);
    case COLUMN_SOURCE:
    case COLUMN_COUNT:
    default:
        return small_table_text(in, cell, "source", LIMIT_NOTE_BYTES,
                                &of->to->memory, &of->row.source);
    }
}

/* A vein of which two areas are expected has none. */
static bl_status end_row(small_table *in) {
    areas *of = in->to;
    const normals_row *row = &of->row;
    if (normals_find(of->to, row->vein, row->side) != NULL) {
        return small_table_refuse(in, NULL,
                                  "a second row of the %s%s%s; leave one",
                                  bl_vein_name(row->vein),
                                  row->side[0] != '\0' ? ", " : "", row->side);
    }
    of->row.line = in->number;
    of->to->rows[of->to->count++] = *row;
    of->row = empty_row;
    return BL_OK;
}

static const small_table_kind kind = {
    .what = "a table of expected areas",
    .names = column_names,
    .name_count = COLUMN_COUNT,
    .header = EXPECTED_COLUMNS,
    .needed = 1U << COLUMN_VEIN | 1U << COLUMN_AREA,
    /* One that is not there may be left out with its separator. */
    .may_end = 1U << COLUMN_SOURCE,
    .take_cell = take_cell,
    .end_row = end_row,
};

/* ---------------------------------------------------------------- its words */

static bool said_before(const bl_normals *of, size_t index) {
    for (size_t i = 0; i < index; i++) {
        if (strcmp(of->rows[i].source, of->rows[index].source) == 0) {
            return true;
        }
    }
    return false;
}

/* "the table areas.csv: one source; another". */
static bl_status set_source(bl_normals *of, const char *name,
                            bl_message *message) {
    text words = {0};
    const char *before = ": ";
    text_add(&words, "the table ");
    text_add(&words, name);
    for (size_t i = 0; i < of->count; i++) {
        if (of->rows[i].source[0] != '\0' && !said_before(of, i)) {
            text_add(&words, before);
            text_add(&words, of->rows[i].source);
            before = "; ";
        }
    }
    of->source =
        words.failed ? NULL : arena_text(&of->memory, words.bytes, words.size);
    text_free(&words);
    of->name = arena_text(&of->memory, name, strlen(name));
    return of->source != NULL && of->name != NULL ? BL_OK
                                                  : message_memory(message);
}

bl_status bl_normals_from_text(const char *bytes, size_t size, const char *name,
                               bl_normals **out, bl_message *message) {
    bl_normals *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return message_memory(message);
    }
    areas of = {.to = made, .row = empty_row};
    small_table in = {.kind = &kind, .to = &of, .message = message};
    bl_status status = small_table_read(&in, bytes, size);
    if (status == BL_OK && made->count == 0) {
        status = message_set(message, BL_ERR_INPUT, 0, 0,
                             "no area is in it; expected a header row '%s' and "
                             "a row a vein",
                             EXPECTED_COLUMNS);
    }
    if (status == BL_OK) {
        status = set_source(made, name, message);
    }
    if (status != BL_OK) {
        bl_normals_free(made);
        return status;
    }
    *out = made;
    return BL_OK;
}
