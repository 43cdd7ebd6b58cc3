/*
 * header.h - what the header row of a table says.
 */
#ifndef READ_HEADER_H
#define READ_HEADER_H

#include "base/limits.h"
#include "pullback/notes.h"
#include "read/gather.h"

typedef enum column_role {
    ROLE_IGNORED,
    ROLE_FRAME,
    ROLE_X, /* x, or the angle of polar points */
    ROLE_Y, /* y, or the radius of polar points */
    ROLE_KIND,
    ROLE_TIME,
    ROLE_POSITION
} column_role;

typedef struct header {
    bl_shape shape; /* not blocks, which have no header */
    char separator;
    column_role roles[LIMIT_COLUMNS]; /* in a wide table, before coordinates */
    size_t count;
    size_t ignored;
    size_t coordinates; /* named in a wide table: x1 and y1 are two */
    gather_units units;
} header;

/* Reads a header row: wide when it names x1 or r0 (or x0, r1) and no pair of
 * a long table. separator: as told by 'sep=', or 0 to find it. Unknown
 * columns are ignored with one warning. BL_ERR_INPUT with what was found and
 * expected, or where faults are findings all that is wrong with the row, which
 * then names no columns; BL_ERR_LIMIT; BL_ERR_MEMORY. */
bl_status header_read(header *out, const char *line, size_t size,
                      uint64_t number, char separator, const notes *given,
                      findings *said, bl_message *message);

#endif
