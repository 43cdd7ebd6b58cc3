/*
 * header.h - what the header row of a long table says.
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
    char separator;
    column_role roles[LIMIT_COLUMNS];
    size_t count;
    size_t ignored;
    gather_units units;
} header;

/* Reads a header row. separator: as told by 'sep=', or 0 to find it. Unknown
 * columns are ignored with one warning. BL_ERR_INPUT with what was found and
 * expected; BL_ERR_LIMIT; BL_ERR_MEMORY. */
bl_status header_read(header *out, const char *line, size_t size,
                      uint64_t number, char separator, const notes *given,
                      warnings *said, bl_message *message);

#endif
