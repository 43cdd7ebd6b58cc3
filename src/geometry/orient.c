/*
 * orient.c - on which side of a line a point lies, without rounding error.
 *
 * The determinant is first computed in doubles and believed when it exceeds
 * its error bound; otherwise it is summed exactly as an expansion of twelve
 * components, whose largest carries the sign. Bound and exact arithmetic:
 * J. R. Shewchuk, Discrete Comput Geom 1997;18:305-63 (two-sum after Knuth,
 * two-product after Dekker and Veltkamp). Needs -ffp-contract=off.
 */
#include "geometry/orient.h"

#include <stddef.h>

#define SPLITTER 134217729.0 /* 2^27 + 1 */

static void two_sum(double a, double b, double *sum, double *lost) {
    double s = a + b;
    double bb = s - a;
    *lost = (a - (s - bb)) + (b - bb);
    *sum = s;
}

static void split(double a, double *high, double *low) {
    double c = SPLITTER * a;
    *high = c - (c - a);
    *low = a - *high;
}

static void two_product(double a, double b, double *product, double *lost) {
    double p = a * b;
    double ah;
    double al;
    double bh;
    double bl;
    split(a, &ah, &al);
    split(b, &bh, &bl);
    *lost = ((ah * bh - p) + ah * bl + al * bh) + al * bl;
    *product = p;
}

/* Adds a term to an expansion of `count` components, smallest first. */
static size_t grow(double *expansion, size_t count, double term) {
    double carry = term;
    for (size_t i = 0; i < count; i++) {
        two_sum(carry, expansion[i], &carry, &expansion[i]);
    }
    expansion[count] = carry;
    return count + 1;
}

static int exact_sign(double ax, double ay, double bx, double by, double cx,
                      double cy) {
    const double factors[6][2] = {{ax, by},  {-ay, bx}, {bx, cy},
                                  {-by, cx}, {cx, ay},  {-cy, ax}};
    double expansion[12];
    size_t count = 0;
    for (size_t i = 0; i < 6; i++) {
        double product;
        double lost;
        two_product(factors[i][0], factors[i][1], &product, &lost);
        count = grow(expansion, count, lost);
        count = grow(expansion, count, product);
    }
    while (count > 0) {
        double largest = expansion[--count];
        if (largest > 0.0) {
            return 1;
        }
        if (largest < 0.0) {
            return -1;
        }
    }
    return 0;
}

int orient_sign(double ax, double ay, double bx, double by, double cx,
                double cy) {
    double error;
    double turn = orient_about(ax, ay, bx, by, cx, cy, &error);
    if (turn > error) {
        return 1;
    }
    if (turn < -error) {
        return -1;
    }
    return exact_sign(ax, ay, bx, by, cx, cy);
}
