/*
 * inflow_words.c - how the figures of inflow veins print.
 */
#include "base/inflow_words.h"

#include <math.h>

unsigned inflow_decimals(unsigned measure) {
    return measure == BL_INFLOW_FLOW ? 2 : 1;
}

const char *inflow_unit(unsigned measure) {
    static const char *const units[BL_INFLOW_MEASURES] = {"mm2", "mm2", "mm",
                                                          ""};
    return units[measure];
}

void inflow_interval_words(text *out, unsigned measure, bl_interval of) {
    if (isnan(of.low)) {
        text_add(out, "not known");
        return;
    }
    text_fixed(out, of.low, inflow_decimals(measure));
    text_add(out, " to ");
    text_fixed(out, of.high, inflow_decimals(measure));
}
