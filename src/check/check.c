/*
 * check.c - what is wrong with a table, and whether it can be used.
 *
 * Findings come worst first: what stopped the reading, faults that it went on
 * behind, of the whole table before those of its rows, why an assessment is
 * refused, contours left out, and then what a careful reader should look at. A
 * table can be used when bl_assess takes it.
 */
#include "check/checking.h"

#include <math.h>
#include <stdlib.h>

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

/* ---------------------------------------------------------- from elsewhere */

static bl_status add_stop(checking *in, const bl_message *stopped) {
    return stopped == NULL ? BL_OK : findings_add(&in->found, stopped, -1);
}

/* Of the whole table: of a note, the header row or no line at all. */
static bool is_of_table(const checking *in, const bl_finding *of) {
    return of->message.line <= bl_study_pullback(in->study)->begins;
}

static bool is_warning(const checking *in, const bl_finding *of) {
    (void)in;
    return of->message.status == BL_OK;
}

static bool is_fault_of_table(const checking *in, const bl_finding *of) {
    return !is_warning(in, of) && is_of_table(in, of);
}

static bool is_fault_of_row(const checking *in, const bl_finding *of) {
    return !is_warning(in, of) && !is_of_table(in, of);
}

/* Some of the study's findings, whose repeats are counted there. */
static bl_status add_findings(checking *in,
                              bool (*is_meant)(const checking *,
                                               const bl_finding *)) {
    const bl_finding *list = bl_study_findings(in->study);
    size_t count = bl_study_finding_count(in->study);
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < count; i++) {
        if (is_meant(in, &list[i])) {
            status = findings_take(&in->found, &list[i]);
        }
    }
    return status;
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
 * here. */
static bl_status add_assessment(checking *in) {
    const bl_assessment *of = in->assessment;
    bl_status status = BL_OK;
    size_t end = of == NULL ? 0 : of->warning_count - of->frame_warning_count;
    for (size_t i = of == NULL ? 0 : of->reading_warning_count;
         status == BL_OK && i < end; i++) {
        status = findings_warn(&in->found, 0, 0, -1, "%s", of->warnings[i]);
    }
    return status;
}

/* --------------------------------------------------------------- the check */

static bl_status check_rows(checking *in) {
    double *values = malloc((in->count + 1) * sizeof *values);
    if (values == NULL) {
        return BL_ERR_MEMORY;
    }
    extent_count(in, values);
    bl_status status = contours_left_out(in);
    if (status == BL_OK) {
        status = add_findings(in, is_warning);
    }
    if (status == BL_OK) {
        status = spacing_check(in, values);
    }
    if (status == BL_OK) {
        status = contours_doubtful(in);
    }
    free(values);
    return status;
}

static bl_status find_all(checking *in, const bl_message *stopped,
                          const bl_assess_options *options) {
    bl_status status = add_stop(in, stopped);
    if (status == BL_OK) {
        status = add_findings(in, is_fault_of_table);
    }
    if (status == BL_OK) {
        status = add_findings(in, is_fault_of_row);
    }
    bool faultless = stopped == NULL && bl_study_fault_count(in->study) == 0;
    if (status == BL_OK && faultless) {
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
        .placed = stopped == NULL && bl_study_row_count(study) > 0 &&
                  !isnan(bl_study_pullback(study)->length_mm),
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
