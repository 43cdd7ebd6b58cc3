/*
 * cells.c - one line as cells between separators.
 */
#include "read/cells.h"

#include "base/blank.h"
#include "base/digit.h"
#include "base/number.h"
#include "pullback/lookalike.h"
#include "pullback/quote.h"
#include "read/cure.h"

#include <math.h>
#include <string.h>

/* Blanks around a cell; a tab that separates is none. */
static bool is_padding(const cells *of, char c) {
    return c == ' ' || (c == '\t' && of->separator != '\t');
}

static void skip_padding(cells *of) {
    while (of->at < of->end && is_padding(of, *of->at)) {
        of->at++;
    }
}

bool cells_find_separator(const char *line, size_t size, char *separator) {
    static const char candidates[] = {'\t', ';', ','};
    char found = 0;
    for (size_t i = 0; i < sizeof candidates; i++) {
        if (memchr(line, candidates[i], size) == NULL) {
            continue;
        }
        if (found != 0) {
            return false;
        }
        found = candidates[i];
    }
    *separator = found;
    return true;
}

cells cells_of(const char *line, size_t size, char separator) {
    cells out = {.line = line,
                 .at = line,
                 .end = line + size,
                 .separator = separator,
                 .done = size == 0};
    if (separator == ' ') {
        skip_padding(&out);
        while (out.end > out.at && blank_is(out.end[-1])) {
            out.end--;
        }
    }
    return out;
}

static bool separates(const cells *of, const char *at) {
    return of->separator == ' ' ? blank_is(*at) : *at == of->separator;
}

static bool at_separator(const cells *of) {
    return separates(of, of->at);
}

/* Behind the separator: a line that ends with one has an empty last cell. */
static void step_over(cells *of) {
    if (of->separator == ' ') {
        skip_padding(of);
    } else {
        of->at++;
    }
}

/* RFC 4180, section 2: two quotes within quotes are one, which is left as it
 * stands. Over the end of a line no cell goes here. */
static void take_quoted(cells *of, cell_text *out) {
    out->bytes = ++of->at;
    while (of->at < of->end &&
           (*of->at != '"' || (of->end - of->at > 1 && of->at[1] == '"'))) {
        of->at += *of->at == '"' ? 2 : 1;
    }
    out->size = (size_t)(of->at - out->bytes);
    of->open = of->at < of->end ? of->open : out->start;
    of->at += of->at < of->end;
    while (of->at < of->end && !at_separator(of)) {
        /* Words after the closing quote belong to the cell, so that they are
         * refused with it and not lost. */
        if (!is_padding(of, *of->at)) {
            out->size = (size_t)(of->at + 1 - out->bytes);
        }
        of->at++;
    }
}

static void take_plain(cells *of, cell_text *out) {
    out->bytes = of->at;
    while (of->at < of->end && !at_separator(of)) {
        of->at++;
    }
    const char *last = of->at;
    while (last > out->bytes && is_padding(of, last[-1])) {
        last--;
    }
    out->size = (size_t)(last - out->bytes);
}

bool cells_next(cells *of, cell_text *out) {
    if (of->done || (of->separator == ' ' && of->at == of->end)) {
        return false;
    }
    skip_padding(of);
    out->start = of->at;
    if (of->at < of->end && *of->at == '"') {
        take_quoted(of, out);
    } else {
        take_plain(of, out);
    }
    if (of->at < of->end) {
        step_over(of);
    } else {
        of->done = true;
    }
    return true;
}

/* A number at the start of some text, of which it tells how much it is. */
static size_t scan(cells *of, const char *bytes, size_t size, double *value) {
    size_t used = number_scan(bytes, size, '.', value);
    if (of->separator == ',') {
        return used;
    }
    if (used > 0 && used < size && bytes[used] == ',') {
        used = number_scan(bytes, size, ',', value);
        of->comma = true;
    } else {
        const char *point = memchr(bytes, '.', used);
        of->point |=
            point != NULL && point + 1 < bytes + used && digit_is(point[1]);
    }
    return used;
}

bool cells_number(cells *of, const cell_text *cell, double *value) {
    double read = 0.0;
    if (cell->size == 0) {
        return false;
    }
    size_t used = scan(of, cell->bytes, cell->size, &read);
    bool bare_point =
        used > 0 && used + 1 == cell->size && cell->bytes[used] == '.';
    if ((used != cell->size && !bare_point) || !isfinite(read)) {
        return false;
    }
    *value = read;
    return true;
}

/* A number, perhaps blanks, and letters: "3 mm". 0x10 has no unit. */
static bool has_unit(cells of, const cell_text *cell) {
    double value;
    size_t at = scan(&of, cell->bytes, cell->size, &value);
    if (at == 0) {
        return false;
    }
    while (at < cell->size && blank_is(cell->bytes[at])) {
        at++;
    }
    char c = at < cell->size ? (char)(cell->bytes[at] | 0x20) : ' ';
    return c >= 'a' && c <= 'z' && c != 'x';
}

const char *cells_hint(const cells *of, const cell_text *cell) {
    double value;
    cells other = *of;
    other.separator = ';';
    const char *lookalike = lookalike_hint(cell->bytes, cell->size);
    if (*lookalike != '\0') {
        return lookalike;
    }
    if (has_unit(*of, cell)) {
        return "; write the number alone, units stand in the names of columns";
    }
    const char *cure = cure_of(cell->bytes, cell->size);
    if (*cure != '\0') {
        return cure;
    }
    return of->separator == ',' && cells_number(&other, cell, &value)
               ? "; is its comma the decimal mark? Then separate by semicolons"
               : "";
}

bool cells_take_number(cells *of, double *value) {
    if (of->at >= of->end) {
        return false;
    }
    double read;
    size_t size = (size_t)(of->end - of->at);
    size_t used = scan(of, of->at, size, &read);
    const char *after = of->at + used;
    if (used == 0 || !isfinite(read)) {
        return false;
    }
    if (after == of->end) {
        of->at = of->end;
        of->done = true;
    } else if (separates(of, after)) {
        of->at = after;
        step_over(of);
    } else {
        return false;
    }
    *value = read;
    return true;
}

size_t cells_unquoted(const cell_text *cell, char *to) {
    bool quoted = cell->size > 0 && *cell->start == '"';
    size_t size = 0;
    for (size_t i = 0; i < cell->size; i++) {
        to[size++] = cell->bytes[i];
        i += quoted && cell->bytes[i] == '"' && i + 1 < cell->size &&
             cell->bytes[i + 1] == '"';
    }
    return size;
}

bl_status cells_check_quotes(const cells *of, uint64_t number,
                             bl_message *message) {
    if (of->open == NULL) {
        return BL_OK;
    }
    return message_set(
        message, BL_ERR_INPUT, number, quote_column(of->line, of->open),
        "the quote before %s is not closed on its line; close "
        "it, or write a quote within quotes twice",
        quote_bytes(of->open + 1, (size_t)(of->end - of->open - 1)).text);
}

bool cells_done(const cells *of) {
    for (const char *at = of->at; at < of->end; at++) {
        if (!blank_is(*at) && *at != of->separator) {
            return false;
        }
    }
    return true;
}
