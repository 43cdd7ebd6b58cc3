/*
 * bulk.c - many rows of a long table at once.
 *
 * A row is read cell by cell and then predicts those behind it, which are
 * mostly alike (alike.h). The first that is not is read cell by cell again.
 */
#include "read/bulk.h"

#include "base/constants.h"
#include "base/number.h"
#include "pullback/cursor.h"
#include "read/alike.h"
#include "read/stencil.h"

/* Digits of LIMIT_FRAME. */
#define FRAME_DIGITS 9
/* Rows of more are rare, and those alike must stay within LIMIT_LINE_BYTES. */
#define ROW_BYTES 4096
/* After so many rows with none alike behind them, only one row in so many is
 * tried: another column changes in each row. */
#define FRUITLESS_MOST 8
#define FRUITLESS_PAUSE 64

/* One row, read cell by cell. */
typedef struct bulk_row {
    int64_t frame;
    bl_kind kind;
    double time_s;
    double position_mm;
    double x;
    double y;
    bool point; /* a number has a decimal point */
    model as;   /* how it is written */
} bulk_row;

/* ------------------------------------------------------------ cell by cell */

static bool take_frame(plain *of, int64_t *frame) {
    uint64_t read = 0;
    size_t digits = 0;
    if (!plain_digits(of, &read, &digits) || digits == 0 ||
        digits > FRAME_DIGITS) {
        return false;
    }
    *frame = (int64_t)read;
    return true;
}

/* Up to whatever ends a cell. A quote may hide a separator. */
static bool skip_cell(plain *of, char separator) {
    for (; of->at < of->end; of->at++) {
        char c = *of->at;
        if (c == separator || c == '\n' || c == '\r') {
            return true;
        }
        if (c == '"' || c == '\0') {
            return false;
        }
    }
    return false;
}

static bool take_kind(plain *of, char separator, bl_kind *out) {
    const char *start = of->at;
    if (!skip_cell(of, separator)) {
        return false;
    }
    for (bl_kind kind = BL_KIND_LUMEN; kind <= BL_KIND_VESSEL; kind++) {
        if (cursor_same(start, (size_t)(of->at - start), bl_kind_name(kind))) {
            *out = kind;
            return true;
        }
    }
    return false;
}

/* A time or position, which may be left empty: unknown. */
static bool take_optional(plain *of, char separator, double *value,
                          bool *point) {
    spelling as = {0};
    bool empty = of->at < of->end &&
                 (*of->at == separator || *of->at == '\n' || *of->at == '\r');
    bool taken = empty || plain_number(of, value, &as);
    *point = *point || as.decimals > 0;
    return taken;
}

static bool take_cell(plain *of, const header *columns, column_role role,
                      bulk_row *out, const char *row) {
    size_t start = (size_t)(of->at - row);
    switch (role) {
    case ROLE_FRAME:
        return take_frame(of, &out->frame);
    case ROLE_X:
        out->as.x_start = start;
        return plain_number(of, &out->x, &out->as.x);
    case ROLE_Y:
        out->as.y_start = start;
        return plain_number(of, &out->y, &out->as.y);
    case ROLE_KIND:
        return take_kind(of, columns->separator, &out->kind);
    case ROLE_TIME:
        return take_optional(of, columns->separator, &out->time_s, &out->point);
    case ROLE_POSITION:
        return take_optional(of, columns->separator, &out->position_mm,
                             &out->point);
    case ROLE_IGNORED:
    default:
        return skip_cell(of, columns->separator);
    }
}

static bool take_line_end(plain *of) {
    if (of->at < of->end && *of->at == '\r') {
        of->at++;
    }
    if (of->at == of->end || *of->at != '\n') {
        return false;
    }
    of->at++;
    return true;
}

static bool read_row(const header *columns, plain of, bulk_row *out) {
    const char *row = of.at;
    *out = (bulk_row){.time_s = UNKNOWN, .position_mm = UNKNOWN};
    if (of.at == of.end || *of.at == '#') {
        return false;
    }
    for (size_t i = 0; i < columns->count; i++) {
        if (i > 0) {
            if (of.at == of.end || *of.at != columns->separator) {
                return false;
            }
            of.at++;
        }
        if (!take_cell(&of, columns, columns->roles[i], out, row)) {
            return false;
        }
    }
    if (of.at - row > ROW_BYTES || !take_line_end(&of)) {
        return false;
    }
    out->as.row = row;
    out->as.size = (size_t)(of.at - row);
    out->point |= out->as.x.decimals > 0 || out->as.y.decimals > 0;
    return true;
}

/* --------------------------------------------------------------- the whole */

bulk_way bulk_best(void) {
    if (!OCTETS_HERE) {
        return BULK_BYTES;
    }
    return stencil_can_pair() ? BULK_PAIRS : BULK_WORDS;
}

/* Whether the row says of its contour what the contour says; *goes_on is
 * whether there is one under way that it belongs to. */
static bool fits_contour(const gather *to, const bulk_row *row, bool *goes_on) {
    *goes_on =
        to->open && row->kind == to->now.kind && row->frame == to->now.frame;
    return !*goes_on || (!number_differ(row->time_s, to->now.time_s) &&
                         !number_differ(row->position_mm, to->now.position_mm));
}

static bl_status take_row(const bulk_row *row, bool goes_on, uint64_t number,
                          gather *to) {
    if (!goes_on) {
        read_contour heading = {
            .frame = row->frame,
            .time_s = row->time_s,
            .position_mm = row->position_mm,
            .kind = row->kind,
            .line = number,
        };
        bl_status status = gather_start(to, &heading);
        if (status != BL_OK) {
            return status;
        }
    }
    return gather_point(to, row->x, row->y);
}

bl_status bulk_take(const header *of, bulk_way way, const char *bytes,
                    size_t size, gather *to, uint64_t *number, size_t *used) {
    const char *end = bytes + size;
    const char *at = bytes;
    bool words = way >= BULK_WORDS;
    plain_way how = words ? PLAIN_WORDS : PLAIN_BYTES;
    unsigned fruitless = 0;
    bulk_row row;
    bool goes_on;
    while (of->separator != ' ' && read_row(of, (plain){at, end, how}, &row) &&
           !(row.point && to->comma_line != 0) &&
           fits_contour(to, &row, &goes_on)) {
        *number += 1;
        to->point_line =
            row.point && to->point_line == 0 && of->separator != ','
                ? *number
                : to->point_line;
        bl_status status = take_row(&row, goes_on, *number, to);
        if (status != BL_OK) {
            return status;
        }
        at += row.as.size;
        if (words &&
            (fruitless < FRUITLESS_MOST || *number % FRUITLESS_PAUSE == 0)) {
            size_t before = to->count;
            at = alike_take(&row.as, way == BULK_PAIRS, at, end, to);
            *number += to->count - before;
            fruitless = to->count > before ? 0 : fruitless + 1;
        }
    }
    *used = (size_t)(at - bytes);
    return BL_OK;
}
