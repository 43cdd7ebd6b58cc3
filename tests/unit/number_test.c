/*
 * number_test.c - text to double, against strtod: see support/numerals.h.
 */
#include "support/check.h"
#include "support/numerals.h"

#include "base/number.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double double_of(uint64_t bits) {
    double value = 0;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static void check_same(const char *text) {
    if (!numeral_reads_right(text)) {
        double value = -1;
        size_t used = number_scan(text, strlen(text), '.', &value);
        fail_msg("'%.60s': used %zu, %.17g, expected %.17g", text, used, value,
                 strtod(text, NULL));
    }
}

static void test_plain_values(void **state) {
    (void)state;
    static const char *const texts[] = {
        "0",
        "-0",
        "+0",
        "0.0",
        "000",
        "1",
        "-1",
        "+1",
        "12.5",
        "-8.901",
        ".5",
        "-.5",
        "0.1",
        "0.3",
        "4.567",
        "1e0",
        "1E5",
        "1e+5",
        "1e-5",
        "123456789012345678",
        "9007199254740991",
        "9007199254740992",
        "9007199254740993",
        "9007199254740994",
        "9007199254740995",
        "-9007199254740993",
        "9007199254740993.00000000000000000000000001",
        "18446744073709551615",
        "18446744073709551616",
        "1e22",
        "1e23",
        "9007199254740992e22",
        "9007199254740993e22",
        "1e-22",
        "1e-23",
        "8.5e22",
        "89255.0e-22",
        "0000000000000000000000000000001.5",
        "0.00000000000000000000000000015",
        "1e308",
        "1.7976931348623157e308",
        "1.7976931348623158e308",
        "1.7976931348623159e308",
        "1.8e308",
        "1e309",
        "1e310",
        "1e400",
        "2.2250738585072014e-308",
        "2.2250738585072013e-308",
        "2.2250738585072012e-308",
        "2.2250738585072011e-308",
        "2.225073858507201e-308",
        "4.9406564584124654e-324",
        "5e-324",
        "2.4703282292062327e-324",
        "2.4703282292062328e-324",
        "2.47032822920623272088284396434110686182e-324",
        "2e-324",
        "1e-324",
        "1e-400",
        "0e999999999",
        "0e-999999999",
        "1e99999999999",
        "-1e99999999999",
        "1e-99999999999",
        "1e18446744073709551617",
        "1e-18446744073709551617",
        "6.9294956446009195e15",
        "7.8459735791271921e65",
        "3.5844466002796428e298",
        "1448997445238699",
        "100000000000000016777215",
        "100000000000000016777216",
        "0.500000000000000166533453693773481063",
        "3.518437208883201171875e13",
        "62.5364939768271845828",
        "8.10109172351e-10",
        "1.50000000000000011102230246251565"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        check_same(texts[i]);
    }
}

/* The midpoint of two neighbouring doubles, written out exactly, and the
 * same with its last digit moved: ties to even, neighbours to the nearer. */
static void test_halfway_between_doubles(void **state) {
    (void)state;
    dice from = {42};
    for (int i = 0; i < 3000; i++) {
        uint64_t bits = dice_next(&from) & UINT64_C(0x7fffffffffffffff);
        if (i % 3 == 0) {
            bits &= UINT64_C(0x003fffffffffffff); /* about the subnormals */
        }
        double low = double_of(bits);
        double high = double_of(bits + 1);
        if (!isfinite(low) || !isfinite(high)) {
            continue;
        }
        /* long double holds 64 bits: the midpoint is exact. */
        char text[1200];
        long double middle = ((long double)low + (long double)high) / 2;
        snprintf(text, sizeof text, "%.1100Lf", middle);
        check_same(text);
        char *digit = text + strlen(text) - 1;
        *digit = '1';
        check_same(text);
        snprintf(text, sizeof text, "%.780Le", middle);
        check_same(text);
        char *e = strchr(text, 'e');
        e[-1] = '1';
        check_same(text);
        while (--e > text && *e == '0') {
        }
        snprintf(text, sizeof text, "%.*Le", 765, middle);
        check_same(text);
    }
}

