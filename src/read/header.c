/*
 * header.c - what the header row of a long table says.
 *
 * The separator is the only one of tab, semicolon and comma in the row, or
 * blanks when there is none of them; two kinds are an error, never a guess.
 * Coordinates are one pair of names of the same unit.
 */
#include "read/header.h"

#include "pullback/cursor.h"
#include "pullback/quote.h"
#include "read/cells.h"

#include <string.h>

typedef enum name_id {
    NAME_NONE,
    NAME_FRAME,
    NAME_X,
    NAME_Y,
    NAME_X_MM,
    NAME_Y_MM,
    NAME_X_PX,
    NAME_Y_PX,
    NAME_ANGLE,
    NAME_RADIUS_MM,
    NAME_RADIUS_PX,
    NAME_KIND,
    NAME_TIME,
    NAME_POSITION,
    NAME_POINT,
    NAME_COUNT
} name_id;

static const char *const names[NAME_COUNT] = {
    [NAME_NONE] = "",
    [NAME_FRAME] = "frame",
    [NAME_X] = "x",
    [NAME_Y] = "y",
    [NAME_X_MM] = "x_mm",
    [NAME_Y_MM] = "y_mm",
    [NAME_X_PX] = "x_px",
    [NAME_Y_PX] = "y_px",
    [NAME_ANGLE] = "angle_deg",
    [NAME_RADIUS_MM] = "radius_mm",
    [NAME_RADIUS_PX] = "radius_px",
    [NAME_KIND] = "kind",
    [NAME_TIME] = "time_s",
    [NAME_POSITION] = "position_mm",
    [NAME_POINT] = "point",
};

/* A header row under way: where each known name stands, -1 for nowhere. */
typedef struct reading {
    header *out;
    const char *line;
    uint64_t number;
    const notes *given;
    warnings *said;
    bl_message *message;
    int place[NAME_COUNT];
    cell_text first_ignored;
    cell_text first_wide; /* size 0 when no name is like a wide table's */
} reading;

static bl_status find_separator(const reading *in, const char *line,
                                size_t size, char *out) {
    static const char candidates[] = {'\t', ';', ','};
    char found = 0;
    for (size_t i = 0; i < sizeof candidates; i++) {
        if (memchr(line, candidates[i], size) == NULL) {
            continue;
        }
        if (found != 0) {
            return message_set(
                in->message, BL_ERR_INPUT, in->number, 1,
                "the header row has more than one kind of separator, so it is "
                "unclear which separates; add a first line such as 'sep=;'");
        }
        found = candidates[i];
    }
    *out = found == 0 ? ' ' : found;
    return BL_OK;
}

static name_id name_find(const cell_text *cell) {
    for (unsigned i = NAME_FRAME; i < NAME_COUNT; i++) {
        if (cursor_same(cell->bytes, cell->size, names[i])) {
            return (name_id)i;
        }
    }
    return NAME_NONE;
}

/* Names such as x1 or r0: a table with a row a frame, when no pair of
 * coordinates is named. */
static bool is_wide_name(const cell_text *cell) {
    if (cell->size < 2 || strchr("xyrXYR", cell->bytes[0]) == NULL) {
        return false;
    }
    for (size_t i = 1; i < cell->size; i++) {
        if (cell->bytes[i] < '0' || cell->bytes[i] > '9') {
            return false;
        }
    }
    return true;
}

static bl_status refuse_wide(const reading *in) {
    const cell_text *cell = &in->first_wide;
    return message_set(in->message, BL_ERR_INPUT, in->number,
                       quote_column(in->line, cell->start),
                       "%s looks like a wide table with a row a frame, "
                       "which is not read yet; expected a row a point "
                       "(frame,x_mm,y_mm) or blocks ('frame N')",
                       quote_bytes(cell->bytes, cell->size).text);
}

static bl_status take_name(reading *in, const cell_text *cell) {
    header *out = in->out;
    if (out->count == LIMIT_COLUMNS) {
        if (in->first_wide.size > 0) {
            return refuse_wide(in);
        }
        return message_set(in->message, BL_ERR_LIMIT, in->number,
                           quote_column(in->line, cell->start),
                           "more than %d columns, the limit of a table; drop "
                           "those that are not needed",
                           LIMIT_COLUMNS);
    }
    if (in->first_wide.size == 0 && is_wide_name(cell)) {
        in->first_wide = *cell;
    }
    name_id name = name_find(cell);
    if (name != NAME_NONE) {
        if (in->place[name] >= 0) {
            return message_set(in->message, BL_ERR_INPUT, in->number,
                               quote_column(in->line, cell->start),
                               "two columns are called %s; drop or rename one",
                               names[name]);
        }
        in->place[name] = (int)out->count;
    } else if (cell->size > 0) {
        in->first_ignored = out->ignored == 0 ? *cell : in->first_ignored;
        out->ignored++;
    }
    out->roles[out->count++] = ROLE_IGNORED;
    return BL_OK;
}

