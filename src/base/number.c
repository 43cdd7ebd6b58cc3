/*
 * number.c - text to double, without locale.
 */
#include "base/number.h"

size_t number_scan(const char *bytes, size_t size, char point, double *value) {
    (void)bytes;
    (void)size;
    (void)point;
    (void)value;
    return 0;
}
