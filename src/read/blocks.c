/*
 * blocks.c - tables of blocks: 'frame N' and then a point a line.
 */
#include "read/blocks.h"

#include "base/blank.h"
#include "base/constants.h"
#include "base/limits.h"
#include "base/number.h"
#include "pullback/cursor.h"
#include "pullback/lookalike.h"
#include "pullback/quote.h"
#include "read/cells.h"

#include <math.h>
#include <string.h>

static bool take_frame(cursor *at, int64_t *frame) {
    return cursor_word(at, "frame") && at->at < at->end && blank_is(*at->at) &&
           cursor_frame(at, frame);
}

bool blocks_is_heading(const char *line, size_t size) {
    cursor at = {line, line + size};
    return take_frame(&at, &(int64_t){0});
}

static bl_status bad_heading(const char *line, const cursor *at,
                             uint64_t number, bl_message *message) {
    return message_set(message, BL_ERR_INPUT, number,
                       quote_column(line, at->at),
                       "%s after 'frame N'; expected kind=K, time=S or "
                       "position=MM, without blanks around '='%s",
                       quote_bytes(at->at, (size_t)(at->end - at->at)).text,
                       lookalike_hint(at->at, (size_t)(at->end - at->at)));
}

/* A heading is separated by blanks, so that a decimal comma is one. */
static bool take_value(cursor *at, double *value) {
    cursor with_comma = *at;
    double read = 0.0;
    if (!cursor_number(at, value)) {
        return false;
    }
    if (at->at < at->end && *at->at == ',') {
        size_t size = (size_t)(with_comma.end - with_comma.at);
        size_t used = number_scan(with_comma.at, size, ',', &read);
        at->at = with_comma.at + used;
        *value = read;
        return used > 0 && isfinite(read);
    }
    return true;
}

static bool take_kind(cursor *at, read_contour *out) {
    for (bl_kind kind = BL_KIND_LUMEN; kind <= BL_KIND_VESSEL; kind++) {
        if (cursor_word(at, bl_kind_name(kind))) {
            out->kind = kind;
            return true;
        }
    }
    return false;
}

static bool take_time(cursor *at, read_contour *out) {
    return take_value(at, &out->time_s);
}

static bool take_position(cursor *at, read_contour *out) {
    return take_value(at, &out->position_mm);
}

/* What may follow 'frame N'. */
static const struct {
    const char *name;
    bool (*take)(cursor *at, read_contour *out);
} words[] = {
    {"kind", take_kind}, {"time", take_time}, {"position", take_position}};

#define WORDS (sizeof words / sizeof words[0])

/* The number of the word that is named here, with its '='; WORDS for none. */
static size_t take_name(cursor *at) {
    for (size_t i = 0; i < WORDS; i++) {
        cursor after = *at;
        if (cursor_word(&after, words[i].name) && after.at < after.end &&
            *after.at == '=') {
            at->at = after.at + 1;
            return i;
        }
    }
    return WORDS;
}

static bool is_between_words(const cursor *at) {
    return at->at == at->end || blank_is(*at->at);
}

/* Reads ' kind=K time=S position=MM' in any order. */
static bl_status take_heading_words(const char *line, cursor *at,
                                    uint64_t number, read_contour *out,
                                    bl_message *message) {
    bool taken[WORDS] = {false};
    if (!is_between_words(at)) {
        return bad_heading(line, at, number, message);
    }
    while (!cursor_done(at)) {
        cursor before = *at;
        size_t word = take_name(at);
        if (word < WORDS && taken[word]) {
            return message_set(
                message, BL_ERR_INPUT, number, quote_column(line, before.at),
                "%s= is given twice; keep one", words[word].name);
        }
        if (word == WORDS || !words[word].take(at, out) ||
            !is_between_words(at)) {
            return bad_heading(line, &before, number, message);
        }
        taken[word] = true;
    }
    return BL_OK;
}

/* The heading's size without the separators that a spreadsheet puts behind it.
 * One comma behind a value may be a decimal one that lost its decimals, and
 * stays to be refused. */
static size_t heading_size(const char *line, size_t size) {
    size_t end = size;
    size_t separators = 0;
    while (end > 0 && (blank_is(line[end - 1]) || line[end - 1] == ',' ||
                       line[end - 1] == ';')) {
        end--;
        separators += !blank_is(line[end]);
    }
    return separators == 1 && memchr(line, '=', end) != NULL ? size : end;
}

