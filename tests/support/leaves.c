/*
 * leaves.c - a JSON text as the list of its leaves. Recursive descent; whether
 * the text is JSON at all is judged by wellformed.c before.
 */
#include "support/leaves.h"

#include "support/check.h"
#include "support/wellformed.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PATH_MOST 512
#define STRING_MOST 16384

typedef struct walk {
    const char *at;
    char path[PATH_MOST];
    size_t depth; /* bytes of the path */
    leaves *into;
} walk;

static void skip_blanks(walk *of) {
    of->at += strspn(of->at, " \n\r\t");
}

static void add_leaf(walk *of, const char *value, int quoted) {
    leaves *to = of->into;
    to->list = realloc(to->list, (to->count + 1) * sizeof *to->list);
    assert_non_null(to->list);
    to->list[to->count++] = (leaf){strdup(of->path), strdup(value), quoted};
}

static void put_utf8(char *to, size_t *size, unsigned c) {
    assert_true(c < 0x80U); /* all else is written as it is */
    to[(*size)++] = (char)c;
}

static void take_string(walk *of, char *to) {
    size_t size = 0;
    of->at++;
    while (*of->at != '"') {
        assert_true(size + 4 < STRING_MOST);
        if (*of->at != '\\') {
            to[size++] = *of->at++;
        } else if (of->at[1] == 'u') {
            char digits[5] = {of->at[2], of->at[3], of->at[4], of->at[5], 0};
            put_utf8(to, &size, (unsigned)strtoul(digits, NULL, 16));
            of->at += 6;
        } else {
            static const char from[] = "nrtbf";
            static const char meant[] = "\n\r\t\b\f";
            const char *letter = strchr(from, of->at[1]);
            to[size++] = letter != NULL ? meant[letter - from] : of->at[1];
            of->at += 2;
        }
    }
    of->at++;
    to[size] = '\0';
}

static void take_value(walk *of);

static void leave(walk *of, size_t depth) {
    of->depth = depth;
    of->path[depth] = '\0';
}

static void enter(walk *of, const char *step) {
    int size =
        snprintf(of->path + of->depth, PATH_MOST - of->depth, "%s", step);
    assert_in_range(size, 0, PATH_MOST - of->depth - 1);
    of->depth += (size_t)size;
}

static void take_member(walk *of, int is_object, size_t index) {
    static char key[STRING_MOST];
    char step[PATH_MOST];
    if (is_object) {
        take_string(of, key);
        skip_blanks(of);
        of->at++; /* the colon */
        (void)snprintf(step, sizeof step, "%s%.200s", of->depth > 0 ? "." : "",
                       key);
    } else {
        (void)snprintf(step, sizeof step, "[%zu]", index);
    }
    size_t depth = of->depth;
    enter(of, step);
    take_value(of);
    leave(of, depth);
}

static void take_members(walk *of) {
    int is_object = *of->at == '{';
    char end = is_object ? '}' : ']';
    size_t count = 0;
    of->at++;
    skip_blanks(of);
    while (*of->at != end) {
        take_member(of, is_object, count++);
        skip_blanks(of);
        of->at += *of->at == ',';
        skip_blanks(of);
    }
    of->at++;
    if (count == 0) {
        add_leaf(of, is_object ? "{}" : "[]", 0);
    }
}

static void take_value(walk *of) {
    static char string[STRING_MOST];
    skip_blanks(of);
    if (*of->at == '{' || *of->at == '[') {
        take_members(of);
    } else if (*of->at == '"') {
        take_string(of, string);
        add_leaf(of, string, 1);
    } else {
        size_t size = strcspn(of->at, ",]} \n");
        (void)snprintf(string, sizeof string, "%.*s", (int)size, of->at);
        of->at += size;
        add_leaf(of, string, 0);
    }
}

leaves leaves_of(const char *json) {
    leaves out = {NULL, 0};
    assert_true(wellformed_json(json, strlen(json)));
    walk of = {.at = json, .into = &out};
    take_value(&of);
    return out;
}

void leaves_free(leaves *of) {
    for (size_t i = 0; i < of->count; i++) {
        free(of->list[i].path);
        free(of->list[i].value);
    }
    free(of->list);
    *of = (leaves){NULL, 0};
}

const leaf *leaves_at(const leaves *of, const char *path) {
    for (size_t i = 0; i < of->count; i++) {
        if (strcmp(of->list[i].path, path) == 0) {
            return &of->list[i];
        }
    }
    return NULL;
}

double leaves_number(const leaves *of, const char *path) {
    const leaf *at = leaves_at(of, path);
    char *end = NULL;
    if (at == NULL || at->quoted) {
        print_error("no number at %s\n", path);
        fail();
        return 0.0;
    }
    double value = strtod(at->value, &end);
    assert_true(end != at->value && *end == '\0');
    return value;
}
