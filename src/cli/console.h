/*
 * console.h - words for people: messages, warnings, text to standard output.
 */
#ifndef CLI_CONSOLE_H
#define CLI_CONSOLE_H

#include "boreline.h"

/* "boreline: FILE:LINE:COLUMN: text" on standard error. file may be NULL. */
void console_error(const char *file, const bl_message *message);
void console_warning(const char *file, const bl_message *message);

/* "boreline: FILE: words" of any length; kind: what comes before them. */
void console_note(const char *file, const char *kind, const char *words);

/* The same in pieces: console_begin, then what the sink takes (its context is
 * not used), then console_end. */
void console_begin(const char *file);
bl_status console_sink(void *context, const char *bytes, size_t size);
void console_end(void);

/* "boreline: words" that help. */
void console_hint(const char *words);

/* "boreline: words" about the command line; returns EXIT_USAGE. */
int console_usage(const char *words, ...) __attribute__((format(printf, 1, 2)));

/* Text to standard output, flushed and checked: exit status. */
int console_print(const char *words);

#endif
