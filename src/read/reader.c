/*
 * reader.c - a table of contours, read as its bytes come.
 *
 * Notes come first; the first other line tells the shape: 'frame N' begins
 * blocks, anything else must be a header row.
 */
#include "read/reader.h"

#include "base/blank.h"
#include "base/digit.h"
#include "pullback/quote.h"
#include "read/foreign.h"
#include "read/rows.h"

#include <string.h>

static bl_status take_line(void *context, const char *line, size_t size,
                           uint64_t number);

void reader_begin(reader *out, notes *given, findings *said,
                  bl_message *message, read_receiver receiver, void *context) {
    *out = (reader){
        .way = bulk_best(),
        .given = given,
        .said = said,
        .message = message,
        .lines = {.take = take_line, .context = out, .message = message},
        .encoding = {.to = &out->lines},
        .gather = {.receiver = receiver,
                   .context = context,
                   .message = message},
    };
}

void reader_free(reader *of) {
    encoding_free(&of->encoding);
    lines_free(&of->lines);
    gather_free(&of->gather);
}

bl_shape reader_shape(const reader *of) {
    return of->phase == READ_BLOCKS ? BL_SHAPE_BLOCKS : of->columns.shape;
}

char reader_separator(const reader *of) {
    return of->phase == READ_BLOCKS ? of->blocks.separator
                                    : of->columns.separator;
}

/* A row of cells that are all empty, as spreadsheets write an empty line.
 * Before the table it may be any separator. */
static bool is_empty_row(const reader *of, const char *line, size_t size) {
    char told =
        of->phase == READ_NOTES ? of->told_separator : reader_separator(of);
    bool any = false;
    for (size_t i = 0; i < size; i++) {
        char c = line[i];
        bool separates = told == 0 ? c == ',' || c == ';' : c == told;
        any = any || separates;
        if (!separates && !blank_is(c)) {
            return false;
        }
    }
    return any && told != ' ';
}

/* Names the axis that lacks one, where the other has a scale. Behind it all but
 * lengths can be read. */
static bl_status refuse_scale(const reader *of, uint64_t number) {
    bool x = of->given->origin[NOTE_SCALE_X] != NOTE_UNSET;
    bool y = of->given->origin[NOTE_SCALE_Y] != NOTE_UNSET;
    note_key lacking = x ? NOTE_SCALE_Y : y ? NOTE_SCALE_X : NOTE_SCALE;
    (void)message_set(of->message, BL_ERR_INPUT, number, 1,
                      "coordinates are in pixels and there is no scale%s; add "
                      "%s MM or a note '# %s = MM'",
                      x   ? " for y"
                      : y ? " for x"
                          : "",
                      notes_key_option(lacking), notes_key_name(lacking));
    return findings_fault(of->said, of->message, -1);
}

/* An error value of a spreadsheet at the start of a row (OASIS OpenDocument
 * 1.2, part 2, from memory), which would read as a comment. */
static bool begins_with_error_value(const char *line, size_t size) {
    static const char *const values[] = {
        "#N/A", "#REF!", "#VALUE!", "#NUM!", "#NAME?", "#DIV/0!", "#NULL!"};
    size_t from = 0;
    while (from < size && (blank_is(line[from]) || line[from] == '"')) {
        from++;
    }
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        size_t length = strlen(values[i]);
        if (size - from >= length &&
            memcmp(line + from, values[i], length) == 0) {
            return true;
        }
    }
    return false;
}

static bl_status refuse_error_value(const reader *of, const char *line,
                                    size_t size, uint64_t number) {
    return message_set(of->message, BL_ERR_INPUT, number, 1,
                       "the row begins with an error value of a spreadsheet: "
                       "%s; it is no comment, correct the row or take it out",
                       quote_bytes(line, size).text);
}

static bl_status warn_scale(const reader *of, note_key key, const char *why) {
    bool option = of->given->origin[key] == NOTE_FROM_OPTION;
    bl_status status = findings_warn(
        of->said, of->given->line[key], 0, -1, "%s is not used: %s",
        option ? notes_key_option(key) : notes_key_name(key), why);
    return status == BL_OK ? BL_OK : message_memory(of->message);
}

static bl_status warn_scales(const reader *of) {
    static const note_key keys[] = {NOTE_SCALE, NOTE_SCALE_X, NOTE_SCALE_Y};
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < 3; i++) {
        if (of->given->origin[keys[i]] != NOTE_UNSET) {
            status = warn_scale(of, keys[i],
                                "by the names of their columns coordinates "
                                "are in mm");
        }
    }
    return status;
}

