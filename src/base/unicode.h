/*
 * unicode.h - characters as bytes of UTF-8 (RFC 3629; the Unicode standard,
 * table 3-7, well-formed sequences).
 */
#ifndef BASE_UNICODE_H
#define BASE_UNICODE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define UNICODE_BYTES 4

/* The character that the bytes begin with, and of how many bytes it is; 0 when
 * they begin none. Looks at no byte behind one that goes on with none. */
unsigned unicode_decode(const char *bytes, size_t size, uint32_t *code);

/* Writes a character up to 0x10FFFF; returns its bytes. */
unsigned unicode_encode(uint32_t code, char bytes[UNICODE_BYTES]);

/* Whether all of it is UTF-8 without control characters: what goes into outputs
 * must be, or these would be broken by it. */
bool unicode_is_printable(const char *bytes, size_t size);

#endif
