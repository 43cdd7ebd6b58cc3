/*
 * table.h - a study of a table in text, read to its end or to its error.
 */
#ifndef SUPPORT_TABLE_H
#define SUPPORT_TABLE_H

#include "boreline.h"
#include "support/check.h"

/* Rows of a contour, frame 0: 6 mm2 in three points. */
#define TABLE_TRIANGLE "0,0,0\n0,4,0\n0,4,3\n"

/* The finished study of a text with these columns, contours kept; fails the
 * test when it cannot be read. The caller frees it. */
bl_study *table_study(const char *text, uint32_t columns);

/* Reads a text after setting the key to the value (NULL for none) and returns
 * what came of it; *message is the study's. */
bl_status table_read(const char *text, const char *key, const char *value,
                     bl_message *message);

/* Fails the test unless reading ends in this very status, place and text. */
void table_refused(const char *text, bl_status status, uint64_t line,
                   uint64_t column, const char *expected);

#endif
