/*
 * extent.c - how much is in the table, and how wide it is.
 */
#include "check/checking.h"

#include "base/constants.h"
#include "profile/median.h"
#include "profile/profile.h"

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
    out->points_median = median_of(values, in->count);
    for (size_t i = 0; i < in->count; i++) {
        if (profile_is_usable_lumen(&in->rows[i])) {
            values[usable++] = in->rows[i].measures.equivalent_diameter_mm;
        }
    }
    out->median_diameter_mm = median_of(values, usable);
    out->scale_is_suspicious = out->median_diameter_mm < PLAUSIBLE_LEAST_MM ||
                               out->median_diameter_mm > PLAUSIBLE_MOST_MM;
}
