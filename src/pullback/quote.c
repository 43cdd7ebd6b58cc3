/*
 * quote.c - a piece of somebody's file, fit to stand in a message.
 */
#include "pullback/quote.h"

#include "base/unicode.h"

#include <string.h>

/* Two quotes, three dots and the final NUL. */
#define ROOM (QUOTE_BYTES - 6)

quote quote_bytes(const char *bytes, size_t size) {
    quote out = {"nothing"};
    if (size == 0) {
        return out;
    }
    size_t kept = size;
    if (size > ROOM) {
        kept = ROOM;
        while (kept > 0 && ((unsigned char)bytes[kept] & 0xc0U) == 0x80U) {
            kept--;
        }
    }
    size_t at = 0;
    out.text[at++] = '\'';
    for (size_t i = 0; i < kept;) {
        uint32_t code;
        unsigned length = unicode_decode(bytes + i, kept - i, &code);
        if (length == 0 || code < ' ' || code == 0x7f) {
            out.text[at++] = '?';
            i++;
        } else {
            memcpy(out.text + at, bytes + i, length);
            at += length;
            i += length;
        }
    }
    if (kept < size) {
        memcpy(out.text + at, "...", 3);
        at += 3;
    }
    out.text[at++] = '\'';
    out.text[at] = '\0';
    return out;
}

uint64_t quote_column(const char *line, const char *at) {
    uint64_t column = 1;
    for (; line < at; line++) {
        column += ((unsigned char)*line & 0xc0U) != 0x80U;
    }
    return column;
}
