/*
 * check.c - what is wrong with a table, and whether it can be used.
 *
 * Findings come worst first: what stopped the reading, faults that it went on
 * behind, why an assessment is refused, contours left out, and then what a
 * careful reader should look at. A table can be used when bl_assess takes it.
 */
#include "base/constants.h"
#include "base/message.h"
#include "base/text.h"
#include "profile/profile.h"
#include "pullback/findings.h"
#include "pullback/marks.h"

#include <math.h>
#include <stdlib.h>

/* A contour with so many times fewer points than those beside it was cut. */
#define FAR_FEWER 2
/* Neighbours this many times nearer or further than most are uneven. */
#define UNEVEN 1.5

/* A check under way. */
typedef struct checking {
    const bl_study *study;
    const bl_row *rows;
    size_t count;
    bool placed;               /* positions are known */
    bl_assessment *assessment; /* NULL where there is none */
    findings found;
    bl_check *out;
} checking;

typedef struct whole {
    bl_check check; /* first: what the caller sees */
    findings found;
} whole;

void bl_check_free(bl_check *check) {
    if (check != NULL) {
        findings_free(&((whole *)check)->found);
        free(check);
    }
}

/* A number in words, by value, so that it can be made where it is printed. */
typedef struct short_number {
    char text[FIXED_BYTES + 1];
} short_number;

static short_number decimals(double value, unsigned digits) {
    short_number out;
    out.text[isfinite(value) ? fixed_write(out.text, value, digits) : 0] = '\0';
    return out;
}

static bool is_usable_lumen(const bl_row *row) {
    return row->kind == BL_KIND_LUMEN &&
           (row->measures.flags & BL_FLAGS_LEFT_OUT) == 0;
}

static uint64_t line_of(const checking *in, size_t row) {
    return bl_study_line(in->study, row);
}

/* ---------------------------------------------------------- from elsewhere */

static bl_status add_stop(checking *in, const bl_message *stopped) {
    return stopped == NULL ? BL_OK : findings_add(&in->found, stopped, -1);
}

/* The study's findings, faults or warnings, whose repeats are counted there. */
static bl_status add_findings(checking *in, bool faults) {
    const bl_finding *list = bl_study_findings(in->study);
    for (size_t i = 0; i < bl_study_finding_count(in->study); i++) {
        if ((list[i].message.status != BL_OK) != faults) {
            continue;
        }
        size_t before = in->found.count;
        if (findings_add(&in->found, &list[i].message, list[i].frame) !=
            BL_OK) {
            return BL_ERR_MEMORY;
        }
        if (in->found.count > before) {
            in->found.list[before].more = list[i].more;
        }
    }
    return BL_OK;
}

/* Whether bl_assess takes the table; if not, why. */
static bl_status try_assess(checking *in, const bl_assess_options *options) {
    bl_message message = {.status = BL_OK};
    bl_status status = bl_assess(in->study, options, &in->assessment, &message);
    in->out->usable = status == BL_OK;
    return status == BL_OK || status == BL_ERR_MEMORY
               ? status
               : findings_add(&in->found, &message, -1);
}

/* What an assessment warns of, but for frames and reading, which are listed
 * here; marks
 * also where the table is refused, for both are to be mended at once. */
static bl_status add_assessment(checking *in) {
    bl_status status = BL_OK;
    if (in->assessment == NULL) {
        return in->placed && in->count > 0
                   ? marks_doubt(bl_study_pullback(in->study),
                                 (bl_span){in->rows[0].position_mm,
                                           in->rows[in->count - 1].position_mm},
                                 &in->found)
                   : BL_OK;
    }
    const bl_assessment *of = in->assessment;
    size_t end = of->warning_count - of->frame_warning_count;
    for (size_t i = of->reading_warning_count; status == BL_OK && i < end;
         i++) {
        status = findings_warn(&in->found, 0, 0, -1, "%s", of->warnings[i]);
    }
    return status;
}

/* ---------------------------------------------------------- contour by contour
 */

static bl_status left_out(checking *in, size_t i) {
    const bl_row *row = &in->rows[i];
    const char *why = "";
    for (unsigned flag = 0; flag < BL_FLAG_COUNT; flag++) {
        bool is_set = (row->measures.flags & BL_FLAGS_LEFT_OUT &
                       (UINT32_C(1) << flag)) != 0;
        why = is_set && *why == '\0' ? bl_flag_name(flag) : why;
    }
    return findings_warn(&in->found, line_of(in, i), 0, row->frame,
                         "%s contour left out: %s", bl_kind_name(row->kind),
                         why);
}

