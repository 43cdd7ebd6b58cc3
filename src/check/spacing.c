/*
 * spacing.c - where frames lie along the pullback, and where none does.
 */
#include "check/checking.h"

#include "base/constants.h"
#include "profile/median.h"
#include "profile/profile.h"
#include "profile/reach.h"

/* Neighbours this many times nearer or further than most are uneven. */
#define UNEVEN 1.5

static bl_status jumps(checking *in, size_t i) {
    short_number area = checking_decimals(in->rows[i].measures.area_mm2, 1);
    return findings_warn(
        &in->found, checking_line(in, i), 0, in->rows[i].frame,
        "area %s%sis unlike that of the frames around it; was another edge "
        "traced?",
        area.text, area.text[0] == '\0' ? "" : " mm2 ");
}

static bool has_jump(const bl_row *row) {
    return (row->measures.flags & BL_FLAG_JUMP) != 0;
}

static bl_status say_gaps(checking *in, const profile *along) {
    bl_status status = BL_OK;
    in->out->gaps = along->gap_count;
    for (size_t i = 0; status == BL_OK && i < along->gap_count; i++) {
        bl_span gap = along->gaps[i];
        status = findings_warn(&in->found, 0, 0, -1,
                               "no usable frame from %s to %s mm, over 5 mm: "
                               "nothing is known there",
                               checking_decimals(gap.from_mm, 1).text,
                               checking_decimals(gap.to_mm, 1).text);
    }
    return status;
}

/* The frame numbers of lumen contours within reach, traced against all between.
 */
static bl_status check_traced(checking *in) {
    reach over = reach_of(in->rows, in->count);
    int64_t least = INT64_MAX;
    int64_t most = -1;
    size_t traced = 0;
    for (size_t i = over.first; i < over.end; i++) {
        if (in->rows[i].kind == BL_KIND_LUMEN) {
            int64_t frame = in->rows[i].frame;
            least = frame < least ? frame : least;
            most = frame > most ? frame : most;
            traced++;
        }
    }
    int64_t all = traced == 0 ? 0 : most - least + 1;
    if (2 * (int64_t)traced >= all) {
        return BL_OK;
    }
    return findings_warn(&in->found, 0, 0, -1,
                         "%zu of %lld frames are traced, less than half: a "
                         "short narrowing may lie between",
                         traced, (long long)all);
}

/* Steps between neighbouring lumen frames, those held in place left out. */
static size_t find_steps(const checking *in, double *steps) {
    const bl_row *before = NULL;
    size_t held = 0;
    for (size_t i = 0; i < in->count; i++) {
        const bl_row *row = &in->rows[i];
        if (row->kind != BL_KIND_LUMEN) {
            continue;
        }
        double step =
            before == NULL ? 0.0 : row->position_mm - before->position_mm;
        if (step > 0.0) {
            steps[held++] = step;
        }
        before = row;
    }
    return held;
}

static bl_status check_steps(checking *in, double *values) {
    double usual = median_of(values, find_steps(in, values));
    const bl_row *before = NULL;
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < in->count; i++) {
        const bl_row *row = &in->rows[i];
        if (row->kind != BL_KIND_LUMEN) {
            continue;
        }
        double step =
            before == NULL ? 0.0 : row->position_mm - before->position_mm;
        bool uneven = step > UNEVEN * usual || step * UNEVEN < usual;
        if (before != NULL && step > 0.0 && step <= GAP_MM && uneven) {
            status = findings_warn(
                &in->found, checking_line(in, i), 0, row->frame,
                "uneven spacing: %s mm from frame %lld, where most neighbours "
                "are %s mm apart",
                checking_decimals(step, 3).text, (long long)before->frame,
                checking_decimals(usual, 3).text);
        }
        before = row;
    }
    return status;
}

bl_status spacing_check(checking *in, double *values) {
    if (!in->placed) {
        return BL_OK;
    }
    arena owner = {0};
    profile along;
    bl_status status =
        profile_build(in->rows, in->count, 0.0, NULL, &owner, &along);
    if (status == BL_OK) {
        status = say_gaps(in, &along);
    }
    arena_free(&owner);
    if (status == BL_OK) {
        status = check_traced(in);
    }
    if (status == BL_OK) {
        status = checking_each(in, has_jump, jumps);
    }
    return status == BL_OK ? check_steps(in, values) : status;
}
