/*
 * stencil.c - rows that are the same bytes but for the digits of two numbers.
 *
 * All bytes of a row but the digits are compared with the row before, and the
 * digits, which stand where they stood there, become numbers, in one step
 * without a branch. With AVX2 two rows are one step: the first numbers of both
 * are in the lower half of a vector, the second ones in the upper half, each
 * digit moved to where it counts; the arithmetic is the same.
 */
#include "read/stencil.h"

#include <assert.h>

/* Words of a row, and words that are compared at once in pairs. */
#define STENCIL_WORDS 12
#define PAIR_WORDS ((size_t)4)
/* The bytes behind a row that words starting in it, or the three of a stencil,
 * may reach, and those behind two. */
#define REACH 24
#define PAIR_REACH 32

/* A number of up to WORD_DIGITS digits: those before the point and those
 * behind it are shifted to the end of one word. */
typedef struct pattern {
    size_t whole_start; /* from the row's start */
    size_t decimals_start;
    bool point; /* between them */
    uint64_t whole_mask;
    unsigned whole_shift;
    unsigned decimals_shift;
    uint64_t zeros; /* to be taken off the digits */
} pattern;

/* A row as words, and where they are the same in each row: everywhere but in
 * the digits of the numbers. Zero behind the row, to a whole number of
 * PAIR_WORDS. */
typedef struct stencil {
    uint64_t words[STENCIL_WORDS];
    uint64_t masks[STENCIL_WORDS + 1];
    size_t count;
    size_t size; /* of the row, bytes */
    pattern numbers[2];
    double divisors[2]; /* negative when the number is */
} stencil;

/* Fewer than eight bytes differ from row to row. */
static void stencil_open(stencil *of, size_t start, size_t count) {
    char *at = (char *)of->masks + start;
    uint64_t word = octets_load(at) & ~octets_mask(count);
    memcpy(at, &word, sizeof word);
}

static void stencil_number(stencil *of, size_t i, size_t start,
                           const spelling *as) {
    size_t digits = as->whole + as->decimals;
    bool point = as->decimals > 0;
    /* An integer's last digit is taken for a decimal behind no point. */
    size_t whole = as->whole + point - 1;
    size_t decimals = digits - whole;
    pattern *out = &of->numbers[i];
    out->whole_start = start + as->negative;
    out->decimals_start = out->whole_start + whole + point;
    out->point = point;
    out->whole_mask = octets_mask(whole);
    out->whole_shift = (unsigned)(8 * (WORD_DIGITS - digits));
    out->decimals_shift = (unsigned)(8 * (WORD_DIGITS - decimals));
    out->zeros = OCTETS_ZEROS << out->whole_shift;
    double ten = decimal_tens[as->decimals];
    of->divisors[i] = as->negative ? -ten : ten;
    stencil_open(of, out->whole_start, whole);
    stencil_open(of, out->decimals_start, decimals);
}

/* Cut from the last row read; false when it is none for a stencil. */
static bool stencil_cut(stencil *out, const likeness *of, const char *end) {
    const spelling *one = &of->numbers[0];
    const spelling *two = &of->numbers[1];
    if (!spelling_is_word(one) || !spelling_is_word(two)) {
        return false;
    }
    size_t second = of->blocks[0] + spelling_size(one) + of->blocks[1];
    size_t size = second + spelling_size(two) + of->blocks[2];
    out->size = size;
    out->count = size <= 24 ? 3 : (size + 7) / 8;
    assert(out->count >= 3);
    if (out->count > STENCIL_WORDS ||
        (size_t)(end - of->row) < 8 * out->count) {
        return false;
    }
    size_t words = 0;
    for (; words < out->count || words % PAIR_WORDS != 0; words++) {
        size_t left = size > 8 * words ? size - 8 * words : 0;
        out->masks[words] = octets_mask(left < 8 ? left : 8);
    }
    out->masks[words] = 0;
    stencil_number(out, 0, of->blocks[0], one);
    stencil_number(out, 1, second, two);
    for (size_t i = 0; i < words; i++) {
        uint64_t word = i < out->count ? octets_load(of->row + 8 * i) : 0;
        out->words[i] = word & out->masks[i];
    }
    return true;
}

/* -------------------------------------------------------------- row by row */

static inline uint64_t word_differs(const stencil *of, const char *row,
                                    size_t i) {
    return (octets_load(row + 8 * i) & of->masks[i]) ^ of->words[i];
}