static bl_status take_heading(blocks *of, const char *line, size_t size,
                              uint64_t number, gather *to) {
    read_contour heading = {
        .time_s = UNKNOWN, .position_mm = UNKNOWN, .line = number};
    bl_status status = gather_end(to);
    if (status != BL_OK) {
        return status;
    }
    of->open = false;
    of->lost = true;
    cursor at = {line, line + heading_size(line, size)};
    if (!take_frame(&at, &heading.frame)) {
        return message_set(to->message, BL_ERR_INPUT, number, 1,
                           "found %s; expected 'frame N' with N from 0 to %d",
                           quote_bytes(line, size).text, LIMIT_FRAME);
    }
    status = take_heading_words(line, &at, number, &heading, to->message);
    if (status != BL_OK) {
        return status;
    }
    of->open = true;
    of->lost = false;
    return gather_start(to, &heading);
}

/* From the first point: a semicolon or tab separates, else blanks where they
 * stand between two words of which none ends in a comma, else a comma. */
static char separator_of(const char *line, size_t size) {
    if (memchr(line, ';', size) != NULL) {
        return ';';
    }
    size_t start = 0;
    while (start < size && blank_is(line[start])) {
        start++;
    }
    while (size > start && blank_is(line[size - 1])) {
        size--;
    }
    for (size_t i = start; i < size; i++) {
        if (blank_is(line[i])) {
            bool beside_comma = line[i - 1] == ',' || line[i + 1] == ',';
            return beside_comma ? ',' : line[i];
        }
    }
    return memchr(line, ',', size) != NULL ? ',' : ' ';
}

static bl_status take_point(const blocks *of, const char *line, size_t size,
                            uint64_t number, gather *to) {
    double values[2];
    cells row = cells_of(line, size, of->separator);
    for (size_t i = 0; i < 2; i++) {
        if (cells_take_number(&row, &values[i])) {
            continue;
        }
        cell_text cell;
        if (!cells_next(&row, &cell)) {
            return message_set(to->message, BL_ERR_INPUT, number,
                               quote_column(line, row.end),
                               "the line has %zu number%s; expected 'x y', a "
                               "blank line or 'frame N'",
                               i, i == 1 ? "" : "s");
        }
        if (!cells_number(&row, &cell, &values[i])) {
            return message_set(
                to->message, BL_ERR_INPUT, number,
                quote_column(line, cell.start), "%s is %s; expected a number%s",
                i == 0 ? "x" : "y", quote_bytes(cell.bytes, cell.size).text,
                cells_hint(&row, &cell));
        }
    }
    if (row.open != NULL) {
        return cells_check_quotes(&row, number, to->message);
    }
    if (!row.done && !cells_done(&row)) {
        return message_set(
            to->message, BL_ERR_INPUT, number, quote_column(line, row.at),
            "more than two numbers in a line; expected 'x y'%s",
            of->separator == ',' ? ", or is the decimal mark a comma? Then "
                                   "separate by blanks or semicolons"
                                 : "");
    }
    bl_status status = gather_marks(to, row.comma, row.point, number);
    return status == BL_OK ? gather_point(to, values[0], values[1]) : status;
}

static bool starts_with_letter(const char *line, size_t size) {
    for (size_t i = 0; i < size; i++) {
        if (!blank_is(line[i])) {
            char c = (char)(line[i] | 0x20);
            return c >= 'a' && c <= 'z';
        }
    }
    return false;
}

bl_status blocks_take(blocks *of, const char *line, size_t size,
                      uint64_t number, gather *to) {
    if (blank_line(line, size)) {
        of->open = false;
        of->lost = false;
        return gather_end(to);
    }
    if (starts_with_letter(line, size)) {
        return take_heading(of, line, size, number, to);
    }
    if (of->lost) {
        return BL_OK;
    }
    if (!of->open) {
        return message_set(to->message, BL_ERR_INPUT, number, 1,
                           "a point outside a block; expected 'frame N' after "
                           "a blank line");
    }
    if (of->separator == 0) {
        of->separator = separator_of(line, size);
    }
    return take_point(of, line, size, number, to);
}
