/*
 * lines.c - bytes in pieces of any size become lines.
 *
 * Lines that lie whole in a piece are handed over where they are; only one
 * that is cut by the piece's end is copied. The place of the next line feed
 * is kept, so that a file with CR line ends is not searched again for each.
 */
#include "read/lines.h"

#include "base/limits.h"

#include <string.h>

void lines_free(lines *of) {
    text_free(&of->part);
}

static bl_status hand_over(lines *of, const char *bytes, size_t size) {
    of->number++;
    if (size > LIMIT_LINE_BYTES) {
        return message_set(of->message, BL_ERR_LIMIT, of->number, 1,
                           "the line is longer than %d bytes, the limit of a "
                           "line; is this a table of contours?",
                           LIMIT_LINE_BYTES);
    }
    return of->take(of->context, bytes, size, of->number);
}

/* Offers what starts with a line to the one who takes many. */
static bl_status offer(lines *of, const char **bytes, const char *end) {
    if (of->take_bulk == NULL || of->part.size > 0) {
        return BL_OK;
    }
    size_t used = 0;
    bl_status status = of->take_bulk(
        of->context, *bytes, (size_t)(end - *bytes), &of->number, &used);
    *bytes += used;
    return status;
}

/* Adds to the line under way; hands it over when it is complete. */
static bl_status extend(lines *of, const char *bytes, size_t size,
                        bool complete) {
    if (of->part.size + size <= LIMIT_LINE_BYTES + 1) {
        text_bytes(&of->part, bytes, size);
    } else {
        complete = true; /* too long whatever follows: say so now */
        text_bytes(&of->part, bytes, LIMIT_LINE_BYTES + 1 - of->part.size);
    }
    if (of->part.failed) {
        return message_memory(of->message);
    }
    if (!complete) {
        return BL_OK;
    }
    /* The memory stays; taking a line never adds to the part. */
    size_t whole = of->part.size;
    of->part.size = 0;
    return hand_over(of, of->part.bytes, whole);
}

bl_status lines_feed(lines *of, const char *bytes, size_t size) {
    if (size == 0) {
        return BL_OK; /* bytes may be NULL, which nothing may be added to */
    }
    const char *end = bytes + size;
    const char *feed = NULL; /* the next line feed at or after bytes */
    bool fed = false;
    while (bytes < end) {
        if (of->after_cr) {
            of->after_cr = false;
            if (*bytes == '\n') {
                bytes++;
                continue;
            }
        }
        bl_status status = offer(of, &bytes, end);
        if (status != BL_OK || bytes == end) {
            return status;
        }
        if (!fed || (feed != NULL && feed < bytes)) {
            feed = memchr(bytes, '\n', (size_t)(end - bytes));
            fed = true;
        }
        const char *stop = feed != NULL ? feed : end;
        const char *back = memchr(bytes, '\r', (size_t)(stop - bytes));
        stop = back != NULL ? back : stop;
        size_t length = (size_t)(stop - bytes);
        status = stop == end || of->part.size > 0
                     ? extend(of, bytes, length, stop < end)
                     : hand_over(of, bytes, length);
        if (status != BL_OK) {
            return status;
        }
        of->after_cr = back != NULL;
        bytes = stop < end ? stop + 1 : end;
    }
    return BL_OK;
}

bl_status lines_finish(lines *of) {
    if (of->part.size == 0) {
        return BL_OK;
    }
    of->open = of->number + 1;
    return extend(of, "", 0, true);
}
