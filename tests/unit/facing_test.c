/*
 * facing_test.c - blocks of vectors and what is opposite to them, against
 * looking at each vector, and chords where the view jumps in front and across
 * at once.
 */
#include "geometry/chord.h"
#include "geometry/facing.h"
#include "geometry/opposite.h"
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>

#define PI 3.14159265358979323846

static shape one;
static double value[SHAPE_MAX];
static uint32_t across[SHAPE_MAX];

/* The block that holds a vector. */
static size_t block_of(const facing *of, size_t i) {
    return i / of->width;
}

/* With sums of 3 wanted, and of less than 1, what is opposite at a distance
 * leaves at most the rest to be asked of the block. */
static void check_worth(const facing *of, size_t block, double opposite) {
    facing_worth what = facing_worth_of(of, block, value, value, 1.0, 3.0);
    assert_true(what.far <= (3.0 - opposite) * (3.0 - opposite));
    assert_true(what.near >= (1.0 - opposite) * (1.0 - opposite));
}

/* What is opposite to a vector of a block lies in the blocks that are said to
 * face it, and is found by going on from one vector to the next. */
static void check_facing(facing *of) {
    assert_true(facing_find(of, one.x, one.y, one.count));
    opposite_find(one.x, one.y, one.count, across);
    for (size_t k = 0; k < of->blocks; k++) {
        size_t at = facing_first(of, of->across[k]);
        size_t end = facing_end(of, k);
        for (size_t i = facing_first(of, k); i < end; i++) {
            facing_seek(of, k, one.x[i], one.y[i], &at);
            assert_int_equal(at, across[i]);
            check_worth(of, k, value[block_of(of, across[i])]);
        }
    }
    assert_true(of->steps <= 2 * one.count);
}

static void test_blocks(void **state) {
    (void)state;
    dice from = {61};
    facing found = {0};
    size_t narrow = 0;
    for (size_t n = 3; n < 600; n++) {
        for (size_t i = 0; i < n; i++) {
            value[i] = dice_between(&from, 0.0, 1.0);
        }
        shape_random_star(&one, &from, n, 0.2);
        check_facing(&found);
        narrow += found.narrow;
        shape_ellipse(&one, n, 9.0, n % 2 == 0 ? 9.0 : 0.5);
        check_facing(&found);
    }
    assert_true(narrow > 500);
    facing_free(&found);
}

/* Least distance along a direction to an edge. */
static double distance_along(double ux, double uy) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < one.count; i++) {
        size_t j = (i + 1) % one.count;
        double dx = one.x[j] - one.x[i];
        double dy = one.y[j] - one.y[i];
        double turn = ux * dy - uy * dx;
        double range = (one.x[i] * dy - one.y[i] * dx) / turn;
        double part = (one.x[i] * uy - one.y[i] * ux) / turn;
        if (range > 0.0 && part >= 0.0 && part <= 1.0) {
            least = fmin(range, least);
        }
    }
    return least;
}

/* From between two spikes, level with their tips: a line through both tips has
 * 3 and 8 mm on its two sides, never 8 and 8 and never 3 and 3. */
static void test_jumps_at_once(void **state) {
    (void)state;
    const double points[][2] = {
        {-8.0, -4.0}, {-5.0, -4.0}, {-3.0, 0.0}, {-3.0, -4.0}, {3.0, -4.0},
        {3.0, 0.0},   {5.0, -4.0},  {8.0, -4.0}, {8.0, 4.0},   {-8.0, 4.0}};
    enum { DIRECTIONS = 3600 };
    shape_points(&one, 10, points);
    visible view = {0};
    chord_finder chords = {0};
    double least = HUGE_VAL;
    double greatest = 0.0;
    for (int k = 0; k < DIRECTIONS; k++) {
        /* None of them that of a corner. */
        double angle = PI * (k + 0.123) / DIRECTIONS;
        double chord = distance_along(cos(angle), sin(angle)) +
                       distance_along(-cos(angle), -sin(angle));
        least = fmin(chord, least);
        greatest = fmax(chord, greatest);
    }
    for (int turn = 0; turn < 1000; turn++) {
        chord_extremes found;
        assert_true(visible_from(&view, one.x, one.y, one.count, 0.0, 0.0));
        assert_true(chord_find(&chords, &view, &found));
        /* In a thousandth of a radian a chord changes by less than 0.05. */
        assert_true(found.greatest >= greatest - 1e-12 &&
                    found.greatest < greatest + 0.05);
        assert_true(found.least <= least + 1e-12 && found.least > least - 0.05);
        shape_rotate(&one, 17.3);
    }
    visible_free(&view);
    chord_free(&chords);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_blocks),
        cmocka_unit_test(test_jumps_at_once),
    };
    return cmocka_run_group_tests_name("facing", tests, NULL, NULL);
}
