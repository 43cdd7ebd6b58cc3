/*
 * sum.h - compensated sums (Neumaier 1974, ZAMM 54:39-51): the error does not
 * grow with the number of terms.
 */
#ifndef BASE_SUM_H
#define BASE_SUM_H

#include <math.h>

typedef struct sum {
    double total;
    double lost;
} sum;

static inline void sum_add(sum *into, double term) {
    double total = into->total + term;
    if (fabs(into->total) >= fabs(term)) {
        into->lost += (into->total - total) + term;
    } else {
        into->lost += (term - total) + into->total;
    }
    into->total = total;
}

static inline double sum_value(const sum *of) {
    return of->total + of->lost;
}

#endif
