/*
 * plan_size_text.c - sizes of devices in words.
 */
#include "report/plan_text.h"

static size_t count_devices(const bl_chain *chains, size_t count) {
    size_t sum = 0;
    for (size_t i = 0; i < count; i++) {
        sum += chains[i].device_count;
    }
    return sum;
}

void plan_text_sizes(text *out, const bl_chain *chains, size_t count) {
    size_t left = count_devices(chains, count);
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < chains[i].device_count; j++) {
            const bl_device *one = &chains[i].devices[j];
            left--;
            text_short(out, one->diameter_mm, 2);
            text_add(out, " x ");
            text_short(out, one->length_mm, 2);
            text_add(out, left > 1 ? ", " : left == 1 ? " and " : " mm");
        }
    }
}
