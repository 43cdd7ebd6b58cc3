/*
 * comparison.c - from two assessments to what changed.
 *
 * The order: traces of both tables, how they are lined up, the treated stretch,
 * what areas are held against, the narrowest places and residuals, the device,
 * its apposition, the vein beyond it, changes with their intervals, the series,
 * and what remains to be said. All lives in one arena that the comparison owns.
 */
#include "base/constants.h"
#include "base/limits.h"
#include "base/message.h"
#include "compare/comparing.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct whole_comparison {
    bl_comparison public; /* first, so that one pointer serves for both */
    arena owner;
} whole_comparison;

bl_compare_options bl_compare_defaults(void) {
    return (bl_compare_options){
        .shift_mm = UNKNOWN,
        .edge_mm = 10.0,
        .area_cv_pct = UNKNOWN,
        .seed = 1,
    };
}

/* ----------------------------------------------------------------- options */

static_assert(LIMIT_NOMINALS == BL_NOMINALS_MOST, "one limit");

static bl_status check_nominals(const bl_compare_options *options,
                                bl_message *message) {
    if (options->nominal_count > LIMIT_NOMINALS) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "more than %zu nominal sizes; name those of one "
                           "vein, from cranial",
                           LIMIT_NOMINALS);
    }
    for (size_t i = 0; i < options->nominal_count; i++) {
        const bl_nominal *one = &options->nominals[i];
        if (!(one->diameter_mm >= BL_DEVICE_DIAMETER_LEAST_MM &&
              one->diameter_mm <= BL_DEVICE_DIAMETER_MOST_MM) ||
            one->length_mm < BL_DEVICE_LENGTH_LEAST_MM ||
            one->length_mm > BL_DEVICE_LENGTH_MOST_MM) {
            return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                               "nominal size %zu is not 4 to 40 mm wide and "
                               "10 to 300 mm long; write it as 16x120, or as "
                               "16 where the length is not known",
                               i + 1);
        }
    }
    return BL_OK;
}

static bool is_between(double value, double least, double most) {
    return value >= least && value <= most;
}

static bl_status check_numbers(const bl_compare_options *options,
                               bl_message *message) {
    const char *wrong = NULL;
    if (!isnan(options->shift_mm) && !isfinite(options->shift_mm)) {
        wrong = "the shift is not a number of millimetres";
    } else if (!is_between(options->edge_mm, 1.0, 50.0)) {
        wrong = "the vein beyond the ends that is looked at is not between 1 "
                "and 50 mm; the default is 10";
    } else if (!isnan(options->area_cv_pct) &&
               !is_between(options->area_cv_pct, 0.0, 50.0)) {
        wrong = "the error of an area is not between 0 and 50 %; the default "
                "is 5";
    } else if (options->treated_given &&
               !(options->treated.from_mm < options->treated.to_mm)) {
        wrong = "the treated stretch has no length; write it as A..B, in mm "
                "of the first table";
    }
    return wrong == NULL
               ? BL_OK
               : message_set(message, BL_ERR_ARGUMENT, 0, 0, "%s", wrong);
}

static bl_status check_treated(const bl_compare_options *options,
                               const bl_assessment *before,
                               bl_message *message) {
    bl_span traced = {before->profile[0].position_mm,
                      before->profile[before->profile_count - 1].position_mm};
    if (!options->treated_given || (options->treated.from_mm < traced.to_mm &&
                                    options->treated.to_mm > traced.from_mm)) {
        return BL_OK;
    }
    text words = {0};
    text_add(&words, "the treated stretch, ");
    text_span(&words, options->treated);
    text_add(&words, ", is not within what was traced before, ");
    text_span(&words, traced);
    text_add(&words, "; name a stretch that is");
    return text_message(&words, BL_ERR_ARGUMENT, message);
}

/* Tables of two sides are not of one vein. */
static bl_status check_sides(const comparing *in) {
    const char *first = in->tables[BEFORE].pullback->side;
    const char *second = in->tables[AFTER].pullback->side;
    if (*first == '\0' || *second == '\0' || strcmp(first, second) == 0) {
        return BL_OK;
    }
    return message_set(in->message, BL_ERR_INPUT, 0, 0,
                       "the first table says side = %s and the second %s: "
                       "two veins; give two tables of one vein, or mend the "
                       "side",
                       first, second);
}

static bool is_unlike(double a, double b) {
    return a < b || a > b;
}

/* Else "was there before" and "left untreated" would mean two things. */
static bl_status check_alike(const comparing *in) {
    const bl_assess_options *a = &in->tables[BEFORE].assessment->options;
    const bl_assess_options *b = &in->tables[AFTER].assessment->options;
    if (!is_unlike(a->threshold_pct, b->threshold_pct) &&
        !is_unlike(a->shoulder_pct, b->shoulder_pct)) {
        return BL_OK;
    }
    return message_set(in->message, BL_ERR_ARGUMENT, 0, 0,
                       "the two tables were assessed with different "
                       "thresholds or shoulders; assess both with the same");
}

