/*
 * plain.h - numbers in the common form, at a place in a piece of a table.
 *
 * Every step fails at the piece's end, for what is there is not known to end.
 * In line, for the way is mostly known where it is called.
 */
#ifndef READ_PLAIN_H
#define READ_PLAIN_H

#include "base/decimal.h"
#include "read/octets.h"

#include <stdbool.h>
#include <stddef.h>

/* Digits that always fit 64 bits. */
#define PLAIN_DIGITS 19

/* How digits are read; the result is the same. */
typedef enum plain_way {
    PLAIN_BYTES, /* byte by byte */
    PLAIN_WORDS  /* eight bytes at a time, on little-endian machines */
} plain_way;

typedef struct plain {
    const char *at;
    const char *end;
    plain_way way;
} plain;

/* How a number is written. */
typedef struct spelling {
    bool negative;
    size_t whole; /* digits before the point */
    size_t decimals;
} spelling;

static inline bool plain_digits_by_words(plain *of, uint64_t *mantissa) {
    for (;;) {
        if (of->end - of->at < 8) {
            return false;
        }
        uint64_t word = octets_load(of->at) ^ OCTETS_ZEROS;
        uint64_t wrong = octets_wrong(word) & OCTETS_HIGH;
        if (wrong != 0) {
            size_t count = octets_before(wrong);
            /* Shifted in two steps: it may be by 64. */
            *mantissa = *mantissa * octets_tens[count] +
                        octets_value(word << (56 - 8 * count) << 8);
            of->at += count;
            return true;
        }
        *mantissa = *mantissa * 100000000 + octets_value(word);
        of->at += 8;
    }
}

static inline bool plain_digits_by_bytes(plain *of, uint64_t *mantissa) {
    for (; of->at < of->end; of->at++) {
        unsigned digit = (unsigned)*of->at - '0';
        if (digit > 9) {
            return true;
        }
        *mantissa = *mantissa * 10 + digit;
    }
    return false;
}

/* Digits, perhaps none, that go on with the mantissa, which may wrap; a byte
 * follows them. */
static inline bool plain_digits(plain *of, uint64_t *mantissa, size_t *count) {
    const char *start = of->at;
    bool fine = of->way == PLAIN_WORDS ? plain_digits_by_words(of, mantissa)
                                       : plain_digits_by_bytes(of, mantissa);
    *count = (size_t)(of->at - start);
    return fine;
}

/* [-] digits [. digits], with at most PLAIN_DIGITS of them; a byte follows. */
static inline bool plain_number(plain *of, double *value, spelling *as) {
    if (of->at == of->end) {
        return false;
    }
    as->negative = *of->at == '-';
    of->at += as->negative;
    as->decimals = 0;
    uint64_t mantissa = 0;
    if (!plain_digits(of, &mantissa, &as->whole)) {
        return false;
    }
    if (*of->at == '.') {
        of->at++;
        if (!plain_digits(of, &mantissa, &as->decimals) || as->decimals == 0) {
            return false;
        }
    }
    size_t digits = as->whole + as->decimals;
    if (digits == 0 || digits > PLAIN_DIGITS) {
        return false;
    }
    double read = decimal_value(mantissa, -(int64_t)as->decimals);
    *value = as->negative ? -read : read;
    return true;
}

#endif
