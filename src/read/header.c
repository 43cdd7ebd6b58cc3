/*
 * header.c - what the header row of a table says.
 *
 * The separator is the only one of tab, semicolon and comma in the row, or
 * blanks when there is none of them; two kinds are an error, never a guess.
 * Coordinates are one pair of names of the same unit, or numbered names, which
 * come last, rise by one and leave none out: a wide table.
 */
#include "read/header.h"

#include "pullback/lookalike.h"
#include "pullback/quote.h"
#include "read/cells.h"
#include "read/naming.h"

#include <string.h>

/* A header row under way: where each known name stands, -1 for nowhere. */
typedef struct reading {
    header *out;
    const char *line;
    size_t size;
    uint64_t number;
    const notes *given;
    findings *said;
    bl_message *message;
    int place[NAME_COUNT];
    cell_text first_ignored;
    size_t unnamed; /* columns without a name since the last with one */
    cell_text first_unnamed;     /* of these */
    cell_text meant[NAME_COUNT]; /* the first ignored that means it */
    const char *how[NAME_COUNT]; /* from another unit, else NULL */
    cell_text otherwise;         /* the first ignored like x_1 or x1_mm */
    numbered numbered;           /* what that stands for */
} reading;

/* Blanks separate where nothing else does. */
static bl_status find_separator(const reading *in) {
    char found;
    if (!cells_find_separator(in->line, in->size, &found)) {
        return message_set(
            in->message, BL_ERR_INPUT, in->number, 1,
            "the header row has more than one kind of separator, so it is "
            "unclear which separates; add a first line such as 'sep=;'");
    }
    in->out->separator = found == 0 ? ' ' : found;
    return BL_OK;
}

/* What was found: where faults are findings the rest of the row is looked at
 * behind it. */
static bl_status told(const reading *in, bl_status status) {
    return status == BL_ERR_INPUT ? findings_fault(in->said, in->message, -1)
                                  : status;
}

/* The header row then is one cell, whatever it says. */
static bl_status refuse_told(const reading *in, char separator) {
    char told[2] = {separator, '\0'};
    return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                       "the header row %s is not separated by %s, which "
                       "'sep=' says; correct that line",
                       quote_bytes(in->line, in->size).text,
                       separator == '\t' ? "tabs" : quote_bytes(told, 1).text);
}

/* What an unknown name surely stands for is kept, to be told where it lacks. */
static void keep_meant(reading *in, const cell_text *cell) {
    const char *how = NULL;
    name_id converted = naming_converted(cell, &how);
    name_id meant = converted != NAME_NONE ? converted : naming_meant(cell);
    if (meant != NAME_NONE && in->meant[meant].size == 0) {
        in->meant[meant] = *cell;
        in->how[meant] = how;
    }
    numbered other;
    if (in->otherwise.size == 0 && naming_numbered_meant(cell, &other)) {
        in->otherwise = *cell;
        in->numbered = other;
    }
}

/* The same of the coordinates of a wide table. */
static void add_wide_hint(const reading *in, bl_message *to) {
    const numbered *of = &in->numbered;
    (void)message_set(
        to, BL_OK, 0, 0, "; in a wide table %s is called %c%zu%s",
        quote_bytes(in->otherwise.bytes, in->otherwise.size).text, of->letter,
        of->number,
        of->converts   ? ", in mm: convert and rename all like it"
        : of->has_unit ? ", in mm, or in pixels where a scale is given: rename "
                         "all like it"
                       : ": rename all like it");
}

/* Words to end a message with: how to rename columns so that they are read; ""
 * where no name suggests it. The text lies in *in_here. */
