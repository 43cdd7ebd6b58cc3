/*
 * text_test.c - numbers to text. The oracle for fixed decimals is the host's
 * printf (correctly rounded in glibc), for doubles the round trip.
 */
#include "support/check.h"

#include "base/number.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void check_fixed(double value, unsigned decimals) {
    char expected[FIXED_BYTES + 1];
    char buffer[FIXED_BYTES];
    snprintf(expected, sizeof expected, "%.*f", (int)decimals, value);
    const char *want = expected;
    if (*want == '-' && strspn(want + 1, "0.") == strlen(want + 1)) {
        want++; /* never "-0.00" */
    }
    size_t size = fixed_write(buffer, value, decimals);
    if (size != strlen(want) || memcmp(buffer, want, size) != 0) {
        fail_msg("%.17g with %u: '%.*s', expected '%s'", value, decimals,
                 (int)size, buffer, want);
    }
}

static void test_fixed_random(void **state) {
    (void)state;
    dice from = {5};
    for (int i = 0; i < 40000; i++) {
        double scale = pow(10, dice_between(&from, -12, 18));
        double value = dice_between(&from, -1, 1) * scale;
        check_fixed(value, (unsigned)(i % 18));
    }
}

/* k + 1/2 in the last place: exact ties, and decimals that only look so. */
static void test_fixed_ties(void **state) {
    (void)state;
    for (int k = -4000; k <= 4000; k++) {
        check_fixed(k / 2.0, 0);
        check_fixed(k / 8.0, 2);
        check_fixed(k / 16.0, 3);
        check_fixed(k * 0.005, 2);
        check_fixed(k * 0.00005, 4);
        check_fixed(k / 1048576.0, 7);
        check_fixed(nextafter(k * 0.00005, 1e9), 4);
        check_fixed(nextafter(k * 0.00005, -1e9), 4);
    }
}

static void test_fixed_ends(void **state) {
    (void)state;
    static const double values[] = {0.0,
                                    -0.0,
                                    1.7976931348623157e308,
                                    -1.7976931348623157e308,
                                    5e-324,
                                    4503599627370496.5,
                                    4503599627370495.5,
                                    9007199254740991.0,
                                    9007199254740993.0,
                                    0.99999999999,
                                    -0.00004,
                                    999999.99995};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        for (unsigned decimals = 0; decimals <= 17; decimals++) {
            check_fixed(values[i], decimals);
        }
    }
    text out = {0};
    text_fixed(&out, (double)NAN, 4);
    text_fixed(&out, (double)INFINITY, 4);
    assert_int_equal(out.size, 0);
    text_free(&out);
}

/* What printf prints, without the zeros at its end. */
static void test_short(void **state) {
    (void)state;
    dice from = {6};
    for (int i = 0; i < 20000; i++) {
        unsigned most = (unsigned)(i % 7);
        double value = dice_between(&from, -1e4, 1e4);
        value = i % 3 == 0 ? value : round(value * 20.0) / (i % 2 ? 20 : 200);
        char want[FIXED_BYTES];
        int size = snprintf(want, sizeof want, "%.*f", (int)most, value);
        while (strchr(want, '.') != NULL && want[size - 1] == '0') {
            want[--size] = '\0';
        }
        want[size - 1] = want[size - 1] == '.' ? '\0' : want[size - 1];
        text out = {0};
        text_short(&out, value, most);
        assert_string_equal(text_c(&out), strcmp(want, "-0") == 0 ? "0" : want);
        text_free(&out);
    }
    text out = {0};
    text_short(&out, (double)NAN, 4);
    assert_int_equal(out.size, 0);
    text_free(&out);
}

static void test_double_round_trip(void **state) {
    (void)state;
    dice from = {11};
    for (int i = 0; i < 40000; i++) {
        uint64_t bits = dice_next(&from);
        double value = 0;
        memcpy(&value, &bits, sizeof value);
        if (i % 2 == 0) {
            value = dice_between(&from, -1000, 1000);
        }
        text out = {0};
        text_double(&out, value);
        if (!isfinite(value)) {
            assert_string_equal(text_c(&out), "null");
        } else {
            double back = strtod(text_c(&out), NULL);
            assert_memory_equal(&back, &value, sizeof back);
        }
        text_free(&out);
    }
}

static void test_double_is_short(void **state) {
    (void)state;
    static const struct {
        double value;
        const char *expected;
    } cases[] = {{0.1, "0.1"},      {67.9, "67.9"},
                 {0.0, "0"},        {1.0 / 3, "0.3333333333333333"},
                 {1e300, "1e+300"}, {0.1 + 0.2, "0.30000000000000004"},
                 {-12.5, "-12.5"},  {600, "600"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        text out = {0};
        text_double(&out, cases[i].value);
        assert_string_equal(text_c(&out), cases[i].expected);
        text_free(&out);
    }
}

static bl_status sink_count(void *context, const char *bytes, size_t size) {
    (void)bytes;
    *(size_t *)context += size;
    return BL_OK;
}

static void test_growing_and_flushing(void **state) {
    (void)state;
    text out = {0};
    size_t total = 0;
    for (int i = 0; i < 1000; i++) {
        text_format(&out, "%d %s;", i, "word");
    }
    assert_int_equal(out.size, 1000 * 6 + 10 + 90 * 2 + 900 * 3);
    assert_int_equal(strlen(text_c(&out)), out.size);
    assert_int_equal(text_flush(&out, sink_count, &total), BL_OK);
    assert_int_equal(total, 8890);
    assert_int_equal(out.size, 0);
    assert_int_equal(text_flush(&out, sink_count, &total), BL_OK);
    assert_int_equal(total, 8890);
    text_free(&out);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fixed_random),
        cmocka_unit_test(test_fixed_ties),
        cmocka_unit_test(test_fixed_ends),
        cmocka_unit_test(test_short),
        cmocka_unit_test(test_double_round_trip),
        cmocka_unit_test(test_double_is_short),
        cmocka_unit_test(test_growing_and_flushing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
