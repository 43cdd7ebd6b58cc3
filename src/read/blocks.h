/*
 * blocks.h - tables of blocks: 'frame N' and then a point a line.
 */
#ifndef READ_BLOCKS_H
#define READ_BLOCKS_H

#include "read/gather.h"

typedef struct blocks {
    char separator; /* of the points; 0 until the first is seen */
    bool open;      /* between 'frame N' and the block's end */
    bool lost;      /* its first line was a fault: its points are passed over */
} blocks;

/* Whether a line is the first of a block: the word frame, blanks, a digit. */
bool blocks_is_heading(const char *line, size_t size);

/* Takes a line of a table of blocks; a blank one ends a block. BL_ERR_INPUT
 * with line, column, found and expected; what gather returns. */
bl_status blocks_take(blocks *of, const char *line, size_t size,
                      uint64_t number, gather *to);

#endif
