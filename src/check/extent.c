/*
 * extent.c - how much is in the table, how wide and how long it is.
 */
#include "check/checking.h"

#include "base/constants.h"

/* From the cava to the knee it is less; and so many frames are not taken of
 * less than that (our own measure). */
#define LENGTH_MOST_MM 1000.0
#define LENGTH_LEAST_MM 5.0
#define MANY_FRAMES 10

void extent_count(checking *in, double *values) {
    bl_check *out = in->out;
    size_t usable = 0;
    out->contours = in->count;
    out->points_least = in->count > 0 ? UINT32_MAX : 0;
    for (size_t i = 0; i < in->count; i++) {
        const bl_row *row = &in->rows[i];
        out->points_least =
            row->points < out->points_least ? row->points : out->points_least;
        out->points_most =
            row->points > out->points_most ? row->points : out->points_most;
        out->frames += row->kind == BL_KIND_LUMEN;
        out->left_out +=
            row->kind == BL_KIND_LUMEN && checking_is_left_out(row);
        values[i] = row->points;
    }
    out->points_median = checking_median(values, in->count);
    for (size_t i = 0; i < in->count; i++) {
        if (checking_is_usable_lumen(&in->rows[i])) {
            values[usable++] = in->rows[i].measures.equivalent_diameter_mm;
        }
    }
    out->median_diameter_mm = checking_median(values, usable);
    out->scale_is_suspicious = out->median_diameter_mm < PLAUSIBLE_LEAST_MM ||
                               out->median_diameter_mm > PLAUSIBLE_MOST_MM;
}

static bl_status check_scale(checking *in) {
    const bl_pullback *pullback = bl_study_pullback(in->study);
    bl_status status = BL_OK;
    if (in->out->scale_is_suspicious) {
        status = findings_warn(
            &in->found, 0, 0, -1,
            "the median equivalent diameter is %s mm, and deep veins have 3 to "
            "35 mm; check the scale and the unit of the coordinates",
            checking_decimals(in->out->median_diameter_mm, 2).text);
    }
    double x = pullback->mm_per_px_x;
    double y = pullback->mm_per_px_y;
    if (status == BL_OK && (x < y || x > y)) {
        status = findings_warn(&in->found, 0, 0, -1,
                               "pixels are %s mm across and %s mm down; is "
                               "that so?",
                               checking_decimals(x, 6).text,
                               checking_decimals(y, 6).text);
    }
    return status;
}

/* A slip in speed, step or unit is seldom less than tenfold. */
static bl_status check_length(checking *in) {
    double length = bl_study_pullback(in->study)->length_mm;
    bool is_short = length > 0.0 && length < LENGTH_LEAST_MM &&
                    in->out->frames >= MANY_FRAMES;
    if (!in->placed || !(is_short || length > LENGTH_MOST_MM)) {
        return BL_OK;
    }
    return findings_warn(&in->found, 0, 0, -1,
                         "the pullback is %s mm long, unlikely for deep veins; "
                         "check speed, rate, step or positions and their unit",
                         checking_decimals(length, 2).text);
}

bl_status extent_check(checking *in) {
    bl_status status = check_scale(in);
    return status == BL_OK ? check_length(in) : status;
}
