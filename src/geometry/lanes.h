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

/* A function marked so is compiled twice, the second time for wider vectors,
 * and the program chooses by its processor when it starts. Only gcc does this
 * well. LANES_PLAIN: once, for a test of both against each other. */
#if defined(__x86_64__) && defined(__gnu_linux__) && defined(__GNUC__) &&      \
    !defined(__clang__) && !defined(LANES_PLAIN)
#define LANES_TWICE __attribute__((target_clones("avx2", "default")))
#else
#define LANES_TWICE
#endif
/* What a function marked so is made of must not stay a function by itself. */
#if defined(__GNUC__)
#define LANES_PART static inline __attribute__((always_inline))
#else
#define LANES_PART static inline
#endif

/* b when either is NaN. */
static inline double lesser(double a, double b) {
    return a < b ? a : b;
}

static inline double larger(double a, double b) {
    return a > b ? a : b;
}

LANES_PART double lanes_least(const double lane[LANES]) {
    return lesser(lesser(lane[0], lane[1]), lesser(lane[2], lane[3]));
}

LANES_PART double lanes_most(const double lane[LANES]) {
    return larger(larger(lane[0], lane[1]), larger(lane[2], lane[3]));
}

#endif
