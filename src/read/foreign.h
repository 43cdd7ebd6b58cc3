/*
 * foreign.h - files that are no tables, known by how they begin.
 */
#ifndef READ_FOREIGN_H
#define READ_FOREIGN_H

#include <stddef.h>

/* What a file with this first line is, in words ("a PDF document"); NULL where
 * it may be a table. */
const char *foreign_named(const char *line, size_t size);

#endif
