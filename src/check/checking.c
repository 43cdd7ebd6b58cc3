/*
 * checking.c - what the files of this room share.
 */
#include "check/checking.h"

#include "base/constants.h"

#include <math.h>
#include <stdlib.h>

short_number checking_decimals(double value, unsigned digits) {
    short_number out;
    out.text[isfinite(value) ? fixed_write(out.text, value, digits) : 0] = '\0';
    return out;
}

bool checking_is_left_out(const bl_row *row) {
    return (row->measures.flags & BL_FLAGS_LEFT_OUT) != 0;
}

uint64_t checking_line(const checking *in, size_t row) {
    return bl_study_line(in->study, row);
}

bl_status checking_each(checking *in, bool (*applies)(const bl_row *),
                        bl_status (*say)(checking *, size_t)) {
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < in->count; i++) {
        if (applies(&in->rows[i])) {
            status = say(in, i);
        }
    }
    return status;
}
