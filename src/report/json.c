/*
 * json.c - writing JSON into a growing text.
 */
#include "report/json.h"

#include "base/unicode.h"

#include <assert.h>
#include <string.h>

static void start_line(json *to) {
    text_add(to->out, "\n");
    for (unsigned i = 0; i < to->depth; i++) {
        text_add(to->out, "  ");
    }
}

/* For a byte that is no UTF-8, as JSON is: names of files may be anything. */
#define REPLACEMENT "\xEF\xBF\xBD" /* U+FFFD */

static void quoted(text *out, const char *value) {
    text_add(out, "\"");
    for (const char *at = value; *at != '\0';) {
        uint32_t c;
        unsigned length = unicode_decode(at, UNICODE_BYTES, &c);
        if (length == 0) {
            text_add(out, REPLACEMENT);
            length = 1;
        } else if (c == '"' || c == '\\') {
            char escaped[2] = {'\\', (char)c};
            text_bytes(out, escaped, sizeof escaped);
        } else if (c < 0x20 || c == 0x7f) {
            text_format(out, "\\u%04x", (unsigned)c);
        } else {
            text_bytes(out, at, length);
        }
        at += length;
    }
    text_add(out, "\"");
}

static void member(json *to, const char *key) {
    if (to->depth > 0) {
        bool flat = to->flat[to->depth];
        if (to->filled[to->depth]) {
            text_add(to->out, flat ? ", " : ",");
        }
        if (!flat) {
            start_line(to);
        }
        to->filled[to->depth] = true;
    }
    if (key != NULL) {
        quoted(to->out, key);
        text_add(to->out, ": ");
    }
}

void json_open(json *to, const char *key, char kind, bool flat) {
    member(to, key);
    text_bytes(to->out, &kind, 1);
    to->depth++;
    assert(to->depth < JSON_DEPTH);
    to->filled[to->depth] = false;
    to->flat[to->depth] = flat;
}

void json_close(json *to, char kind) {
    bool broken = to->filled[to->depth] && !to->flat[to->depth];
    to->depth--;
    if (broken) {
        start_line(to);
    }
    text_add(to->out, kind == '{' ? "}" : "]");
    if (to->depth == 0) {
        text_add(to->out, "\n");
    }
}

void json_number(json *to, const char *key, double value) {
    member(to, key);
    text_double(to->out, value);
}

void json_interval(json *to, const char *key, bl_interval of) {
    json_open(to, key, '[', true);
    json_number(to, NULL, of.low);
    json_number(to, NULL, of.high);
    json_close(to, '[');
}

void json_integer(json *to, const char *key, int64_t value) {
    member(to, key);
    text_format(to->out, "%lld", (long long)value);
}

void json_string(json *to, const char *key, const char *value) {
    member(to, key);
    if (value == NULL) {
        text_add(to->out, "null");
    } else {
        quoted(to->out, value);
    }
}

void json_strings(json *to, const char *key, const char *const *values,
                  size_t count) {
    json_open(to, key, '[', false);
    for (size_t i = 0; i < count; i++) {
        json_string(to, NULL, values[i]);
    }
    json_close(to, '[');
}

void json_bool(json *to, const char *key, bool value) {
    member(to, key);
    text_add(to->out, value ? "true" : "false");
}
