/*
 * origin.c - how positions and scale of a table were known, in words.
 */
#include "base/origin.h"

#include <math.h>

/* Pieces of a speed schedule that are told in words; JSON has them all. */
#define PIECES_SAID ((size_t)12)

/* "a speed schedule: 1 mm/s from frame 0, 0.5 from frame 600". */
static void speed_words(text *out, const bl_pullback *pullback) {
    size_t count = pullback->speed_count;
    text_add(out, count > 0 ? "a speed schedule: " : "speed ");
    text_short(out, pullback->speed_mm_per_s, 4);
    text_add(out, " mm/s");
    for (size_t i = 0; i < count && i < PIECES_SAID; i++) {
        const bl_speed *piece = &pullback->speeds[i];
        if (i > 0) {
            text_add(out, ", ");
            text_short(out, piece->mm_per_s, 4);
        }
        text_format(out, " from frame %lld", (long long)piece->frame);
    }
    if (count > PIECES_SAID) {
        text_format(out, " and %zu more pieces", count - PIECES_SAID);
    }
}

static void held_words(text *out, size_t frames, double mm) {
    text_format(out, "%zu frame%s at ", frames, frames == 1 ? "" : "s");
    text_fixed(out, mm, 1);
    text_add(out, " mm");
}

/* Which frames the catheter moved in, and how many stand at one place. */
static void motion_words(text *out, const bl_pullback *pullback) {
    if (!pullback->has_motion) {
        return;
    }
    text_format(out, "; the catheter moved in frames %lld..%lld",
                (long long)pullback->motion_from,
                (long long)pullback->motion_to);
    size_t before = pullback->held_before;
    size_t after = pullback->held_after;
    text_add(out, before + after > 0 ? ", and stood in " : "");
    if (before > 0) {
        held_words(out, before, pullback->held_before_mm);
    }
    text_add(out, before > 0 && after > 0 ? " and " : "");
    if (after > 0) {
        held_words(out, after, pullback->held_after_mm);
    }
}

static void way_words(text *out, const bl_pullback *pullback) {
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

void origin_position_words(text *out, const bl_pullback *pullback) {
    way_words(out, pullback);
    motion_words(out, pullback);
}

/* Two scales that differ are not to read the same. */
static void scale_words(text *out, double value, double other) {
    double apart = fabs(value - other);
    if (apart > 0.0 && apart < 1e-6) {
        text_double(out, value);
    } else {
        text_short(out, value, 6);
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
    scale_words(out, pullback->mm_per_px_x, pullback->mm_per_px_y);
    text_add(out, " by ");
    scale_words(out, pullback->mm_per_px_y, pullback->mm_per_px_x);
    text_add(out, pullback->scale_from_option ? " mm (option)" : " mm (note)");
}

void origin_words(text *out, const bl_pullback *pullback) {
    text_add(out, "position from ");
    origin_position_words(out, pullback);
    text_add(out, "; coordinates in ");
    origin_units_words(out, pullback);
}
