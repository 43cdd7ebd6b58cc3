/*
 * record_test.c - a record holds what the commands it comes from say: leaf by
 * leaf against `assess --json`, `plan --json` and `compare --json` on the
 * samples; and its three forms say the same.
 */
#include "support/recorded.h"
#include "support/wellformed.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PATH_MOST 512

/* --------------------------------------------------------------------- JSON */

static int begins_with(const char *words, const char *with) {
    return strncmp(words, with, strlen(with)) == 0;
}

static int is_left_out(const char *path, const char *const *list) {
    while (*list != NULL && !begins_with(path, *list)) {
        list++;
    }
    return *list != NULL;
}

static void must_be(const leaves *of, const char *path, const leaf *other) {
    const leaf *found = leaves_at(of, path);
    if (found == NULL || strcmp(found->value, other->value) != 0) {
        print_error("%s: is %s, should be %s\n", path,
                    found == NULL ? "nothing" : found->value, other->value);
        fail();
    }
}

/* What a command says stands below `below` in the record, and nothing else
 * does; but for what begins with one of those left out. */
static void hold_below(const leaves *record, const char *below,
                       const leaves *command, const char *const *left_out) {
    size_t held = 0;
    for (size_t i = 0; i < command->count; i++) {
        const leaf *one = &command->list[i];
        char path[PATH_MOST];
        (void)snprintf(path, sizeof path, "%s.%s", below, one->path);
        if (!is_left_out(one->path, left_out)) {
            must_be(record, path, one);
            held++;
        }
    }
    size_t size = strlen(below) + 1;
    for (size_t i = 0; i < record->count; i++) {
        const leaf *one = &record->list[i];
        if (begins_with(one->path, below) && one->path[size - 1] == '.' &&
            !is_left_out(one->path + size, left_out)) {
            must_be(command, one->path + size, one);
        }
    }
    assert_true(held > 20);
}

/* The plan's warnings come before those of its assessment, which the record
 * tells elsewhere. */
static void hold_warnings(const leaves *record, const leaves *plan) {
    size_t own = 0;
    size_t all = 0;
    for (size_t i = 0; i < record->count; i++) {
        const leaf *one = &record->list[i];
        if (begins_with(one->path, "plan.warnings[")) {
            must_be(plan, one->path + strlen("plan."), one);
            own++;
        }
        all += (size_t)begins_with(one->path, "before.warnings[");
    }
    all += own;
    for (size_t i = 0; i < plan->count; i++) {
        all -= (size_t)begins_with(plan->list[i].path, "warnings[");
    }
    assert_int_equal(all, 0);
}

/* Below `below` stands what the command says, which is freed; or null where it
 * was not asked. */
static void hold_command(const leaves *record, const char *below, char *said,
                         const char *const *left_out) {
    if (said[0] == '\0') {
        assert_string_equal(leaves_at(record, below)->value, "null");
    } else {
        leaves command = leaves_of(said);
        hold_below(record, below, &command, left_out);
        if (strcmp(below, "plan") == 0) {
            hold_warnings(record, &command);
        }
        leaves_free(&command);
    }
    free(said);
}

static void test_json_is_that_of_the_commands(void **state) {
    const recorded_sample *of = *state;
    static const char *const by_all[] = {"boreline", "caution", "input.options",
                                         NULL};
    static const char *const by_plan[] = {"boreline", "caution",   "input",
                                          "pullback", "reference", "narrowings",
                                          "warnings", NULL};
    static const char *const by_comparison[] = {"boreline", "caution", "tables",
                                                "series", NULL};
    char *written = recorded_record(of, "--format json");
    leaves record = leaves_of(written);
    hold_command(&record, "before", recorded_assess(of, "--json", of->file),
                 by_all);
    hold_command(&record, "plan", recorded_plan(of, "--json"), by_plan);
    hold_command(&record, "after",
                 of->second == NULL ? strdup("")
                                    : recorded_assess(of, "--json", of->second),
                 by_all);
    hold_command(&record, "comparison", recorded_comparison(of, "--json"),
                 by_comparison);
    leaves_free(&record);
    free(written);
}

/* -------------------------------------------------------- three forms, one */

/* Markdown without its marks: bold, titles and backslashes. */
static char *unmarked(const char *markdown) {
    char *out = calloc(1, strlen(markdown) + 1);
    size_t size = 0;
    bool at_start = true;
    assert_non_null(out);
    for (const char *at = markdown; *at != '\0'; at++) {
        bool mark = *at == '*' || (at_start && (*at == '#' || *at == ' '));
        at_start = *at == '\n' || (at_start && mark);
        at += *at == '\\';
        if (!mark) {
            out[size++] = *at;
        }
    }
    return out;
}

static void test_the_three_forms_say_the_same(void **state) {
    const recorded_sample *of = *state;
    char *json = recorded_record(of, "--format json");
    char *text = recorded_record(of, "--format text");
    char *markdown = recorded_record(of, "--format md");
    char *plain = recorded_unwrapped(text);
    char *bare = unmarked(markdown);
    leaves record = leaves_of(json);
    assert_string_equal(plain, bare);
    assert_true(wellformed_markdown(markdown, strlen(markdown)));
    const char *from = plain;
    for (size_t i = 0; i < recorded_paragraph_count(&record); i++) {
        char one[RECORDED_PARAGRAPH + 2] = "\n";
        recorded_paragraph(&record, i, one + 1);
        from = strstr(from, one);
        assert_non_null(from);
    }
    leaves_free(&record);
    free(bare);
    free(plain);
    free(markdown);
    free(text);
    free(json);
}

/* A line is longer only where a word is. */
static void test_text_keeps_its_width(void **state) {
    char *text = recorded_record(*state, "");
    for (char *at = text; *at != '\0'; at += strcspn(at, "\n") + 1) {
        assert_in_range(strcspn(at, "\n"), 0, 80);
    }
    free(text);
}

int main(void) {
    static const recorded_check checks[] = {
        {"JSON is that of the commands", test_json_is_that_of_the_commands},
        {"the three forms say the same", test_the_three_forms_say_the_same},
        {"text keeps its width", test_text_keeps_its_width},
    };
    return recorded_run("record", checks, sizeof checks / sizeof checks[0]);
}
