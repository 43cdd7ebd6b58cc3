/*
 * facing_test.c - blocks of vectors that face each other, against looking at
 * each vector, and chords where the view jumps in front and across at once.
 */
#include "geometry/chord.h"
#include "geometry/facing.h"
#include "support/check.h"
#include "support/shapes.h"

#include <math.h>

#define PI 3.14159265358979323846

static shape one;
static double distance[SHAPE_MAX];
static bool met[SHAPE_MAX];

static double turn(size_t a, size_t b) {
    return one.x[a] * one.y[b] - one.y[a] * one.x[b];
}

static bool load(facing *of) {
    assert_true(facing_reserve(of, one.count));
    for (size_t k = 0; k < of->blocks; k++) {
        size_t first = k * FACING_WIDTH;
        of->x[k] = one.x[first];
        of->y[k] = one.y[first];
        of->near[k] = HUGE_VAL;
        of->far[k] = 0.0;
        for (size_t i = first; i <= first + FACING_WIDTH && i <= one.count;
             i++) {
            of->near[k] = fmin(distance[i % one.count], of->near[k]);
            of->far[k] = fmax(distance[i % one.count], of->far[k]);
        }
    }
    return facing_match(of);
}

/* The last vector, going on from i, that is not beyond its opposite. */
static size_t across(size_t i) {
    size_t last = i;
    for (size_t k = 1; k < one.count; k++) {
        size_t next = (i + k) % one.count;
        if (turn(i, next) < 0.0) {
            break;
        }
        last = next;
    }
    return last;
}

/* Whether a pair of blocks holds a vector and the one across. */
static bool holds(const facing_pair *of, size_t i, size_t j) {
    size_t one_block = i / FACING_WIDTH;
    size_t other = j / FACING_WIDTH;
    return (of->front == one_block && of->back == other) ||
           (of->front == other && of->back == one_block);
}

/* Every vector and what is across are in a pair of blocks, whose sums of
 * distances are bounds on theirs. */
static void check_pairs(const facing *of) {
    assert_int_equal(of->pair_count, of->blocks);
    for (size_t i = 0; i < one.count; i++) {
        size_t j = across(i);
        bool found = false;
        for (size_t k = 0; k < of->pair_count; k++) {
            const facing_pair *pair = &of->pairs[k];
            if (holds(pair, i, j)) {
                found = true;
                assert_true(pair->near <= distance[i] + distance[j]);
                assert_true(pair->far >= distance[i] + distance[j]);
            }
        }
        assert_true(found);
    }
}

/* Goes over a span as a line does that turns, and marks the vectors that an end
 * of the line comes to. */
static void mark(const facing_span *over) {
    size_t n = one.count;
    size_t i = over->front;
    size_t j = over->back;
    if (over->from_front) {
        while (j + 1 < n && turn(i, j + 1) >= 0.0) {
            j++;
        }
    } else {
        while (i < over->front_last && turn(j, i + 1) >= 0.0) {
            i++;
        }
    }
    bool front = over->from_front;
    do {
        met[front ? i : j] = true;
        front = j == over->back_last ||
                (i < over->front_last && turn(i + 1, (j + 1) % n) <= 0.0);
        i += front;
        j += !front;
        assert_true(i <= over->front_last && j <= over->back_last);
    } while (!facing_is_over(over, i, j));
}

/* Spans meet every vector that matters, or one in line with it across: all
 * where everything is asked for, and those of a sum of distances, with what is
 * across, beyond what is. */
static void check_spans(facing *of, double least, double most) {
    for (size_t i = 0; i < one.count; i++) {
        met[i] = false;
    }
    facing_span over = facing_nearest(of);
    mark(&over);
    over = facing_furthest(of);
    mark(&over);
    for (size_t at = 0; facing_next(of, least, most, &at, &over);) {
        mark(&over);
    }
    for (size_t i = 0; i < one.count; i++) {
        size_t j = across(i);
        double sum = distance[i] + distance[j];
        bool in_line = !(turn(i, j) > 0.0);
        assert_true(met[i] || (in_line && met[j]) ||
                    (sum >= least && sum < most));
    }
}

static void check_facing(facing *of, size_t *matched) {
    if (load(of)) {
        *matched += 1;
        check_pairs(of);
        check_spans(of, HUGE_VAL, 0.0);
        load(of);
        check_spans(of, 0.3, 1.7);
    } else {
        facing_span all = facing_whole(one.count);
        mark(&all);
    }
}

static void test_blocks(void **state) {
    (void)state;
    dice from = {61};
    facing found = {0};
    size_t matched = 0;
    for (size_t n = 3; n < 600; n++) {
        for (size_t i = 0; i < n; i++) {
            distance[i] = dice_between(&from, 0.0, 1.0);
        }
        shape_random_star(&one, &from, n, 0.2);
        check_facing(&found, &matched);
        shape_ellipse(&one, n, 9.0, n % 2 == 0 ? 9.0 : 0.5);
        check_facing(&found, &matched);
    }
    assert_true(matched > 1000);
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
        assert_true(chord_find(&chords, &view, NULL, &found));
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
