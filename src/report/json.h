/*
 * json.h - writing JSON (RFC 8259) into a growing text.
 *
 * A key of NULL is an element of an array. Unknown numbers are null. A byte of
 * a string that is no UTF-8 becomes U+FFFD.
 */
#ifndef REPORT_JSON_H
#define REPORT_JSON_H

#include "base/text.h"

#define JSON_DEPTH 16

typedef struct json {
    text *out;
    unsigned depth;
    bool filled[JSON_DEPTH]; /* the object or array at that depth has members */
    bool flat[JSON_DEPTH];   /* its members stand on one line */
} json;

/* kind is '{' or '['; flat keeps the members on one line. */
void json_open(json *to, const char *key, char kind, bool flat);
void json_close(json *to, char kind);
void json_number(json *to, const char *key, double value);
/* [low, high] on one line. */
void json_interval(json *to, const char *key, bl_interval of);
void json_integer(json *to, const char *key, int64_t value);
void json_string(json *to, const char *key, const char *value);
/* A list of them, a line each. */
void json_strings(json *to, const char *key, const char *const *values,
                  size_t count);
void json_bool(json *to, const char *key, bool value);

#endif
