/*
 * wide.h - the rows of a wide table, a contour each.
 */
#ifndef READ_WIDE_H
#define READ_WIDE_H

#include "read/gather.h"
#include "read/header.h"

/* Zero-initialised is ready. */
typedef struct wide {
    uint64_t polar;  /* rows of radii that differ among themselves */
    uint64_t closed; /* those whose last radius is their first again */
} wide;

/* Takes one row: x1,y1,x2,y2,... of any even number up to what the header
 * names, or as many radii as it names, at equal angles from 0 degrees on.
 * BL_ERR_INPUT with line, column, found and expected; what gather_start and
 * gather_point return. */
bl_status wide_take(wide *state, const header *of, const char *line,
                    size_t size, uint64_t number, gather *to);

/* At the end: warns of radii that seem to repeat 0 degrees. BL_ERR_MEMORY. */
bl_status wide_finish(const wide *state, uint64_t line, findings *said,
                      bl_message *message);

#endif
