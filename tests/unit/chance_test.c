/*
 * chance_test.c - random numbers: the published sequence, the bell's moments,
 * Student's t.
 */
#include "support/check.h"

#include "base/chance.h"

#include <math.h>
#include <stdlib.h>

/* splitmix64 from seed 1234567, as the algorithm's reference prints it (from
 * memory). */
static void test_chance_sequence(void **state) {
    (void)state;
    static const uint64_t published[] = {
        UINT64_C(6457827717110365317),  UINT64_C(3203168211198807973),
        UINT64_C(9817491932198370423),  UINT64_C(4593380528125082431),
        UINT64_C(16408922859458223821),
    };
    chance by = {1234567};
    for (size_t i = 0; i < sizeof published / sizeof published[0]; i++) {
        assert_true(chance_next(&by) == published[i]);
    }
}

static void test_chance_parts_differ(void **state) {
    (void)state;
    chance a = chance_start(1, 0);
    chance again = chance_start(1, 0);
    chance b = chance_start(1, 1);
    chance c = chance_start(2, 0);
    uint64_t first = chance_next(&a);
    assert_true(first == chance_next(&again));
    assert_false(first == chance_next(&b));
    assert_false(first == chance_next(&c));
}

/* A million draws: a moment's standard error is 0.001 times a factor below 4;
 * the tolerances are five of it. The fourth moment of twelve uniforms is 2.9.
 */
static void test_chance_bell(void **state) {
    (void)state;
    chance by = chance_start(7, 0);
    double sums[4] = {0};
    size_t beyond = 0;
    const size_t draws = 1000000;
    for (size_t i = 0; i < draws; i++) {
        double z = chance_bell(&by);
        sums[0] += z;
        sums[1] += z * z;
        sums[2] += z * z * z;
        sums[3] += z * z * z * z;
        beyond += fabs(z) > 1.96;
    }
    double n = (double)draws;
    check_close(sums[0] / n, 0.0, 0.005, "");
    check_close(sums[1] / n, 1.0, 0.007, "");
    check_close(sums[2] / n, 0.0, 0.02, "");
    check_close(sums[3] / n, 2.9, 0.05, "");
    /* 5 % of a normal curve; twelve uniforms differ by less than 0.1 %. */
    check_close((double)beyond / n, 0.05, 0.002, "");
}

/* Two-sided 5 % points of tables of Student's t: 2.776 for 4, 2.365 for 7
 * degrees of freedom. 200,000 draws: standard error 0.0005. */
static void test_chance_student(void **state) {
    (void)state;
    static const struct {
        unsigned freedom;
        double point;
    } table[] = {{4, 2.776}, {7, 2.365}};
    for (size_t k = 0; k < 2; k++) {
        chance by = chance_start(11, k);
        size_t beyond = 0;
        for (size_t i = 0; i < 200000; i++) {
            beyond +=
                fabs(chance_student(&by, table[k].freedom)) > table[k].point;
        }
        check_close((double)beyond / 200000.0, 0.05, 0.0025, "");
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_chance_sequence),
        cmocka_unit_test(test_chance_parts_differ),
        cmocka_unit_test(test_chance_bell),
        cmocka_unit_test(test_chance_student),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
