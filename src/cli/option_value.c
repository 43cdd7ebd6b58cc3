/*
 * option_value.c - what the values of options have in common.
 */
#include "cli/option_value.h"

#include "cli/console.h"

#include <string.h>

/* What a person writes where a bare number is wanted. */
static const char *slip_of(const char *value) {
    double number;
    if (bl_number_from_text(value, &number)) {
        return "";
    }
    return strchr(value, ',') != NULL           ? "; write a decimal point"
           : value[0] >= '0' && value[0] <= '9' ? "; write the number alone"
                                                : "";
}

int option_not_a_number(const char *option, const char *value,
                        const char *wanted) {
    return console_usage("--%s got '%s'; it takes %s%s", option, value, wanted,
                         slip_of(value));
}

bool option_read_part(const char **at, char sign, double *out) {
    char part[32];
    const char *end = strchr(*at, sign);
    size_t size = end == NULL ? sizeof part : (size_t)(end - *at);
    if (size >= sizeof part) {
        return false;
    }
    memcpy(part, *at, size);
    part[size] = '\0';
    *at = end + 1;
    return bl_number_from_text(part, out);
}
