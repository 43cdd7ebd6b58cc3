/*
 * reader.h - a table of contours, read as its bytes come.
 */
#ifndef READ_READER_H
#define READ_READER_H

#include "read/blocks.h"
#include "read/bulk.h"
#include "read/encoding.h"
#include "read/gather.h"
#include "read/header.h"
#include "read/lines.h"
#include "read/wide.h"

typedef enum reader_phase {
    READ_NOTES,   /* before the table */
    READ_NO_ROWS, /* it does not begin as a table does: they mean nothing */
    READ_ROWS,
    READ_BLOCKS
} reader_phase;

/* Set up by reader_begin; pointers are the caller's and outlive it. */
typedef struct reader {
    notes *given;
    findings *said;
    bl_message *message;
    lines lines;
    encoding encoding;
    reader_phase phase;
    uint64_t begins;     /* line of the header row or first block, 0 before */
    char told_separator; /* by 'sep=', else 0 */
    header columns;
    wide wide;
    bulk_way way;   /* of long tables; tests choose another */
    unsigned pause; /* lines until rows in bulk are tried again */
    blocks blocks;
    bool has_rows; /* a line behind the header that is not empty, or blocks */
    uint64_t empty_rows;   /* lines of separators only, which are ignored */
    uint64_t empty_number; /* the first of them */
    gather gather;
} reader;

/* Where said->go_on, a fault that reading can go on behind is a finding, and
 * its line or block is passed over, or all rows where no header row says what
 * is in them. A NUL where a table should begin, a limit and a lack of memory
 * still stop. */
void reader_begin(reader *out, notes *given, findings *said,
                  bl_message *message, read_receiver receiver, void *context);

/* Bytes in pieces of any size; contours go to the receiver when complete.
 * BL_ERR_INPUT, BL_ERR_LIMIT, BL_ERR_MEMORY, and what the receiver returns. */
bl_status reader_feed(reader *of, const char *bytes, size_t size);
bl_status reader_finish(reader *of);

/* After reader_finish. */
bl_shape reader_shape(const reader *of);
char reader_separator(const reader *of);

void reader_free(reader *of);

#endif
