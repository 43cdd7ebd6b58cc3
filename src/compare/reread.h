/*
 * reread.h - areas read again and again with the error of a reader, for what is
 * said of a change.
 */
#ifndef COMPARE_REREAD_H
#define COMPARE_REREAD_H

#include "base/chance.h"
#include "compare/comparing.h"

/* The error of an area, as a coefficient of variation: what frames were
 * measured to scatter is each contour's own, the rest is shared by all of a
 * table. */
typedef struct reread_error {
    double own_cv;
    double shared_cv;
} reread_error;

reread_error reread_error_of(const comparing *in, int which);

/* What one error makes of an area, as a share of it; above 0. */
double reread_share(chance *by, double cv);

/* The sequence of one round; part below 8, its own for each table and kind. */
chance reread_chance(const comparing *in, size_t round, uint64_t part);

/* How often so many contours are read: 200 to 1000. */
size_t reread_rounds(size_t contours);

/* From the 2.5th to the 97.5th percentile; sorts the values. */
bl_interval reread_middle(double *values, size_t count);

#endif
