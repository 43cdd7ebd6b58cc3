/*
 * small_table.h - a short table that a user wrote: a header row of known names,
 * then rows, each of which changes what follows from it. What is not understood
 * is refused, and nothing is passed over but comments and empty rows.
 */
#ifndef READ_SMALL_TABLE_H
#define READ_SMALL_TABLE_H

#include "base/arena.h"
#include "base/message.h"
#include "read/cells.h"

#define SMALL_TABLE_COLUMNS 8

typedef struct small_table small_table;

/* What sort of table it is. Columns are numbered as their names stand. */
typedef struct small_table_kind {
    const char *what; /* "a stock list" */
    const char *const *names;
    size_t name_count;  /* at most SMALL_TABLE_COLUMNS */
    const char *header; /* all of them as a header row, for messages */
    uint32_t needed;    /* a bit a column that must be there */
    uint32_t may_end;   /* those that a row may leave out where they are last */
    bl_status (*take_cell)(small_table *in, size_t column, cells *row,
                           const cell_text *cell);
    bl_status (*end_row)(small_table *in); /* all its cells were taken */
} small_table_kind;

/* A table under way. */
struct small_table {
    const small_table_kind *kind;
    void *to; /* of who takes cells and rows */
    bl_message *message;
    char separator; /* 0 before the header row */
    size_t columns[SMALL_TABLE_COLUMNS];
    size_t column_count;
    bool comma; /* a number with a decimal comma has been, */
    bool point; /* and one with a point where commas may be */
    const char *line;
    uint64_t number;
};

/* Reads the whole table; kind, to and message are set, the rest is zero.
 * BL_ERR_INPUT, BL_ERR_MEMORY and what the takers return; BL_ERR_LIMIT for more
 * than LIMIT_SMALL_BYTES. */
bl_status small_table_read(small_table *in, const char *bytes, size_t size);

bool small_table_has(const small_table *in, size_t column);

/* Refuses what stands at the start of a cell, or at the start of the line where
 * cell is NULL. */
bl_status small_table_refuse(const small_table *in, const cell_text *cell,
                             const char *format, ...) MESSAGE_FORMAT(3, 4);

/* The name that the cell is, in any case and with any blanks; else refused as
 * no `what`, with the one that was meant or with `all` of them. */
bl_status small_table_name(const small_table *in, const cell_text *cell,
                           const char *const *names, size_t count,
                           const char *what, const char *all, size_t *found);

/* The cell as a number; else "found x where `wanted` is expected". */
bl_status small_table_number(small_table *in, cells *row, const cell_text *cell,
                             const char *wanted, double *value);

/* A copy of the cell's words, which may be none; refused as `what` ("source")
 * where they are longer than limit or no text. */
bl_status small_table_text(const small_table *in, const cell_text *cell,
                           const char *what, size_t limit, arena *owner,
                           const char **out);

#endif