static bl_status check(const comparing *in) {
    bl_status status = check_alike(in);
    if (status != BL_OK) {
        return status;
    }
    status = check_numbers(in->options, in->message);
    if (status == BL_OK) {
        status = check_nominals(in->options, in->message);
    }
    if (status == BL_OK) {
        status = check_treated(in->options, in->tables[BEFORE].assessment,
                               in->message);
    }
    return status == BL_OK ? check_sides(in) : status;
}

/* ------------------------------------------------------------------- traces */

static bl_status take_table(comparing *in, int which) {
    compared_table *of = &in->tables[which];
    double turn = which == AFTER ? in->turn : 1.0;
    bl_status status = trace_pace_of(of->study, turn, in->owner, &of->pace);
    if (status == BL_OK) {
        status = trace_of_lumen(of->study, of->assessment, &of->pace, in->owner,
                                &of->lumen);
    }
    return status == BL_OK
               ? trace_of_device(of->study, of->assessment->options.smooth_mm,
                                 &of->pace, in->owner, &of->device)
               : status;
}

/* ------------------------------------------------------------------ treated */

static void find_treated(comparing *in) {
    bl_comparison *out = in->out;
    bl_span device = trace_extent(&in->tables[AFTER].device);
    out->treated = device;
    out->treated_from =
        isnan(device.from_mm) ? BL_TREATED_NOWHERE : BL_TREATED_DEVICE;
    if (in->options->treated_given) {
        out->treated = in->options->treated;
        out->treated_from = BL_TREATED_GIVEN;
    }
}

bool comparing_is_treated(const comparing *in, double at_mm) {
    bl_span treated = in->out->treated;
    return at_mm >= treated.from_mm - EDGE_MM &&
           at_mm <= treated.to_mm + EDGE_MM;
}

double comparing_shift_error_mm(const comparing *in) {
    bl_interval shift = in->out->alignment.shift_interval_mm;
    return isnan(shift.low) ? 0.0 : 0.5 * (shift.high - shift.low);
}

static void find_traced(comparing *in) {
    bl_comparison *out = in->out;
    const trace *before = &in->tables[BEFORE].lumen;
    const trace *after = &in->tables[AFTER].lumen;
    bool nowhere = out->treated_from == BL_TREATED_NOWHERE;
    out->before_traced_mm =
        nowhere ? UNKNOWN
                : trace_length_mm(before, trace_within(before, out->treated));
    out->after_traced_mm =
        nowhere ? UNKNOWN
                : trace_length_mm(after, trace_within(after, out->treated));
    out->before_step_mm = in->tables[BEFORE].pace.step_mm;
    out->after_step_mm = in->tables[AFTER].pace.step_mm;
}

/* The treated stretch, or all that both traced. */
static bl_span looked_at(const comparing *in) {
    bl_span a = trace_extent(&in->tables[BEFORE].lumen);
    bl_span b = trace_extent(&in->tables[AFTER].lumen);
    return in->out->treated_from == BL_TREATED_NOWHERE
               ? (bl_span){fmax(a.from_mm, b.from_mm), fmin(a.to_mm, b.to_mm)}
               : in->out->treated;
}

/* ------------------------------------------------------- places, residuals */

static bl_status mean_area(comparing *in, int which, double *out) {
    const trace *of = &in->tables[which].lumen;
    double *areas = arena_alloc(in->owner, of->count, sizeof *areas);
    if (areas == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < of->count; i++) {
        areas[i] = of->nodes[i].area_mm2;
    }
    *out = trace_mean(of, trace_within(of, looked_at(in)), areas, NULL);
    return BL_OK;
}

/* denominator: what the place is held against. */
static void take_worse(bl_residual *to, const bl_waist *at, double stenosis_pct,
                       double denominator_mm2) {
    if (!isnan(stenosis_pct) && !(stenosis_pct <= to->area_stenosis_pct)) {
        *to = (bl_residual){stenosis_pct, at->position_mm, at->area_mm2,
                            denominator_mm2};
    }
}

static void fill_residuals(comparing *in) {
    const bl_residual unknown = {UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN};
    const trace *of = &in->tables[AFTER].lumen;
    trace_run run = trace_within(of, looked_at(in));
    bl_comparison *out = in->out;
    out->before_reference_residual = unknown;
    out->after_reference_residual = unknown;
    out->nominal_residual = unknown;
    for (size_t i = 0; i < run.end - run.first; i++) {
        bl_waist at = waist_of(in, &of->nodes[waist_from_cranial(in, run, i)]);
        take_worse(&out->before_reference_residual, &at,
                   at.before_reference_stenosis_pct, at.before_reference_mm2);
        take_worse(&out->after_reference_residual, &at,
                   at.after_reference_stenosis_pct, at.after_reference_mm2);
        take_worse(&out->nominal_residual, &at, at.nominal_stenosis_pct,
                   at.nominal_mm2);
    }
}

