/*
 * rows.c - the rows of a table with a header.
 *
 * Every cell that is a plain number takes the fast way of cells.c; only what
 * is unusual (quotes, decimal commas, blanks, faults) is looked at again.
 */
#include "read/rows.h"

#include "base/constants.h"
#include "base/number.h"
#include "base/words.h"
#include "pullback/cursor.h"
#include "pullback/lookalike.h"
#include "pullback/quote.h"
#include "read/cure.h"
#include "read/naming.h"

#include <math.h>

static const char *role_name(column_role role, gather_units units) {
    bool polar = gather_in_angles(units);
    switch (role) {
    case ROLE_FRAME:
        return "frame";
    case ROLE_X:
        return polar ? "the angle" : "x";
    case ROLE_Y:
        return polar ? "the radius" : "y";
    case ROLE_TIME:
        return "time_s";
    case ROLE_POSITION:
        return "position_mm";
    case ROLE_KIND:
        return "kind";
    case ROLE_IGNORED:
    default:
        return "";
    }
}

static bl_status not_a_number(const header *of, const cells *row,
                              const cell_text *cell, column_role role,
                              uint64_t number, bl_message *message) {
    return message_set(
        message, BL_ERR_INPUT, number, quote_column(row->line, cell->start),
        "%s is %s; expected a number%s%s", role_name(role, of->units),
        quote_bytes(cell->bytes, cell->size).text,
        of->separator == ',' ? " with a decimal point" : "",
        cells_hint(row, cell));
}

static bl_status take_kind(const cells *row, const cell_text *cell,
                           uint64_t number, bl_kind *out, bl_message *message) {
    for (bl_kind kind = BL_KIND_LUMEN; kind <= BL_KIND_VESSEL; kind++) {
        if (cursor_same(cell->bytes, cell->size, bl_kind_name(kind))) {
            *out = kind;
            return BL_OK;
        }
    }
    return message_set(message, BL_ERR_INPUT, number,
                       quote_column(row->line, cell->start),
                       "kind is %s; expected lumen, device or vessel%s",
                       quote_bytes(cell->bytes, cell->size).text,
                       lookalike_hint(cell->bytes, cell->size));
}

static double *field_of(row_values *to, column_role role) {
    switch (role) {
    case ROLE_FRAME:
        return &to->frame;
    case ROLE_X:
        return &to->x;
    case ROLE_Y:
        return &to->y;
    case ROLE_TIME:
        return &to->time_s;
    case ROLE_POSITION:
        return &to->position_mm;
    case ROLE_KIND:
    case ROLE_IGNORED:
    default:
        return NULL;
    }
}

/* A word where a frame number belongs mostly begins a row of totals, and
 * spreadsheets join the cells of one frame. */
static const char *frame_hint(cells *row, const cell_text *cell) {
    double value;
    if (cell->size == 0) {
        return "; give it in every row";
    }
    if (cells_number(row, cell, &value)) {
        return "";
    }
    if (cursor_same(cell->bytes, cell->size, "frame")) {
        return "; is it a second header, of a table that was joined? Keep one, "
               "and no frame twice";
    }
    if (cure_has_prefix(cell->bytes, cell->size)) {
        return "; write the number alone";
    }
    const char *hint =
        cure_is_nothing(cell->bytes, cell->size) ? "" : cells_hint(row, cell);
    return *hint != '\0' ? hint
                         : "; take out rows that hold no point, such as the "
                           "totals of a spreadsheet";
}

static bl_status not_a_frame(cells *row, const cell_text *cell, uint64_t number,
                             bl_message *message) {
    return message_set(message, BL_ERR_INPUT, number,
                       quote_column(row->line, cell->start),
                       "frame is %s; expected a whole number from 0 to %d%s",
                       quote_bytes(cell->bytes, cell->size).text, LIMIT_FRAME,
                       frame_hint(row, cell));
}

/* The unusual cell; *missing when the row ends before it. */
static bl_status take_cell(const header *of, cells *row, column_role role,
                           uint64_t number, row_values *to, bool *missing,
                           bl_message *message) {
    cell_text cell;
    *missing = !cells_next(row, &cell);
    if (*missing || role == ROLE_IGNORED) {
        return BL_OK;
    }
    if (role == ROLE_KIND) {
        return take_kind(row, &cell, number, &to->kind, message);
    }
    /* A time or position may be left empty: unknown. */
    bool optional = role == ROLE_TIME || role == ROLE_POSITION;
    if ((optional && cell.size == 0) ||
        cells_number(row, &cell, field_of(to, role))) {
        return BL_OK;
    }
    return role == ROLE_FRAME
               ? not_a_frame(row, &cell, number, message)
               : not_a_number(of, row, &cell, role, number, message);
}

/* The last columns may be missing when nothing needs them. */
static bl_status check_rest(const header *of, const cells *row, size_t read,
                            uint64_t number, bl_message *message) {
    for (size_t k = read; k < of->count; k++) {
        if (of->roles[k] != ROLE_IGNORED) {
            return message_set(message, BL_ERR_INPUT, number,
                               quote_column(row->line, row->end),
                               "the row has %zu cell%s; the header has %zu "
                               "columns",
                               read, read == 1 ? "" : "s",
                               of->count + of->coordinates);
        }
    }
    return BL_OK;
}

static bl_status read_cells(const header *of, cells *row, uint64_t number,
                            row_values *to, bl_message *message) {
    for (size_t i = 0; i < of->count; i++) {
        double *field = field_of(to, of->roles[i]);
        if (field != NULL && cells_take_number(row, field)) {
            continue;
        }
        bool missing = false;
        bl_status status =
            take_cell(of, row, of->roles[i], number, to, &missing, message);
        if (status != BL_OK) {
            return status;
        }
        if (missing) {
            return check_rest(of, row, i, number, message);
        }
    }
    return BL_OK;
}

