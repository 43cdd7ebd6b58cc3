/*
 * stocked.c - what a plan is made with: the stock, and the options that need a
 * table to be understood.
 */
#include "cli/stocked.h"

#include "cli/console.h"

#include <string.h>

static bool is_standard_input(const char *path) {
    return path != NULL && strcmp(path, "-") == 0;
}

int stocked_read(const request *wanted, bl_stock **out) {
    bl_message message;
    if (wanted->stock == NULL) {
        return 0;
    }
    if (is_standard_input(wanted->stock) &&
        (is_standard_input(wanted->input) ||
         is_standard_input(wanted->second) ||
         is_standard_input(wanted->expected))) {
        return console_usage("--stock and another file both are standard "
                             "input; name one of them");
    }
    if (bl_stock_read(wanted->stock, out, &message) != BL_OK) {
        console_error(wanted->stock, &message);
        return EXIT_WORK;
    }
    return 0;
}

int stocked_options(const session *of, const bl_stock *stock,
                    bl_plan_options *out) {
    const request *wanted = of->wanted;
    bl_message message;
    *out = wanted->plan;
    out->wishes = wanted->wishes;
    out->stock = stock;
    out->treat_given = wanted->treat != NULL;
    if (!out->treat_given) {
        return 0;
    }
    bl_status status =
        bl_study_stretch(of->study, wanted->treat, &out->treat, &message);
    if (status == BL_ERR_ARGUMENT) {
        return console_usage("--treat: %s", message.text);
    }
    if (status != BL_OK) {
        console_error(wanted->input, &message);
        return EXIT_WORK;
    }
    return 0;
}
