/*
 * caption_test.c - words that have no room in their lines end with a clause:
 * no sentence, list of figures or number is read in half while anything shorter
 * can be said. All sentences are invented.
 */
#include "support/check.h"

#include "draw/page.h"

#include <string.h>

#define LINES_HELD 8
#define REST "\xC2\xA0\xE2\x80\xA6 see the report"

static const char facts[] =
    "Least area 60.4 mm2. Residual: 35.0 % of one, -3.4 % of ref.\xC2\xA0two, "
    "50.1 % of three. The first clause; a second, which goes on: to an end. "
    "Nothing follows. ";

/* The lines with a blank between them. */
static void wrap_at(double width_em, size_t most, const char *words, text *all,
                    size_t *count) {
    arena memory = {0};
    page on = {.memory = &memory, .em = 2.0, .width = 2.0 * width_em};
    const char *lines[LINES_HELD];
    *count = caption_wrap(&on, words, lines, most);
    assert_in_range(*count, 0, most);
    for (size_t i = 0; i < *count; i++) {
        text_add(all, i > 0 ? " " : "");
        text_add(all, lines[i]);
        assert_true(page_advance(&on, lines[i]) <= on.width);
    }
    assert_false(on.failed || all->failed);
    arena_free(&memory);
}

static void check_wrapped(double width_em, size_t most, const char *words,
                          const char *expected) {
    text all = {0};
    size_t count = 0;
    wrap_at(width_em, most, words, &all, &count);
    assert_string_equal(text_c(&all), expected);
    text_free(&all);
}

static void test_words_with_room_are_whole(void **state) {
    (void)state;
    check_wrapped(200.0, 1, "", "");
    check_wrapped(200.0, 1, "One clause, and another. ",
                  "One clause, and another.");
    /* So many lines that each word has its own. */
    check_wrapped(5.0, 4, "One clause, and another. ",
                  "One clause, and another.");
}

/* One line as wide as each of these, which stand from long to short, holds that
 * one, and a hair less the next. */
static void check_steps(const char *words, const char *const *steps,
                        size_t count) {
    page on = {.em = 2.0};
    for (size_t i = 0; i < count; i++) {
        double width_em = page_advance(&on, steps[i]) / on.em;
        check_wrapped(width_em + 1e-9, 1, words, steps[i]);
        if (i + 1 < count) {
            check_wrapped(width_em - 1e-9, 1, words, steps[i + 1]);
        }
    }
}

static void test_cut_where_a_clause_ends(void **state) {
    (void)state;
    static const char words[] = "First it is said; then more, and at length. "
                                "A second and far longer sentence.";
    static const char *const steps[] = {
        words, "First it is said; then more, and at length." REST,
        "First it is said; then more" REST, "First it is said" REST};
    check_steps(words, steps, 4);
    check_wrapped(18.0, 2, words,
                  "First it is said; then more, and at length." REST);
}

/* What is left is what was said up to a clause, or all of it. */
static bool ends_with_clause(const char *all) {
    const char *rest = strstr(all, REST);
    size_t size = strlen(all);
    if (rest == NULL) {
        return size + 1 == strlen(facts) && strncmp(all, facts, size) == 0;
    }
    size = (size_t)(rest - all);
    bool sentence = size > 0 && all[size - 1] == '.';
    return strncmp(all, facts, size) == 0 &&
           (sentence ? facts[size] == ' ' : strchr(",;", facts[size]) != NULL);
}

/* Three residuals are one clause: they are said together or not at all. */
static void test_figures_of_a_list_stand_together(void **state) {
    (void)state;
    size_t together = 0;
    size_t without = 0;
    for (size_t most = 1; most <= 4; most++) {
        for (double width = 22.0; width < 120.0; width += 0.5) {
            text all = {0};
            size_t count = 0;
            wrap_at(width, most, facts, &all, &count);
            const char *said = text_c(&all);
            if (!ends_with_clause(said)) {
                fail_msg("%zu lines of %g em: '%s'", most, width, said);
            }
            bool first = strstr(said, "35.0") != NULL;
            assert_int_equal(first, strstr(said, "50.1 % of three") != NULL);
            together += first;
            without += !first;
            text_free(&all);
        }
    }
    /* Both happen. */
    assert_true(together > 0 && without > 0);
}

/* Only where nothing shorter is left a list gives way, and then a word. */
static void test_what_no_clause_fits(void **state) {
    (void)state;
    static const char list[] =
        "Fits: 16 x 40 mm, 14 x 60 mm, 12 x 20 mm. And then what follows.";
    static const char *const steps[] = {
        list, "Fits: 16 x 40 mm, 14 x 60 mm, 12 x 20 mm." REST,
        "Fits: 16 x 40 mm, 14 x 60 mm" REST, "Fits: 16 x 40 mm" REST,
        "Fits" REST};
    check_steps(list, steps, 5);
    check_wrapped(5.0, 1, list, "Fits: 16\xE2\x80\xA6");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_words_with_room_are_whole),
        cmocka_unit_test(test_cut_where_a_clause_ends),
        cmocka_unit_test(test_figures_of_a_list_stand_together),
        cmocka_unit_test(test_what_no_clause_fits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
