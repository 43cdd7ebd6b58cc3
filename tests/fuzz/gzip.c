/*
 * gzip.c - a gzip stream unpacked in pieces against the same stream in one
 * piece.
 *
 * The first byte chooses between a stream as it is and one that is packed here
 * from the rest, in members, perhaps with zeros behind and one byte changed:
 * checksums are not guessed. The second says how it is cut, the third how much
 * may be unpacked.
 */
#include "fuzz/fuzz.h"

#include "base/message.h"
#include "native/gunzip.h"

#include <zlib.h>

/* Room for the headers, trailers and blocks of up to five members. */
#define ROOM(size) (2 * (size) + 512)

typedef struct unpacked {
    uint8_t *bytes;
    size_t size;
    size_t capacity;
    bl_status status;
    bl_message message;
} unpacked;

static bl_status keep(void *context, const char *bytes, size_t size) {
    unpacked *to = context;
    must(size >= 1);
    if (to->size + size > to->capacity) {
        to->capacity = 2 * (to->size + size);
        to->bytes = realloc(to->bytes, to->capacity);
        must(to->bytes != NULL);
    }
    memcpy(to->bytes + to->size, bytes, size);
    to->size += size;
    return BL_OK;
}

static unpacked unpack(const uint8_t *bytes, size_t size, uint64_t limit,
                       uint64_t pieces) {
    unpacked out = {.status = BL_OK};
    gunzip *stream = gunzip_new(limit, keep, &out);
    must(stream != NULL);
    while (out.status == BL_OK && size > 0) {
        size_t piece = next_piece(&pieces, size);
        /* A copy of its own, so that reading past its end is found. */
        char *copy = malloc(piece);
        must(copy != NULL);
        memcpy(copy, bytes, piece);
        out.status = gunzip_feed(stream, copy, piece, &out.message);
        free(copy);
        bytes += piece;
        size -= piece;
    }
    if (out.status == BL_OK) {
        out.status = gunzip_finish(stream, &out.message);
    }
    gunzip_free(stream);
    must(out.size <= limit);
    return out;
}

/* One member; how many bytes it has. */
static size_t pack(const uint8_t *bytes, size_t size, uint8_t *out,
                   size_t room) {
    z_stream stream = {.avail_in = (uInt)size, .avail_out = (uInt)room};
    /* The smallest window and tables: they are made anew for every member. */
    must(deflateInit2(&stream, Z_BEST_SPEED, Z_DEFLATED, 9 + 16, 1,
                      Z_DEFAULT_STRATEGY) == Z_OK);
    stream.next_in = (Bytef *)(uintptr_t)bytes;
    stream.next_out = out;
    must(deflate(&stream, Z_FINISH) == Z_STREAM_END);
    size_t packed = room - stream.avail_out;
    (void)deflateEnd(&stream);
    return packed;
}

static size_t pack_members(bites in, uint8_t members, uint8_t zeros,
                           uint8_t *out, size_t room) {
    size_t held = 0;
    size_t each = in.left / (1U + members % 4) + 1;
    do {
        size_t size = in.left < each ? in.left : each;
        held += pack(in.at, size, out + held, room - held);
        in.at += size;
        in.left -= size;
    } while (in.left > 0);
    memset(out + held, 0, zeros);
    return held + zeros;
}

static void must_be_same(const unpacked *a, const unpacked *b) {
    must(a->status == b->status);
    if (a->status == BL_ERR_LIMIT) {
        /* How much comes before it depends on the pieces. */
        size_t size = a->size < b->size ? a->size : b->size;
        must(size == 0 || memcmp(a->bytes, b->bytes, size) == 0);
    } else {
        must(a->size == b->size);
        must(a->size == 0 || memcmp(a->bytes, b->bytes, a->size) == 0);
    }
    must(a->status == BL_OK || strcmp(a->message.text, b->message.text) == 0);
}

/* In pieces as in one; true when it could be unpacked, and is `expected` where
 * that is not NULL. */
static bool try_stream(const uint8_t *bytes, size_t size, uint64_t limit,
                       uint64_t pieces, const bites *expected) {
    unpacked whole = unpack(bytes, size, limit, 0);
    unpacked parts = unpack(bytes, size, limit, pieces);
    must_be_same(&whole, &parts);
    bool fine = whole.status == BL_OK;
    if (fine && expected != NULL) {
        must(whole.size == expected->left);
        must(whole.size == 0 ||
             memcmp(whole.bytes, expected->at, whole.size) == 0);
    }
    free(whole.bytes);
    free(parts.bytes);
    return fine;
}

/* What is unpacked from few bytes comes in several pieces. */
static uint8_t *repeat(bites in, size_t repeats) {
    uint8_t *out = malloc(in.left * repeats + 1);
    must(out != NULL);
    for (size_t i = 0; i < repeats && in.left > 0; i++) {
        memcpy(out + i * in.left, in.at, in.left);
    }
    return out;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    bites in = {bytes, size};
    uint8_t choice = bite(&in);
    uint64_t pieces = bite(&in);
    uint64_t limit = UINT64_C(1) << bite(&in) % 20;
    if (choice < 128) {
        (void)try_stream(in.at, in.left, limit, pieces, NULL);
        return 0;
    }
    uint8_t zeros = bite(&in) % 16;
    uint8_t change = bite(&in);
    size_t place = bite(&in) * 256U;
    place += bite(&in);
    size_t repeats = (choice & 0x70) == 0x70 ? 128 : 1;
    bites table = {repeat(in, repeats), in.left * repeats};
    size_t room = ROOM(table.left);
    uint8_t *stream = malloc(room);
    must(stream != NULL);
    size_t packed = pack_members(table, choice, zeros, stream, room);
    if (table.left <= limit) {
        must(try_stream(stream, packed, limit, pieces, &table));
    }
    stream[place % packed] ^= change;
    (void)try_stream(stream, packed, limit, pieces, &table);
    free(stream);
    free((uint8_t *)(uintptr_t)table.at);
    return 0;
}
