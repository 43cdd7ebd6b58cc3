/*
 * encoding.c - bytes as they come become UTF-8.
 *
 * UTF-8 goes through as it is; what is no UTF-8 in it is found where it would
 * be shown (labels) or stands quoted in a message. UTF-16 (RFC 2781) is
 * converted piece by piece; a character may be cut by the end of a piece.
 */
#include "read/encoding.h"

#include "base/unicode.h"

#include <string.h>

#define FIRST_BYTES 3
/* Units of UTF-16 converted before they are passed on. */
#define UNITS_AT_ONCE ((size_t)8192)

void encoding_free(encoding *of) {
    text_free(&of->converted);
}

static bool begins_with(const encoding *of, const char *bytes, size_t size) {
    return of->held_size >= size && memcmp(of->held, bytes, size) == 0;
}

/* ------------------------------------------------------------------ UTF-16 */

static void add_code(text *to, uint32_t code) {
    char bytes[UNICODE_BYTES];
    text_bytes(to, bytes, unicode_encode(code, bytes));
}

static uint32_t unit_at(const encoding *of, const unsigned char *bytes) {
    return of->form == FORM_UTF16_BIG ? (uint32_t)bytes[0] << 8 | bytes[1]
                                      : (uint32_t)bytes[1] << 8 | bytes[0];
}

static bl_status refuse_half(const encoding *of) {
    return message_set(of->to->message, BL_ERR_INPUT, of->to->number + 1, 1,
                       "half a character of UTF-16; the table is damaged, "
                       "export it again, as UTF-8 if you can");
}

static bl_status pass_on(encoding *of) {
    if (of->converted.failed) {
        return message_memory(of->to->message);
    }
    size_t size = of->converted.size;
    of->converted.size = 0;
    return lines_feed(of->to, of->converted.bytes, size);
}

/* The character at bytes: how many of these it takes, 0 when more are needed;
 * *code is past Unicode when it is none. */
static size_t take_character(const encoding *of, const unsigned char *bytes,
                             size_t size, uint32_t *code) {
    static const uint32_t none = 0x110000;
    if (size < 2) {
        return 0;
    }
    uint32_t unit = unit_at(of, bytes);
    *code = unit;
    if (unit < 0xd800 || unit > 0xdfff) {
        return 2;
    }
    *code = none;
    if (unit > 0xdbff) {
        return 2;
    }
    if (size < 4) {
        return 0;
    }
    uint32_t second = unit_at(of, bytes + 2);
    if (second >= 0xdc00 && second <= 0xdfff) {
        *code = 0x10000 + ((unit - 0xd800) << 10) + (second - 0xdc00);
    }
    return 4;
}

/* Converts what is whole; *used of the bytes. */
static bl_status convert(encoding *of, const unsigned char *bytes, size_t size,
                         size_t *used) {
    bl_status status = BL_OK;
    size_t at = 0;
    for (size_t units = 1; status == BL_OK; units++) {
        uint32_t code = 0;
        size_t taken = take_character(of, bytes + at, size - at, &code);
        if (taken == 0) {
            break;
        }
        if (code > 0x10ffff) {
            /* What stands before it is read first: it may hold a fault. */
            status = pass_on(of);
            return status == BL_OK ? refuse_half(of) : status;
        }
        add_code(&of->converted, code);
        at += taken;
        if (units % UNITS_AT_ONCE == 0) {
            status = pass_on(of);
        }
    }
    *used = at;
    return status == BL_OK ? pass_on(of) : status;
}

static bl_status feed_utf16(encoding *of, const char *bytes, size_t size) {
    size_t used = 0;
    while (of->held_size > 0 && size > 0) {
        of->held[of->held_size++] = (unsigned char)*bytes++;
        size--;
        bl_status status = convert(of, of->held, of->held_size, &used);
        if (status != BL_OK) {
            return status;
        }
        of->held_size = used > 0 ? 0 : of->held_size;
    }
    bl_status status = convert(of, (const unsigned char *)bytes, size, &used);
    if (status == BL_OK && used < size) {
        of->held_size = size - used;
        memcpy(of->held, bytes + used, of->held_size);
    }
    return status;
}

/* ---------------------------------------------------------------- the start */

/* Decides by the first bytes and passes on what is no mark. */
static bl_status begin(encoding *of) {
    size_t size = of->held_size;
    of->form = FORM_UTF8;
    if (begins_with(of, "\x1f\x8b", 2)) {
        return message_set(of->to->message, BL_ERR_INPUT, 0, 0,
                           "the bytes are compressed with gzip; decompress "
                           "them first");
    }
    if (begins_with(of, "\xff\xfe", 2) || begins_with(of, "\xfe\xff", 2)) {
        of->form = of->held[0] == 0xff ? FORM_UTF16_LITTLE : FORM_UTF16_BIG;
        unsigned char third = of->held[2];
        of->held_size = 0;
        return size > 2 ? feed_utf16(of, (const char *)&third, 1) : BL_OK;
    }
    bool marked = begins_with(of, "\xef\xbb\xbf", 3);
    of->held_size = 0;
    return marked ? BL_OK : lines_feed(of->to, (const char *)of->held, size);
}

bl_status encoding_feed(encoding *of, const char *bytes, size_t size) {
    while (of->form == FORM_UNKNOWN && size > 0) {
        of->held[of->held_size++] = (unsigned char)*bytes++;
        size--;
        if (of->held_size == FIRST_BYTES) {
            bl_status status = begin(of);
            if (status != BL_OK) {
                return status;
            }
        }
    }
    if (size == 0) {
        return BL_OK;
    }
    return of->form == FORM_UTF8 ? lines_feed(of->to, bytes, size)
                                 : feed_utf16(of, bytes, size);
}

bl_status encoding_finish(encoding *of) {
    bl_status status = BL_OK;
    if (of->form == FORM_UNKNOWN && of->held_size > 0) {
        status = begin(of);
    }
    bool utf16 = of->form == FORM_UTF16_LITTLE || of->form == FORM_UTF16_BIG;
    if (status == BL_OK && utf16 && of->held_size > 0) {
        status = refuse_half(of);
    }
    return status == BL_OK ? lines_finish(of->to) : status;
}