/* Most rows have no more than three words. */
static inline uint64_t stencil_differs(const stencil *of, const char *row) {
    uint64_t any = word_differs(of, row, 0) | word_differs(of, row, 1) |
                   word_differs(of, row, 2);
    for (size_t i = 3; i < of->count; i++) {
        any |= word_differs(of, row, i);
    }
    return any;
}

/* The digits of a number, '0' taken off. */
static inline uint64_t pattern_digits(const pattern *of, const char *row) {
    uint64_t digits = octets_load(row + of->whole_start) & of->whole_mask;
    digits <<= of->whole_shift;
    digits |= octets_load(row + of->decimals_start) << of->decimals_shift;
    return digits ^ of->zeros;
}

static void take_rows(const stencil *of, double *const values[2], rest *left) {
    double *first = values[0];
    double *second = values[1];
    const char *row = left->row;
    const double by_one = of->divisors[0];
    const double by_two = of->divisors[1];
    const size_t size = of->size;
    size_t i = left->taken;
    for (; i < left->room && (size_t)(left->end - row) >= size + REACH; i++) {
        uint64_t one = pattern_digits(&of->numbers[0], row);
        uint64_t two = pattern_digits(&of->numbers[1], row);
        uint64_t wrong =
            octets_quotients(one, two, by_one, by_two, &first[i], &second[i]);
        if ((stencil_differs(of, row) | wrong) != 0) {
            break;
        }
        row += size;
    }
    left->row = row;
    left->taken = i;
}

/* ------------------------------------------------------------ two at a time */

#ifdef STENCIL_PAIRS
#define AVX2 __attribute__((target("avx2")))
#define AVX2_PART static inline __attribute__((always_inline, target("avx2")))

/* Vectors of gcc and clang, which need no header. */
typedef long long half_longs __attribute__((vector_size(16)));
typedef char wide_chars __attribute__((vector_size(32)));
typedef short wide_shorts __attribute__((vector_size(32)));
typedef int wide_ints __attribute__((vector_size(32)));
typedef long long wide_longs __attribute__((vector_size(32)));
typedef double wide_doubles __attribute__((vector_size(32)));

bool stencil_can_pair(void) {
    return __builtin_cpu_supports("avx2");
}

#define NO_DIGITS UINT64_C(0x8080808080808080)

/* From where in a number the digits of its word come; none, where the high bit
 * is set. */
static long long digit_places(const pattern *of) {
    uint64_t places = UINT64_C(0x0706050403020100) << of->whole_shift;
    uint64_t behind = UINT64_C(0x0101010101010101) << of->decimals_shift;
    uint64_t none = NO_DIGITS & ~(UINT64_MAX << of->whole_shift);
    return (long long)((places + (of->point ? behind : 0)) | none);
}

AVX2_PART wide_chars wide_load(const void *at) {
    wide_chars out;
    memcpy(&out, at, sizeof out);
    return out;
}

/* The first number of a row and the second, each with what follows it, their
 * digits moved to their places. */
AVX2_PART wide_chars load_digits(const char *one, const char *two,
                                 wide_longs places) {
    half_longs low;
    half_longs high;
    memcpy(&low, one, sizeof low);
    memcpy(&high, two, sizeof high);
    wide_longs both = __builtin_ia32_insert128i256(
        __builtin_shufflevector(low, low, 0, 1, -1, -1), high, 1);
    return __builtin_ia32_pshufb256((wide_chars)both, (wide_chars)places);
}

/* The four numbers of eight digits each, by the steps of octets_value. Below
 * 2^31, each is made the low half of a double from 2^52 on, whose last bit
 * counts ones. */
AVX2_PART wide_doubles pair_values(wide_chars digits) {
    const wide_chars to_twos = {10, 1,  10, 1,  10, 1,  10, 1,  10, 1,  10,
                                1,  10, 1,  10, 1,  10, 1,  10, 1,  10, 1,
                                10, 1,  10, 1,  10, 1,  10, 1,  10, 1};
    const wide_shorts to_fours = {100, 1, 100, 1, 100, 1, 100, 1,
                                  100, 1, 100, 1, 100, 1, 100, 1};
    const wide_shorts to_eights = {10000, 1, 10000, 1, 10000, 1, 10000, 1,
                                   10000, 1, 10000, 1, 10000, 1, 10000, 1};
    const wide_ints high = {0x43300000, 0x43300000, 0x43300000, 0x43300000,
                            0x43300000, 0x43300000, 0x43300000, 0x43300000};
    wide_ints fours = __builtin_ia32_pmaddwd256(
        __builtin_ia32_pmaddubsw256(digits, to_twos), to_fours);
    wide_ints eights = __builtin_ia32_pmaddwd256(
        __builtin_ia32_packusdw256(fours, fours), to_eights);
    wide_ints doubles =
        __builtin_shufflevector(eights, high, 0, 8, 1, 9, 4, 12, 5, 13);
    return (wide_doubles)doubles - 0x1p52;
}

