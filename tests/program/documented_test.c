/*
 * documented_test.c - every member of the JSON and every column of the CSV that
 * the program writes of the samples is named in docs/formats.md, where its
 * command or the one that it shares it with is described.
 */
#include "support/recorded.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PAGE_MOST (1 << 18)
#define NAME_MOST 64
#define NAMES_MOST 1024
#define SECTIONS_MOST 4

/* The pages, whole. */
static char formats[PAGE_MOST];
static char of_records[PAGE_MOST];

static void read_page(const char *path, char to[PAGE_MOST]) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    size_t size = fread(to, 1, PAGE_MOST, file);
    assert_int_equal(fclose(file), 0);
    assert_in_range(size, 1, PAGE_MOST - 1);
    to[size] = '\0';
}

static int read_pages(void **state) {
    (void)state;
    read_page("docs/formats.md", formats);
    read_page("docs/record.md", of_records);
    return 0;
}

/* ---------------------------------------------------------------- sections */

typedef struct section {
    const char *from;
    size_t size;
} section;

/* What follows "**`assess`**" at the beginning of a line, to the next such. */
static section section_of(const char *command) {
    char begins[NAME_MOST];
    (void)snprintf(begins, sizeof begins, "\n**`%s`**", command);
    const char *from = strstr(formats, begins);
    if (from == NULL) {
        fail_msg("docs/formats.md does not describe %s", command);
        return (section){formats, 0};
    }
    const char *end = strstr(from + 1, "\n**`");
    return (section){from, end == NULL ? strlen(from) : (size_t)(end - from)};
}

static bool is_part_of_name(char c) {
    return isalnum((unsigned char)c) || c == '_';
}

static bool names(section in, const char *name) {
    size_t size = strlen(name);
    for (size_t i = 1; i + size < in.size; i++) {
        if (memcmp(in.from + i, name, size) == 0 &&
            !is_part_of_name(in.from[i - 1]) &&
            !is_part_of_name(in.from[i + size])) {
            return true;
        }
    }
    return false;
}

/* ------------------------------------------------------------------- names */

/* Those of one command that were looked up, and how many are not there. */
typedef struct names_seen {
    section sections[SECTIONS_MOST];
    size_t section_count;
    char list[NAMES_MOST][NAME_MOST];
    size_t count;
    size_t missing;
} names_seen;

static void look_up(names_seen *in, const char *name, size_t size,
                    const char *where) {
    bool found = false;
    assert_in_range(size, 1, NAME_MOST - 1);
    for (size_t i = 0; i < in->count; i++) {
        if (strlen(in->list[i]) == size &&
            memcmp(in->list[i], name, size) == 0) {
            return;
        }
    }
    assert_true(in->count < NAMES_MOST);
    char *one = in->list[in->count++];
    memcpy(one, name, size);
    one[size] = '\0';
    for (size_t i = 0; i < in->section_count; i++) {
        found = found || names(in->sections[i], one);
    }
    if (!found) {
        print_error("docs/formats.md does not name %s of %s\n", one, where);
        in->missing++;
    }
}

/* "a[0].b" has the names a and b. */
static void look_up_path(names_seen *in, const char *path) {
    for (const char *at = path; *at != '\0';) {
        size_t size = strcspn(at, ".[");
        if (size > 0) {
            look_up(in, at, size, path);
        }
        at += size;
        at += *at == '[' ? strcspn(at, "]") : 0;
        at += *at != '\0';
    }
}

static void look_up_json(names_seen *in, const char *json) {
    leaves all = leaves_of(json);
    for (size_t i = 0; i < all.count; i++) {
        look_up_path(in, all.list[i].path);
    }
    leaves_free(&all);
}

static void look_up_csv(names_seen *in, const char *csv) {
    const char *end = csv + strcspn(csv, "\n");
    for (const char *at = csv; at < end;) {
        size_t size = strcspn(at, ",\n");
        look_up(in, at, size, "CSV");
        at += size + 1;
    }
}

/* ------------------------------------------------------------------- tests */

