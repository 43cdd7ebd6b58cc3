/*
 * reach.h - from where to where a pullback reaches.
 */
#ifndef PROFILE_REACH_H
#define PROFILE_REACH_H

#include "boreline.h"

/* Rows first .. end - 1 of those in position order. */
typedef struct reach {
    size_t first;
    size_t end;
} reach;

/* The rows that a pullback reaches over: all but contours of fewer than 3
 * points at an end that lie over GAP_MM from every other row, such as a total
 * under a table, which would read as its length. All rows where none has more
 * points. rows: `count` >= 1 in position order. */
reach reach_of(const bl_row *rows, size_t count);

#endif
