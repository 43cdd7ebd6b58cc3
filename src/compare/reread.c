/*
 * reread.c - areas read again and again with the error of a reader.
 *
 * The rounds of a comparison are drawn from its seed, so that the same tables
 * give the same intervals.
 */
#include "compare/reread.h"

#include "profile/median.h"

#include <math.h>

#define ROUNDS_MOST ((size_t)1000)
#define ROUNDS_LEAST ((size_t)200)
#define CONTOURS_READ ((size_t)2000000) /* in all rounds */
#define TAIL 0.025
#define SHARE_LEAST 0.05 /* of an area that an error leaves */
#define PARTS 8

reread_error reread_error_of(const comparing *in, int which) {
    const bl_assessment *from = in->tables[which].assessment;
    double whole = in->options->area_cv_pct / 100.0;
    double scatter = from->intervals.scatter_cv_pct / 100.0;
    double own = isnan(scatter) ? 0.0 : fmin(scatter, whole);
    return (reread_error){own, sqrt(fmax(whole * whole - own * own, 0.0))};
}

double reread_share(chance *by, double cv) {
    return fmax(1.0 + cv * chance_bell(by), SHARE_LEAST);
}

chance reread_chance(const comparing *in, size_t round, uint64_t part) {
    return chance_start(in->options->seed, PARTS * (uint64_t)round + part);
}

size_t reread_rounds(size_t contours) {
    size_t rounds = contours == 0 ? ROUNDS_MOST : CONTOURS_READ / contours;
    rounds = rounds > ROUNDS_MOST ? ROUNDS_MOST : rounds;
    return rounds < ROUNDS_LEAST ? ROUNDS_LEAST : rounds;
}

bl_interval reread_middle(double *values, size_t count) {
    median_sort(values, count);
    double at = TAIL * (double)(count - 1);
    size_t i = (size_t)at;
    double part = at - (double)i;
    size_t j = count - 1 - i;
    return (bl_interval){values[i] + part * (values[i + 1] - values[i]),
                         values[j] - part * (values[j] - values[j - 1])};
}
