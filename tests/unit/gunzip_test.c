/*
 * gunzip_test.c - gzip streams in pieces of any size, cut, damaged, too large.
 *
 * zlib's deflate (RFC 1951, 1952) makes the streams.
 */
#include "native/gunzip.h"

#include "support/check.h"

#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#define PLAIN_BYTES 400000
#define PACKED_BYTES 500000

typedef struct taken {
    char bytes[3 * PLAIN_BYTES];
    size_t size;
} taken;

static taken got;
static char plain[PLAIN_BYTES];
static char packed[PACKED_BYTES];

static bl_status take(void *context, const char *bytes, size_t size) {
    taken *to = context;
    if (size > sizeof to->bytes - to->size) {
        return BL_ERR_FILE;
    }
    memcpy(to->bytes + to->size, bytes, size);
    to->size += size;
    return BL_OK;
}

static size_t pack(const char *bytes, size_t size, char *out, size_t room) {
    z_stream stream = {.next_in = (Bytef *)(uintptr_t)bytes,
                       .avail_in = (uInt)size,
                       .next_out = (Bytef *)out,
                       .avail_out = (uInt)room};
    assert_int_equal(
        deflateInit2(&stream, 6, Z_DEFLATED, 15 + 16, 8, Z_DEFAULT_STRATEGY),
        Z_OK);
    assert_int_equal(deflate(&stream, Z_FINISH), Z_STREAM_END);
    assert_int_equal(deflateEnd(&stream), Z_OK);
    return room - stream.avail_out;
}

static void fill_plain(dice *from) {
    for (size_t i = 0; i < PLAIN_BYTES; i++) {
        plain[i] = "0123456789,.\n"[dice_next(from) % 13];
    }
}

/* Unpacks `size` bytes in random pieces; what came is in got. */
static bl_status unpack(const char *bytes, size_t size, uint64_t limit,
                        size_t most, dice *from, bl_message *message) {
    got.size = 0;
    gunzip *of = gunzip_new(limit, take, &got);
    assert_non_null(of);
    bl_status status = BL_OK;
    for (size_t at = 0; status == BL_OK && at < size;) {
        size_t piece = 1 + dice_next(from) % most;
        piece = piece < size - at ? piece : size - at;
        status = gunzip_feed(of, bytes + at, piece, message);
        at += piece;
    }
    if (status == BL_OK) {
        status = gunzip_finish(of, message);
    }
    gunzip_free(of);
    return status;
}

static void check_plain(size_t times) {
    assert_int_equal(got.size, times * PLAIN_BYTES);
    for (size_t i = 0; i < times; i++) {
        assert_memory_equal(got.bytes + i * PLAIN_BYTES, plain, PLAIN_BYTES);
    }
}

static void test_pieces_and_members(void **state) {
    (void)state;
    dice from = {5};
    bl_message message;
    fill_plain(&from);
    size_t one = pack(plain, PLAIN_BYTES, packed, PACKED_BYTES);
    size_t two = pack(plain, PLAIN_BYTES, packed + one, PACKED_BYTES - one);
    static const size_t most[] = {1, 3, 1000, 100000, 1000000};
    for (size_t i = 0; i < sizeof most / sizeof most[0]; i++) {
        assert_int_equal(unpack(packed, one, 1 << 30, most[i], &from, &message),
                         BL_OK);
        check_plain(1);
        assert_int_equal(
            unpack(packed, one + two, 1 << 30, most[i], &from, &message),
            BL_OK);
        check_plain(2);
    }
    memset(packed + one, 0, 1000);
    assert_int_equal(unpack(packed, one + 1000, 1 << 30, 700, &from, &message),
                     BL_OK);
    check_plain(1);
    packed[one + 999] = '\x1f'; /* a member after padding is none */
    assert_int_equal(unpack(packed, one + 1000, 1 << 30, 700, &from, &message),
                     BL_ERR_INPUT);
}

static void test_limit(void **state) {
    (void)state;
    dice from = {7};
    bl_message message;
    fill_plain(&from);
    size_t size = pack(plain, PLAIN_BYTES, packed, PACKED_BYTES);
    assert_int_equal(unpack(packed, size, PLAIN_BYTES, 5000, &from, &message),
                     BL_OK);
    assert_int_equal(
        unpack(packed, size, PLAIN_BYTES - 1, 5000, &from, &message),
        BL_ERR_LIMIT);
    assert_true(got.size < PLAIN_BYTES);
    /* What a few bytes can unpack to: it stops at the limit. */
    memset(plain, '\n', PLAIN_BYTES);
    size = pack(plain, PLAIN_BYTES, packed, PACKED_BYTES);
    assert_true(size < PLAIN_BYTES / 500);
    assert_int_equal(unpack(packed, size, 10000, 5000, &from, &message),
                     BL_ERR_LIMIT);
}

/* A stream cut anywhere is told; a changed bit is told, or changes nothing (of
 * the time and system in the header, and what fills up the last byte before
 * the checksum). */
static void test_cut_and_damaged(void **state) {
    (void)state;
    dice from = {11};
    bl_message message;
    fill_plain(&from);
    size_t size = pack(plain, 300, packed, PACKED_BYTES);
    for (size_t cut = 1; cut < size; cut++) {
        assert_int_equal(unpack(packed, cut, 1 << 20, 50, &from, &message),
                         BL_ERR_INPUT);
        assert_true(message.text[0] != '\0');
    }
    size_t told = 0;
    for (size_t at = 0; at < size; at++) {
        for (int bit = 0; bit < 8; bit++) {
            packed[at] ^= (char)(1 << bit);
            bl_status status =
                unpack(packed, size, 1 << 20, 50, &from, &message);
            told += status == BL_ERR_INPUT;
            if (status == BL_OK) {
                assert_int_equal(got.size, 300);
                assert_memory_equal(got.bytes, plain, 300);
            }
            packed[at] ^= (char)(1 << bit);
        }
    }
    assert_true(told >= 8 * (size - 7) - 7);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pieces_and_members),
        cmocka_unit_test(test_limit),
        cmocka_unit_test(test_cut_and_damaged),
    };
    return cmocka_run_group_tests_name("gzip", tests, NULL, NULL);
}
