/*
 * lines.h - bytes in pieces of any size become lines.
 */
#ifndef READ_LINES_H
#define READ_LINES_H

#include "base/message.h"
#include "base/text.h"
#include "boreline.h"

/* Takes one line, without its end; it is gone after the call. */
typedef bl_status (*line_taker)(void *context, const char *bytes, size_t size,
                                uint64_t number);

/* May take lines, with their ends, from the start of bytes before they are
 * split: *used is their bytes, perhaps none; *number, the line before the
 * first, becomes that of the last. */
typedef bl_status (*bulk_taker)(void *context, const char *bytes, size_t size,
                                uint64_t *number, size_t *used);

/* Zero-initialised, with take, context and message set, is ready. */
typedef struct lines {
    line_taker take;
    bulk_taker take_bulk; /* or NULL */
    void *context;
    bl_message *message;
    uint64_t number; /* of the line last handed over */
    text part;       /* the start of a line whose end has not come */
    bool after_cr;   /* a line feed now belongs to the line before */
    uint64_t open;   /* the last line, when it has no end; else 0 */
} lines;

/* Lines end with LF, CRLF or CR; one longer than LIMIT_LINE_BYTES is
 * BL_ERR_LIMIT. */
bl_status lines_feed(lines *of, const char *bytes, size_t size);

/* Hands over a last line that has no end. */
bl_status lines_finish(lines *of);

void lines_free(lines *of);

#endif