static void assign(const reading *in, name_id name, column_role role) {
    if (in->place[name] >= 0) {
        in->out->roles[in->place[name]] = role;
    }
}

typedef struct pair {
    name_id x;
    name_id y;
    gather_units units;
} pair;

static bl_status assign_pair(const reading *in) {
    static const pair pairs[] = {
        {NAME_X_MM, NAME_Y_MM, UNITS_MM},
        {NAME_X_PX, NAME_Y_PX, UNITS_PX},
        {NAME_X, NAME_Y, UNITS_MM},
        {NAME_ANGLE, NAME_RADIUS_MM, UNITS_POLAR_MM},
        {NAME_ANGLE, NAME_RADIUS_PX, UNITS_POLAR_PX},
    };
    const pair *found = NULL;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        if (in->place[pairs[i].x] < 0 || in->place[pairs[i].y] < 0) {
            continue;
        }
        if (found != NULL) {
            return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                               "both %s,%s and %s,%s are there; drop the pair "
                               "that is not meant",
                               names[found->x], names[found->y],
                               names[pairs[i].x], names[pairs[i].y]);
        }
        found = &pairs[i];
    }
    if (found == NULL && in->first_wide.size > 0) {
        return refuse_wide(in);
    }
    if (found == NULL) {
        return message_set(
            in->message, BL_ERR_INPUT, in->number, 1,
            "no pair of coordinates among the columns; expected x_mm,y_mm or "
            "x_px,y_px or x,y or angle_deg with radius_mm or radius_px");
    }
    assign(in, found->x, ROLE_X);
    assign(in, found->y, ROLE_Y);
    in->out->units = found->units;
    if (found->x == NAME_X && notes_has_scale(in->given)) {
        in->out->units = UNITS_PX;
    }
    return BL_OK;
}

static bl_status check_needed(const reading *in) {
    if (in->place[NAME_FRAME] >= 0) {
        return assign_pair(in);
    }
    return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                       "no column is called frame; expected a header row such "
                       "as 'frame,x_mm,y_mm', or blocks that start with "
                       "'frame N'");
}

static bl_status warn_ignored(const reading *in) {
    if (in->out->ignored == 0) {
        return BL_OK;
    }
    bl_message *place = NULL;
    bl_status status = warnings_add(in->said, &place);
    if (status != BL_OK) {
        return message_memory(in->message);
    }
    (void)message_set(
        place, BL_OK, in->number,
        quote_column(in->line, in->first_ignored.start),
        "%zu unknown column%s ignored, the first is %s", in->out->ignored,
        in->out->ignored == 1 ? " is" : "s are",
        quote_bytes(in->first_ignored.bytes, in->first_ignored.size).text);
    return BL_OK;
}

bl_status header_read(header *out, const char *line, size_t size,
                      uint64_t number, char separator, const notes *given,
                      warnings *said, bl_message *message) {
    *out = (header){.separator = separator};
    reading in = {.out = out,
                  .line = line,
                  .number = number,
                  .given = given,
                  .said = said,
                  .message = message};
    for (unsigned i = 0; i < NAME_COUNT; i++) {
        in.place[i] = -1;
    }
    bl_status status = BL_OK;
    if (separator == 0) {
        status = find_separator(&in, line, size, &out->separator);
    }
    cells row = cells_of(line, size, out->separator);
    cell_text cell;
    while (status == BL_OK && cells_next(&row, &cell)) {
        status = take_name(&in, &cell);
    }
    if (status == BL_OK) {
        status = check_needed(&in);
    }
    if (status != BL_OK) {
        return status;
    }
    assign(&in, NAME_FRAME, ROLE_FRAME);
    assign(&in, NAME_KIND, ROLE_KIND);
    assign(&in, NAME_TIME, ROLE_TIME);
    assign(&in, NAME_POSITION, ROLE_POSITION);
    return warn_ignored(&in);
}
