/*
 * utf8.c - characters out of bytes that may be anything.
 *
 * Each byte that starts no character is replaced by itself, so the reading
 * always moves on; the final NUL goes on with none, so it never passes that.
 */
#include "draw/utf8.h"

#include "base/unicode.h"

static bool is_drawable(uint32_t code) {
    bool control = code < 0x20 || (code >= 0x7F && code <= 0x9F);
    bool direction = (code >= 0x202A && code <= 0x202E) ||
                     (code >= 0x2066 && code <= 0x2069);
    bool nothing =
        (code & 0xFFFEU) == 0xFFFE || (code >= 0xFDD0 && code <= 0xFDEF);
    return !control && !direction && !nothing;
}

uint32_t utf8_next(const char **at) {
    uint32_t code = UTF8_REPLACEMENT;
    unsigned length = unicode_decode(*at, UNICODE_BYTES, &code);
    *at += length > 0 ? length : 1;
    if (code == '\t' || code == '\n' || code == '\r' || code == 0x2028 ||
        code == 0x2029) {
        return ' ';
    }
    return is_drawable(code) ? code : UTF8_REPLACEMENT;
}

void utf8_add(text *out, uint32_t code) {
    char bytes[UNICODE_BYTES];
    text_bytes(out, bytes, unicode_encode(code, bytes));
}

void utf8_clean(text *out, const char *string) {
    const char *at = string;
    while (*at != '\0') {
        utf8_add(out, utf8_next(&at));
    }
}