static bl_status check_no_more(const header *of, const cells *row,
                               uint64_t number, bl_message *message) {
    if (row->done || cells_done(row)) {
        return BL_OK;
    }
    return message_set(
        message, BL_ERR_INPUT, number, quote_column(row->line, row->at),
        "the row has more cells than the header has "
        "columns (%zu)%s",
        of->count,
        of->separator == ',' ? "; is the decimal mark a comma? Then separate "
                               "by semicolons"
                             : "");
}

/* One value of a frame, of its first row and of another. */
static bl_status refuse_change(const gather *to, bool position, double first,
                               double here, uint64_t number) {
    const char *name = position ? "position_mm" : "time_s";
    long long frame = (long long)to->now.frame;
    unsigned long long line = (unsigned long long)to->now.line;
    if (isnan(first) || isnan(here)) {
        return message_set(to->message, BL_ERR_INPUT, number, 1,
                           isnan(here)
                               ? "%s is empty here and given on line %llu, "
                                 "where frame %lld began; give it in every row "
                                 "of the frame"
                               : "%s is given here and empty on line %llu, "
                                 "where frame %lld began; give it in every row "
                                 "of the frame",
                           name, line, frame);
    }
    return message_set(to->message, BL_ERR_INPUT, number, 1,
                       "%s changes within frame %lld, which began on line "
                       "%llu; a frame has one %s",
                       name, frame, line, position ? "position" : "time");
}

/* A row that goes on with the contour under way must agree with it. */
static bl_status check_same(const gather *to, const row_values *row,
                            uint64_t number) {
    const read_contour *now = &to->now;
    if (number_differ(now->position_mm, row->position_mm)) {
        return refuse_change(to, true, now->position_mm, row->position_mm,
                             number);
    }
    return number_differ(now->time_s, row->time_s)
               ? refuse_change(to, false, now->time_s, row->time_s, number)
               : BL_OK;
}

/* Goes through the row once more, which has a cell for every role. */
static bl_status refuse_frame(const header *of, cells row, uint64_t number,
                              bl_message *message) {
    cell_text cell = {row.line, 0, row.line};
    for (size_t i = 0; i < of->count && cells_next(&row, &cell); i++) {
        if (of->roles[i] == ROLE_FRAME) {
            break;
        }
    }
    return not_a_frame(&row, &cell, number, message);
}

/* The first cell of a row that names units, bare or in brackets, and else
 * holds nothing; false for another row. */
static bool is_row_of_units(const header *of, const cells *row,
                            cell_text *first) {
    cells again =
        cells_of(row->line, (size_t)(row->end - row->line), of->separator);
    bool any = false;
    cell_text cell;
    while (cells_next(&again, &cell)) {
        if (naming_is_unit(&cell)) {
            *first = any ? *first : cell;
            any = true;
        } else if (cell.size > 0 && !cursor_same(cell.bytes, cell.size, "-")) {
            return false;
        }
    }
    return any;
}

static bl_status refuse_units(const cells *row, const cell_text *first,
                              uint64_t number, bl_message *message) {
    return message_set(message, BL_ERR_INPUT, number,
                       quote_column(row->line, first->start),
                       "a row of units, the first %s, is no point; take it "
                       "out: units stand in the names of columns, as in x_mm",
                       quote_bytes(first->bytes, first->size).text);
}

static bool is_frame_number(double frame) {
    return frame >= 0.0 && frame <= LIMIT_FRAME && floor(frame) >= frame;
}

bl_status rows_read(const header *of, cells *row, uint64_t number,
                    row_values *out, bl_message *message) {
    *out = (row_values){.time_s = UNKNOWN, .position_mm = UNKNOWN};
    bl_status status = read_cells(of, row, number, out, message);
    if (row->open != NULL) {
        return cells_check_quotes(row, number, message);
    }
    if (status == BL_OK && !is_frame_number(out->frame)) {
        size_t size = (size_t)(row->end - row->line);
        status = refuse_frame(of, cells_of(row->line, size, of->separator),
                              number, message);
    }
    cell_text unit;
    return status == BL_ERR_INPUT && is_row_of_units(of, row, &unit)
               ? refuse_units(row, &unit, number, message)
               : status;
}

read_contour rows_heading(const row_values *row, uint64_t number) {
    return (read_contour){
        .frame = (int64_t)row->frame,
        .time_s = row->time_s,
        .position_mm = row->position_mm,
        .kind = row->kind,
        .line = number,
    };
}

bl_status rows_take(const header *of, const char *line, size_t size,
                    uint64_t number, gather *to) {
    row_values row;
    cells in = cells_of(line, size, of->separator);
    bl_status status = rows_read(of, &in, number, &row, to->message);
    if (status == BL_OK) {
        status = check_no_more(of, &in, number, to->message);
    }
    if (status == BL_OK) {
        status = gather_marks(to, in.comma, in.point, number);
    }
    if (status != BL_OK) {
        return status;
    }
    bool polar = gather_in_angles(of->units);
    if (polar && row.y < 0.0) {
        return message_set(to->message, BL_ERR_INPUT, number, 1,
                           "the radius is negative; expected the distance from "
                           "the catheter");
    }
    bool goes_on = to->open && row.kind == to->now.kind &&
                   !number_differ(row.frame, (double)to->now.frame);
    if (goes_on) {
        status = check_same(to, &row, number);
    } else {
        read_contour heading = rows_heading(&row, number);
        status = gather_start(to, &heading);
    }
    return status == BL_OK ? gather_point(to, row.x, row.y) : status;
}
