/*
 * cure.c - what to do about text that stands where a number belongs.
 *
 * Spreadsheets and programs have their own ways to write what is no number, a
 * negative one or a time; each has one cure.
 */
#include "read/cure.h"

#include "base/digit.h"
#include "pullback/cursor.h"

#include <string.h>

static bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

bool cure_is_nothing(const char *bytes, size_t size) {
    static const char *const words[] = {"nan", "null", "none", "na",
                                        "n/a", "#n/a", "-",    "--"};
    size_t i = 0;
    while (i < sizeof words / sizeof words[0] &&
           !cursor_same(bytes, size, words[i])) {
        i++;
    }
    return i < sizeof words / sizeof words[0];
}

/* Digits with colons, as 00:01:30.5. */
static bool is_time(const char *bytes, size_t size) {
    bool colon = false;
    for (size_t i = 0; i < size; i++) {
        colon = colon || bytes[i] == ':';
        if (!digit_is(bytes[i]) && strchr(":.,", bytes[i]) == NULL) {
            return false;
        }
    }
    return colon && digit_is(bytes[0]);
}

const char *cure_of(const char *bytes, size_t size) {
    if (size == 0) {
        return "";
    }
    if (cure_is_nothing(bytes, size)) {
        return "; leave out the row of what was not traced, in a wide table "
               "leave the cell empty";
    }
    if (is_time(bytes, size)) {
        return "; write seconds as a number, such as 61.5";
    }
    if (bytes[0] == '\'') {
        return "; take the apostrophe out";
    }
    if (size > 2 && bytes[0] == '(' && bytes[size - 1] == ')') {
        return "; are brackets its minus? Write '-'";
    }
    return memchr(bytes, '\t', size) != NULL
               ? "; it holds a tab: separate all cells by the same mark"
               : "";
}

bool cure_has_prefix(const char *bytes, size_t size) {
    size_t i = 0;
    while (i < size && (is_letter(bytes[i]) || strchr("_- ", bytes[i]))) {
        i++;
    }
    size_t digits = i;
    while (digits < size && digit_is(bytes[digits])) {
        digits++;
    }
    return i > 0 && is_letter(bytes[0]) && digits > i && digits == size;
}
