/*
 * areas.c - a user's table of the areas that healthy veins are expected to
 * have: bl_normals_from_text. docs/formats.md has its grammar.
 *
 * The table is short and every row of it changes what a vein is held against:
 * what is not understood is refused, and nothing is passed over but comments
 * and empty rows.
 */
#include "base/circle.h"
#include "base/constants.h"
#include "base/limits.h"
#include "base/unicode.h"
#include "base/words.h"
#include "pullback/lookalike.h"
#include "pullback/normals.h"
#include "pullback/quote.h"
#include "read/cells.h"
#include "read/encoding.h"
#include "read/foreign.h"

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
/* Letters of a word from which on the name that it begins is meant. */
#define BEGUN_LEAST 3
#define VEINS_NAMED ((size_t)(BL_VEIN_FEMORAL - BL_VEIN_CAVA) + 1)

/* A table under way. */
typedef struct areas {
    bl_normals *to;
    bl_message *message;
    char separator; /* 0 before the header row */
    area_column columns[COLUMN_COUNT];
    size_t column_count;
    bool comma; /* a number with a decimal comma has been, */
    bool point; /* and one with a point where commas may be */
    const char *line;
    uint64_t number;
} areas;

/* ----------------------------------------------------------------- refusing */

/* "'cell' is no vein; did you mean 'x'?", or what all of them are. */
static bl_status refuse_name(const areas *in, const cell_text *cell,
                             const char *what, const char *near,
                             const char *all) {
    uint64_t column = quote_column(in->line, cell->start);
    quote found = quote_bytes(cell->bytes, cell->size);
    const char *hint = lookalike_hint(cell->bytes, cell->size);
    if (*hint != '\0') {
        return message_set(in->message, BL_ERR_INPUT, in->number, column,
                           "%s is no %s%s", found.text, what, hint);
    }
    return near != NULL
               ? message_set(in->message, BL_ERR_INPUT, in->number, column,
                             "%s is no %s; did you mean '%s'?", found.text,
                             what, near)
               : message_set(in->message, BL_ERR_INPUT, in->number, column,
                             "%s is no %s; expected %s", found.text, what, all);
}

/* The only name that begins with the word, as common_iliac does; else NULL. */
static const char *name_begun(const spelt *word, const char *const *names,
                              size_t count) {
    const char *found = NULL;
    for (size_t i = 0; i < count; i++) {
        spelt name = words_spelt(names[i], strlen(names[i]));
        if (word->size >= BEGUN_LEAST && word->size < name.size &&
            memcmp(word->bytes, name.bytes, word->size) == 0) {
            if (found != NULL) {
                return NULL;
            }
            found = names[i];
        }
    }
    return found;
}

/* The name that was meant, or NULL. Those of veins have blanks where a spelt
 * word has none. */
static const char *name_meant(const spelt *word, const char *const *names,
                              size_t count) {
    spelt apart = *word;
    for (size_t i = 0; i < apart.size; i++) {
        apart.bytes[i] = apart.bytes[i] == '_' ? ' ' : apart.bytes[i];
    }
    const char *near = name_begun(word, names, count);
    if (near == NULL && word->size > 0) {
        near = words_nearest(word->bytes, word->size, names, count);
    }
    return near != NULL || word->size == 0
               ? near
               : words_nearest(apart.bytes, apart.size, names, count);
}

/* The name that the cell is, in any case and with any blanks; else refused. */
static bl_status find_name(const areas *in, const cell_text *cell,
                           const char *const *names, size_t count,
                           const char *what, const char *all, size_t *found) {
    spelt as = words_spelt(cell->bytes, cell->size);
    for (size_t i = 0; i < count; i++) {
        spelt name = words_spelt(names[i], strlen(names[i]));
        if (as.size == name.size &&
            memcmp(as.bytes, name.bytes, name.size) == 0) {
            *found = i;
            return BL_OK;
        }
    }
    return refuse_name(in, cell, what, name_meant(&as, names, count), all);
}

/* ------------------------------------------------------------------- header */

static bl_status find_separator(areas *in, size_t size) {
    char found;
    if (!cells_find_separator(in->line, size, &found)) {
        return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                           "the header row has more than one kind of "
                           "separator; use one, as in '%s'",
                           EXPECTED_COLUMNS);
    }
    if (found == 0) {
        return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                           "the header row %s has no separator; expected "
                           "'%s', or semicolons or tabs",
                           quote_bytes(in->line, size).text, EXPECTED_COLUMNS);
    }
    in->separator = found;
    return BL_OK;
}

static bool has_column(const areas *in, area_column wanted) {
    for (size_t i = 0; i < in->column_count; i++) {
        if (in->columns[i] == wanted) {
            return true;
        }
    }
    return false;
}

