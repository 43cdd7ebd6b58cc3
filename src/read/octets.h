/*
 * octets.h - eight bytes of text at a time, as one 64-bit word.
 *
 * The first byte of the text is the lowest of the word, so this is for
 * little-endian machines: OCTETS_HERE says whether this is one. D. Lemire,
 * "Number parsing at a gigabyte per second", Softw. Pract. Exper. 51 (2021),
 * section 4, has the test for digits and their value.
 */
#ifndef READ_OCTETS_H
#define READ_OCTETS_H

#include <stdint.h>
#include <string.h>

#if defined(__BYTE_ORDER__) && defined(__ORDER_LITTLE_ENDIAN__)
#define OCTETS_HERE (__BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__)
#else
#define OCTETS_HERE 0
#endif

#define OCTETS_ZEROS UINT64_C(0x3030303030303030) /* "00000000" */
#define OCTETS_HIGH UINT64_C(0x8080808080808080)

static inline uint64_t octets_load(const char *at) {
    uint64_t word;
    memcpy(&word, at, sizeof word);
    return word;
}

/* The first `count` bytes, 0 to 8; the rest is zero in the mask. */
static inline uint64_t octets_mask(size_t count) {
    return count == 0 ? 0 : UINT64_MAX >> (64 - 8 * count);
}

/* For digits ^ OCTETS_ZEROS: the high bit of a byte is set where there is no
 * digit; right up to the first such byte, and never all clear if there is one.
 * Other bits are anything: mask with OCTETS_HIGH. */
static inline uint64_t octets_wrong(uint64_t word) {
    return (word + UINT64_C(0x7676767676767676)) | word;
}

/* The same and masked, but a byte of 0x8a and above, or behind such, may pass
 * as a digit. */
static inline uint64_t octets_first_wrong(uint64_t word) {
    return (word + UINT64_C(0x7676767676767676)) & OCTETS_HIGH;
}

/* How many bytes come before the first that OCTETS_HIGH marks; wrong != 0. */
static inline size_t octets_before(uint64_t wrong) {
#ifdef __GNUC__
    return (size_t)__builtin_ctzll(wrong) / 8;
#else
    size_t count = 0;
    for (; (wrong & 0x80) == 0; wrong >>= 8) {
        count++;
    }
    return count;
#endif
}

/* Powers of ten by how many of the eight are digits. */
static const uint64_t octets_tens[] = {
    1, 10, 100, 1000, 10000, 100000, 1000000, 10000000, 100000000};

/* The number of eight digits ^ OCTETS_ZEROS, the first the greatest: twos,
 * fours, and the two fours together. Each step multiplies by 10^k * 2^n + 1
 * and keeps the upper halves. */
static inline uint64_t octets_value(uint64_t word) {
    word = word * 0xa01 >> 8;
    word = (word & UINT64_C(0x00ff00ff00ff00ff)) * 0x640001 >> 16;
    return (word & UINT64_C(0x0000ffff0000ffff)) * 0x271000000001 >> 32;
}

/* Two such numbers, divided. Nonzero when a byte is no digit; then what is
 * stored is anything. */
static inline uint64_t octets_quotients_plain(uint64_t one, uint64_t two,
                                              double by_one, double by_two,
                                              double *first, double *second) {
    *first = (double)(int64_t)octets_value(one) / by_one;
    *second = (double)(int64_t)octets_value(two) / by_two;
    return (octets_wrong(one) | octets_wrong(two)) & OCTETS_HIGH;
}

#if defined(__SSE2__) && defined(__GNUC__)
/* Vectors of gcc and clang, which need no header. */
typedef uint64_t octets_words __attribute__((vector_size(16)));
typedef unsigned char octets_bytes __attribute__((vector_size(16)));
typedef char octets_chars __attribute__((vector_size(16)));
typedef unsigned short octets_twos __attribute__((vector_size(16)));
typedef short octets_shorts __attribute__((vector_size(16)));
typedef int octets_ints __attribute__((vector_size(16)));
typedef double octets_doubles __attribute__((vector_size(16)));

/* The same steps for both at once; division rounds the same. */
static inline uint64_t octets_quotients(uint64_t one, uint64_t two,
                                        double by_one, double by_two,
                                        double *first, double *second) {
    const octets_words both = {one, two};
    const octets_shorts to_fours = {100, 1, 100, 1, 100, 1, 100, 1};
    const octets_shorts to_eights = {10000, 1, 10000, 1, 10000, 1, 10000, 1};
    octets_bytes wrong = ((octets_bytes)both + 0x76) | (octets_bytes)both;
    octets_twos twos = ((octets_twos)both * 0xa01) >> 8;
    octets_ints fours =
        __builtin_ia32_pmaddwd128((octets_shorts)twos, to_fours);
    octets_ints eights = __builtin_ia32_pmaddwd128(
        __builtin_ia32_packssdw128(fours, fours), to_eights);
    octets_doubles values = {(double)eights[0], (double)eights[1]};
    values /= (octets_doubles){by_one, by_two};
    *first = values[0];
    *second = values[1];
    return (unsigned)__builtin_ia32_pmovmskb128((octets_chars)wrong);
}
#else
#define octets_quotients octets_quotients_plain
#endif

#endif