static const char *rename_hint(const reading *in, name_id from, name_id to,
                               bl_message *in_here) {
    in_here->text[0] = '\0';
    const char *said = "";
    for (unsigned i = from; i <= (unsigned)to; i++) {
        const cell_text *cell = &in->meant[i];
        const char *how = in->how[i];
        const char *verb = how != NULL ? "convert " : "rename ";
        if (cell->size > 0 && in->place[i] < 0) {
            const char *name = naming_of((name_id)i);
            bool either = i == NAME_RADIUS_MM && cell->size < strlen(name);
            bl_message before = *in_here;
            (void)message_set(in_here, BL_OK, 0, 0, "%s%s%s%s to %s%s%s%s%s%s",
                              before.text, *said == '\0' ? "; " : ", ",
                              strcmp(said, verb) == 0 ? "" : verb,
                              quote_bytes(cell->bytes, cell->size).text, name,
                              either ? " or radius_px" : "",
                              how != NULL ? " (" : "", how != NULL ? how : "",
                              how != NULL ? ")" : "",
                              lookalike_hint(cell->bytes, cell->size));
            said = verb;
        }
    }
    bool wide = from == NAME_NONE || from == NAME_X;
    if (wide && in_here->text[0] == '\0' && in->otherwise.size > 0) {
        add_wide_hint(in, in_here);
    }
    return in_here->text;
}

static void ignore(reading *in, const cell_text *first, size_t count) {
    in->first_ignored = in->out->ignored == 0 ? *first : in->first_ignored;
    in->out->ignored += count;
}

/* Behind the last name there is nothing but trailing separators; before it a
 * column without a name holds something, such as row numbers. */
static void take_unnamed(reading *in, const cell_text *cell) {
    if (cell->size == 0) {
        in->first_unnamed = in->unnamed == 0 ? *cell : in->first_unnamed;
        in->unnamed++;
    } else if (in->unnamed > 0) {
        ignore(in, &in->first_unnamed, in->unnamed);
        in->unnamed = 0;
    }
}

static bl_status take_name(reading *in, const cell_text *cell) {
    bl_message hint;
    header *out = in->out;
    if (out->count == LIMIT_COLUMNS) {
        return message_set(in->message, BL_ERR_LIMIT, in->number,
                           quote_column(in->line, cell->start),
                           "more than %d columns, the limit of a table; drop "
                           "those that are not needed%s",
                           LIMIT_COLUMNS,
                           rename_hint(in, NAME_NONE, NAME_NONE, &hint));
    }
    name_id name = naming_find(cell);
    take_unnamed(in, cell);
    if (name != NAME_NONE) {
        if (in->place[name] >= 0) {
            return message_set(in->message, BL_ERR_INPUT, in->number,
                               quote_column(in->line, cell->start),
                               "two columns are called %s; drop or rename one",
                               naming_of(name));
        }
        in->place[name] = (int)out->count;
    } else if (cell->size > 0) {
        ignore(in, cell, 1);
        keep_meant(in, cell);
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

/* Coordinates of which the table has no pair, or none that is taken. */
static bl_status warn_unpaired(const reading *in, const pair *taken) {
    bl_status status = BL_OK;
    for (unsigned i = NAME_X; status == BL_OK && i <= NAME_RADIUS_PX; i++) {
        if (in->place[i] >= 0 && i != taken->x && i != taken->y) {
            status = findings_warn(
                in->said, in->number, 0, -1,
                "the column %s is not used: points come from %s and %s",
                naming_of((name_id)i), naming_of(taken->x),
                naming_of(taken->y));
        }
    }
    return status == BL_OK ? BL_OK : message_memory(in->message);
}

static bl_status assign_pair(const reading *in) {
    static const pair pairs[] = {
        {NAME_X_MM, NAME_Y_MM, UNITS_MM},
        {NAME_X_PX, NAME_Y_PX, UNITS_PX},
        {NAME_X, NAME_Y, UNITS_MM},
        {NAME_ANGLE, NAME_RADIUS_MM, UNITS_POLAR_MM},
        {NAME_ANGLE, NAME_RADIUS_PX, UNITS_POLAR_PX},
    };
    bl_message hint;
    const pair *found = NULL;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        if (in->place[pairs[i].x] < 0 || in->place[pairs[i].y] < 0) {
            continue;
        }
        if (found != NULL) {
            return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                               "both %s,%s and %s,%s are there; drop the pair "
                               "that is not meant",
                               naming_of(found->x), naming_of(found->y),
                               naming_of(pairs[i].x), naming_of(pairs[i].y));
        }
        found = &pairs[i];
    }
    if (found == NULL) {
        return message_set(
            in->message, BL_ERR_INPUT, in->number, 1,
            "no pair of coordinates among the columns; expected x_mm,y_mm or "
            "x_px,y_px or x,y or angle_deg with radius_mm or radius_px, or in "
            "a wide table x1,y1,x2,y2,... or r0,r1,...%s",
            rename_hint(in, NAME_X, NAME_RADIUS_PX, &hint));
    }
    assign(in, found->x, ROLE_X);
    assign(in, found->y, ROLE_Y);
    in->out->units = found->units;
    if (found->x == NAME_X && notes_has_scale(in->given)) {
        in->out->units = UNITS_PX;
    }
    return warn_unpaired(in, found);
}

