/*
 * cursor.c - reading the value of a note piece by piece.
 */
#include "pullback/cursor.h"

#include "base/blank.h"
#include "base/digit.h"
#include "base/limits.h"
#include "base/number.h"

#include <math.h>
#include <string.h>

static void cursor_skip(cursor *of) {
    while (of->at != of->end && blank_is(*of->at)) {
        of->at++;
    }
}

bool cursor_number(cursor *of, double *value) {
    cursor_skip(of);
    double found = 0.0;
    size_t used = number_scan(of->at, (size_t)(of->end - of->at), '.', &found);
    if (used == 0 || !isfinite(found)) {
        return false;
    }
    of->at += used;
    *value = found;
    return true;
}

bool cursor_frame(cursor *of, int64_t *frame) {
    cursor_skip(of);
    const char *at = of->at;
    int64_t value = 0;
    for (; at != of->end && digit_is(*at); at++) {
        value = value * 10 + (*at - '0');
        if (value > LIMIT_FRAME) {
            return false;
        }
    }
    if (at == of->at) {
        return false;
    }
    of->at = at;
    *frame = value;
    return true;
}

bool cursor_literal(cursor *of, const char *text) {
    cursor_skip(of);
    size_t size = strlen(text);
    if ((size_t)(of->end - of->at) < size || memcmp(of->at, text, size) != 0) {
        return false;
    }
    of->at += size;
    return true;
}

static char lower(char c) {
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool cursor_same(const char *bytes, size_t size, const char *word) {
    if (strlen(word) != size) {
        return false;
    }
    for (size_t i = 0; i < size; i++) {
        if (lower(bytes[i]) != word[i]) {
            return false;
        }
    }
    return true;
}

bool cursor_word(cursor *of, const char *word) {
    cursor_skip(of);
    size_t size = strlen(word);
    if ((size_t)(of->end - of->at) < size || !cursor_same(of->at, size, word)) {
        return false;
    }
    const char *after = of->at + size;
    if (after != of->end && lower(*after) >= 'a' && lower(*after) <= 'z') {
        return false;
    }
    of->at = after;
    return true;
}

bool cursor_done(cursor *of) {
    cursor_skip(of);
    return of->at == of->end;
}

cursor cursor_trimmed(const char *bytes, size_t size) {
    cursor out = {bytes, bytes + size};
    cursor_skip(&out);
    while (out.end != out.at && blank_is(out.end[-1])) {
        out.end--;
    }
    return out;
}
