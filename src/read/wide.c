/*
 * wide.c - the rows of a wide table, a contour each.
 *
 * A row may be shorter than the header, padded by empty cells or not: contours
 * have different numbers of points. It may not be longer, since a decimal comma
 * in a table separated by commas would look like that. Radii stand at angles
 * that follow from their number, so that there a row must be complete.
 */
#include "read/wide.h"

#include "base/digit.h"
#include "base/number.h"
#include "pullback/quote.h"
#include "read/cells.h"
#include "read/rows.h"

#include <string.h>

typedef struct wide_row {
    wide *state;
    const header *of;
    cells at;
    uint64_t number;
    gather *to;
} wide_row;

/* What coordinate number i is called, for messages. */
static const char *letter_of(const wide_row *in, size_t i) {
    return in->of->shape == BL_SHAPE_WIDE_POLAR ? "radius"
           : i % 2 == 0                         ? "x"
                                                : "y";
}

static bl_status refuse_cell(const wide_row *in, const cell_text *cell,
                             size_t i) {
    bool polar = in->of->shape == BL_SHAPE_WIDE_POLAR;
    return message_set(in->to->message, BL_ERR_INPUT, in->number,
                       quote_column(in->at.line, cell->start),
                       "%s number %zu is %s; expected a number%s",
                       letter_of(in, i), polar ? i + 1 : i / 2 + 1,
                       quote_bytes(cell->bytes, cell->size).text,
                       cells_hint(&in->at, cell));
}

/* The next number; *more is false behind the last. */
static bl_status next_number(wide_row *in, size_t i, double *value,
                             bool *more) {
    *more = true;
    if (cells_take_number(&in->at, value)) {
        return BL_OK;
    }
    cell_text cell;
    if (cells_done(&in->at) || !cells_next(&in->at, &cell)) {
        *more = false;
        return BL_OK;
    }
    return cells_number(&in->at, &cell, value) ? BL_OK
                                               : refuse_cell(in, &cell, i);
}

static bl_status take_points(wide_row *in, size_t *count) {
    bool polar = in->of->shape == BL_SHAPE_WIDE_POLAR;
    double first = 0.0;
    *count = 0;
    for (size_t i = 0; i < in->of->coordinates; i++) {
        bool more = true;
        double value = 0.0;
        const char *start = in->at.at;
        bl_status status = next_number(in, i, &value, &more);
        if (status != BL_OK || !more) {
            return status;
        }
        if (polar && value < 0.0) {
            return message_set(in->to->message, BL_ERR_INPUT, in->number,
                               quote_column(in->at.line, start),
                               "radius number %zu is negative; expected its "
                               "distance from the catheter; if it fills what "
                               "was not found, write long rows with the angles "
                               "that were traced",
                               i + 1);
        }
        if (polar) {
            double angle = 360.0 * (double)i / (double)in->of->coordinates;
            status = gather_point(in->to, angle, value);
        } else if (i % 2 == 0) {
            first = value;
        } else {
            status = gather_point(in->to, first, value);
        }
        if (status != BL_OK) {
            return status;
        }
        *count = i + 1;
    }
    return BL_OK;
}

static bl_status check_count(const wide_row *in, size_t count) {
    const cells *at = &in->at;
    if (!at->done && !cells_done(at)) {
        return message_set(
            in->to->message, BL_ERR_INPUT, in->number,
            quote_column(at->line, at->at),
            "the row has more coordinates than the header names (%zu); name "
            "them all%s",
            in->of->coordinates,
            at->separator == ',' ? ", or is the decimal mark a comma? Then "
                                   "separate by semicolons"
                                 : "");
    }
    if (in->of->shape == BL_SHAPE_WIDE_POLAR && count < in->of->coordinates) {
        return message_set(in->to->message, BL_ERR_INPUT, in->number,
                           quote_column(at->line, at->end),
                           "the row has %zu radii and the header names %zu; "
                           "their angles follow from their number, so none "
                           "may be missing",
                           count, in->of->coordinates);
    }
    if (in->of->shape == BL_SHAPE_WIDE && count % 2 != 0) {
        return message_set(in->to->message, BL_ERR_INPUT, in->number,
                           quote_column(at->line, at->end),
                           "x number %zu has no y", count / 2 + 1);
    }
    return BL_OK;
}

