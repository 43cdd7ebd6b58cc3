/*
 * spacing.c - where frames lie along the pullback, and where none does.
 */
#include "check/checking.h"

#include "base/constants.h"
#include "profile/median.h"
#include "profile/profile.h"
#include "profile/reach.h"
#include "pullback/schedule.h"

#include <math.h>

/* Neighbours this many times nearer or further than most are uneven. */
#define UNEVEN 1.5
/* Steps that differ less have one cause. */
#define ALIKE 0.01

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

/* Neighbouring lumen frames, in position order. */
typedef struct pairs {
    const checking *in;
    schedule_walk walk; /* no pieces without a schedule of speed */
    size_t next;
    const bl_row *before;
    const bl_row *row;
    double step_mm;
    double share; /* of the step, of which most are alike: it is divided by the
                     speed of its frames where that changes */
} pairs;

static pairs pairs_of(const checking *in) {
    const bl_pullback *pullback = bl_study_pullback(in->study);
    return (pairs){.in = in,
                   .walk = {pullback->speeds, pullback->speed_count, 0, 0.0}};
}

/* The mean speed between the two frames; 1 where it does not change. */
static double speed_of(pairs *of) {
    if (of->walk.count == 0) {
        return 1.0;
    }
    int64_t from = of->before->frame;
    int64_t to = of->row->frame;
    return schedule_between(&of->walk, from, to) / (double)(to - from);
}

/* The next pair whose frames are not held in one place; false behind the last.
 */
static bool pairs_next(pairs *of) {
    while (of->next < of->in->count) {
        const bl_row *row = &of->in->rows[of->next++];
        if (row->kind != BL_KIND_LUMEN) {
            continue;
        }
        of->before = of->row;
        of->row = row;
        if (of->before != NULL && row->position_mm > of->before->position_mm) {
            of->step_mm = row->position_mm - of->before->position_mm;
            of->share = of->step_mm / speed_of(of);
            return true;
        }
    }
    return false;
}

static double usual_share(const checking *in, double *values) {
    size_t held = 0;
    for (pairs of = pairs_of(in); pairs_next(&of);) {
        values[held++] = of.share;
    }
    return median_of(values, held);
}

/* Uneven steps behind each other that are alike, and have one cause. */
typedef struct uneven_run {
    pairs first;
    int64_t last; /* the frame that the last of them leads to */
    size_t steps; /* 0: there is none */
} uneven_run;

static bl_status say_uneven(checking *in, const uneven_run *run, double usual) {
    const pairs *of = &run->first;
    if (run->steps == 0) {
        return BL_OK;
    }
    text words = {0};
    text_format(&words, "uneven spacing: %s mm from frame %lld",
                checking_decimals(of->step_mm, 3).text,
                (long long)of->before->frame);
    if (run->steps > 1) {
        text_format(&words, " and in %zu more step%s, to frame %lld",
                    run->steps - 1, run->steps == 2 ? "" : "s",
                    (long long)run->last);
    }
    text_format(&words,
                of->walk.count > 0
                    ? ", where the speed there gives most neighbours %s mm"
                    : ", where most neighbours are %s mm apart",
                checking_decimals(usual * of->step_mm / of->share, 3).text);
    return findings_warn_text(&in->found,
                              checking_line(in, (size_t)(of->row - in->rows)),
                              of->row->frame, &words);
}

static bool goes_on(const uneven_run *run, const pairs *of) {
    return run->steps > 0 && run->last == of->before->frame &&
           fabs(of->share - run->first.share) <= ALIKE * run->first.share;
}

static bl_status check_steps(checking *in, double *values) {
    double usual = usual_share(in, values);
    uneven_run run = {.steps = 0};
    bl_status status = BL_OK;
    pairs of = pairs_of(in);
    while (status == BL_OK && pairs_next(&of)) {
        bool uneven = of.share > UNEVEN * usual || of.share * UNEVEN < usual;
        if (!uneven || of.step_mm > GAP_MM) {
            continue;
        }
        if (!goes_on(&run, &of)) {
            status = say_uneven(in, &run, usual);
            run = (uneven_run){.first = of};
        }
        run.last = of.row->frame;
        run.steps++;
    }
    return status == BL_OK ? say_uneven(in, &run, usual) : status;
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
