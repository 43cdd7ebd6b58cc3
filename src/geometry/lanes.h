/*
 * lanes.h - loops over points that compilers turn into vector instructions.
 *
 * They do at -O2 when an inner loop has this constant length and no branch;
 * the two below are single instructions, unlike fmin and fmax, which ask for
 * NaN. Results do not depend on whether a compiler does.
 */
#ifndef GEOMETRY_LANES_H
#define GEOMETRY_LANES_H

#define LANES 4

/* b when either is NaN. */
static inline double lesser(double a, double b) {
    return a < b ? a : b;
}

static inline double larger(double a, double b) {
    return a > b ? a : b;
}

#endif
