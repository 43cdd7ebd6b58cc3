/*
 * octets_test.c - eight bytes of text at a time, against the same byte by
 * byte. On a big-endian machine there is nothing to test.
 */
#include "support/check.h"

#include "read/plain.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* Digits with, one time in two, some other byte among them. */
static void random_bytes(dice *from, char text[9]) {
    uint64_t odd = dice_next(from) % 16;
    for (unsigned i = 0; i < 8; i++) {
        text[i] = (char)('0' + dice_next(from) % 10);
        if (i == odd) {
            text[i] = (char)(dice_next(from) % 256);
        }
    }
    text[8] = '\0';
}

static void test_digits_are_told(void **state) {
    (void)state;
    dice from = {3};
    for (int i = 0; i < 200000; i++) {
        char text[9];
        random_bytes(&from, text);
        size_t digits = 0;
        while (digits < 8 && is_digit(text[digits])) {
            digits++;
        }
        uint64_t word = octets_load(text) ^ OCTETS_ZEROS;
        uint64_t wrong = octets_wrong(word) & OCTETS_HIGH;
        assert_int_equal(wrong == 0, digits == 8);
        if (wrong != 0) {
            assert_int_equal(octets_before(wrong), digits);
        } else {
            assert_int_equal(octets_value(word), strtoull(text, NULL, 10));
        }
    }
}

static void test_masks(void **state) {
    (void)state;
    for (size_t count = 0; count <= 8; count++) {
        char bytes[8] = {0};
        memset(bytes, 0xff, count);
        assert_true(octets_mask(count) == octets_load(bytes));
    }
}

static void test_both_ways_to_divide(void **state) {
    (void)state;
    static const double by[] = {1, 10, -1000, 1e7, -1e5};
    dice from = {5};
    for (unsigned i = 0; i < 200000; i++) {
        char one[9];
        char two[9];
        random_bytes(&from, one);
        random_bytes(&from, two);
        uint64_t first = octets_load(one) ^ OCTETS_ZEROS;
        uint64_t second = octets_load(two) ^ OCTETS_ZEROS;
        double is[2];
        double ought[2];
        uint64_t wrong = octets_quotients(first, second, by[i % 5],
                                          by[i / 5 % 5], &is[0], &is[1]);
        uint64_t other = octets_quotients_plain(
            first, second, by[i % 5], by[i / 5 % 5], &ought[0], &ought[1]);
        assert_int_equal(wrong == 0, other == 0);
        if (wrong == 0) {
            assert_memory_equal(is, ought, sizeof is);
            check_relative(is[0] * by[i % 5], strtod(one, NULL), 1e-15);
        }
    }
}

/* A number of any spelling, with anything behind it. */
static void random_number(dice *from, char text[64]) {
    static const char after[] = ",;\t\n\r .-eE+\"x9\xff";
    char *at = text;
    if (dice_next(from) % 3 == 0) {
        *at++ = '-';
    }
    uint64_t whole = dice_next(from) % 21;
    uint64_t decimals = dice_next(from) % 21;
    for (uint64_t i = 0; i < whole; i++) {
        *at++ = (char)('0' + dice_next(from) % 10);
    }
    if (dice_next(from) % 4 != 0) {
        *at++ = '.';
        for (uint64_t i = 0; i < decimals; i++) {
            *at++ = (char)('0' + dice_next(from) % 10);
        }
    }
    *at++ = after[dice_next(from) % (sizeof after - 1)];
    memset(at, ' ', 12);
    at[12] = '\0';
}

static void test_both_ways_to_read_numbers(void **state) {
    (void)state;
    dice from = {8};
    unsigned read = 0;
    for (int i = 0; i < 200000; i++) {
        char text[64];
        random_number(&from, text);
        const char *end = text + strlen(text);
        plain words = {text, end, PLAIN_WORDS};
        plain bytes = {text, end, PLAIN_BYTES};
        double by_words = 0;
        double by_bytes = 0;
        spelling as[2] = {0};
        bool fine = plain_number(&words, &by_words, &as[0]);
        assert_int_equal(fine, plain_number(&bytes, &by_bytes, &as[1]));
        if (fine) {
            double ought = strtod(text, NULL);
            read++;
            assert_ptr_equal(words.at, bytes.at);
            assert_memory_equal(&by_words, &by_bytes, sizeof by_words);
            assert_int_equal(as[0].negative, as[1].negative);
            assert_int_equal(as[0].whole, as[1].whole);
            assert_int_equal(as[0].decimals, as[1].decimals);
            /* strtod also reads an exponent. */
            if (*words.at != 'e' && *words.at != 'E') {
                assert_memory_equal(&by_words, &ought, sizeof ought);
            }
        }
    }
    assert_true(read > 50000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_digits_are_told),
        cmocka_unit_test(test_masks),
        cmocka_unit_test(test_both_ways_to_divide),
        cmocka_unit_test(test_both_ways_to_read_numbers),
    };
    return OCTETS_HERE ? cmocka_run_group_tests(tests, NULL, NULL) : 0;
}
