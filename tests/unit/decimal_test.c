/*
 * decimal_test.c - the table of powers of five against exact arithmetic of its
 * own, and the two ways to multiply against each other.
 */
#include "support/check.h"

#include "base/decimal.h"
#include "base/fives.h"
#include "base/wide.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Little-endian; 5^342 has 795 bits, and 128 more in products. */
#define LIMBS 32
typedef struct whole {
    uint32_t limb[LIMBS];
} whole;

static void whole_times(whole *of, uint32_t factor) {
    uint64_t carry = 0;
    for (unsigned i = 0; i < LIMBS; i++) {
        carry += (uint64_t)of->limb[i] * factor;
        of->limb[i] = (uint32_t)carry;
        carry >>= 32;
    }
    assert_true(carry == 0);
}

static whole whole_five(int power) {
    whole out = {{1}};
    for (; power > 0; power--) {
        whole_times(&out, 5);
    }
    return out;
}

static unsigned whole_bits(const whole *of) {
    unsigned bits = 32 * LIMBS;
    while (bits > 0 &&
           (of->limb[(bits - 1) / 32] >> ((bits - 1) % 32) & 1) == 0) {
        bits--;
    }
    return bits;
}

static uint32_t entry_limb(const uint64_t entry[2], unsigned i) {
    return (uint32_t)(entry[1 - i / 2] >> (32 * (i % 2)));
}

/* of * (entry + step), where step is 0, 1 or -1. */
static whole whole_times_entry(const whole *of, const uint64_t entry[2],
                               int step) {
    whole out = {{0}};
    for (unsigned i = 0; i < 4; i++) {
        uint64_t carry = 0;
        for (unsigned k = 0; k + i < LIMBS; k++) {
            carry +=
                (uint64_t)of->limb[k] * entry_limb(entry, i) + out.limb[k + i];
            out.limb[k + i] = (uint32_t)carry;
            carry >>= 32;
        }
        assert_true(carry == 0);
    }
    uint64_t carry = 0;
    for (unsigned k = 0; k < LIMBS; k++) {
        carry += out.limb[k];
        carry += step > 0 ? of->limb[k] : 0;
        carry -= step < 0 ? of->limb[k] : 0;
        out.limb[k] = (uint32_t)carry;
        carry = (uint64_t)((int64_t)carry >> 32);
    }
    return out;
}

static bool is_normalised(const uint64_t entry[2]) {
    return entry[0] >> 63 == 1;
}

/* The entry is floor(5^power / 2^k), or 5^power * 2^k, of 128 bits. */
static void test_powers_of_five(void **state) {
    (void)state;
    for (int power = 0; power <= FIVES_MOST; power++) {
        const uint64_t *entry = fives[power - FIVES_LEAST];
        whole five = whole_five(power);
        unsigned bits = whole_bits(&five);
        assert_true(is_normalised(entry));
        for (unsigned i = 0; i < 128; i++) {
            /* Bit i of the entry is this bit of the power. */
            int place = (int)bits - 128 + (int)i;
            unsigned is = entry_limb(entry, i / 32) >> (i % 32) & 1;
            unsigned ought =
                place < 0 ? 0 : five.limb[place / 32] >> (place % 32) & 1;
            if (is != ought) {
                fail_msg("5^%d, bit %u", power, i);
            }
        }
    }
}

/* The entry c times 5^-power lies beside a power of two, which it would be
 * were c not rounded: c * five < 2^k < (c + 1) * five where c is rounded down,
 * (c - 1) * five < 2^k < c * five where it is rounded up. An integer's bits
 * tell on which side of a power of two it is. */
static void test_reciprocals_of_powers_of_five(void **state) {
    (void)state;
    for (int power = FIVES_LEAST; power < 0; power++) {
        const uint64_t *entry = fives[power - FIVES_LEAST];
        bool rounded_up = power >= -27;
        whole five = whole_five(-power);
        whole below = whole_times_entry(&five, entry, rounded_up ? -1 : 0);
        whole above = whole_times_entry(&five, entry, rounded_up ? 0 : 1);
        assert_true(is_normalised(entry));
        if (whole_bits(&below) + 1 != whole_bits(&above)) {
            fail_msg("5^%d", power);
        }
    }
}

static void test_products(void **state) {
    (void)state;
    dice from = {64};
    for (int i = 0; i < 100000; i++) {
        uint64_t a = dice_next(&from) >> (i % 64);
        uint64_t b = dice_next(&from) >> (i / 64 % 64);
        a = i % 7 == 0 ? ~a : a;
        wide is = wide_by_halves(a, b);
        wide ought = wide_product(a, b);
        assert_true(is.high == ought.high && is.low == ought.low);
    }
    wide most = wide_by_halves(UINT64_MAX, UINT64_MAX);
    assert_true(most.high == UINT64_MAX - 1 && most.low == 1);
}

/* Exponents far outside the table, with the mantissas that reach furthest. */
static void test_ends_of_the_range(void **state) {
    (void)state;
    assert_true(decimal_nearest(UINT64_MAX, -343) <= 0.0);
    assert_true(decimal_nearest(UINT64_MAX, -342) > 0.0);
    assert_true(decimal_nearest(UINT64_MAX, INT64_MIN) <= 0.0);
    assert_true(isinf(decimal_nearest(1, 309)));
    assert_true(isfinite(decimal_nearest(1, 308)));
    assert_true(isinf(decimal_nearest(1, INT64_MAX)));
    assert_true(decimal_nearest(0, 400) <= 0.0);
    check_relative(decimal_nearest(17976931348623157, 292),
                   0x1.fffffffffffffp1023, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_powers_of_five),
        cmocka_unit_test(test_reciprocals_of_powers_of_five),
        cmocka_unit_test(test_products),
        cmocka_unit_test(test_ends_of_the_range),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
