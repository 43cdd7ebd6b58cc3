/*
 * alike.c - rows of a long table that are written like the one before them.
 *
 * Where everything stands is known beforehand, so no cell waits for the one
 * before it, and one comparison at the end of a row tells whether it was as
 * predicted: the same bytes but for the coordinates' digits. A row with other
 * numbers of digits or other signs is read from left to right and predicts
 * those behind it. When only decimals are more or fewer, as where trailing
 * zeros are left out, their end is found in each row, and what stands before
 * the points is predicted still.
 */
#include "read/alike.h"

#include "base/limits.h"
#include "read/stencil.h"

/* The bytes behind a row's start that take_words may reach: blocks and numbers
 * of at most eight bytes, and a word. */
#define WORDS_REACH 64
/* The bytes that are looked at when decimals are to be found: a sign,
 * WHOLE_MOST digits, the point, and words until PLAIN_DIGITS are exceeded. */
#define NUMBER_REACH 48
/* The bytes behind blocks and numbers that words starting in them may reach. */
#define REACH 24

static likeness likeness_of(const model *of, const gather *to) {
    bool y_first = of->y_start < of->x_start;
    likeness out = {
        .row = of->row,
        .numbers = {y_first ? of->y : of->x, y_first ? of->x : of->y},
        .values = {(y_first ? to->y : to->x) + to->count,
                   (y_first ? to->x : to->y) + to->count},
    };
    size_t start[2] = {y_first ? of->y_start : of->x_start,
                       y_first ? of->x_start : of->y_start};
    size_t from = 0;
    for (size_t i = 0; i < 2; i++) {
        out.blocks[i] = start[i] - from;
        from = start[i] + spelling_size(&out.numbers[i]);
    }
    out.blocks[2] = of->size - from;
    return out;
}

/* --------------------------------------------------- decimals to be found */

/* Bytes that are the same in each row, at most eight. */
typedef struct block {
    uint64_t word;
    uint64_t mask;
    size_t size;
} block;

static block block_of(const char *bytes, size_t size) {
    uint64_t mask = octets_mask(size);
    return (block){octets_load(bytes) & mask, mask, size};
}

static inline uint64_t block_differs(const block *of, const char *at) {
    return (octets_load(at) & of->mask) ^ of->word;
}

/* What is predicted of a number of up to WORD_DIGITS digits, behind its
 * sign. */
typedef struct opening {
    size_t whole;
    uint64_t whole_mask;
    uint64_t point; /* behind the whole */
    uint64_t point_mask;
    const double *by; /* the divisor for each number of decimals */
} opening;

static opening opening_of(const spelling *as) {
    static const double by[2][WORD_DIGITS] = {
        {1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7},
        {-1e0, -1e1, -1e2, -1e3, -1e4, -1e5, -1e6, -1e7}};
    return (opening){
        .whole = as->whole,
        .whole_mask = octets_mask(as->whole),
        .point = (uint64_t)'.' << (8 * as->whole),
        .point_mask = UINT64_C(0xff) << (8 * as->whole),
        .by = by[as->negative],
    };
}

/* A number whose decimals were looked for. */
typedef struct opened {
    uint64_t digits;
    size_t decimals;
    const char *end;
    uint64_t wrong; /* not 0: not as predicted, or more digits than a word */
} opened;

/* That which begins at `at`. Every row waits for the end of the one before
 * it, so the way to the end is short; what it leaves open, `wrong` and a test
 * of the digits tell. */
static inline opened open_number(const opening *of, const char *at) {
    const char *start = at + of->whole + 1;
    uint64_t word = octets_load(start) ^ OCTETS_ZEROS;
    uint64_t behind = octets_first_wrong(word);
    /* Seven when there are more; then no block begins behind them. */
    size_t count = octets_before(behind | UINT64_C(1) << 63);
    uint64_t whole = octets_load(at);
    size_t free = WORD_DIGITS - of->whole - count; /* wraps: too many */
    opened out = {.decimals = count, .end = start + count};
    out.wrong = ((whole & of->point_mask) ^ of->point) |
                (uint64_t)(count == 0) | (uint64_t)(free >= WORD_DIGITS);
    whole = (whole ^ OCTETS_ZEROS) & of->whole_mask;
    /* Shifted in two steps: it may be by 64. */
    out.digits = whole << (8 * free & 63) | word << (56 - 8 * count) << 8;
    return out;
}

/* Fits a block with a sign, of at most eight bytes. */
static bool is_short(const likeness *of) {
    return of->blocks[0] < 8 && of->blocks[1] < 8 && of->blocks[2] <= 8;
}

static void take_words(const likeness *of, rest *left) {
    const spelling *as = of->numbers;
    const char *bytes = of->row;
    const block before = block_of(bytes, of->blocks[0] + as[0].negative);
    bytes += of->blocks[0] + spelling_size(&as[0]);
    const block middle = block_of(bytes, of->blocks[1] + as[1].negative);
    bytes += of->blocks[1] + spelling_size(&as[1]);
    const block behind = block_of(bytes, of->blocks[2]);
    const opening one = opening_of(&as[0]);
    const opening two = opening_of(&as[1]);
    double *first = of->values[0];
    double *second = of->values[1];
    const char *row = left->row;
    size_t i = left->taken;
    for (; i < left->room && left->end - row >= WORDS_REACH; i++) {
        opened x = open_number(&one, row + before.size);
        opened y = open_number(&two, x.end + middle.size);
        uint64_t wrong =
            octets_quotients(x.digits, y.digits, one.by[x.decimals],
                             two.by[y.decimals], &first[i], &second[i]);
        wrong |= x.wrong | y.wrong | block_differs(&before, row) |
                 block_differs(&middle, x.end) | block_differs(&behind, y.end);
        if (wrong != 0) {
            break;
        }
        row = y.end + behind.size;
    }
    left->row = row;
    left->taken = i;
}

