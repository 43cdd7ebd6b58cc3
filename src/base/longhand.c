/*
 * longhand.c - decimal digits of any number as the nearest double.
 *
 * Divided out bit by bit with big integers: N / D in [1, 2) times 2^k, 53 bits
 * of quotient (fewer for subnormals), then one comparison of the remainder
 * rounds to nearest, ties to even. Exact, and slow only for numbers that few
 * tables hold.
 */
#include "base/longhand.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* A boundary between two doubles has at most 767 significant digits, so
 * digits past 768 matter only by being zero or not. */
#define DIGITS_KEPT 768
/* 10^1100 has 3655 bits: 768 digits below the smallest subnormal. */
#define LIMBS 120

/* ------------------------------------------------------------ big integers */

/* Little-endian; limb[count - 1] != 0, or count is 0 for zero. */
typedef struct big {
    uint32_t limb[LIMBS];
    unsigned count;
} big;

static void big_multiply_add(big *of, uint32_t factor, uint32_t term) {
    uint64_t carry = term;
    for (unsigned i = 0; i < of->count; i++) {
        carry += (uint64_t)of->limb[i] * factor;
        of->limb[i] = (uint32_t)carry;
        carry >>= 32;
    }
    if (carry != 0) {
        of->limb[of->count++] = (uint32_t)carry;
    }
}

static void big_times_power_of_ten(big *of, unsigned power) {
    for (; power >= 9; power -= 9) {
        big_multiply_add(of, 1000000000, 0);
    }
    for (; power > 0; power--) {
        big_multiply_add(of, 10, 0);
    }
}

static int big_bits(const big *of) {
    int bits = 32 * (int)of->count;
    for (uint32_t top = of->limb[of->count - 1]; (top >> 31) == 0; top <<= 1) {
        bits--;
    }
    return bits;
}

static void big_shift_left(big *of, unsigned bits) {
    unsigned whole = bits / 32;
    if (whole != 0) {
        memmove(of->limb + whole, of->limb, of->count * sizeof of->limb[0]);
        memset(of->limb, 0, whole * sizeof of->limb[0]);
        of->count += whole;
    }
    if (bits % 32 != 0) {
        big_multiply_add(of, UINT32_C(1) << (bits % 32), 0);
    }
}

static int big_compare(const big *a, const big *b) {
    if (a->count != b->count) {
        return a->count < b->count ? -1 : 1;
    }
    for (unsigned i = a->count; i-- > 0;) {
        if (a->limb[i] != b->limb[i]) {
            return a->limb[i] < b->limb[i] ? -1 : 1;
        }
    }
    return 0;
}

/* a -= b, where a >= b. */
static void big_subtract(big *a, const big *b) {
    uint64_t borrow = 0;
    for (unsigned i = 0; i < a->count; i++) {
        uint64_t take = borrow + (i < b->count ? b->limb[i] : 0);
        borrow = a->limb[i] < take;
        a->limb[i] -= (uint32_t)take;
    }
    while (a->count != 0 && a->limb[a->count - 1] == 0) {
        a->count--;
    }
}

/* ------------------------------------------------------------ the division */

/* The double nearest to n / d, both positive; d may be changed. */
static double big_quotient(big *n, big *d) {
    int power = big_bits(n) - big_bits(d);
    if (power > 0) {
        big_shift_left(d, (unsigned)power);
    } else {
        big_shift_left(n, (unsigned)-power);
    }
    if (big_compare(n, d) < 0) {
        big_shift_left(n, 1);
        power--;
    }
    /* Now the value is n / d * 2^power with n / d in [1, 2). */
    int bits = power >= -1022 ? 53 : power + 1075;
    if (bits < 0) {
        return 0.0;
    }
    uint64_t quotient = 0;
    for (int i = 0; i < bits; i++) {
        quotient <<= 1;
        if (big_compare(n, d) >= 0) {
            quotient |= 1;
            big_subtract(n, d);
        }
        big_shift_left(n, 1);
    }
    int rest = big_compare(n, d);
    if (rest > 0 || (rest == 0 && (quotient & 1) != 0)) {
        quotient++;
    }
    return ldexp((double)quotient, power - bits + 1);
}

double longhand_value(const char *digits, size_t size, int64_t power) {
    big n = {.count = 0};
    unsigned kept = 0;
    int64_t dropped = 0;
    bool more = false;
    for (size_t i = 0; i < size; i++) {
        unsigned digit = (unsigned)digits[i] - '0';
        if (digit > 9 || (digit == 0 && kept == 0)) {
            continue;
        }
        if (kept == DIGITS_KEPT) {
            dropped++;
            more = more || digit != 0;
        } else {
            big_multiply_add(&n, 10, digit);
            kept++;
        }
    }
    power += dropped;
    if (more) {
        big_multiply_add(&n, 10, 1);
        power--;
        kept++;
    }
    if (kept == 0 || power + kept < -330) {
        return 0.0;
    }
    if (power + kept > 310) {
        return (double)INFINITY;
    }
    big d = {.limb = {1}, .count = 1};
    big_times_power_of_ten(power < 0 ? &d : &n,
                           (unsigned)(power < 0 ? -power : power));
    return big_quotient(&n, &d);
}
