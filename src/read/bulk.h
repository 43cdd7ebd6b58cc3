/*
 * bulk.h - many rows of a long table at once.
 */
#ifndef READ_BULK_H
#define READ_BULK_H

#include "read/gather.h"
#include "read/header.h"
#include "read/octets.h"

/* How rows are taken; the result is the same. */
typedef enum bulk_way {
    BULK_OFF,   /* not at all: each by rows.h */
    BULK_BYTES, /* byte by byte */
    BULK_WORDS, /* eight bytes at a time, on little-endian machines */
    BULK_PAIRS  /* two rows at a time too, where stencil_can_pair */
} bulk_way;

/* The last of the ways that this machine has. */
bulk_way bulk_best(void);

/* Takes rows in the common form from the start of bytes, which is the start
 * of a line: plain numbers between separators, as many cells as the header
 * has, LF or CRLF behind. Stops before the first row that is anything else,
 * wrong or not whole, which rows_take then judges. *used is the bytes taken;
 * *number, the line before the first, becomes that of the last row taken.
 * What gather_start and gather_point return. */
bl_status bulk_take(const header *of, bulk_way way, const char *bytes,
                    size_t size, gather *to, uint64_t *number, size_t *used);

#endif
