/*
 * advance.h - how wide text is.
 */
#ifndef DRAW_ADVANCE_H
#define DRAW_ADVANCE_H

#include <stdbool.h>

/* The width in mm of a line of UTF-8 at a font size in mm. Bytes that are not
 * UTF-8 count as the character that utf8_next puts in their place. */
double advance_of(const char *string, double size_mm, bool bold);

#endif
