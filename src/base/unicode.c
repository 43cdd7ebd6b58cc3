/*
 * unicode.c - characters as bytes of UTF-8.
 */
#include "base/unicode.h"

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

unsigned unicode_decode(const char *bytes, size_t size, uint32_t *code) {
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    static const unsigned char mask[] = {0, 0x7F, 0x1F, 0x0F, 0x07};
    unsigned length = size == 0 ? 0 : sequence_length((unsigned char)bytes[0]);
    if (length == 0 || length > size) {
        return 0;
    }
    uint32_t read = (unsigned char)bytes[0] & mask[length];
    for (unsigned i = 1; i < length; i++) {
        unsigned char byte = (unsigned char)bytes[i];
        if ((byte & 0xC0U) != 0x80U) {
            return 0;
        }
        read = (read << 6) | (byte & 0x3FU);
    }
    if (read < least[length] || read > 0x10FFFF ||
        (read >= 0xD800 && read <= 0xDFFF)) {
        return 0;
    }
    *code = read;
    return length;
}

unsigned unicode_encode(uint32_t code, char bytes[UNICODE_BYTES]) {
    if (code < 0x80) {
        bytes[0] = (char)code;
        return 1;
    }
    static const unsigned char first[] = {0, 0, 0xC0, 0xE0, 0xF0};
    unsigned length = code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    for (unsigned i = length - 1; i > 0; i--) {
        bytes[i] = (char)(0x80U | (code & 0x3FU));
        code >>= 6;
    }
    bytes[0] = (char)(first[length] | code);
    return length;
}

bool unicode_is_printable(const char *bytes, size_t size) {
    for (size_t at = 0; at < size;) {
        uint32_t code;
        unsigned length = unicode_decode(bytes + at, size - at, &code);
        if (length == 0 || code < ' ' || code == 0x7f) {
            return false;
        }
        at += length;
    }
    return true;
}
