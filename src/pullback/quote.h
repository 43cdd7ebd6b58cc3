/*
 * quote.h - a piece of somebody's file, fit to stand in a message.
 */
#ifndef PULLBACK_QUOTE_H
#define PULLBACK_QUOTE_H

#include <stddef.h>
#include <stdint.h>

#define QUOTE_BYTES 60

/* By value, so that it can be made where it is printed. */
typedef struct quote {
    char text[QUOTE_BYTES];
} quote;

/* 'bytes' in single quotes, control characters and what is not UTF-8 as '?',
 * so that every output stays text, cut with "..." where
 * it is long (never inside a UTF-8 character); the word "nothing" for
 * size 0. */
quote quote_bytes(const char *bytes, size_t size);

/* The column of `at` in its line, in characters of UTF-8, from 1. */
uint64_t quote_column(const char *line, const char *at);

#endif