/* What is to be the same in rows. */
typedef struct pair_words {
    wide_chars words;
    wide_chars masks;
} pair_words;

AVX2_PART wide_chars pair_differs(pair_words of, const char *row,
                                  const char *next) {
    return ((wide_load(row) & of.masks) ^ of.words) |
           ((wide_load(next) & of.masks) ^ of.words);
}

AVX2_PART pair_words pair_words_at(const stencil *of, size_t word) {
    return (pair_words){wide_load(of->words + word),
                        wide_load(of->masks + word)};
}

/* Everything that is the same for all pairs. */
typedef struct pairing {
    wide_longs first_row; /* where digits come from */
    wide_longs second_row;
    wide_longs zeros; /* to be taken off them */
    wide_doubles by;
    pair_words begin;
    size_t one; /* where the numbers begin */
    size_t two;
} pairing;

AVX2_PART pairing pairing_of(const stencil *of) {
    const pattern *one = &of->numbers[0];
    const pattern *two = &of->numbers[1];
    const long long none = (long long)NO_DIGITS;
    const long long places[] = {digit_places(one), digit_places(two)};
    const long long zeros[] = {(long long)one->zeros, (long long)two->zeros};
    return (pairing){
        .first_row = {places[0], none, places[1], none},
        .second_row = {none, places[0], none, places[1]},
        .zeros = {zeros[0], zeros[0], zeros[1], zeros[1]},
        .by = {of->divisors[0], of->divisors[0], of->divisors[1],
               of->divisors[1]},
        .begin = pair_words_at(of, 0),
        .one = one->whole_start,
        .two = two->whole_start,
    };
}

AVX2_PART wide_chars pair_digits(const pairing *of, const char *row,
                                 const char *next) {
    return (load_digits(row + of->one, row + of->two, of->first_row) |
            load_digits(next + of->one, next + of->two, of->second_row)) ^
           (wide_chars)of->zeros;
}

AVX2 static void take_pairs(const stencil *of, double *const values[2],
                            rest *left) {
    const pairing as = pairing_of(of);
    const size_t size = of->size;
    const size_t count = of->count;
    const size_t room = left->room;
    const char *const end = left->end;
    double *first = values[0];
    double *second = values[1];
    const char *row = left->row;
    size_t i = left->taken;
    while (i + 2 <= room && (size_t)(end - row) >= 2 * size + PAIR_REACH) {
        const char *next = row + size;
        wide_chars digits = pair_digits(&as, row, next);
        wide_chars wrong = (((digits + 6) | digits) & (char)0xf0) |
                           pair_differs(as.begin, row, next);
        for (size_t word = PAIR_WORDS; word < count; word += PAIR_WORDS) {
            wrong |= pair_differs(pair_words_at(of, word), row + 8 * word,
                                  next + 8 * word);
        }
        if (!__builtin_ia32_ptestz256((wide_longs)wrong, (wide_longs)wrong)) {
            break;
        }
        wide_doubles read = pair_values(digits) / as.by;
        memcpy(first + i, &read, sizeof read / 2);
        memcpy(second + i, (const char *)&read + sizeof read / 2,
               sizeof read / 2);
        row = next + size;
        i += 2;
    }
    left->row = row;
    left->taken = i;
}
#else
bool stencil_can_pair(void) {
    return false;
}

/* Asked for only where stencil_can_pair. */
static void take_pairs(const stencil *of, double *const values[2], rest *left) {
    take_rows(of, values, left);
}
#endif

bool stencil_take(const likeness *of, bool pairs, rest *left) {
    stencil same;
    if (!stencil_cut(&same, of, left->end)) {
        return false;
    }
    if (pairs) {
        take_pairs(&same, of->values, left);
    }
    take_rows(&same, of->values, left);
    return true;
}
