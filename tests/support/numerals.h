/*
 * numerals.h - decimal numbers of every kind that is hard to round, and how
 * number_scan reads them.
 *
 * The reference is the host's strtod in the C locale, which glibc documents as
 * correctly rounded; values are compared bit by bit.
 */
#ifndef SUPPORT_NUMERALS_H
#define SUPPORT_NUMERALS_H

#include "support/check.h"

#include <stdbool.h>

#define NUMERAL_BYTES 2048

typedef struct numeral_kind {
    const char *name;
    void (*write)(dice *from, char text[NUMERAL_BYTES]);
    uint64_t share; /* of a thousand */
} numeral_kind;

extern const numeral_kind numeral_kinds[];
extern const size_t numeral_kind_count;

/* Whether number_scan reads the whole text, and as the same double as
 * strtod. */
bool numeral_reads_right(const char *text);

#endif
