/*
 * framelist.h - rows in words, by their frames: "frames 3, 21..39 and 44".
 */
#ifndef STUDY_FRAMELIST_H
#define STUDY_FRAMELIST_H

#include "base/text.h"
#include "boreline.h"

#define FRAMELIST_NAMED 5

typedef struct framelist {
    size_t count;
    size_t first; /* row of the first */
    size_t runs;  /* of neighbours */
    size_t last;  /* the last one's number among the rows that may be added */
    int64_t from[FRAMELIST_NAMED];
    int64_t to[FRAMELIST_NAMED];
} framelist;

/* Rows are added in order. number: 0, 1, 2, ... of the rows that might be. */
void framelist_add(framelist *to, const bl_row *rows, size_t row,
                   size_t number);

/* Appends them to the words, those of at most FRAMELIST_NAMED runs by name. */
void framelist_write(const framelist *of, text *words);

#endif