/* What the notes say of scale and axes, for the points to come. */
static bl_status set_units(reader *of, gather_units units, uint64_t number) {
    of->gather.units = units;
    of->gather.y_down = of->given->y_down;
    if (!gather_in_pixels(units)) {
        return warn_scales(of);
    }
    if (notes_scale_is_void(of->given)) {
        bl_status status =
            warn_scale(of, NOTE_SCALE, "x and y have scales of their own");
        if (status != BL_OK) {
            return status;
        }
    }
    if (notes_scale(of->given, &of->gather.scale_x, &of->gather.scale_y)) {
        return BL_OK;
    }
    gather_unscaled(&of->gather);
    return notes_scale_is_refused(of->given) ? BL_OK : refuse_scale(of, number);
}

static bool starts_with_number(const char *line, size_t size) {
    size_t i = 0;
    while (i < size && (blank_is(line[i]) || line[i] == '-')) {
        i++;
    }
    return i < size && digit_is(line[i]);
}

/* 'sep=' and the separator, as spreadsheets write it, perhaps in quotes. */
static bool is_separator_line(const char *line, size_t size) {
    size_t quoted = size > 0 && line[0] == '"';
    return size >= quoted + 4 && memcmp(line + quoted, "sep=", 4) == 0;
}

static bl_status take_separator(reader *of, const char *line, size_t size,
                                uint64_t number) {
    static const char known[] = {',', ';', '\t', ' ', '|'};
    size_t quoted = line[0] == '"';
    const char *told = line + quoted + 4;
    const char *end = line + size;
    /* Blanks may trail, unless the blank is the separator itself. */
    while (end - told > 1 && blank_is(end[-1])) {
        end--;
    }
    end -= quoted && end - told > 1 && end[-1] == '"';
    if (end - told == 1 && memchr(known, *told, sizeof known) != NULL) {
        of->told_separator = *told;
        of->blocks.separator = *told;
        return BL_OK;
    }
    (void)message_set(of->message, BL_ERR_INPUT, number,
                      quote_column(line, told),
                      "sep= is followed by %s; expected a comma, a "
                      "semicolon, a tab, a blank or a bar",
                      quote_bytes(told, (size_t)(end - told)).text);
    return findings_fault(of->said, of->message, -1);
}

/* Tables whose rows are all unusual should not pay for each. */
#define BULK_PAUSE 16
/* Less is not worth it, and is often the end of a piece. */
#define BULK_BYTES_LEAST 128

static bl_status take_rows(void *context, const char *bytes, size_t size,
                           uint64_t *number, size_t *used) {
    reader *of = context;
    if (of->way == BULK_OFF || of->pause > 0 || size < BULK_BYTES_LEAST) {
        of->pause -= of->pause > 0;
        return BL_OK;
    }
    bl_status status = bulk_take(&of->columns, of->way, bytes, size,
                                 &of->gather, number, used);
    of->pause = *used == 0 ? BULK_PAUSE : 0;
    return status;
}

static bl_status begin_rows(reader *of, const char *line, size_t size,
                            uint64_t number) {
    uint64_t before = of->said->errors;
    bl_status status =
        header_read(&of->columns, line, size, number, of->told_separator,
                    of->given, of->said, of->message);
    if (status != BL_OK) {
        return status;
    }
    gather_units units = of->columns.units;
    if (of->said->errors > before) {
        of->phase = READ_NO_ROWS;
        of->has_rows = true; /* or none: it is unknown what is one */
        return gather_in_pixels(units) ? set_units(of, units, number) : BL_OK;
    }
    of->phase = READ_ROWS;
    /* A negative radius is refused row by row. */
    if (of->columns.shape == BL_SHAPE_LONG && !gather_in_angles(units)) {
        of->lines.take_bulk = take_rows;
    }
    return set_units(of, units, number);
}

static bl_status begin_table(reader *of, const char *line, size_t size,
                             uint64_t number) {
    if (of->told_separator == 0 && is_separator_line(line, size)) {
        return take_separator(of, line, size, number);
    }
    of->begins = number;
    if (blocks_is_heading(line, size)) {
        of->phase = READ_BLOCKS;
        of->has_rows = true;
        bl_status status = set_units(
            of, notes_has_scale(of->given) ? UNITS_PX : UNITS_MM, number);
        return status == BL_OK
                   ? blocks_take(&of->blocks, line, size, number, &of->gather)
                   : status;
    }
    if (starts_with_number(line, size)) {
        of->phase = READ_NO_ROWS;
        of->has_rows = true;
        return message_set(of->message, BL_ERR_INPUT, number, 1,
                           "found %s where the table begins; expected a header "
                           "row such as 'frame,x_mm,y_mm', or 'frame N'",
                           quote_bytes(line, size).text);
    }
    return begin_rows(of, line, size, number);
}

