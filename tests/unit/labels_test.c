/*
 * labels_test.c - rows of labels that have no room for all: against leaving
 * out one after the other, and with as many labels as a table has frames.
 */
#include "draw/advance.h"
#include "draw/labels.h"
#include "support/check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SMALL 40
#define EM 2.5
#define GAP (1.1 * EM) /* labels.c: between two labels */

static const char *const shortest[] = {"1", "75", "100", "least"};

static void random_labels(dice *from, label *labels, size_t count,
                          double room) {
    for (size_t i = 0; i < count; i++) {
        labels[i] = (label){
            .texts = {"a long text, which never has room", "a shorter text",
                      shortest[dice_next(from) % 4]},
            .wanted_x = dice_between(from, 0.0, room),
            /* Of the same worth now and then. */
            .worth = (double)(dice_next(from) % 9),
            .bold = dice_next(from) % 5 == 0,
        };
    }
}

static double width_of(const label *of) {
    return advance_of(of->texts[2], EM, of->bold) + GAP;
}

static int index_of_least(const label *labels, size_t count, const bool *gone) {
    int least = -1;
    for (size_t i = 0; i < count; i++) {
        if (!gone[i] && (least < 0 || labels[i].worth < labels[least].worth)) {
            least = (int)i;
        }
    }
    return least;
}

static void check_row(const label *labels, size_t count, double x0, double x1) {
    double end = x0 - GAP / 2.0;
    for (size_t i = 0; i < count; i++) {
        if (labels[i].shown != NULL) {
            double half =
                0.5 * (advance_of(labels[i].shown, EM, labels[i].bold) + GAP);
            assert_true(labels[i].x - half >= end - 1e-9);
            end = labels[i].x + half;
        }
    }
    assert_true(end <= x1 + GAP / 2.0 + 1e-9);
}

/* The least worthy is left out, the first of several, until the others fit. */
static void test_against_one_by_one(void **state) {
    (void)state;
    dice from = {97};
    size_t thinned = 0;
    for (int round = 0; round < 2000; round++) {
        arena memory = {0};
        page on = {.memory = &memory, .em = EM};
        label labels[SMALL];
        size_t count = 1 + dice_next(&from) % SMALL;
        double room = dice_between(&from, 1.0, 120.0);
        random_labels(&from, labels, count, room);
        size_t left_out = labels_place(&on, labels, count, 10.0, 10.0 + room);
        assert_false(on.failed);
        bool gone[SMALL] = {false};
        double total = 0.0;
        for (size_t i = 0; i < count; i++) {
            total += width_of(&labels[i]);
        }
        size_t wanted = 0;
        while (wanted < count && total > room + GAP) {
            int least = index_of_least(labels, count, gone);
            gone[least] = true;
            total -= width_of(&labels[least]);
            wanted++;
        }
        assert_int_equal(left_out, wanted);
        for (size_t i = 0; i < count; i++) {
            assert_int_equal(labels[i].shown == NULL, gone[i]);
        }
        check_row(labels, count, 10.0, 10.0 + room);
        thinned += wanted > 0;
        arena_free(&memory);
    }
    assert_true(thinned > 1000);
}

/* Whether a text of one label, no longer than shown, would keep clear of the
 * ends and of the others where they stand. */
static bool has_room(const label *labels, size_t count, size_t index,
                     const char *words, double x1) {
    const label *of = &labels[index];
    double half = 0.5 * advance_of(words, EM, of->bold);
    bool room = of->x - half >= 10.0 && of->x + half <= x1;
    for (size_t i = 0; i < count; i++) {
        if (i != index && labels[i].shown != NULL) {
            double taken =
                0.5 * advance_of(labels[i].shown, EM, labels[i].bold);
            room = room && fabs(labels[i].x - of->x) >= half + taken + GAP;
        }
    }
    return room;
}

/* Where they stand labels keep clear, and none could be longer. */
static void test_lengthened(void **state) {
    (void)state;
    dice from = {31};
    size_t longer = 0;
    for (int round = 0; round < 2000; round++) {
        arena memory = {0};
        page on = {.memory = &memory, .em = EM};
        label labels[SMALL];
        size_t count = 1 + dice_next(&from) % 6;
        double room = dice_between(&from, 20.0, 240.0);
        random_labels(&from, labels, count, room);
        (void)labels_place(&on, labels, count, 10.0, 10.0 + room);
        label before[SMALL];
        memcpy(before, labels, sizeof before);
        labels_lengthen(&on, labels, count, 10.0, 10.0 + room);
        check_row(labels, count, 10.0, 10.0 + room);
        for (size_t i = 0; i < count; i++) {
            if (before[i].shown == NULL) {
                assert_null(labels[i].shown);
                continue;
            }
            check_close(labels[i].x, before[i].x, 0.0, "mm");
            longer += labels[i].shown != before[i].shown;
            for (unsigned k = 0; labels[i].texts[k] != labels[i].shown; k++) {
                assert_false(has_room(labels, count, i, labels[i].texts[k],
                                      10.0 + room - 1e-9));
            }
        }
        arena_free(&memory);
    }
    assert_true(longer > 500);
}

#define MANY ((size_t)400000)

/* Left out one by one, each after laying out all others, it takes minutes. */
static void test_many(void **state) {
    (void)state;
    label *labels = calloc(MANY, sizeof *labels);
    assert_non_null(labels);
    for (size_t i = 0; i < MANY; i++) {
        labels[i] =
            (label){.texts = {"75 %", NULL, NULL},
                    .wanted_x = 150.0 * (double)i / (double)MANY,
                    .worth = i % 1000 == 7 ? 2.0 : 1.0 / (double)(i + 1)};
    }
    arena memory = {0};
    page on = {.memory = &memory, .em = EM};
    size_t left_out = labels_place(&on, labels, MANY, 0.0, 150.0);
    size_t fit =
        (size_t)((150.0 + GAP) / (advance_of("75 %", EM, false) + GAP));
    assert_int_equal(left_out, MANY - fit);
    for (size_t i = 0; i < MANY; i++) {
        assert_true(labels[i].shown == NULL || i % 1000 == 7);
    }
    check_row(labels, MANY, 0.0, 150.0);
    arena_free(&memory);
    free(labels);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_one_by_one),
        cmocka_unit_test(test_lengthened),
        cmocka_unit_test(test_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
