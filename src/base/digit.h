/*
 * digit.h - decimal digits, in any locale.
 */
#ifndef BASE_DIGIT_H
#define BASE_DIGIT_H

#include <stdbool.h>

static inline bool digit_is(char c) {
    return c >= '0' && c <= '9';
}

#endif