static bl_status take_column(areas *in, const cell_text *cell) {
    size_t found = 0;
    bl_status status = find_name(in, cell, column_names, COLUMN_COUNT, "column",
                                 EXPECTED_COLUMNS, &found);
    if (status == BL_OK && has_column(in, (area_column)found)) {
        status = message_set(in->message, BL_ERR_INPUT, in->number,
                             quote_column(in->line, cell->start),
                             "two columns are called %s; drop one",
                             column_names[found]);
    }
    if (status == BL_OK) {
        in->columns[in->column_count++] = (area_column)found;
    }
    return status;
}

static bl_status take_header(areas *in, size_t size) {
    bl_status status = find_separator(in, size);
    cells row = cells_of(in->line, size, in->separator);
    cell_text cell;
    while (status == BL_OK && cells_next(&row, &cell)) {
        if (cell.size == 0 && cells_done(&row)) {
            break; /* trailing separators */
        }
        status = take_column(in, &cell);
    }
    if (row.open != NULL) {
        return cells_check_quotes(&row, in->number, in->message);
    }
    if (status != BL_OK) {
        return status;
    }
    if (!has_column(in, COLUMN_VEIN) || !has_column(in, COLUMN_AREA)) {
        return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                           "there is no column %s; expected %s",
                           has_column(in, COLUMN_VEIN) ? "area_mm2" : "vein",
                           EXPECTED_COLUMNS);
    }
    return BL_OK;
}

/* --------------------------------------------------------------------- rows */

static bl_status read_vein(const areas *in, const cell_text *cell,
                           normals_row *out) {
    const char *names[VEINS_NAMED];
    for (size_t i = 0; i < VEINS_NAMED; i++) {
        names[i] = bl_vein_name((bl_vein)(BL_VEIN_CAVA + i));
    }
    size_t found = 0;
    bl_status status =
        find_name(in, cell, names, VEINS_NAMED, "vein",
                  "inferior vena cava, common iliac vein, external iliac vein, "
                  "common femoral vein or femoral vein",
                  &found);
    out->vein = (bl_vein)(BL_VEIN_CAVA + found);
    return status;
}

static bl_status read_side(const areas *in, const cell_text *cell,
                           normals_row *out) {
    static const char *const names[] = {"left", "right"};
    size_t found = 0;
    out->side = "";
    if (cell->size == 0) {
        return BL_OK;
    }
    bl_status status = find_name(in, cell, names, 2, "side",
                                 "left, right, or nothing for any", &found);
    out->side = names[found];
    return status;
}

/* A unit or a column mistaken shows in the diameter. */
static bl_status refuse_area(const areas *in, const cell_text *cell) {
    return message_set(in->message, BL_ERR_INPUT, in->number,
                       quote_column(in->line, cell->start),
                       "an area of %s mm2 is that of no deep vein, whose "
                       "equivalent diameters are 3 to 35 mm (7.07 to 962 mm2); "
                       "is it in mm2?",
                       quote_bytes(cell->bytes, cell->size).text);
}

static bl_status read_area(areas *in, cells *row, const cell_text *cell,
                           normals_row *out) {
    if (!cells_number(row, cell, &out->area_mm2)) {
        return message_set(in->message, BL_ERR_INPUT, in->number,
                           quote_column(in->line, cell->start),
                           "found %s where an area in mm2 is expected%s",
                           quote_bytes(cell->bytes, cell->size).text,
                           cells_hint(row, cell));
    }
    in->comma = in->comma || row->comma;
    in->point = in->point || row->point;
    if (in->comma && in->point) {
        return message_set(in->message, BL_ERR_INPUT, in->number,
                           quote_column(in->line, cell->start),
                           "the table has decimal commas and decimal points; "
                           "use one, and no mark between thousands");
    }
    double diameter =
        out->area_mm2 > 0.0 ? circle_diameter_mm(out->area_mm2) : 0.0;
    bool plausible =
        diameter >= PLAUSIBLE_LEAST_MM && diameter <= PLAUSIBLE_MOST_MM;
    return plausible ? BL_OK : refuse_area(in, cell);
}

static bl_status read_source(areas *in, const cell_text *cell,
                             normals_row *out) {
    if (cell->size > LIMIT_NOTE_BYTES) {
        return message_set(in->message, BL_ERR_LIMIT, in->number,
                           quote_column(in->line, cell->start),
                           "a source longer than %d bytes, the limit; shorten "
                           "it",
                           LIMIT_NOTE_BYTES);
    }
    if (!unicode_is_printable(cell->bytes, cell->size)) {
        const char *hint = lookalike_hint(cell->bytes, cell->size);
        return message_set(
            in->message, BL_ERR_INPUT, in->number,
            quote_column(in->line, cell->start), "the source %s is no text%s",
            quote_bytes(cell->bytes, cell->size).text,
            *hint != '\0' ? hint : "; take out its control characters");
    }
    char words[LIMIT_NOTE_BYTES];
    size_t size = cells_unquoted(cell, words);
    out->source = arena_text(&in->to->memory, words, size);
    return out->source != NULL ? BL_OK : message_memory(in->message);
}