/* ------------------------------------------------------------------- wide */

static bool is_first_coordinate(const cell_text *cell, char letter) {
    size_t number;
    return naming_numbered(cell, letter, &number) && number <= 1;
}

/* What a wide table's coordinate number i is called, counting from base. */
static bool is_coordinate(const cell_text *cell, bl_shape shape, size_t base,
                          size_t i) {
    size_t number;
    char letter = shape == BL_SHAPE_WIDE_POLAR ? 'r' : i % 2 == 0 ? 'x' : 'y';
    size_t expected = base + (shape == BL_SHAPE_WIDE_POLAR ? i : i / 2);
    return naming_numbered(cell, letter, &number) && number == expected;
}

static bl_status refuse_coordinate(const reading *in, const cell_text *cell,
                                   size_t base) {
    size_t i = in->out->coordinates;
    bool polar = in->out->shape == BL_SHAPE_WIDE_POLAR;
    return message_set(
        in->message, BL_ERR_INPUT, in->number,
        quote_column(in->line, cell->start),
        "%s stands where %s%zu is expected; the coordinates of a wide table "
        "come last, %s, without a gap",
        quote_bytes(cell->bytes, cell->size).text,
        polar        ? "r"
        : i % 2 == 0 ? "x"
                     : "y",
        base + (polar ? i : i / 2), polar ? "r0,r1,..." : "x1,y1,x2,y2,...");
}

/* The rest of the header row, from the first coordinate on. */
static bl_status take_coordinates(reading *in, cells *row, cell_text cell) {
    size_t base = cell.bytes[1] == '1' ? 1 : 0;
    header *out = in->out;
    do {
        if (cell.size == 0 && cells_done(row)) {
            break; /* trailing separators */
        }
        if (!is_coordinate(&cell, out->shape, base, out->coordinates)) {
            return refuse_coordinate(in, &cell, base);
        }
        out->coordinates++;
    } while (cells_next(row, &cell));
    bool polar = out->shape == BL_SHAPE_WIDE_POLAR;
    if (!polar && out->coordinates % 2 != 0) {
        cell = (cell_text){row->end, 0, row->end};
        return refuse_coordinate(in, &cell, base);
    }
    bool pixels = notes_has_scale(in->given);
    out->units = polar    ? (pixels ? UNITS_POLAR_PX : UNITS_POLAR_MM)
                 : pixels ? UNITS_PX
                          : UNITS_MM;
    return BL_OK;
}

/* Long unless numbered coordinates are there and no pair of names. */
static bl_shape shape_of(cells row) {
    bl_shape found = BL_SHAPE_LONG;
    cell_text cell;
    while (cells_next(&row, &cell)) {
        name_id name = naming_find(&cell);
        if (name >= NAME_X && name <= NAME_RADIUS_PX) {
            return BL_SHAPE_LONG;
        }
        if (found == BL_SHAPE_LONG && is_first_coordinate(&cell, 'x')) {
            found = BL_SHAPE_WIDE;
        }
        if (found == BL_SHAPE_LONG && is_first_coordinate(&cell, 'r')) {
            found = BL_SHAPE_WIDE_POLAR;
        }
    }
    return found;
}

/* ----------------------------------------------------------------- in order */

static bl_status take_names(reading *in, cells *row) {
    char letter = in->out->shape == BL_SHAPE_WIDE         ? 'x'
                  : in->out->shape == BL_SHAPE_WIDE_POLAR ? 'r'
                                                          : 0;
    bl_status status = BL_OK;
    cell_text cell;
    while (status == BL_OK && cells_next(row, &cell)) {
        if (letter != 0 && is_first_coordinate(&cell, letter)) {
            return told(in, take_coordinates(in, row, cell));
        }
        status = told(in, take_name(in, &cell));
    }
    return status;
}

