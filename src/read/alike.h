/*
 * alike.h - rows of a long table that are written like the one before them.
 */
#ifndef READ_ALIKE_H
#define READ_ALIKE_H

#include "read/gather.h"
#include "read/plain.h"

/* A row and where its coordinates stand, by offset from its start. */
typedef struct model {
    const char *row;
    size_t size; /* with its end */
    size_t x_start;
    size_t y_start;
    spelling x;
    spelling y;
} model;

/* Takes the rows from `row` to `end` that are the model but for their
 * coordinates, while there is room in the contour; returns the first row that
 * is not, which may be alike all the same; where the model has no decimal
 * point, one that has is not alike. pairs: two at a time, where
 * stencil_can_pair. For little-endian machines. */
const char *alike_take(const model *of, bool pairs, const char *row,
                       const char *end, gather *to);

#endif
