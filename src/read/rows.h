/*
 * rows.h - the rows of a table with a header: a point each, or a contour each.
 */
#ifndef READ_ROWS_H
#define READ_ROWS_H

#include "read/cells.h"
#include "read/gather.h"
#include "read/header.h"

/* One row as read; a wide table's has no x and y here. */
typedef struct row_values {
    double frame;
    double x;
    double y;
    double time_s;
    double position_mm;
    bl_kind kind;
} row_values;

/* Takes one row of a long table. BL_ERR_INPUT with line, column, found and
 * expected; what gather_start and gather_point return. */
bl_status rows_take(const header *of, const char *line, size_t size,
                    uint64_t number, gather *to);

/* Reads the named columns of a row and makes a contour's heading of them, or
 * refuses them; *row stands behind them then. */
bl_status rows_read(const header *of, cells *row, uint64_t number,
                    row_values *out, bl_message *message);
read_contour rows_heading(const row_values *row, uint64_t number);

#endif