/* Radii are read as points whose y they are, see gather.h. */
static void note_closing(const wide_row *in) {
    const double *radii = in->to->y;
    size_t count = in->to->count;
    bool differ = false;
    for (size_t i = 1; i < count; i++) {
        differ = differ || number_differ(radii[i], radii[0]);
    }
    in->state->polar += differ;
    in->state->closed += differ && !number_differ(radii[count - 1], radii[0]);
}

/* What stands before a decimal comma, or behind it where that begins with 0:
 * digits up to the next comma. */
static const char *skip_digits(const char *at, const char *end) {
    while (at < end && digit_is(*at)) {
        at++;
    }
    return at;
}

/* Whether cells go in pairs that decimal commas have split: whole parts, which
 * do not begin with 0, and decimals, of which one does. Where it is so the
 * first such cell, else NULL. */
static const char *split_decimals(const cells *row) {
    const char *sure = NULL;
    const char *at = row->at;
    for (size_t i = 0; at < row->end; i++) {
        bool decimals = i % 2 != 0;
        at += !decimals && *at == '-';
        const char *after = skip_digits(at, row->end);
        bool from_zero = after - at > 1 && *at == '0';
        if (after == at) {
            return cells_done(&(cells){
                       .at = at, .end = row->end, .separator = row->separator})
                       ? sure
                       : NULL;
        }
        if ((after < row->end && *after != ',') || (from_zero && !decimals)) {
            return NULL;
        }
        sure = from_zero && sure == NULL ? at : sure;
        at = after < row->end ? after + 1 : after;
    }
    return sure;
}

/* Such a row has as many cells as one of twice the points: it would be read,
 * and its contour cross itself. */
static bl_status check_split(const wide_row *in) {
    const cells *row = &in->at;
    if (row->separator != ',' ||
        memchr(row->line, '.', (size_t)(row->end - row->line)) != NULL) {
        return BL_OK;
    }
    const char *sure = split_decimals(row);
    if (sure == NULL) {
        return BL_OK;
    }
    const char *after = skip_digits(sure, row->end);
    return message_set(in->to->message, BL_ERR_INPUT, in->number,
                       quote_column(row->line, sure),
                       "%s begins with 0 and no number of the row has a point: "
                       "is the decimal mark a comma? Then separate by "
                       "semicolons",
                       quote_bytes(sure, (size_t)(after - sure)).text);
}

bl_status wide_take(wide *state, const header *of, const char *line,
                    size_t size, uint64_t number, gather *to) {
    wide_row in = {state, of, cells_of(line, size, of->separator), number, to};
    row_values row;
    bl_status status = rows_read(of, &in.at, number, &row, to->message);
    if (status != BL_OK) {
        return status;
    }
    status = check_split(&in);
    if (status != BL_OK) {
        return status;
    }
    read_contour heading = rows_heading(&row, number);
    status = gather_start(to, &heading);
    size_t count = 0;
    if (status == BL_OK) {
        status = take_points(&in, &count);
    }
    if (in.at.open != NULL) {
        status = cells_check_quotes(&in.at, number, to->message);
    }
    if (status == BL_OK) {
        status = check_count(&in, count);
    }
    if (status == BL_OK) {
        status = gather_marks(to, in.at.comma, in.at.point, number);
    }
    if (status != BL_OK) {
        to->open = false; /* half a contour is none, where reading goes on */
    }
    if (status == BL_OK && of->shape == BL_SHAPE_WIDE_POLAR) {
        note_closing(&in);
    }
    return status;
}

bl_status wide_finish(const wide *state, uint64_t line, findings *said,
                      bl_message *message) {
    /* One row may end as it began by chance. */
    if (state->polar < 2 || state->closed < state->polar) {
        return BL_OK;
    }
    bl_status status = findings_warn(
        said, line, 0, -1,
        "the last radius of every row is its first again: if it repeats 0 "
        "degrees, drop its column, or all angles are wrong");
    return status == BL_OK ? BL_OK : message_memory(message);
}