static bl_status take(reader *of, const char *line, size_t size,
                      uint64_t number) {
    bl_status status = foreign_check_nul(line, size, number, of->message);
    if (status != BL_OK) {
        return status;
    }
    if (begins_with_error_value(line, size)) {
        return refuse_error_value(of, line, size, number);
    }
    if (notes_is_line(line, size)) {
        return notes_line(of->given, line, size, number,
                          of->phase != READ_NOTES, of->said, of->message);
    }
    if (is_empty_row(of, line, size)) {
        of->empty_number = of->empty_rows == 0 ? number : of->empty_number;
        of->empty_rows++;
        size = 0;
    }
    if (of->phase == READ_BLOCKS) {
        return blocks_take(&of->blocks, line, size, number, &of->gather);
    }
    if (blank_line(line, size)) {
        return BL_OK;
    }
    if (of->phase == READ_NOTES) {
        return begin_table(of, line, size, number);
    }
    of->has_rows = true;
    if (of->phase == READ_NO_ROWS) {
        return BL_OK;
    }
    return of->columns.shape == BL_SHAPE_LONG
               ? rows_take(&of->columns, line, size, number, &of->gather)
               : wide_take(&of->wide, &of->columns, line, size, number,
                           &of->gather);
}

static bl_status take_line(void *context, const char *line, size_t size,
                           uint64_t number) {
    reader *of = context;
    bool is_note = notes_is_line(line, size);
    bl_status status =
        number == 1 ? foreign_check(line, size, of->message) : BL_OK;
    if (status != BL_OK) {
        return status; /* nothing in it means what it says */
    }
    status = take(of, line, size, number);
    bool go_on = status == BL_ERR_INPUT || (status == BL_ERR_LIMIT && is_note);
    return go_on && (of->phase != READ_NOTES || is_note)
               ? findings_fault(of->said, of->message, -1)
               : status;
}

bl_status reader_feed(reader *of, const char *bytes, size_t size) {
    return encoding_feed(&of->encoding, bytes, size);
}

static bl_status say_empty_rows(const reader *of) {
    return of->empty_rows == 0
               ? BL_OK
               : findings_warn(of->said, of->empty_number, 0, -1,
                               "%llu row%s of separators only %s ignored",
                               (unsigned long long)of->empty_rows,
                               of->empty_rows == 1 ? "" : "s",
                               of->empty_rows == 1 ? "is" : "are");
}

/* A table that was cut may still be one: in the midst of a number, of a
 * contour, of a wide row behind a y. */
static bl_status say_open_end(const reader *of) {
    return of->lines.open == 0
               ? BL_OK
               : findings_warn(of->said, of->lines.open, 0, -1,
                               "the last line has no line end: if the table "
                               "was cut there, a number, points or frames are "
                               "missing");
}

static bl_status say_suspicions(const reader *of) {
    gather_units units = of->gather.units;
    bool millimetres = units == UNITS_MM || units == UNITS_POLAR_MM;
    bl_status status = say_empty_rows(of);
    if (status == BL_OK) {
        status = say_open_end(of);
    }
    if (status == BL_OK) {
        status = suspicion_say(&of->gather.suspicion,
                               gather_in_angles(of->gather.units), millimetres,
                               reader_separator(of), of->said);
    }
    return status == BL_OK ? BL_OK : message_memory(of->message);
}

bl_status reader_finish(reader *of) {
    bl_status status = encoding_finish(&of->encoding);
    if (status != BL_OK) {
        return status;
    }
    if (of->phase == READ_NOTES) {
        return message_set(of->message, BL_ERR_INPUT, of->lines.number, 0,
                           of->lines.number == 0
                               ? "the input is empty; expected a table of "
                                 "contours"
                               : "there is no table after the notes; expected "
                                 "a header row such as 'frame,x_mm,y_mm', or "
                                 "'frame N'");
    }
    status = gather_end(&of->gather);
    if (status == BL_OK) {
        status =
            wide_finish(&of->wide, of->lines.number, of->said, of->message);
    }
    return status == BL_OK ? say_suspicions(of) : status;
}