static bl_status fill_places(comparing *in) {
    bl_comparison *out = in->out;
    const trace *before = &in->tables[BEFORE].lumen;
    const trace *after = &in->tables[AFTER].lumen;
    bl_span span = looked_at(in);
    out->before = waist_least(in, before, trace_within(before, span));
    out->after = waist_least(in, after, trace_within(after, span));
    bool treated = out->treated_from != BL_TREATED_NOWHERE;
    out->gain_area_mm2 =
        treated ? out->after.area_mm2 - out->before.area_mm2 : UNKNOWN;
    out->gain_area_pct = 100.0 * out->gain_area_mm2 / out->before.area_mm2;
    out->gain_min_diameter_mm =
        treated ? out->after.min_diameter_mm - out->before.min_diameter_mm
                : UNKNOWN;
    fill_residuals(in);
    bl_status status = mean_area(in, BEFORE, &out->before_mean_area_mm2);
    return status == BL_OK ? mean_area(in, AFTER, &out->after_mean_area_mm2)
                           : status;
}

/* -------------------------------------------------------------------- whole */

static void fill_stage(comparing *in) {
    const char *after = in->tables[AFTER].pullback->stage;
    const char *before = in->tables[BEFORE].pullback->stage;
    in->out->follow_up = strcmp(after, "follow-up") == 0;
    in->out->since_after = in->tables[BEFORE].device.count > 0 ||
                           strcmp(before, "after") == 0 ||
                           strcmp(before, "follow-up") == 0;
}

/* The caller's list need not outlive the comparison. */
static bl_status keep_nominals(comparing *in) {
    bl_compare_options *options = &in->out->options;
    bl_nominal *kept =
        arena_alloc(in->owner, options->nominal_count, sizeof *kept);
    if (kept == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < options->nominal_count; i++) {
        kept[i] = options->nominals[i];
    }
    options->nominals = kept;
    if (isnan(options->area_cv_pct)) {
        options->area_cv_pct =
            fmax(in->tables[BEFORE].assessment->options.area_cv_pct,
                 in->tables[AFTER].assessment->options.area_cv_pct);
    }
    return BL_OK;
}

static bl_status compare_all(comparing *in) {
    bl_status status = keep_nominals(in);
    for (int which = 0; which < TABLES && status == BL_OK; which++) {
        status = take_table(in, which);
    }
    if (status == BL_OK) {
        status = lining_find(in);
    }
    if (status != BL_OK) {
        return status;
    }
    fill_stage(in);
    find_treated(in);
    find_traced(in);
    hole_find_ends(in);
    bl_status (*const steps[])(comparing *) = {
        left_out_fill, denominators_find, fill_places,     implant_fill,
        wall_fill,     beyond_fill,       difference_fill, loss_fill,
        series_fill,   hole_fill,         wall_only_fill,
    };
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        status = steps[i](in);
        if (status != BL_OK) {
            return status;
        }
    }
    remark_collect(in);
    foremost_collect(in);
    in->out->foremost = in->foremost.texts;
    in->out->foremost_count = in->foremost.count;
    in->out->warnings = in->said.texts;
    in->out->warning_count = in->said.count;
    in->out->cannot = in->unsaid.texts;
    in->out->cannot_count = in->unsaid.count;
    bool failed = in->said.failed || in->unsaid.failed || in->foremost.failed;
    return failed ? BL_ERR_MEMORY : BL_OK;
}

static compared_table table_of(const bl_study *study,
                               const bl_assessment *assessment) {
    return (compared_table){.study = study,
                            .assessment = assessment,
                            .pullback = bl_study_pullback(study)};
}

bl_status bl_comparison_new(const bl_study *before,
                            const bl_assessment *before_assessment,
                            const bl_study *after,
                            const bl_assessment *after_assessment,
                            const bl_compare_options *options,
                            bl_comparison **out, bl_message *message) {
    comparing in = {
        .tables = {table_of(before, before_assessment),
                   table_of(after, after_assessment)},
        .options = options,
        .message = message,
    };
    bl_status status = check(&in);
    if (status != BL_OK) {
        return status;
    }
    whole_comparison *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return message_memory(message);
    }
    in.turn =
        in.tables[BEFORE].pullback->travel == in.tables[AFTER].pullback->travel
            ? 1.0
            : -1.0;
    made->public.options = *options;
    in.options = &made->public.options;
    in.out = &made->public;
    in.owner = &made->owner;
    in.said.owner = &made->owner;
    in.unsaid.owner = &made->owner;
    in.foremost.owner = &made->owner;
    status = compare_all(&in);
    sentences_free(&in.said);
    sentences_free(&in.unsaid);
    sentences_free(&in.foremost);
    if (status != BL_OK) {
        bl_comparison_free(&made->public);
        return status == BL_ERR_MEMORY ? message_memory(message) : status;
    }
    *out = &made->public;
    return BL_OK;
}

void bl_comparison_free(bl_comparison *comparison) {
    if (comparison != NULL) {
        whole_comparison *made = (whole_comparison *)comparison;
        arena_free(&made->owner);
        free(made);
    }
}
