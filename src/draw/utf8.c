/*
 * utf8.c - characters out of bytes that may be anything.
 *
 * Decoding follows table 3-7 of the Unicode standard (well-formed sequences);
 * each byte that starts none of them is replaced by itself, so the decoder
 * always moves on and never reads past the final NUL.
 */
#include "draw/utf8.h"

/* The length of the sequence that a first byte announces; 0 for none. */
static unsigned sequence_length(unsigned char first) {
    if (first < 0x80) {
        return 1;
    }
    if (first >= 0xC2 && first <= 0xDF) {
        return 2;
    }
    if (first >= 0xE0 && first <= 0xEF) {
        return 3;
    }
    return first >= 0xF0 && first <= 0xF4 ? 4 : 0;
}

static uint32_t decode(const unsigned char *bytes, unsigned *length) {
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    static const unsigned char mask[] = {0, 0x7F, 0x1F, 0x0F, 0x07};
    unsigned need = sequence_length(bytes[0]);
    *length = 1;
    if (need == 0) {
        return UTF8_REPLACEMENT;
    }
    uint32_t code = bytes[0] & mask[need];
    for (unsigned i = 1; i < need; i++) {
        if ((bytes[i] & 0xC0U) != 0x80U) {
            return UTF8_REPLACEMENT;
        }
        code = (code << 6) | (bytes[i] & 0x3FU);
    }
    if (code < least[need] || code > 0x10FFFF ||
        (code >= 0xD800 && code <= 0xDFFF)) {
        return UTF8_REPLACEMENT;
    }
    *length = need;
    return code;
}

static bool is_drawable(uint32_t code) {
    bool control = code < 0x20 || (code >= 0x7F && code <= 0x9F);
    bool direction = (code >= 0x202A && code <= 0x202E) ||
                     (code >= 0x2066 && code <= 0x2069);
    bool nothing =
        (code & 0xFFFEU) == 0xFFFE || (code >= 0xFDD0 && code <= 0xFDEF);
    return !control && !direction && !nothing;
}

uint32_t utf8_next(const char **at) {
    unsigned length = 0;
    uint32_t code = decode((const unsigned char *)*at, &length);
    *at += length;
    if (code == '\t' || code == '\n' || code == '\r' || code == 0x2028 ||
        code == 0x2029) {
        return ' ';
    }
    return is_drawable(code) ? code : UTF8_REPLACEMENT;
}

void utf8_add(text *out, uint32_t code) {
    char bytes[4];
    size_t size = 0;
    if (code < 0x80) {
        bytes[size++] = (char)code;
    } else if (code < 0x800) {
        bytes[size++] = (char)(0xC0U | (code >> 6));
        bytes[size++] = (char)(0x80U | (code & 0x3FU));
    } else if (code < 0x10000) {
        bytes[size++] = (char)(0xE0U | (code >> 12));
        bytes[size++] = (char)(0x80U | ((code >> 6) & 0x3FU));
        bytes[size++] = (char)(0x80U | (code & 0x3FU));
    } else {
        bytes[size++] = (char)(0xF0U | (code >> 18));
        bytes[size++] = (char)(0x80U | ((code >> 12) & 0x3FU));
        bytes[size++] = (char)(0x80U | ((code >> 6) & 0x3FU));
        bytes[size++] = (char)(0x80U | (code & 0x3FU));
    }
    text_bytes(out, bytes, size);
}

void utf8_clean(text *out, const char *string) {
    const char *at = string;
    while (*at != '\0') {
        utf8_add(out, utf8_next(&at));
    }
}