static bl_status take_cell(areas *in, cells *row, area_column column,
                           const cell_text *cell, normals_row *out) {
    switch (column) {
    case COLUMN_VEIN:
        return read_vein(in, cell, out);
    case COLUMN_SIDE:
        return read_side(in, cell, out);
    case COLUMN_AREA:
        return read_area(in, row, cell, out);
    case COLUMN_SOURCE:
    case COLUMN_COUNT:
    default:
        return read_source(in, cell, out);
    }
}

/* A vein of which two areas are expected has none. */
static bl_status keep_row(areas *in, const normals_row *row) {
    if (normals_find(in->to, row->vein, row->side) != NULL) {
        return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                           "a second row of the %s%s%s; leave one",
                           bl_vein_name(row->vein),
                           row->side[0] != '\0' ? ", " : "", row->side);
    }
    in->to->rows[in->to->count++] = *row;
    return BL_OK;
}

static bl_status refuse_cells(const areas *in, size_t held, const char *end) {
    return held < in->column_count
               ? message_set(in->message, BL_ERR_INPUT, in->number,
                             quote_column(in->line, end),
                             "the row has %zu cells and the header %zu; leave "
                             "none out, an empty one between separators is "
                             "allowed",
                             held, in->column_count)
               : message_set(in->message, BL_ERR_INPUT, in->number,
                             quote_column(in->line, end),
                             "the row has more cells than the header; put a "
                             "text with the separator in it in quotes");
}

static bl_status take_row(areas *in, size_t size) {
    cells row = cells_of(in->line, size, in->separator);
    normals_row out = {.side = "", .source = ""};
    cell_text cell = {in->line, 0, in->line};
    size_t held = 0;
    while (cells_next(&row, &cell)) {
        if (held == in->column_count) {
            if (cell.size == 0 && cells_done(&row)) {
                break; /* trailing separators */
            }
            return refuse_cells(in, held + 1, cell.start);
        }
        bl_status status = cells_check_quotes(&row, in->number, in->message);
        if (status == BL_OK) {
            status = take_cell(in, &row, in->columns[held], &cell, &out);
        }
        if (status != BL_OK) {
            return status;
        }
        held++;
    }
    /* A source that is not there may be left out with its separator. */
    bool whole =
        held == in->column_count ||
        (held + 1 == in->column_count && in->columns[held] == COLUMN_SOURCE);
    return whole ? keep_row(in, &out) : refuse_cells(in, held, in->line + size);
}

/* -------------------------------------------------------------------- lines */

static bool is_empty(const areas *in, size_t size) {
    for (size_t i = 0; i < size; i++) {
        if (strchr(" \t,;", in->line[i]) == NULL || in->line[i] == '\0') {
            return false;
        }
    }
    return true;
}

/* "# words"; an error value of a spreadsheet ("#N/A", "#REF!") is none: the
 * row it stands in would be lost. */
static bool is_comment(const areas *in, size_t size) {
    size_t at = 0;
    while (at < size && strchr(" \t\"", in->line[at]) != NULL &&
           in->line[at] != '\0') {
        at++;
    }
    bool marked = at < size && in->line[at] == '#';
    char next = marked && at + 1 < size ? in->line[at + 1] : ' ';
    bool is_error = next >= 'A' && next <= 'Z' && in->separator != 0 &&
                    memchr(in->line + at, in->separator, size - at) != NULL;
    return marked && !is_error;
}

static bl_status take_line(void *context, const char *line, size_t size,
                           uint64_t number) {
    areas *in = context;
    bl_status status =
        number == 1 ? foreign_check(line, size, in->message) : BL_OK;
    if (status == BL_OK) {
        status = foreign_check_nul(line, size, number, in->message);
    }
    if (status != BL_OK) {
        return status;
    }
    in->line = line;
    in->number = number;
    if (is_empty(in, size) || is_comment(in, size)) {
        return BL_OK;
    }
    return in->separator == 0 ? take_header(in, size) : take_row(in, size);
}

static bl_status feed_all(areas *in, const char *bytes, size_t size) {
    lines to = {.take = take_line, .context = in, .message = in->message};
    encoding from = {.to = &to};
    bl_status status = encoding_feed(&from, bytes, size);
    if (status == BL_OK) {
        status = encoding_finish(&from);
    }
    encoding_free(&from);
    lines_free(&to);
    return status;
}

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
    return of->source != NULL ? BL_OK : message_memory(message);
}

bl_status bl_normals_from_text(const char *bytes, size_t size, const char *name,
                               bl_normals **out, bl_message *message) {
    if (size > LIMIT_AREAS_BYTES) {
        bl_status foreign = foreign_check(bytes, size, message);
        return foreign != BL_OK
                   ? foreign
                   : message_set(message, BL_ERR_LIMIT, 0, 0,
                                 "more than %d bytes, the limit of a table of "
                                 "expected areas; is this one?",
                                 LIMIT_AREAS_BYTES);
    }
    bl_normals *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return message_memory(message);
    }
    areas in = {.to = made, .message = message};
    bl_status status = feed_all(&in, bytes, size);
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
