/*
 * foreign.h - files that are no tables, known by how they begin.
 */
#ifndef READ_FOREIGN_H
#define READ_FOREIGN_H

#include "base/message.h"

#include <stddef.h>

/* BL_OK for a first line, or the first bytes, of what may be a table; else
 * BL_ERR_INPUT with what it is and what to do about it. */
bl_status foreign_check(const char *line, size_t size, bl_message *message);

/* BL_ERR_INPUT for a line with a NUL byte, which no text has. */
bl_status foreign_check_nul(const char *line, size_t size, uint64_t number,
                            bl_message *message);

#endif