#define SAMPLE "samples/short-flattening.csv"
#define SCAR "samples/long-scar.txt"
#define STOCK "--stock samples/stock.csv"
#define PAIR "samples/good-before.csv samples/good-after.csv"
#define LATER "samples/good-after.csv samples/good-follow-up.csv"
#define LOOSE "samples/unapposed-before.csv samples/unapposed-after.csv"
#define INFLOW "samples/inflow-femoral.csv samples/inflow-deep-femoral.csv"

typedef struct written {
    const char *command;
    const char *options;
    const char *files;
} written;

static void check_all(const char *const *sections, const written *list,
                      size_t count) {
    static names_seen seen;
    memset(&seen, 0, sizeof seen);
    for (size_t i = 0; i < SECTIONS_MOST && sections[i] != NULL; i++) {
        seen.sections[seen.section_count++] = section_of(sections[i]);
    }
    if (strcmp(list[0].command, "record") == 0) {
        seen.sections[seen.section_count++] =
            (section){of_records, strlen(of_records)};
    }
    for (size_t i = 0; i < count; i++) {
        char *output =
            recorded_output(list[i].command, list[i].options, list[i].files);
        if (*output == '{') {
            look_up_json(&seen, output);
        } else {
            look_up_csv(&seen, output);
        }
        free(output);
    }
    assert_int_equal(seen.missing, 0);
}

#define CHECK(list, ...)                                                       \
    check_all((const char *const[]){__VA_ARGS__, NULL}, list,                  \
              sizeof(list) / sizeof(list)[0])

static void test_measure(void **state) {
    (void)state;
    static const written list[] = {{"measure", "--json", SAMPLE},
                                   {"measure", "", SAMPLE},
                                   {"check", "--json", SAMPLE}};
    CHECK(list, "measure", "check", "assess");
}

static void test_assess(void **state) {
    (void)state;
    static const written list[] = {
        {"assess", "--json", SAMPLE},
        {"assess", "--json --flow", SAMPLE},
        {"assess", "--json --reference none", SAMPLE},
        {"assess", "--json --reference expected", SCAR},
        {"assess", "--json --reference find --explain", SCAR},
        {"assess",
         "--json --speed '0: 1.0, 300: 0.5' --motion 'frame 5..frame 590'",
         SAMPLE},
        {"assess", "--json --steady", "samples/pitfall-ripple.csv"},
        {"assess", "--csv", SAMPLE},
        {"assess", "--csv --flow", SAMPLE},
    };
    CHECK(list, "assess");
}

static void test_plan(void **state) {
    (void)state;
    static const written list[] = {
        {"plan", "--json", SAMPLE},
        {"plan", "--json " STOCK, SCAR},
        {"plan", "--json --reference find " STOCK, SCAR},
        {"plan", "--json --device 16x120@30 --device 14x160@135 " STOCK, SCAR},
    };
    CHECK(list, "plan", "assess");
}

static void test_compare(void **state) {
    (void)state;
    static const written list[] = {
        {"compare", "--json --nominal 16x80,14x60", PAIR},
        {"compare", "--json", LATER},
        {"compare", "--json --nominal 14x80", LOOSE},
    };
    CHECK(list, "compare", "assess");
}

static void test_inflow(void **state) {
    (void)state;
    static const written list[] = {{"inflow", "--json", INFLOW},
                                   {"inflow", "--csv", INFLOW}};
    CHECK(list, "inflow", "assess");
}

static void test_record(void **state) {
    (void)state;
    static const written list[] = {
        {"record", "--json --nominal 16x80,14x60 " STOCK, PAIR},
        {"record", "--json", SAMPLE},
    };
    CHECK(list, "assess", "plan", "compare");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_measure), cmocka_unit_test(test_assess),
        cmocka_unit_test(test_plan),    cmocka_unit_test(test_compare),
        cmocka_unit_test(test_inflow),  cmocka_unit_test(test_record),
    };
    return cmocka_run_group_tests_name("documented", tests, read_pages, NULL);
}