/* A line above the header that is none of it. */
static const char *above_hint(const reading *in) {
    bool known = in->out->shape != BL_SHAPE_LONG;
    for (unsigned i = NAME_FRAME; i < NAME_COUNT; i++) {
        known = known || in->place[i] >= 0 || in->meant[i].size > 0;
    }
    if (known) {
        return "";
    }
    return memchr(in->line, '=', in->size) != NULL
               ? "; if this is a note, put '# ' before it"
               : "; if this is a title, put '# ' before it";
}

static bl_status refuse_without_frame(const reading *in) {
    bl_message hint;
    return message_set(in->message, BL_ERR_INPUT, in->number, 1,
                       "no column is called frame in %s; expected a header row "
                       "such as 'frame,x_mm,y_mm', or blocks that start with "
                       "'frame N'%s%s",
                       quote_bytes(in->line, in->size).text,
                       rename_hint(in, NAME_FRAME, NAME_FRAME, &hint),
                       above_hint(in));
}

/* Behind a line that is no header at all there is nothing to go on with. */
static bl_status check_needed(const reading *in) {
    if (in->place[NAME_FRAME] < 0 && *above_hint(in) != '\0') {
        return refuse_without_frame(in);
    }
    bl_status status =
        in->place[NAME_FRAME] >= 0 ? BL_OK : told(in, refuse_without_frame(in));
    return status == BL_OK && in->out->shape == BL_SHAPE_LONG
               ? told(in, assign_pair(in))
               : status;
}

/* A quote left open hides the columns behind it. */
static bl_status check_quotes(const reading *in) {
    cells row = cells_of(in->line, in->size, in->out->separator);
    cell_text cell;
    while (cells_next(&row, &cell)) {
    }
    return cells_check_quotes(&row, in->number, in->message);
}

/* The separator, as told or found; *known where columns can be told apart. */
static bl_status separate(const reading *in, char told_separator, bool *known) {
    header *out = in->out;
    bl_status status = BL_OK;
    out->separator = told_separator;
    if (told_separator == 0) {
        status = find_separator(in);
    } else if (told_separator != ' ' &&
               memchr(in->line, told_separator, in->size) == NULL) {
        status = refuse_told(in, told_separator);
    }
    status = status == BL_OK ? check_quotes(in) : status;
    *known = status == BL_OK;
    return told(in, status);
}

static bl_status warn_ignored(const reading *in) {
    if (in->out->ignored == 0) {
        return BL_OK;
    }
    /* A long table has its coordinates by now. */
    bl_message hint;
    const cell_text *first = &in->first_ignored;
    bool meant = *rename_hint(in, NAME_KIND, NAME_POSITION, &hint) != '\0';
    bl_status status = findings_warn(
        in->said, in->number, quote_column(in->line, first->start), -1,
        "%zu unknown column%s ignored, the first %s%s%s%s", in->out->ignored,
        in->out->ignored == 1 ? " is" : "s are",
        first->size == 0 ? "has no name" : "is ",
        first->size == 0 ? "" : quote_bytes(first->bytes, first->size).text,
        meant ? hint.text : lookalike_hint(first->bytes, first->size),
        meant ? " if that is meant" : "");
    return status == BL_OK ? BL_OK : message_memory(in->message);
}

bl_status header_read(header *out, const char *line, size_t size,
                      uint64_t number, char separator, const notes *given,
                      findings *said, bl_message *message) {
    *out = (header){0};
    reading in = {.out = out,
                  .line = line,
                  .size = size,
                  .number = number,
                  .given = given,
                  .said = said,
                  .message = message};
    for (unsigned i = 0; i < NAME_COUNT; i++) {
        in.place[i] = -1;
    }
    bool known;
    bl_status status = separate(&in, separator, &known);
    if (status != BL_OK || !known) {
        return status;
    }
    cells row = cells_of(line, size, out->separator);
    out->shape = shape_of(row);
    status = take_names(&in, &row);
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
