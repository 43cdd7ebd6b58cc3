/*
 * blank.h - blanks in lines: spaces and tabs.
 */
#ifndef BASE_BLANK_H
#define BASE_BLANK_H

#include <stdbool.h>
#include <stddef.h>

static inline bool blank_is(char c) {
    return c == ' ' || c == '\t';
}

/* A line of nothing else, or of nothing. */
static inline bool blank_line(const char *line, size_t size) {
    size_t i = 0;
    while (i < size && blank_is(line[i])) {
        i++;
    }
    return i == size;
}

#endif
