/*
 * cells.h - one line as cells between separators.
 */
#ifndef READ_CELLS_H
#define READ_CELLS_H

#include "base/message.h"
#include "boreline.h"

/* A place in a line. separator is ',', ';', '\t', '|' or ' ' (any run of
 * blanks). */
typedef struct cells {
    const char *line;
    const char *at;
    const char *end;
    char separator;
    const char *open; /* a quote that was not closed; NULL: none so far */
    bool done;        /* the last cell was given */
    bool comma;       /* a number so far had a decimal comma, */
    bool point; /* and one a decimal point: asked only where commas may be */
} cells;

typedef struct cell_text {
    const char *bytes; /* without quotes and the blanks around them; a quote
                          within quotes is two, as written */
    size_t size;
    const char *start; /* where it stands in the line, for messages */
} cell_text;

/* What separates a header row: the only one of tab, semicolon and comma in it,
 * 0 where none is. False where two are. */
bool cells_find_separator(const char *line, size_t size, char *separator);

cells cells_of(const char *line, size_t size, char separator);

/* The next cell; false at the end of the line. A quoted cell keeps separators
 * inside its quotes. */
bool cells_next(cells *of, cell_text *out);

/* The whole cell as a finite number; a decimal comma where the separator is
 * not a comma. */
bool cells_number(cells *of, const cell_text *cell, double *value);

/* What to add to "expected a number" for this cell: that a character of it only
 * looks like one of a number, that a unit follows it, or that it is one if the
 * comma in it, which separates here, is a decimal one; else "". */
const char *cells_hint(const cells *of, const cell_text *cell);

/* The fast way for the common cell: reads a plain number at the start of the
 * next cell and steps behind its separator. False, without moving, when
 * anything is unusual; cells_next then decides. */
bool cells_take_number(cells *of, double *value);

/* Copies the cell, two quotes within quotes as one, to room for all of it;
 * returns the bytes. */
size_t cells_unquoted(const cell_text *cell, char *to);

/* BL_ERR_INPUT when a quote of the cells so far was not closed: what stands
 * behind it may have been cells. */
bl_status cells_check_quotes(const cells *of, uint64_t number,
                             bl_message *message);

/* Only blanks and separators are left. */
bool cells_done(const cells *of);

#endif
