/*
 * findings_test.c - what is the same finding, how many are listed and how many
 * kinds are told apart: at each limit and one past it.
 */
#include "support/check.h"

#include "base/limits.h"
#include "base/text.h"
#include "pullback/findings.h"

#include <stdlib.h>
#include <string.h>

/* Kinds differ in letters: numbers and quotations do not count. */
static bl_message of_kind(size_t kind, bl_status status) {
    char word[] = "aaa";
    for (size_t i = 0; i < 3; i++, kind /= 26) {
        word[i] = (char)('a' + kind % 26);
    }
    bl_message out;
    (void)message_set(&out, status, 7, 3, "the kind %s, number 1, is '%s'",
                      word, word);
    return out;
}

static void add(findings *to, size_t kind, bl_status status) {
    bl_message message = of_kind(kind, status);
    assert_int_equal(findings_add(to, &message, 5), BL_OK);
}

static void test_repeats(void **state) {
    (void)state;
    findings of = {0};
    for (int i = 0; i < LIMIT_REPEATS; i++) {
        assert_int_equal(findings_warn(&of, 1, 0, i, "x is '%d' and %d", i, i),
                         BL_OK);
    }
    assert_int_equal(of.count, LIMIT_REPEATS);
    assert_int_equal(of.list[LIMIT_REPEATS - 1].more, 0);
    assert_int_equal(findings_warn(&of, 1, 0, 10, "x is 'a' and 10"), BL_OK);
    assert_int_equal(of.count, LIMIT_REPEATS);
    assert_int_equal(of.list[LIMIT_REPEATS - 1].more, 1);
    assert_int_equal(of.errors, 0);
    findings_free(&of);
}

static void test_kinds_at_the_limit(void **state) {
    (void)state;
    findings of = {.repeats = 1};
    for (size_t kind = 0; kind < LIMIT_FAULTS; kind++) {
        add(&of, kind, kind % 2 == 0 ? BL_ERR_INPUT : BL_OK);
        add(&of, kind, kind % 2 == 0 ? BL_ERR_INPUT : BL_OK);
    }
    assert_int_equal(of.count, LIMIT_FAULTS);
    for (size_t i = 0; i < LIMIT_FAULTS; i++) {
        bl_message expected = of_kind(i, i % 2 == 0 ? BL_ERR_INPUT : BL_OK);
        assert_string_equal(of.list[i].message.text, expected.text);
        assert_int_equal(of.list[i].more, 1);
    }
    assert_int_equal(of.errors, LIMIT_FAULTS);
    findings_free(&of);
}

/* Further kinds are counted as such, errors and warnings each, and those that
 * are told apart go on being counted as themselves. */
static void test_kinds_past_the_limit(void **state) {
    (void)state;
    findings of = {.repeats = 3};
    for (size_t kind = 0; kind < LIMIT_FAULTS; kind++) {
        add(&of, kind, BL_ERR_INPUT);
    }
    add(&of, LIMIT_FAULTS, BL_ERR_INPUT);
    add(&of, LIMIT_FAULTS, BL_ERR_INPUT);
    add(&of, LIMIT_FAULTS + 1, BL_ERR_INPUT);
    add(&of, LIMIT_FAULTS + 2, BL_OK);
    add(&of, LIMIT_FAULTS - 1, BL_ERR_INPUT);
    assert_int_equal(of.count, LIMIT_FAULTS + 3);
    assert_int_equal(of.list[LIMIT_FAULTS - 1].more, 0);
    const bl_finding *further = &of.list[LIMIT_FAULTS];
    assert_int_equal(further->message.status, BL_ERR_INPUT);
    assert_non_null(strstr(further->message.text, "more than 256 kinds of "
                                                  "errors"));
    assert_int_equal(further->message.line, 0);
    assert_int_equal(further->frame, -1);
    assert_int_equal(further->more, 2);
    assert_int_equal(further[1].message.status, BL_OK);
    assert_int_equal(further[1].more, 0);
    assert_string_equal(further[2].message.text,
                        of_kind(LIMIT_FAULTS - 1, BL_ERR_INPUT).text);
    assert_int_equal(of.errors, LIMIT_FAULTS + 4);
    findings_free(&of);
}

/* What a study counted is counted on, also where it finds no place. */
static void test_taken_with_more(void **state) {
    (void)state;
    findings of = {.repeats = 1};
    bl_finding one = {
        .message = of_kind(0, BL_ERR_INPUT), .frame = 5, .more = 4};
    assert_int_equal(findings_take(&of, &one), BL_OK);
    assert_int_equal(findings_take(&of, &one), BL_OK);
    assert_int_equal(of.count, 1);
    assert_int_equal(of.list[0].more, 9);
    assert_int_equal(of.errors, 10);
    findings_free(&of);
}

/* A text that is freed by what takes it. */
static void doubt(findings *to, const char *words) {
    text of = {0};
    text_add(&of, words);
    assert_int_equal(findings_doubt_scale(to, 3, 9, &of), BL_OK);
    assert_null(of.bytes);
}

/* What doubts the scale is known to, also where it is only counted. */
static void test_doubted_scale(void **state) {
    (void)state;
    findings of = {.repeats = 1};
    add(&of, 0, BL_OK);
    assert_false(of.list[0].doubts_scale);
    doubt(&of, "all at once");
    assert_int_equal(of.count, 2);
    assert_true(of.list[1].doubts_scale);
    assert_int_equal(of.list[1].message.status, BL_OK);
    assert_int_equal(of.list[1].message.line, 3);
    assert_int_equal(of.list[1].frame, 9);
    doubt(&of, "the kind aaa, number 1, is ''");
    assert_int_equal(of.count, 2);
    assert_int_equal(of.list[0].more, 1);
    assert_true(of.list[0].doubts_scale);
    findings_free(&of);
    findings full = {.repeats = 1};
    for (size_t kind = 0; kind <= LIMIT_FAULTS; kind++) {
        add(&full, kind, BL_OK);
    }
    assert_false(full.list[LIMIT_FAULTS].doubts_scale);
    doubt(&full, "all at once");
    assert_int_equal(full.count, LIMIT_FAULTS + 1);
    assert_true(full.list[LIMIT_FAULTS].doubts_scale);
    findings_free(&full);
}

static void test_faults(void **state) {
    (void)state;
    bl_message message = of_kind(0, BL_ERR_INPUT);
    findings stops = {0};
    assert_int_equal(findings_fault(&stops, &message, -1), BL_ERR_INPUT);
    assert_int_equal(stops.count, 0);
    findings goes_on = {.go_on = true};
    assert_int_equal(findings_fault(&goes_on, &message, -1), BL_OK);
    assert_int_equal(goes_on.errors, 1);
    message = of_kind(0, BL_ERR_LIMIT);
    assert_int_equal(findings_fault(&stops, &message, -1), BL_ERR_LIMIT);
    assert_int_equal(findings_fault(&goes_on, &message, -1), BL_OK);
    assert_int_equal(goes_on.count, 2);
    assert_int_equal(goes_on.list[1].message.status, BL_ERR_LIMIT);
    findings_free(&goes_on);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_repeats),
        cmocka_unit_test(test_kinds_at_the_limit),
        cmocka_unit_test(test_kinds_past_the_limit),
        cmocka_unit_test(test_taken_with_more),
        cmocka_unit_test(test_doubted_scale),
        cmocka_unit_test(test_faults),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
