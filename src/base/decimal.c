/*
 * decimal.c - an integer times a power of ten as the nearest double.
 *
 * D. Lemire, "Number parsing at a gigabyte per second", Softw. Pract. Exper.
 * 51 (2021): the mantissa, shifted up to 64 bits, times the leading 64 bits of
 * the power of five, and 64 more where those leave the rounding open. N.
 * Mushtak and D. Lemire, "Fast number parsing without fallback", Softw. Pract.
 * Exper. 53 (2023), prove that this always decides. Binary exponents follow
 * the 2021 paper, section 5.
 */
#include "base/decimal.h"

#include "base/fives.h"
#include "base/wide.h"

#include <math.h>
#include <string.h>

const double decimal_tens[DECIMAL_TENS + 1] = {
    1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
    1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

#define FRACTION_BITS 52
#define HIDDEN_BIT (UINT64_C(1) << FRACTION_BITS)
#define EXPONENT_OVER 0x7ff /* infinity's */
/* Only with these powers can a 64-bit mantissa lie halfway between doubles
 * (2021, section 9.1). */
#define HALFWAY_LEAST (-4)
#define HALFWAY_MOST 23

static int leading_zeros(uint64_t value) {
#ifdef __GNUC__
    return __builtin_clzll(value);
#else
    int zeros = 0;
    for (; (value >> 63) == 0; value <<= 1) {
        zeros++;
    }
    return zeros;
#endif
}

static double double_of(uint64_t fraction, int exponent) {
    uint64_t bits = (fraction & (HIDDEN_BIT - 1)) |
                    ((uint64_t)(unsigned)exponent << FRACTION_BITS);
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

/* The leading bits of mantissa * 5^power: at least 55 of them right. */
static wide product_of(uint64_t mantissa, int power) {
    const uint64_t *five = fives[power - FIVES_LEAST];
    wide first = wide_product(mantissa, five[0]);
    const uint64_t below = UINT64_MAX >> (FRACTION_BITS + 3);
    if ((first.high & below) == below) {
        uint64_t carry = wide_product(mantissa, five[1]).high;
        first.low += carry;
        first.high += first.low < carry;
    }
    return first;
}

/* mantissa has 54 bits, the last for rounding; exponent is below 1. */
static double subnormal(uint64_t mantissa, int exponent) {
    if (exponent <= -63) {
        return 0.0;
    }
    mantissa >>= 1 - exponent;
    mantissa = (mantissa + (mantissa & 1)) >> 1;
    return double_of(mantissa, mantissa >= HIDDEN_BIT);
}

/* floor(log2(10^ten)), exact in the table's range: 217706 / 2^16 is log2(10)
 * a little rounded down. */
static int binary_exponent(int ten) {
    int scaled = ten * 217706;
    return (scaled - (scaled & 0xffff)) / 65536;
}

double decimal_nearest(uint64_t mantissa, int64_t power) {
    if (mantissa == 0 || power < FIVES_LEAST) {
        return 0.0; /* 2^64 * 10^-343 is below half the least subnormal */
    }
    if (power > FIVES_MOST) {
        return (double)INFINITY;
    }
    int ten = (int)power;
    int zeros = leading_zeros(mantissa);
    wide product = product_of(mantissa << zeros, ten);
    int top = (int)(product.high >> 63);
    int shift = top + 64 - FRACTION_BITS - 3;
    uint64_t kept = product.high >> shift;
    int exponent = binary_exponent(ten) + 63 + top - zeros + 1023;
    if (exponent <= 0) {
        return subnormal(kept, exponent);
    }
    if (product.low <= 1 && ten >= HALFWAY_LEAST && ten <= HALFWAY_MOST &&
        (kept & 3) == 1 && kept << shift == product.high) {
        kept--; /* halfway, and the even neighbour is below */
    }
    kept = (kept + (kept & 1)) >> 1;
    if (kept == HIDDEN_BIT << 1) {
        exponent++; /* all ones rounded up; the fraction is zero */
    }
    return exponent >= EXPONENT_OVER ? (double)INFINITY
                                     : double_of(kept, exponent);
}
