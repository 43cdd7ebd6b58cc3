/*
 * checking.h - a check under way; for the files of this room.
 */
#ifndef CHECK_CHECKING_H
#define CHECK_CHECKING_H

#include "base/text.h"
#include "boreline.h"
#include "pullback/findings.h"

typedef struct checking {
    const bl_study *study;
    const bl_row *rows;
    size_t count;
    bool placed;               /* positions are known */
    bl_assessment *assessment; /* NULL where there is none */
    findings found;
    bl_check *out;
} checking;

/* A number in words, by value, so that it can be made where it is printed. */
typedef struct short_number {
    char text[FIXED_BYTES + 1];
} short_number;

short_number checking_decimals(double value, unsigned digits);

uint64_t checking_line(const checking *in, size_t row);
bool checking_is_left_out(const bl_row *row);

/* Says something of every row to which it applies. BL_ERR_MEMORY. */
bl_status checking_each(checking *in, bool (*applies)(const bl_row *),
                        bl_status (*say)(checking *, size_t));

/* Contours that are left out; those that are used and doubtful. BL_ERR_MEMORY.
 */
bl_status contours_left_out(checking *in);
bl_status contours_doubtful(checking *in);

/* Counts what is in the table. values: room for a number a row. */
void extent_count(checking *in, double *values);

/* Where positions are known: gaps, frames that were not traced, jumps, uneven
 * spacing. values: room for a number a row. BL_ERR_MEMORY. */
bl_status spacing_check(checking *in, double *values);

#endif
