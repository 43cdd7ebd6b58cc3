/*
 * stated.c - what the vessel maker states of a table that it made.
 */
#include "support/stated.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE_BYTES 256

double stated(const char *path, const char *name) {
    char line[LINE_BYTES];
    size_t size = strlen(name);
    FILE *from = fopen(path, "r");
    assert_non_null(from);
    while (fgets(line, sizeof line, from) != NULL) {
        const char *value = strrchr(line, ',');
        if (strncmp(line, name, size) == 0 && line[size] == ',' &&
            value != NULL) {
            (void)fclose(from);
            return strtod(value + 1, NULL);
        }
    }
    (void)fclose(from);
    fail_msg("no %s in %s", name, path);
    return 0.0;
}
