/*
 * contours.c - contour by contour: which are left out, and which of the others
 * were hardly traced as they stand.
 */
#include "check/checking.h"

#include "base/constants.h"
#include "profile/beside.h"
#include "profile/profile.h"

/* Points that two tracings of a contour may share, and so many rows to each
 * side are of the frames beside it, whatever kinds were traced. */
#define SHARED 2
#define BESIDE_ROWS 4

static bl_status centre_outside(checking *in, size_t i) {
    return findings_warn(&in->found, checking_line(in, i), 0, in->rows[i].frame,
                         "the centre lies outside the contour: diameters "
                         "through it are unknown");
}

static bl_status few_points(checking *in, size_t i) {
    return findings_warn(&in->found, checking_line(in, i), 0, in->rows[i].frame,
                         "%u points; fewer than %d read the area low",
                         in->rows[i].points, FEW_TRACED_POINTS);
}

static bool has_centre_outside(const bl_row *row) {
    return profile_is_usable_lumen(row) &&
           (row->measures.flags & BL_FLAG_CENTRE_OUTSIDE) != 0;
}

static bool has_few_points(const bl_row *row) {
    return profile_is_usable_lumen(row) && row->points < FEW_TRACED_POINTS;
}

/* The points of the next usable lumen contour in steps of 1 or -1, where one is
 * near: that of the same frame or of one beside it. 0 where none is. */
static uint32_t points_near(const checking *in, size_t i, size_t step) {
    for (size_t k = 0; k < BESIDE_ROWS; k++) {
        i += step; /* below 0 is beyond count */
        if (i < in->count && profile_is_usable_lumen(&in->rows[i])) {
            return in->rows[i].points;
        }
    }
    return 0;
}

/* Two tracings of a frame that are written as one: they cross each other or,
 * written point by point in turn, make a star of twice the points. */
static bool is_double(const checking *in, size_t i) {
    const bl_row *row = &in->rows[i];
    uint32_t before = points_near(in, i, SIZE_MAX);
    uint32_t after = points_near(in, i, 1);
    uint32_t most = before > after ? before : after;
    bool crosses = (row->measures.flags & BL_FLAG_CROSSING) != 0;
    bool exactly = before == after && row->points <= 2 * most;
    return row->kind == BL_KIND_LUMEN && most >= FEW_TRACED_POINTS &&
           row->points + SHARED >= 2 * most && (crosses || exactly);
}

/* What the flags that leave a contour out say, by their numbers. */
static const char *const reasons[] = {
    "fewer than 3 distinct points", "its points lie on a line",
    "an edge crosses another", "a point beyond 1,000 mm: unit or scale?"};

static bl_status left_out(checking *in, size_t i) {
    const bl_row *row = &in->rows[i];
    unsigned flag = 0;
    while ((row->measures.flags & (UINT32_C(1) << flag)) == 0) {
        flag++;
    }
    return findings_warn(
        &in->found, checking_line(in, i), 0, row->frame,
        "%s contour left out: %s (flag %s)%s", bl_kind_name(row->kind),
        reasons[flag], bl_flag_name(flag),
        is_double(in, i) ? "; it has twice the points of those beside it: "
                           "was it traced twice? Then keep one tracing"
                         : "");
}

static bl_status say_double(checking *in, size_t i) {
    return findings_warn(&in->found, checking_line(in, i), 0, in->rows[i].frame,
                         "%u points, twice those of the contours beside it; "
                         "was it traced twice? Then keep one tracing",
                         in->rows[i].points);
}

static bl_status say_fewer(checking *in, size_t i) {
    return findings_warn(&in->found, checking_line(in, i), 0, in->rows[i].frame,
                         "%u points, where contours beside it have %u or "
                         "more; is a part of it missing?",
                         in->rows[i].points,
                         beside_points(in->rows, in->count, i));
}

/* What is left of a contour of which a part was lost reads well, and so does
 * one that was traced twice. */
static bl_status check_beside(checking *in) {
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < in->count; i++) {
        if (!profile_is_usable_lumen(&in->rows[i])) {
            continue;
        }
        if (beside_is_cut(in->rows, in->count, i)) {
            status = say_fewer(in, i);
        } else if (is_double(in, i)) {
            status = say_double(in, i);
        }
    }
    return status;
}

bl_status contours_left_out(checking *in) {
    return checking_each(in, checking_is_left_out, left_out);
}

bl_status contours_doubtful(checking *in) {
    bl_status status = checking_each(in, has_centre_outside, centre_outside);
    if (status == BL_OK) {
        status = check_beside(in);
    }
    return status == BL_OK ? checking_each(in, has_few_points, few_points)
                           : status;
}
