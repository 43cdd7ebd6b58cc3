/*
 * lookalike.h - characters that look like those of a number or a name and are
 * others.
 */
#ifndef PULLBACK_LOOKALIKE_H
#define PULLBACK_LOOKALIKE_H

#include <stddef.h>

/* Words to end a message about these bytes with: that they are no UTF-8, or
 * hold a typographic minus or a blank that is none, and what to do about it;
 * "" where it is something else. */
const char *lookalike_hint(const char *bytes, size_t size);

#endif