static bl_status jumps(checking *in, size_t i) {
    return findings_warn(
        &in->found, line_of(in, i), 0, in->rows[i].frame,
        "area %s mm2 is unlike that of the frames around it; was another edge "
        "traced?",
        decimals(in->rows[i].measures.area_mm2, 1).text);
}

static bl_status centre_outside(checking *in, size_t i) {
    return findings_warn(&in->found, line_of(in, i), 0, in->rows[i].frame,
                         "the centre lies outside the contour: diameters "
                         "through it are unknown");
}

static bl_status few_points(checking *in, size_t i) {
    return findings_warn(&in->found, line_of(in, i), 0, in->rows[i].frame,
                         "%u points; fewer than %d read the area low",
                         in->rows[i].points, FEW_TRACED_POINTS);
}

static bool is_left_out(const bl_row *row) {
    return (row->measures.flags & BL_FLAGS_LEFT_OUT) != 0;
}

static bool has_jump(const bl_row *row) {
    return (row->measures.flags & BL_FLAG_JUMP) != 0;
}

static bool has_centre_outside(const bl_row *row) {
    return is_usable_lumen(row) &&
           (row->measures.flags & BL_FLAG_CENTRE_OUTSIDE) != 0;
}

static bool has_few_points(const bl_row *row) {
    return is_usable_lumen(row) && row->points < FEW_TRACED_POINTS;
}

/* The next usable lumen contour of the rows in steps of 1 or -1; count (or
 * more) where there is none. */
static size_t neighbour_of(const checking *in, size_t i, size_t step) {
    do {
        i += step; /* below 0 is beyond count */
    } while (i < in->count && !is_usable_lumen(&in->rows[i]));
    return i;
}

static uint32_t points_at(const checking *in, size_t i) {
    return i < in->count ? in->rows[i].points : UINT32_MAX;
}

/* The fewer points of the contours to both sides; of the two nearest at an
 * end. UINT32_MAX where there are none. */
static uint32_t points_beside(const checking *in, size_t i) {
    size_t before = neighbour_of(in, i, SIZE_MAX);
    size_t after = neighbour_of(in, i, 1);
    if (before >= in->count && after < in->count) {
        before = neighbour_of(in, after, 1);
    } else if (after >= in->count && before < in->count) {
        after = neighbour_of(in, before, SIZE_MAX);
    }
    uint32_t one = points_at(in, before);
    uint32_t other = points_at(in, after);
    return one < other ? one : other;
}

/* What is left of a contour of which a part was lost reads well. */
static bl_status check_beside(checking *in) {
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < in->count; i++) {
        if (!is_usable_lumen(&in->rows[i])) {
            continue;
        }
        uint32_t beside = points_beside(in, i);
        if (beside != UINT32_MAX && in->rows[i].points < beside / FAR_FEWER) {
            status =
                findings_warn(&in->found, line_of(in, i), 0, in->rows[i].frame,
                              "%u points, where the contours beside it "
                              "have %u or more; is a part of it missing?",
                              in->rows[i].points, beside);
        }
    }
    return status;
}

static bl_status each_row(checking *in, bool (*applies)(const bl_row *),
                          bl_status (*say)(checking *, size_t)) {
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < in->count; i++) {
        if (applies(&in->rows[i])) {
            status = say(in, i);
        }
    }
    return status;
}

/* --------------------------------------------------------------- the whole */

static int by_value(const void *left, const void *right) {
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

/* Sorts; unknown (NaN) for none. */
static double median_of(double *values, size_t count) {
    if (count == 0) {
        return UNKNOWN;
    }
    qsort(values, count, sizeof *values, by_value);
    return 0.5 * (values[(count - 1) / 2] + values[count / 2]);
}

static void count_rows(checking *in, double *values) {
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
        out->left_out += row->kind == BL_KIND_LUMEN && is_left_out(row);
        values[i] = row->points;
    }
    out->points_median = median_of(values, in->count);
    for (size_t i = 0; i < in->count; i++) {
        if (is_usable_lumen(&in->rows[i])) {
            values[usable++] = in->rows[i].measures.equivalent_diameter_mm;
        }
    }
    out->median_diameter_mm = median_of(values, usable);
    out->scale_is_suspicious = out->median_diameter_mm < PLAUSIBLE_LEAST_MM ||
                               out->median_diameter_mm > PLAUSIBLE_MOST_MM;
}

