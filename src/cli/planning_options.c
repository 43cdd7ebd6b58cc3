/*
 * planning_options.c - what the options of a plan do to a request.
 */
#include "cli/console.h"
#include "cli/option_value.h"

#include <string.h>

static int read_up_to(const char *option, const char *value, double most,
                      const char *wanted, double *out) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 0 || number > most) {
        return option_not_a_number(option, value, wanted);
    }
    *out = number;
    return 0;
}

int apply_landing(request *to, const char *value) {
    return read_up_to("landing", value, 100, "millimetres from 0 to 100",
                      &to->plan.landing_mm);
}

int apply_margin(request *to, const char *value) {
    return read_up_to("margin", value, 50, "millimetres from 0 to 50",
                      &to->plan.margin_mm);
}

int apply_overlap(request *to, const char *value) {
    return read_up_to("overlap", value, 100, "millimetres from 0 to 100",
                      &to->plan.overlap_mm);
}

int apply_join(request *to, const char *value) {
    return read_up_to("join", value, 300, "millimetres from 0 to 300",
                      &to->plan.join_mm);
}

int apply_diameter_step(request *to, const char *value) {
    return read_up_to("diameter-step", value, 20, "millimetres from 0 to 20",
                      &to->plan.step_mm);
}

int apply_oversize_limit(request *to, const char *value) {
    return read_up_to("oversize-limit", value, 100,
                      "a percentage of the diameter from 0 to 100",
                      &to->plan.oversize_limit_pct);
}

int apply_size_by(request *to, const char *value) {
    static const bl_size_by ways[] = {BL_SIZE_BY_AREA, BL_SIZE_BY_PERIMETER};
    for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
        if (strcmp(value, bl_size_by_name(ways[i])) == 0) {
            to->plan.size_by = ways[i];
            return 0;
        }
    }
    return console_usage("--size-by got '%s'; it takes area or perimeter",
                         value);
}

int apply_device(request *to, const char *value) {
    const char *at = value;
    bl_device_wish wish = {0};
    if (!option_read_part(&at, 'x', &wish.diameter_mm) ||
        !option_read_part(&at, '@', &wish.length_mm) ||
        !option_read_part(&at, '\0', &wish.from_mm) ||
        wish.diameter_mm < BL_DEVICE_DIAMETER_LEAST_MM ||
        wish.diameter_mm > BL_DEVICE_DIAMETER_MOST_MM ||
        wish.length_mm < BL_DEVICE_LENGTH_LEAST_MM ||
        wish.length_mm > BL_DEVICE_LENGTH_MOST_MM || wish.from_mm < -10000 ||
        wish.from_mm > 10000) {
        return console_usage("--device got '%s'; it takes DIAMETERxLENGTH@"
                             "POSITION in mm, 4 to 40 by 10 to 300, as in "
                             "16x120@42",
                             value);
    }
    if (to->plan.wish_count == BL_WISHES_MOST) {
        return console_usage("more than %d devices to check; give one chain",
                             BL_WISHES_MOST);
    }
    to->wishes[to->plan.wish_count++] = wish;
    return 0;
}
