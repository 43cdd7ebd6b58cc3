/*
 * encoding.h - bytes as they come become UTF-8.
 */
#ifndef READ_ENCODING_H
#define READ_ENCODING_H

#include "base/message.h"
#include "base/text.h"
#include "read/lines.h"

typedef enum encoding_form {
    FORM_UNKNOWN, /* the first bytes have not all come */
    FORM_UTF8,
    FORM_UTF16_LITTLE,
    FORM_UTF16_BIG
} encoding_form;

/* Zero-initialised, with lines set, is ready. */
typedef struct encoding {
    lines *to;
    encoding_form form;
    unsigned char held[4]; /* first bytes, or the start of a character */
    size_t held_size;
    text converted;
} encoding;

/* Passes bytes on as UTF-8: a UTF-8 byte-order mark is dropped, UTF-16 is
 * known by its mark. BL_ERR_INPUT for half a surrogate pair and for
 * compressed bytes; what lines_feed returns; BL_ERR_MEMORY. */
bl_status encoding_feed(encoding *of, const char *bytes, size_t size);

/* The end of the input. */
bl_status encoding_finish(encoding *of);

void encoding_free(encoding *of);

#endif
