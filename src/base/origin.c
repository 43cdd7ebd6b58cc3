/*
 * origin.c - how positions and scale of a table were known, in words.
 */
#include "base/origin.h"

#include <math.h>

static void speed_words(text *out, const bl_pullback *pullback) {
    text_add(out,
             pullback->speed_is_schedule ? "speed schedule from " : "speed ");
    text_short(out, pullback->speed_mm_per_s, 4);
    text_add(out, " mm/s");
}

void origin_position_words(text *out, const bl_pullback *pullback) {
    switch (pullback->position_from) {
    case BL_POSITION_COLUMN:
        text_add(out, "column position_mm");
        break;
    case BL_POSITION_AT:
        text_add(out, "known positions (at)");
        break;
    case BL_POSITION_STEP:
        text_add(out, "a step of ");
        text_short(out, pullback->step_mm, 4);
        text_add(out, " mm a frame");
        break;
    case BL_POSITION_TIME:
        text_add(out, "column time_s and ");
        speed_words(out, pullback);
        break;
    case BL_POSITION_RATE:
        text_add(out, "frame numbers, ");
        text_short(out, pullback->frame_rate_hz, 4);
        text_add(out, " frames/s and ");
        speed_words(out, pullback);
        break;
    default:
        break;
    }
}

void origin_units_words(text *out, const bl_pullback *pullback) {
    text_add(out, pullback->polar ? "degrees and " : "");
    if (pullback->scale_is_missing) {
        text_add(out, "pixels without a scale: no size is known");
        return;
    }
    if (isnan(pullback->mm_per_px_x)) {
        text_add(out, "mm");
        return;
    }
    text_add(out, "pixels of ");
    text_short(out, pullback->mm_per_px_x, 6);
    text_add(out, " by ");
    text_short(out, pullback->mm_per_px_y, 6);
    text_add(out, pullback->scale_from_option ? " mm (option)" : " mm (note)");
}

void origin_words(text *out, const bl_pullback *pullback) {
    text_add(out, "position from ");
    origin_position_words(out, pullback);
    text_add(out, "; coordinates in ");
    origin_units_words(out, pullback);
}
