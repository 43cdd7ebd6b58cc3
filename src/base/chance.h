/*
 * chance.h - repeatable random numbers: the same on every machine.
 */
#ifndef BASE_CHANCE_H
#define BASE_CHANCE_H

#include <stdint.h>

typedef struct chance {
    uint64_t state;
} chance;

/* A sequence of its own for each pair. */
chance chance_start(uint64_t seed, uint64_t part);

/* splitmix64: Steele, Lea and Flood, OOPSLA 2014 (constants from memory). */
static inline uint64_t chance_next(chance *of) {
    uint64_t z = of->state += UINT64_C(0x9E3779B97F4A7C15);
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

/* The sum of four numbers of 16 bits. */
static inline uint64_t chance_quarters(uint64_t bits) {
    const uint64_t every_other = UINT64_C(0x0000FFFF0000FFFF);
    uint64_t pairs = (bits & every_other) + ((bits >> 16) & every_other);
    return (pairs & UINT32_MAX) + (pairs >> 32);
}

/* Mean 0, standard deviation 1, bell-shaped: twelve uniforms, whose sum no
 * machine rounds differently. Nothing lies beyond 6. */
static inline double chance_bell(chance *of) {
    uint64_t sum = chance_quarters(chance_next(of));
    sum += chance_quarters(chance_next(of));
    sum += chance_quarters(chance_next(of));
    return ((double)sum - 12.0 * 32767.5) / 65536.0;
}

/* From 0 to below 1, all alike. */
static inline double chance_even(chance *of) {
    return (double)(chance_next(of) >> 11) * 0x1p-53;
}

/* Student's t with that many degrees of freedom, 1 or more. */
double chance_student(chance *of, unsigned freedom);

#endif
