/*
 * small_table.c - a short table that a user wrote. docs/formats.md has its
 * grammar.
 */
#include "read/small_table.h"

#include "base/limits.h"
#include "base/unicode.h"
#include "base/words.h"
#include "pullback/lookalike.h"
#include "pullback/quote.h"
#include "read/encoding.h"
#include "read/foreign.h"

#include <assert.h>
#include <string.h>

/* Letters of a word from which on the name that it begins is meant. */
#define BEGUN_LEAST 3

/* ----------------------------------------------------------------- refusing */

bl_status small_table_refuse(const small_table *in, const cell_text *cell,
                             const char *format, ...) {
    uint64_t column = cell == NULL ? 1 : quote_column(in->line, cell->start);
    va_list arguments;
    va_start(arguments, format);
    bl_status status = message_set_list(in->message, BL_ERR_INPUT, in->number,
                                        column, format, arguments);
    va_end(arguments);
    return status;
}

/* "'cell' is no vein; did you mean 'x'?", or what all of them are. */
static bl_status refuse_name(const small_table *in, const cell_text *cell,
                             const char *what, const char *near,
                             const char *all) {
    quote found = quote_bytes(cell->bytes, cell->size);
    const char *hint = lookalike_hint(cell->bytes, cell->size);
    if (*hint != '\0') {
        return small_table_refuse(in, cell, "%s is no %s%s", found.text, what,
                                  hint);
    }
    return near != NULL
               ? small_table_refuse(in, cell, "%s is no %s; did you mean '%s'?",
                                    found.text, what, near)
               : small_table_refuse(in, cell, "%s is no %s; expected %s",
                                    found.text, what, all);
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

/* The name that was meant, or NULL. Some names have blanks where a spelt word
 * has none. */
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

bl_status small_table_name(const small_table *in, const cell_text *cell,
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

/* -------------------------------------------------------------------- cells */

bl_status small_table_number(small_table *in, cells *row, const cell_text *cell,
                             const char *wanted, double *value) {
    double read;
    if (!cells_number(row, cell, &read)) {
        return small_table_refuse(in, cell, "found %s where %s is expected%s",
                                  quote_bytes(cell->bytes, cell->size).text,
                                  wanted, cells_hint(row, cell));
    }
    in->comma = in->comma || row->comma;
    in->point = in->point || row->point;
    if (in->comma && in->point) {
        return small_table_refuse(
            in, cell,
            "the table has decimal commas and decimal points; use one, and no "
            "mark between thousands");
    }
    *value = read;
    return BL_OK;
}

bl_status small_table_text(const small_table *in, const cell_text *cell,
                           const char *what, size_t limit, arena *owner,
                           const char **out) {
    assert(limit <= LIMIT_NOTE_BYTES);
    if (cell->size > limit) {
        return message_set(in->message, BL_ERR_LIMIT, in->number,
                           quote_column(in->line, cell->start),
                           "a %s longer than %zu bytes, the limit; shorten it",
                           what, limit);
    }
    if (!unicode_is_printable(cell->bytes, cell->size)) {
        const char *hint = lookalike_hint(cell->bytes, cell->size);
        return small_table_refuse(
            in, cell, "the %s %s is no text%s", what,
            quote_bytes(cell->bytes, cell->size).text,
            *hint != '\0' ? hint : "; take out its control characters");
    }
    char words[LIMIT_NOTE_BYTES];
    size_t size = cells_unquoted(cell, words);
    const char *copy = arena_text(owner, words, size);
    if (copy == NULL) {
        return message_memory(in->message);
    }
    *out = copy;
    return BL_OK;
}

/* ------------------------------------------------------------------- header */

static bl_status find_separator(small_table *in, size_t size) {
    char found;
    if (!cells_find_separator(in->line, size, &found)) {
        return small_table_refuse(in, NULL,
                                  "the header row has more than one kind of "
                                  "separator; use one, as in '%s'",
                                  in->kind->header);
    }
    if (found == 0) {
        return small_table_refuse(
            in, NULL,
            "the header row %s has no separator; expected '%s', or semicolons "
            "or tabs",
            quote_bytes(in->line, size).text, in->kind->header);
    }
    in->separator = found;
    return BL_OK;
}

bool small_table_has(const small_table *in, size_t column) {
    for (size_t i = 0; i < in->column_count; i++) {
        if (in->columns[i] == column) {
            return true;
        }
    }
    return false;
}

static bl_status take_column(small_table *in, const cell_text *cell) {
    const small_table_kind *kind = in->kind;
    size_t found = 0;
    bl_status status = small_table_name(in, cell, kind->names, kind->name_count,
                                        "column", kind->header, &found);
    if (status == BL_OK && small_table_has(in, found)) {
        status =
            small_table_refuse(in, cell, "two columns are called %s; drop one",
                               kind->names[found]);
    }
    if (status == BL_OK) {
        in->columns[in->column_count++] = found;
    }
    return status;
}

static bl_status take_header(small_table *in, size_t size) {
    const small_table_kind *kind = in->kind;
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
    for (size_t i = 0; status == BL_OK && i < kind->name_count; i++) {
        if ((kind->needed >> i & 1U) != 0 && !small_table_has(in, i)) {
            status = small_table_refuse(in, NULL,
                                        "there is no column %s; expected %s",
                                        kind->names[i], kind->header);
        }
    }
    return status;
}

/* --------------------------------------------------------------------- rows */

static bl_status refuse_cells(const small_table *in, size_t held,
                              const char *end) {
    cell_text at = {end, 0, end};
    return held < in->column_count
               ? small_table_refuse(
                     in, &at,
                     "the row has %zu cells and the header %zu; leave none "
                     "out%s",
                     held, in->column_count,
                     in->kind->may_end != 0
                         ? ", an empty one between separators is allowed"
                         : "")
               : small_table_refuse(
                     in, &at,
                     "the row has more cells than the header; put a text with "
                     "the separator in it in quotes%s",
                     in->separator == ','
                         ? "; if the decimal mark is a comma, separate by "
                           "semicolons"
                         : "");
}

static bl_status take_row(small_table *in, size_t size) {
    const small_table_kind *kind = in->kind;
    cells row = cells_of(in->line, size, in->separator);
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
            status = kind->take_cell(in, in->columns[held], &row, &cell);
        }
        if (status != BL_OK) {
            return status;
        }
        held++;
    }
    bool whole = held == in->column_count ||
                 (held + 1 == in->column_count &&
                  (kind->may_end >> in->columns[held] & 1U) != 0);
    return whole ? kind->end_row(in) : refuse_cells(in, held, in->line + size);
}

/* -------------------------------------------------------------------- lines */

static bool is_empty(const small_table *in, size_t size) {
    for (size_t i = 0; i < size; i++) {
        if (strchr(" \t,;", in->line[i]) == NULL || in->line[i] == '\0') {
            return false;
        }
    }
    return true;
}

/* "# words"; an error value of a spreadsheet ("#N/A", "#REF!") is none: the
 * row it stands in would be lost. */
static bool is_comment(const small_table *in, size_t size) {
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
    small_table *in = context;
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

bl_status small_table_read(small_table *in, const char *bytes, size_t size) {
    if (size > LIMIT_SMALL_BYTES) {
        bl_status foreign = foreign_check(bytes, size, in->message);
        return foreign != BL_OK
                   ? foreign
                   : message_set(in->message, BL_ERR_LIMIT, 0, 0,
                                 "more than %d bytes, the limit of %s; is this "
                                 "one?",
                                 LIMIT_SMALL_BYTES, in->kind->what);
    }
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
