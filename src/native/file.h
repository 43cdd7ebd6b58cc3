/*
 * file.h - opening and reading files, with words for what is refused.
 */
#ifndef NATIVE_FILE_H
#define NATIVE_FILE_H

#include "boreline.h"

/* "cannot open: ..." with the words of errno. BL_ERR_FILE. */
bl_status file_refused(bl_message *message, const char *what);

/* For reading; "-" is standard input. BL_ERR_FILE. */
bl_status file_open(const char *path, int *file, bl_message *message);

/* Reads as far as bytes come, also from a pipe, which gives few at a time:
 * *size is less than `most` at the end only. BL_ERR_FILE. */
bl_status file_fill(int file, char *bytes, size_t most, size_t *size,
                    bl_message *message);

/* Closes it, unless it is standard input. */
void file_close(int file);

#endif
