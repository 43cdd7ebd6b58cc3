/*
 * gunzip.c - a gzip stream, unpacked as its bytes come.
 *
 * zlib checks each member's checksum and length. What a member ends in must be
 * another member or zeros (tapes and some copiers pad with these).
 */
#include "native/gunzip.h"

#include "base/message.h"

/* zlib then takes input that it does not change as const. */
#define ZLIB_CONST
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#define PIECE_BYTES 131072
/* Window of 2^15 bytes, and a gzip header is expected. */
#define GZIP_WINDOW (15 + 16)

struct gunzip {
    z_stream stream;
    bool begun;   /* a member is under way */
    bool padding; /* zeros were met behind a member */
    uint64_t in;  /* bytes of the stream taken */
    uint64_t out;
    uint64_t limit;
    bl_sink sink;
    void *context;
    char piece[PIECE_BYTES];
};

bool gunzip_is_packed(const char *bytes, size_t size) {
    return size >= 2 && memcmp(bytes, "\x1f\x8b", 2) == 0;
}

gunzip *gunzip_new(uint64_t limit, bl_sink sink, void *context) {
    gunzip *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return NULL;
    }
    if (inflateInit2(&made->stream, GZIP_WINDOW) != Z_OK) {
        free(made);
        return NULL;
    }
    made->begun = true;
    made->limit = limit;
    made->sink = sink;
    made->context = context;
    return made;
}

void gunzip_free(gunzip *of) {
    if (of != NULL) {
        (void)inflateEnd(&of->stream);
        free(of);
    }
}

static bl_status refuse_damage(const gunzip *of, bl_message *message) {
    return message_set(message, BL_ERR_INPUT, 0, 0,
                       "the gzip stream is damaged near its byte %llu; get the "
                       "file again",
                       (unsigned long long)(of->in - of->stream.avail_in));
}

/* Behind a member: another one, or zeros. */
static bl_status begin_member(gunzip *of, bl_message *message) {
    while (of->stream.avail_in > 0 && *of->stream.next_in == 0) {
        of->padding = true;
        of->stream.next_in++;
        of->stream.avail_in--;
    }
    if (of->stream.avail_in == 0) {
        return BL_OK;
    }
    if (of->padding || *of->stream.next_in != 0x1f) {
        return message_set(message, BL_ERR_INPUT, 0, 0,
                           "bytes that are not gzip follow the gzip stream, "
                           "from its byte %llu on; get the file again",
                           (unsigned long long)(of->in - of->stream.avail_in));
    }
    of->begun = true;
    return inflateReset(&of->stream) == Z_OK ? BL_OK
                                             : refuse_damage(of, message);
}

static bl_status pass_on(gunzip *of, bl_message *message) {
    size_t size = PIECE_BYTES - of->stream.avail_out;
    of->out += size;
    if (of->out > of->limit) {
        return message_set(message, BL_ERR_LIMIT, 0, 0,
                           "the table is larger than %llu bytes when unpacked, "
                           "the limit; if it is meant to be, raise "
                           "--max-unpacked",
                           (unsigned long long)of->limit);
    }
    return size == 0 ? BL_OK : of->sink(of->context, of->piece, size);
}

/* One call of zlib's and what came of it. */
static bl_status step(gunzip *of, bl_message *message) {
    if (!of->begun) {
        return begin_member(of, message);
    }
    of->stream.next_out = (Bytef *)of->piece;
    of->stream.avail_out = PIECE_BYTES;
    int result = inflate(&of->stream, Z_NO_FLUSH);
    if (result == Z_MEM_ERROR) {
        return message_memory(message);
    }
    /* What was unpacked before a fault is read first: it may hold another. */
    bl_status status = pass_on(of, message);
    if (status != BL_OK) {
        return status;
    }
    if (result != Z_OK && result != Z_STREAM_END && result != Z_BUF_ERROR) {
        return refuse_damage(of, message);
    }
    of->begun = result != Z_STREAM_END;
    return BL_OK;
}

bl_status gunzip_feed(gunzip *of, const char *bytes, size_t size,
                      bl_message *message) {
    of->stream.next_in = (const Bytef *)bytes;
    of->stream.avail_in = (uInt)size;
    of->stream.avail_out = PIECE_BYTES;
    of->in += size;
    bl_status status = BL_OK;
    /* A full piece may mean that more can be unpacked without more bytes. */
    while (status == BL_OK && (of->stream.avail_in > 0 ||
                               (of->begun && of->stream.avail_out == 0))) {
        status = step(of, message);
    }
    return status;
}

bl_status gunzip_finish(const gunzip *of, bl_message *message) {
    if (!of->begun) {
        return BL_OK;
    }
    return message_set(message, BL_ERR_INPUT, 0, 0,
                       "the gzip stream ends early, after %llu bytes: the file "
                       "is cut short; get it again",
                       (unsigned long long)of->in);
}
