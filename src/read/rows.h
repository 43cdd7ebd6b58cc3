/*
 * rows.h - the rows of a long table, a point each.
 */
#ifndef READ_ROWS_H
#define READ_ROWS_H

#include "read/gather.h"
#include "read/header.h"

/* Takes one row. BL_ERR_INPUT with line, column, found and expected;
 * what gather_start and gather_point return. */
bl_status rows_take(const header *of, const char *line, size_t size,
                    uint64_t number, gather *to);

#endif
