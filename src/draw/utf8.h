/*
 * utf8.h - characters out of bytes that may be anything.
 */
#ifndef DRAW_UTF8_H
#define DRAW_UTF8_H

#include "base/text.h"

#include <stdint.h>

#define UTF8_REPLACEMENT 0xFFFDU

/* The next character of a NUL-terminated string, which must not be at its
 * end; moves *at past it. What cannot be drawn or written into XML comes as
 * something that can: a tab or line end as a blank; bytes that are not UTF-8,
 * control characters, direction overrides and non-characters as U+FFFD. */
uint32_t utf8_next(const char **at);

/* Appends one character. */
void utf8_add(text *out, uint32_t code);

/* Appends the string as utf8_next sees it. */
void utf8_clean(text *out, const char *string);

#endif
