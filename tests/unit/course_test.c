/*
 * course_test.c - stretches below a level and their shoulders, against plain
 * walks over small random courses, and over a long one that has a stretch at
 * every other node.
 */
#include "assess/course.h"
#include "support/check.h"

#include <stdlib.h>

#define SMALL 40
#define LOW 0.5
#define BACK 0.8

/* Values of tenths against a level of 1, now and then on a level itself. */
static void random_course(dice *from, course_node *nodes, size_t count) {
    double x = -5.0;
    for (size_t i = 0; i < count; i++) {
        x += (double)(dice_next(from) % 4);
        nodes[i] = (course_node){.x_mm = x,
                                 .value = (double)(dice_next(from) % 11) / 10.0,
                                 .level = 1.0,
                                 .starts = i == 0 || dice_next(from) % 8 == 0,
                                 .point = i};
    }
}

/* Where the line from a to b passes BACK. */
static double passing(const course_node *a, const course_node *b) {
    double part = (BACK - a->value) / (b->value - a->value);
    return a->x_mm + part * (b->x_mm - a->x_mm);
}

/* The contract of course_shoulders, each stretch walked for itself. */
static course_end walk(const course *of, size_t from, int step) {
    size_t i = from;
    for (;;) {
        bool ends = step < 0 ? of->nodes[i].starts
                             : i + 1 == of->count || of->nodes[i + 1].starts;
        if (ends) {
            return (course_end){of->nodes[i].x_mm, true};
        }
        size_t next = step < 0 ? i - 1 : i + 1;
        if (of->nodes[next].value >= BACK) {
            return (course_end){passing(&of->nodes[i], &of->nodes[next]),
                                false};
        }
        i = next;
    }
}

static void check_end(course_end got, course_end wanted) {
    assert_int_equal(got.open, wanted.open);
    check_close(got.x_mm, wanted.x_mm, 1e-12, "mm");
}

static void test_random_courses(void **state) {
    (void)state;
    dice from = {7};
    size_t seen = 0;
    for (int round = 0; round < 5000; round++) {
        course_node nodes[SMALL];
        course of = {nodes, 1 + dice_next(&from) % SMALL};
        random_course(&from, nodes, of.count);
        arena owner = {0};
        course_stretch *found = NULL;
        size_t count = 0;
        double join = (double)(dice_next(&from) % 3) * 2.5;
        assert_int_equal(
            course_below(&of, LOW, BACK, join, &owner, &found, &count), BL_OK);
        course_ends ends[SMALL];
        course_shoulders(&of, found, count, BACK, ends);
        size_t held = 0;
        for (size_t i = 0; i < count; i++) {
            check_end(ends[i].before, walk(&of, found[i].first, -1));
            check_end(ends[i].after, walk(&of, found[i].last, 1));
            course_points among = course_points_of(&of, &found[i]);
            assert_int_equal(among.first, found[i].first);
            assert_int_equal(among.end, found[i].last + 1);
            for (size_t k = among.first; k < among.end; k++) {
                held += nodes[k].value <= LOW;
            }
        }
        /* Every node at or below the level lies in one stretch. */
        size_t below = 0;
        for (size_t i = 0; i < of.count; i++) {
            below += nodes[i].value <= LOW;
        }
        assert_int_equal(held, below);
        seen += count;
        arena_free(&owner);
    }
    assert_true(seen > 10000);
}

/* A knot of the reference is a node without a profile point of its own. */
static void test_knot_alone(void **state) {
    (void)state;
    course_node nodes[] = {
        {0.0, 0.6, 1.0, true, false, 0},
        {1.0, 0.6, 1.3, false, true, 1}, /* below 0.5 of its level: a knot */
        {2.0, 0.6, 1.0, false, false, 1},
    };
    course of = {nodes, 3};
    course_stretch knot = {{0.9, 1.1}, 1, 1};
    course_points among = course_points_of(&of, &knot);
    assert_int_equal(among.first, 1);
    assert_int_equal(among.end, 1);
    course_stretch all = {{0.0, 2.0}, 0, 2};
    among = course_points_of(&of, &all);
    assert_int_equal(among.first, 0);
    assert_int_equal(among.end, 2);
}

#define MANY ((size_t)1000000)

/* Half a million stretches that share both shoulders, half a million nodes
 * away from most of them: walked one by one, it takes minutes. */
static void test_shared_shoulders(void **state) {
    (void)state;
    course_node *nodes = calloc(MANY, sizeof *nodes);
    assert_non_null(nodes);
    for (size_t i = 0; i < MANY; i++) {
        double value = i == 0 || i + 1 == MANY ? 1.0 : i % 2 == 0 ? 0.4 : 0.6;
        nodes[i] = (course_node){(double)i, value, 1.0, i == 0, false, i};
    }
    course of = {nodes, MANY};
    arena owner = {0};
    course_stretch *found = NULL;
    size_t count = 0;
    assert_int_equal(course_below(&of, LOW, BACK, 0.0, &owner, &found, &count),
                     BL_OK);
    assert_int_equal(count, MANY / 2 - 1);
    course_ends *ends = calloc(count, sizeof *ends);
    assert_non_null(ends);
    course_shoulders(&of, found, count, BACK, ends);
    double before = passing(&nodes[1], &nodes[0]);
    double after = passing(&nodes[MANY - 2], &nodes[MANY - 1]);
    for (size_t i = 0; i < count; i++) {
        check_end(ends[i].before, (course_end){before, false});
        check_end(ends[i].after, (course_end){after, false});
    }
    arena_free(&owner);
    free(ends);
    free(nodes);
}

/* Frames that all lie between gaps, all narrowed: a stretch each. */
static void test_all_alone(void **state) {
    (void)state;
    course_node *nodes = calloc(MANY, sizeof *nodes);
    assert_non_null(nodes);
    for (size_t i = 0; i < MANY; i++) {
        nodes[i] = (course_node){.x_mm = 6.0 * (double)i,
                                 .value = 0.4,
                                 .level = 1.0,
                                 .starts = true,
                                 .point = i};
    }
    course of = {nodes, MANY};
    arena owner = {0};
    course_stretch *found = NULL;
    size_t count = 0;
    assert_int_equal(course_below(&of, LOW, BACK, 5.0, &owner, &found, &count),
                     BL_OK);
    assert_int_equal(count, MANY);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(found[i].first, i);
        assert_int_equal(found[i].last, i);
    }
    arena_free(&owner);
    free(nodes);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random_courses),
        cmocka_unit_test(test_knot_alone),
        cmocka_unit_test(test_shared_shoulders),
        cmocka_unit_test(test_all_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