/* A sample of what `make number-exhaust` reads. */
static void test_every_kind_of_numeral(void **state) {
    (void)state;
    static char text[NUMERAL_BYTES];
    dice from = {7};
    for (size_t i = 0; i < numeral_kind_count; i++) {
        for (uint64_t k = 0; k < 400 * numeral_kinds[i].share; k++) {
            numeral_kinds[i].write(&from, text);
            check_same(text);
        }
    }
}

static void test_powers_of_ten(void **state) {
    (void)state;
    for (int power = -350; power <= 310; power++) {
        char text[20];
        snprintf(text, sizeof text, "1e%d", power);
        check_same(text);
    }
}

static void test_very_long_numbers(void **state) {
    (void)state;
    static char text[20100];
    memset(text, '9', 400);
    text[400] = '\0';
    check_same(text);
    memcpy(text + 400, "e-390", 6);
    check_same(text);
    memset(text, '0', 20000);
    memcpy(text, "0.", 2);
    memcpy(text + 19000, "123e19000", 10);
    check_same(text);
    memset(text, '0', 20000);
    text[0] = '1';
    memcpy(text + 20000, "e-19999", 8);
    check_same(text);
    /* 2^53 + 1 is a tie; a digit 900 places on decides it. */
    memset(text, '0', 1000);
    memcpy(text, "9007199254740993.", 17);
    memcpy(text + 1000, "1", 2);
    check_same(text);
    memcpy(text + 1000, "0", 2);
    check_same(text);
}

static void test_decimal_comma(void **state) {
    (void)state;
    double value = 0;
    assert_int_equal(number_scan("3,25;", 5, ',', &value), 4);
    assert_true(value == 3.25);
    assert_int_equal(number_scan("3,25", 4, '.', &value), 1);
    assert_true(value == 3.0);
    assert_int_equal(number_scan("3.25", 4, ',', &value), 1);
}

/* How much is taken, and that what is no number leaves value alone. */
static void test_grammar(void **state) {
    (void)state;
    static const struct {
        const char *text;
        size_t used;
    } cases[] = {
        {"", 0},      {"-", 0},   {"+", 0},   {".", 0},    {"-.", 0},
        {"e5", 0},    {".e5", 0}, {" 1", 0},  {"nan", 0},  {"inf", 0},
        {"--1", 0},   {"x", 0},   {"1 ", 1},  {"1.", 1},   {"5..15", 1},
        {"1.5.2", 3}, {"1e", 1},  {"1e+", 1}, {"1ex", 1},  {"1e5e", 3},
        {"0x10", 1},  {"1_0", 1}, {"1-2", 1}, {"1.e5", 1}, {"-0.5e-3,", 7}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double value = 77;
        size_t used =
            number_scan(cases[i].text, strlen(cases[i].text), '.', &value);
        if (used != cases[i].used || (used == 0 && value != 77)) {
            fail_msg("'%s': used %zu", cases[i].text, used);
        }
    }
}

/* Nothing past `size` is read: the digits go on there. */
static void test_size_is_the_end(void **state) {
    (void)state;
    const char *text = "123.456e2";
    static const double expected[] = {1,      12,      123,     123,    123.4,
                                      123.45, 123.456, 123.456, 12345.6};
    static const size_t used[] = {1, 2, 3, 3, 5, 6, 7, 7, 9};
    for (size_t size = 1; size <= strlen(text); size++) {
        char *copy = malloc(size);
        memcpy(copy, text, size);
        double value = 0;
        assert_int_equal(number_scan(copy, size, '.', &value), used[size - 1]);
        assert_true(value == expected[size - 1]);
        free(copy);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain_values),
        cmocka_unit_test(test_halfway_between_doubles),
        cmocka_unit_test(test_every_kind_of_numeral),
        cmocka_unit_test(test_powers_of_ten),
        cmocka_unit_test(test_very_long_numbers),
        cmocka_unit_test(test_decimal_comma),
        cmocka_unit_test(test_grammar),
        cmocka_unit_test(test_size_is_the_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
