/*
 * chance.c - repeatable random numbers.
 */
#include "base/chance.h"

#include <math.h>

chance chance_start(uint64_t seed, uint64_t part) {
    chance first = {seed};
    chance out = {chance_next(&first) ^ part};
    out.state = chance_next(&out);
    return out;
}

double chance_student(chance *of, unsigned freedom) {
    double squares = 0.0;
    for (unsigned i = 0; i < freedom; i++) {
        double z = chance_bell(of);
        squares += z * z;
    }
    return chance_bell(of) / sqrt(squares / freedom);
}
