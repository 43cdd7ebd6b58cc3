/*
 * slack_test.c - the quantile that bounds how far the ends of a treated stretch
 * may lie.
 */
#include "compare/slack.h"
#include "support/check.h"

#include <math.h>

/* The first term of the expansion that is left out (Abramowitz and Stegun
 * 26.7.5): what a sum of so many terms is off by, to a quarter of itself. */
static double term_left_out(double n) {
    double x = 1.959963984540054;
    double x3 = x * x * x;
    double x5 = x3 * x * x;
    double x7 = x5 * x * x;
    double sum =
        79.0 * x7 * x * x + 776.0 * x7 + 1482.0 * x5 - 1920.0 * x3 - 945.0 * x;
    return sum / (92160.0 * n * n * n * n);
}

/* Student's t, 97.5 %, to three decimals: table of any handbook (Abramowitz and
 * Stegun, table 26.10). */
static void test_student(void **state) {
    (void)state;
    static const struct {
        double n;
        double t;
    } handbook[] = {{3, 3.182},  {4, 2.776},  {5, 2.571},
                    {6, 2.447},  {8, 2.306},  {10, 2.228},
                    {20, 2.086}, {30, 2.042}, {120, 1.980}};
    for (size_t i = 0; i < sizeof handbook / sizeof handbook[0]; i++) {
        double n = handbook[i].n;
        check_close(slack_student(n), handbook[i].t,
                    1.25 * term_left_out(n) + 0.0005, "quantile");
    }
    check_close(slack_student(1e9), 1.959963984540054, 1e-8, "quantile");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_student),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