/* Whether a block is the same in two rows; where eight bytes can be loaded. */
static inline bool is_same(const char *a, const char *b, size_t size) {
    uint64_t differ =
        (octets_load(a) ^ octets_load(b)) & octets_mask(size < 8 ? size : 8);
    return differ == 0 && (size <= 8 || memcmp(a + 8, b + 8, size - 8) == 0);
}

/* A number that is written as predicted up to its point. */
static inline bool take_decimals(plain *of, const spelling *as, double *value) {
    const char *start = of->at + as->negative;
    uint64_t word = octets_load(start) ^ OCTETS_ZEROS;
    word <<= 64 - 8 * as->whole;
    uint64_t wrong = octets_wrong(word) & OCTETS_HIGH;
    wrong |= (uint64_t)((as->negative && *of->at != '-') |
                        (start[as->whole] != '.'));
    uint64_t mantissa = octets_value(word);
    size_t count = 0;
    of->at = start + as->whole + 1;
    if (wrong != 0 || !plain_digits(of, &mantissa, &count) || count == 0 ||
        as->whole + count > PLAIN_DIGITS) {
        return false;
    }
    double read = decimal_value(mantissa, -(int64_t)count);
    *value = as->negative ? -read : read;
    return true;
}

static bool can_predict_whole(const spelling *of) {
    return of->whole > 0 && of->whole <= WHOLE_MOST && of->decimals > 0;
}

static void take_long(const likeness *of, rest *left) {
    const spelling one = of->numbers[0];
    const spelling two = of->numbers[1];
    if (!can_predict_whole(&one) || !can_predict_whole(&two)) {
        return;
    }
    const char *middle = of->row + of->blocks[0] + spelling_size(&one);
    const char *last = middle + of->blocks[1] + spelling_size(&two);
    const size_t reach = of->blocks[0] + of->blocks[1] + of->blocks[2] +
                         2 * (size_t)NUMBER_REACH + REACH;
    while (left->taken < left->room &&
           (size_t)(left->end - left->row) >= reach) {
        plain at = {left->row + of->blocks[0], left->end, PLAIN_WORDS};
        if (!is_same(left->row, of->row, of->blocks[0]) ||
            !take_decimals(&at, &one, &of->values[0][left->taken]) ||
            !is_same(at.at, middle, of->blocks[1])) {
            break;
        }
        at.at += of->blocks[1];
        if (!take_decimals(&at, &two, &of->values[1][left->taken]) ||
            !is_same(at.at, last, of->blocks[2])) {
            break;
        }
        left->row = at.at + of->blocks[2];
        left->taken++;
    }
}

static void take_loose(const likeness *of, const char *end, rest *left) {
    const spelling *as = of->numbers;
    if (as[0].decimals == 0 || as[1].decimals == 0 ||
        end - of->row < WORDS_REACH) {
        return;
    }
    if (spelling_is_word(&as[0]) && spelling_is_word(&as[1]) && is_short(of)) {
        take_words(of, left);
    } else {
        take_long(of, left);
    }
}

/* ------------------------------------------------------- from left to right */

/* Goes over a block that is the same as there. */
static bool skip_block(plain *of, const char *same, size_t size) {
    if ((size_t)(of->end - of->at) < size || memcmp(of->at, same, size) != 0) {
        return false;
    }
    of->at += size;
    return true;
}

static bool has_point(const spelling of[2]) {
    return of[0].decimals > 0 || of[1].decimals > 0;
}

/* One row, which is the last read then. The first decimal point is not taken:
 * the caller keeps its line. */
static bool take_any(likeness *of, bool pointed, rest *left) {
    if (left->taken == left->room) {
        return false;
    }
    const char *same = of->row;
    plain at = {left->row, left->end, PLAIN_WORDS};
    spelling as[2];
    for (size_t i = 0; i < 2; i++) {
        if (!skip_block(&at, same, of->blocks[i]) ||
            !plain_number(&at, &of->values[i][left->taken], &as[i])) {
            return false;
        }
        same += of->blocks[i] + spelling_size(&of->numbers[i]);
    }
    if (!skip_block(&at, same, of->blocks[2]) || (!pointed && has_point(as))) {
        return false;
    }
    of->numbers[0] = as[0];
    of->numbers[1] = as[1];
    of->row = left->row;
    left->row = at.at;
    left->taken++;
    return true;
}

static bool same_whole(const spelling *a, const spelling *b) {
    return a->negative == b->negative && a->whole == b->whole;
}

const char *alike_take(const model *of, bool pairs, const char *row,
                       const char *end, gather *to) {
    size_t most = to->capacity < LIMIT_POINTS ? to->capacity : LIMIT_POINTS;
    if (to->count >= most) {
        return row;
    }
    likeness like = likeness_of(of, to);
    rest left = {row, end, 0, most - to->count};
    const bool pointed = has_point(like.numbers);
    bool loose = false;
    for (;;) {
        if (loose || !stencil_take(&like, pairs, &left)) {
            take_loose(&like, end, &left);
        }
        spelling one = like.numbers[0];
        spelling two = like.numbers[1];
        if (!take_any(&like, pointed, &left)) {
            break;
        }
        loose = loose || (same_whole(&one, &like.numbers[0]) &&
                          same_whole(&two, &like.numbers[1]));
    }
    to->count += left.taken;
    return left.row;
}
