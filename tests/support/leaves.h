/*
 * leaves.h - a JSON text as the list of its leaves, each with the way to it:
 * what a test needs to hold one output against another.
 */
#ifndef SUPPORT_LEAVES_H
#define SUPPORT_LEAVES_H

#include <stddef.h>

typedef struct leaf {
    char *path;  /* "narrowings[0].worst.area_mm2" */
    char *value; /* a string as decoded; all else as written: "12.5", "null";
                    "[]" and "{}" where one is empty */
    int quoted;  /* it is a string */
} leaf;

typedef struct leaves {
    leaf *list;
    size_t count;
} leaves;

/* Of one value with nothing behind it; fails the test for any other text. */
leaves leaves_of(const char *json);
void leaves_free(leaves *of);

/* NULL where there is no such leaf. */
const leaf *leaves_at(const leaves *of, const char *path);
/* Its value as a number: fails the test when it is none. */
double leaves_number(const leaves *of, const char *path);

#endif
