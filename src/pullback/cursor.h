/*
 * cursor.h - reading the value of a note piece by piece. Every function skips
 * blanks first, and moves only when it returns true.
 */
#ifndef PULLBACK_CURSOR_H
#define PULLBACK_CURSOR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct cursor {
    const char *at;
    const char *end;
} cursor;

/* A finite number with a decimal point. */
bool cursor_number(cursor *of, double *value);
/* A whole number from 0 to LIMIT_FRAME. */
bool cursor_frame(cursor *of, int64_t *frame);
/* These very characters. */
bool cursor_literal(cursor *of, const char *text);
/* This lower-case word in any case, nothing of a word following. */
bool cursor_word(cursor *of, const char *word);
/* Nothing but blanks is left. */
bool cursor_done(cursor *of);

/* Blanks taken off both ends. */
cursor cursor_trimmed(const char *bytes, size_t size);
/* The same letters as the lower-case word, in any case. */
bool cursor_same(const char *bytes, size_t size, const char *word);

#endif
