/*
 * inscribed_test.c - the largest circle in closed forms, and the growth of the
 * search on contours made to be slow, counted in cells.
 */
#include "geometry/inscribed.h"
#include "support/check.h"

#include <math.h>
#include <stdlib.h>

#define PI 3.14159265358979323846

static double circle_in(const double *x, const double *y, size_t count,
                        size_t *cells) {
    double diameter = 0.0;
    inscribed_finder *finder = inscribed_new();
    assert_non_null(finder);
    assert_int_equal(inscribed_find(finder, x, y, count, &diameter), BL_OK);
    *cells = inscribed_work(finder);
    inscribed_free(finder);
    return diameter;
}

/* Never too large, and at most 1e-4 mm too small. */
static void check_circle(double found, double exact) {
    assert_true(found <= exact * (1.0 + 1e-12));
    assert_true(found >= exact - 1e-4);
}

/* A ring of inner radius 4 and outer 7 with a slot: the circle has diameter 3
 * but for the chords' sagitta, 7 (1 - cos(pi/n)) at each wall. */
static void test_ring(void **state) {
    (void)state;
    enum { HALF = 2000 };
    static double x[2 * HALF];
    static double y[2 * HALF];
    size_t cells;
    for (size_t i = 0; i < HALF; i++) {
        double angle = 0.2 + 5.8 * (double)i / (HALF - 1);
        x[i] = 7.0 * cos(angle);
        y[i] = 7.0 * sin(angle);
        x[2 * HALF - 1 - i] = 4.0 * cos(angle);
        y[2 * HALF - 1 - i] = 4.0 * sin(angle);
    }
    double sagitta = 7.0 * (1.0 - cos(2.9 / (HALF - 1)));
    double found = circle_in(x, y, 2 * (size_t)HALF, &cells);
    check_close(found, 3.0, 1e-4 + 2.0 * sagitta, "mm");
    assert_true(found <= 3.0);
}

/* A triangle as thin as a hair: 4 area / perimeter (handbook). */
static void test_hair(void **state) {
    (void)state;
    const double x[] = {0.0, 100.0, 0.0};
    const double y[] = {0.0, 0.005, 0.01};
    size_t cells;
    double perimeter = 0.01 + 2.0 * sqrt(100.0 * 100.0 + 0.005 * 0.005);
    check_circle(circle_in(x, y, 3, &cells), 4.0 * 0.5 / perimeter);
}

/* A comb of 50,000 teeth, 1 wide: every tooth holds nearly the same circle,
 * the worst there is for a search that prunes. Cells stay in proportion. */
static void test_comb(void **state) {
    (void)state;
    enum { TEETH = 25000, COUNT = 4 * TEETH + 2 };
    double *x = malloc(COUNT * sizeof *x);
    double *y = malloc(COUNT * sizeof *y);
    size_t count = 0;
    size_t cells;
    assert_non_null(x);
    assert_non_null(y);
    for (size_t i = 0; i < TEETH; i++) {
        double from = 0.02 * (double)i;
        const double tooth[4][2] = {
            {from, 1.0}, {from, 9.0}, {from + 0.01, 9.0}, {from + 0.01, 1.0}};
        for (size_t k = 0; k < 4; k++) {
            x[count] = tooth[k][0];
            y[count] = tooth[k][1];
            count++;
        }
    }
    x[count] = x[count - 1];
    y[count++] = 0.0;
    x[count] = 0.0;
    y[count++] = 0.0;
    /* Below the teeth lies a strip, 1 high. Its circle bulges into a mouth
     * 0.01 wide until it touches both corners: (1-r)^2 + 0.005^2 = r^2. */
    check_circle(circle_in(x, y, count, &cells), 1.0 + 0.005 * 0.005);
    assert_true(cells < 40 * count);
    free(x);
    free(y);
}

/* 2,000 equal teeth in 20 mm: the search would take minutes; it ends at its
 * bound, and says that it does not know. */
static void test_bound_on_work(void **state) {
    (void)state;
    enum { TEETH = 2000, COUNT = 4 * TEETH };
    static double x[COUNT];
    static double y[COUNT];
    size_t cells;
    for (size_t i = 0; i < TEETH; i++) {
        double from = 0.01 * (double)i;
        for (size_t k = 0; k < 4; k++) {
            x[4 * i + k] = from + (k < 2 ? 0.0 : 0.005);
            y[4 * i + k] = k == 0 || k == 3 ? 0.0 : 20.0;
        }
    }
    y[0] = -0.004;
    y[COUNT - 1] = -0.004;
    check_unknown(circle_in(x, y, COUNT, &cells));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ring),
        cmocka_unit_test(test_hair),
        cmocka_unit_test(test_comb),
        cmocka_unit_test(test_bound_on_work),
    };
    return cmocka_run_group_tests_name("inscribed", tests, NULL, NULL);
}
