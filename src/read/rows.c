/*
 * rows.c - the rows of a long table, a point each.
 *
 * Every cell that is a plain number takes the fast way of cells.c; only what
 * is unusual (quotes, decimal commas, blanks, faults) is looked at again.
 */
#include "read/rows.h"

#include "base/constants.h"
#include "base/number.h"
#include "base/words.h"
#include "pullback/cursor.h"
#include "pullback/quote.h"
#include "read/cells.h"

#include <math.h>

/* One row as read. */
typedef struct row_values {
    double frame;
    double x;
    double y;
    double time_s;
    double position_mm;
    bl_kind kind;
} row_values;

static const char *role_name(column_role role, gather_units units) {
    bool polar = units == UNITS_POLAR_MM || units == UNITS_POLAR_PX;
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
        "%s is %s; expected a number%s", role_name(role, of->units),
        quote_bytes(cell->bytes, cell->size).text,
        of->separator == ',' ? " with a decimal point" : "");
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
                       "kind is %s; expected lumen, device or vessel",
                       quote_bytes(cell->bytes, cell->size).text);
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
    return not_a_number(of, row, &cell, role, number, message);
}

static bl_status read_row(const header *of, cells *row, uint64_t number,
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
            /* The last columns may be missing when nothing needs them. */
            for (size_t k = i; k < of->count; k++) {
                if (of->roles[k] != ROLE_IGNORED) {
                    return message_set(
                        message, BL_ERR_INPUT, number,
                        quote_column(row->line, row->end),
                        "the row has %zu cell%s; the header has %zu columns", i,
                        i == 1 ? "" : "s", of->count);
                }
            }
            return BL_OK;
        }
    }
    if (!row->done && !cells_done(row)) {
        return message_set(message, BL_ERR_INPUT, number,
                           quote_column(row->line, row->at),
                           "the row has more cells than the header has "
                           "columns (%zu)%s",
                           of->count,
                           of->separator == ','
                               ? "; is the decimal mark a comma? Then separate "
                                 "by semicolons"
                               : "");
    }
    return BL_OK;
}

/* A row that goes on with the contour under way must agree with it. */
static bl_status check_same(const gather *to, const row_values *row,
                            uint64_t number) {
    if (number_differ(to->now.position_mm, row->position_mm)) {
        return message_set(to->message, BL_ERR_INPUT, number, 1,
                           "position_mm changes within frame %lld, which "
                           "began on line %llu; a frame has one position",
                           (long long)to->now.frame,
                           (unsigned long long)to->now.line);
    }
    if (number_differ(to->now.time_s, row->time_s)) {
        return message_set(to->message, BL_ERR_INPUT, number, 1,
                           "time_s changes within frame %lld, which began on "
                           "line %llu; a frame has one time",
                           (long long)to->now.frame,
                           (unsigned long long)to->now.line);
    }
    return BL_OK;
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
    return message_set(message, BL_ERR_INPUT, number,
                       quote_column(row.line, cell.start),
                       "frame is %s; expected a whole number from 0 to %d",
                       quote_bytes(cell.bytes, cell.size).text, LIMIT_FRAME);
}

static bool is_frame_number(double frame) {
    return frame >= 0.0 && frame <= LIMIT_FRAME && floor(frame) >= frame;
}

static bl_status start_contour(gather *to, const row_values *row,
                               uint64_t number) {
    read_contour heading = {
        .frame = (int64_t)row->frame,
        .time_s = row->time_s,
        .position_mm = row->position_mm,
        .kind = row->kind,
        .line = number,
    };
    return gather_start(to, &heading);
}

bl_status rows_take(const header *of, const char *line, size_t size,
                    uint64_t number, gather *to) {
    row_values row = {.time_s = UNKNOWN, .position_mm = UNKNOWN};
    cells cells_row = cells_of(line, size, of->separator);
    bl_status status = read_row(of, &cells_row, number, &row, to->message);
    if (status != BL_OK) {
        return status;
    }
    if (!is_frame_number(row.frame)) {
        return refuse_frame(of, cells_of(line, size, of->separator), number,
                            to->message);
    }
    bool goes_on = to->open && row.kind == to->now.kind &&
                   !number_differ(row.frame, (double)to->now.frame);
    status = goes_on ? check_same(to, &row, number)
                     : start_contour(to, &row, number);
    return status == BL_OK ? gather_point(to, row.x, row.y) : status;
}