static bl_status say_gaps(checking *in, const profile *along) {
    bl_status status = BL_OK;
    in->out->gaps = along->gap_count;
    for (size_t i = 0; status == BL_OK && i < along->gap_count; i++) {
        bl_span gap = along->gaps[i];
        status = findings_warn(&in->found, 0, 0, -1,
                               "no usable frame from %s to %s mm, over 5 mm: "
                               "nothing is known there",
                               decimals(gap.from_mm, 1).text,
                               decimals(gap.to_mm, 1).text);
    }
    return status;
}

/* The frame numbers of lumen contours, traced against all between. */
static bl_status check_traced(checking *in) {
    int64_t least = INT64_MAX;
    int64_t most = -1;
    for (size_t i = 0; i < in->count; i++) {
        if (in->rows[i].kind == BL_KIND_LUMEN) {
            int64_t frame = in->rows[i].frame;
            least = frame < least ? frame : least;
            most = frame > most ? frame : most;
        }
    }
    size_t traced = in->out->frames;
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
                &in->found, line_of(in, i), 0, row->frame,
                "uneven spacing: %s mm from frame %lld, where most neighbours "
                "are %s mm apart",
                decimals(step, 3).text, (long long)before->frame,
                decimals(usual, 3).text);
        }
        before = row;
    }
    return status;
}

static bl_status check_positions(checking *in, double *values) {
    if (!in->placed) {
        return BL_OK;
    }
    arena owner = {0};
    profile along;
    bl_status status = profile_build(in->rows, in->count, 0.0, &owner, &along);
    if (status == BL_OK) {
        status = say_gaps(in, &along);
    }
    arena_free(&owner);
    if (status == BL_OK) {
        status = check_traced(in);
    }
    if (status == BL_OK) {
        status = each_row(in, has_jump, jumps);
    }
    return status == BL_OK ? check_steps(in, values) : status;
}

static bl_status check_rows(checking *in) {
    double *values = malloc((in->count + 1) * sizeof *values);
    if (values == NULL) {
        return BL_ERR_MEMORY;
    }
    count_rows(in, values);
    bl_status status = each_row(in, is_left_out, left_out);
    if (status == BL_OK) {
        status = add_findings(in, false);
    }
    if (status == BL_OK) {
        status = check_positions(in, values);
    }
    if (status == BL_OK) {
        status = each_row(in, has_centre_outside, centre_outside);
    }
    if (status == BL_OK) {
        status = check_beside(in);
    }
    if (status == BL_OK) {
        status = each_row(in, has_few_points, few_points);
    }
    free(values);
    return status;
}

static bl_status find_all(checking *in, const bl_message *stopped,
                          const bl_assess_options *options) {
    bl_status status = add_stop(in, stopped);
    if (status == BL_OK) {
        status = add_findings(in, true);
    }
    if (status == BL_OK && in->placed) {
        status = try_assess(in, options);
    }
    if (status == BL_OK) {
        status = check_rows(in);
    }
    return status == BL_OK ? add_assessment(in) : status;
}

bl_status bl_check_study(const bl_study *study, const bl_message *stopped,
                         const bl_assess_options *options, size_t repeats,
                         bl_check **out) {
    whole *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return BL_ERR_MEMORY;
    }
    checking in = {
        .study = study,
        .rows = bl_study_rows(study),
        .count = bl_study_row_count(study),
        .placed = stopped == NULL && bl_study_fault_count(study) == 0,
        .found = {.repeats = repeats},
        .out = &made->check,
    };
    bl_status status = find_all(&in, stopped, options);
    bl_assessment_free(in.assessment);
    made->found = in.found;
    if (status != BL_OK) {
        bl_check_free(&made->check);
        return status;
    }
    bl_check *check = &made->check;
    check->placed = in.placed;
    check->findings = made->found.list;
    check->finding_count = made->found.count;
    for (size_t i = 0; i < check->finding_count; i++) {
        bool fault = check->findings[i].message.status != BL_OK;
        uint64_t times = 1 + check->findings[i].more;
        check->faults += fault ? times : 0;
        check->warnings += fault ? 0 : times;
    }
    *out = check;
    return BL_OK;
}
