/*
 * comparing_options.c - what the options of a comparison do to a request.
 */
#include "cli/console.h"
#include "cli/option_value.h"

#include <math.h>
#include <string.h>

#define SHIFT_MOST 1000.0

int apply_shift(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < -SHIFT_MOST ||
        number > SHIFT_MOST) {
        return option_not_a_number("shift", value,
                                   "millimetres from -1000 to 1000");
    }
    to->compare.shift_mm = number;
    return 0;
}

/* Which frames there are is known when the table has been read. */
int apply_treated(request *to, const char *value) {
    to->treated = value;
    return 0;
}

int apply_gap_tolerance(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 0.01 || number > 5) {
        return option_not_a_number("gap-tolerance", value,
                                   "millimetres from 0.01 to 5");
    }
    to->gap_tolerance_mm = number;
    return 0;
}

int apply_edge(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 1 || number > 50) {
        return option_not_a_number("edge", value, "millimetres from 1 to 50");
    }
    to->compare.edge_mm = number;
    return 0;
}

/* The next size of a list, of which *at is set behind: "16x120", or "16". */
static bool read_nominal(const char **at, bl_nominal *out) {
    char part[32];
    size_t size = strcspn(*at, ",");
    if (size >= sizeof part) {
        return false;
    }
    memcpy(part, *at, size);
    part[size] = '\0';
    *at += size + ((*at)[size] == ',');
    const char *length = part;
    *out = (bl_nominal){.length_mm = (double)NAN};
    if (strchr(part, 'x') == NULL) {
        return bl_number_from_text(part, &out->diameter_mm);
    }
    return option_read_part(&length, 'x', &out->diameter_mm) &&
           option_read_part(&length, '\0', &out->length_mm) &&
           out->length_mm >= BL_DEVICE_LENGTH_LEAST_MM &&
           out->length_mm <= BL_DEVICE_LENGTH_MOST_MM;
}

int apply_nominal(request *to, const char *value) {
    const char *at = value;
    size_t size = strlen(value);
    bool hangs = size > 0 && value[size - 1] == ','; /* a size is wanting */
    to->compare.nominal_count = 0;
    do {
        bl_nominal one;
        if (hangs || to->compare.nominal_count == BL_NOMINALS_MOST ||
            !read_nominal(&at, &one) ||
            one.diameter_mm < BL_DEVICE_DIAMETER_LEAST_MM ||
            one.diameter_mm > BL_DEVICE_DIAMETER_MOST_MM) {
            return console_usage(
                "--nominal got '%s'; it takes sizes in mm from cranial, as in "
                "16x120,14x160, or a diameter: 4 to 40 by 10 to 300, %d at "
                "most",
                value, BL_NOMINALS_MOST);
        }
        to->nominals[to->compare.nominal_count++] = one;
    } while (*at != '\0');
    return 0;
}
