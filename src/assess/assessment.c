/*
 * assessment.c - from a finished study to an assessment.
 *
 * The order: profile, ripple, reference, narrowings, compression points,
 * intervals, the veins, the rules and the runner-up side by side, ripple on and
 * off, warnings. Everything lives in one arena that the assessment owns.
 */
#include "assess/workings.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/message.h"

#include <math.h>
#include <stdlib.h>

#define LEFT_OUT_MOST 0.20

typedef struct whole {
    bl_assessment public; /* first, so that one pointer serves for both */
    arena owner;
} whole;

bl_assess_options bl_assess_defaults(void) {
    return (bl_assess_options){
        .threshold_pct = 50.0,
        .shoulder_pct = 20.0,
        .smooth_mm = 1.0,
        .rule = BL_RULE_TAPER,
        .reference = BL_REFERENCE_DEFAULT,
        .area_cv_pct = UNKNOWN,
        .speed_cv_pct = UNKNOWN,
        .seed = 1,
    };
}

/* Unknown is in range: it leaves the choice to us. */
static bool is_in_range(double cv_pct) {
    return isnan(cv_pct) || (cv_pct >= 0.0 && cv_pct <= 50.0);
}

static bl_status check_errors(const bl_assess_options *options,
                              bl_message *message) {
    if (!is_in_range(options->area_cv_pct)) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "the error of a contour's area is not between 0 and "
                           "50 %%; the default is 5");
    }
    if (!is_in_range(options->speed_cv_pct)) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "the error of speed is not between 0 and 50 %%; the "
                           "default is 10");
    }
    return BL_OK;
}

/* 0 asks for none. */
static bool is_inflow_length(double length_mm) {
    return (length_mm >= 0.0 && length_mm <= 0.0) ||
           (length_mm >= 5.0 && length_mm <= 500.0);
}

static bl_status check_options(const bl_assess_options *options,
                               bl_message *message) {
    if (!(options->threshold_pct > 0.0 && options->threshold_pct < 100.0)) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "the threshold is not between 0 and 100 %%; "
                           "customary is 50");
    }
    if (!(options->shoulder_pct >= 0.0 &&
          options->shoulder_pct < options->threshold_pct)) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "the shoulder level is not from 0 %% to below the "
                           "threshold; customary is 20");
    }
    if (!(options->smooth_mm >= 0.0 && options->smooth_mm <= 50.0)) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "the smoothing is not between 0 and 50 mm; "
                           "the default is 1");
    }
    if (!is_inflow_length(options->inflow_mm)) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "the length of an inflow is not between 5 and 500 "
                           "mm; 50 is what it is without --within");
    }
    return check_errors(options, message);
}

/* What to look at where no frame is further on than another. */
static const char *position_source(bl_position_from from) {
    switch (from) {
    case BL_POSITION_COLUMN:
        return "the column position_mm";
    case BL_POSITION_AT:
        return "the known positions (at) and motion";
    case BL_POSITION_TIME:
        return "the times and motion";
    case BL_POSITION_STEP:
    case BL_POSITION_RATE:
    default:
        return "the frame numbers and motion";
    }
}

/* Without length there is no order, and diseased frames would serve as their
 * own reference. */
static bl_status check_length(const workings *work) {
    const profile *along = &work->profile;
    const bl_profile_point *last = &along->points[along->count - 1];
    if (last->position_mm > along->points[0].position_mm) {
        return BL_OK;
    }
    return message_set(work->message, BL_ERR_INPUT, 0, 0,
                       "all %zu usable frames lie at one position, and a "
                       "profile needs two; correct %s",
                       along->count,
                       position_source(work->pullback->position_from));
}

static bl_status check_profile(const workings *work) {
    const profile *along = &work->profile;
    size_t frames = along->count + along->left_out_count;
    if (frames == 0) {
        return message_set(work->message, BL_ERR_INPUT, 0, 0,
                           "the table holds no contour of kind lumen; those "
                           "are what is assessed");
    }
    if (along->count < 2) {
        return message_set(work->message, BL_ERR_INPUT, 0, 0,
                           "%zu of %zu frames can be measured, and a profile "
                           "needs two%s",
                           along->count, frames,
                           along->left_out_count == 0
                               ? "; give the frames beside it too"
                               : "; 'boreline check FILE' lists why the others "
                                 "cannot");
    }
    double share = (double)along->left_out_count / (double)frames;
    if (share > LEFT_OUT_MOST && !work->options.accept_gaps) {
        return message_set(
            work->message, BL_ERR_INPUT, 0, 0,
            "%zu of %zu frames cannot be measured, more than "
            "20 %%; mend them ('boreline check FILE' lists them) "
            "or add --accept-gaps",
            along->left_out_count, frames);
    }
    return check_length(work);
}

static bl_status no_frame_in(const workings *work, bl_span span) {
    const profile *along = &work->profile;
    text words = {0};
    text_add(&words, "no usable frame lies in the reference ");
    text_span(&words, span);
    text_add(&words, "; usable frames run from ");
    text_fixed(&words, along->points[0].position_mm, 1);
    text_add(&words, " to ");
    text_fixed(&words, along->points[along->count - 1].position_mm, 1);
    text_add(&words, " mm");
    return text_message(&words, BL_ERR_REFERENCE, work->message);
}

static bl_status reference_given(workings *work) {
    const bl_pullback *pullback = work->pullback;
    reference given = {.rule = work->options.rule};
    for (size_t i = 0; i < pullback->reference_count; i++) {
        bl_span span = pullback->references[i];
        if (i == 1 && span.from_mm < pullback->references[0].to_mm) {
            return message_set(work->message, BL_ERR_REFERENCE, 0, 0,
                               "the two reference stretches overlap; name two "
                               "separate ones, or one");
        }
        if (reference_segment(work->profile.points, work->profile.count, span,
                              &given.segments[given.count]) != BL_OK) {
            return no_frame_in(work, span);
        }
        given.count++;
    }
    reference_whole(&given, pullback->travel);
    work->reference = given;
    return BL_OK;
}

/* Breathing may be all that makes healthy vein unsteady. */
static void say_steady(bl_message *message, const bl_ripple *ripple) {
    if (message != NULL && ripple->found && !ripple->removed) {
        bl_message before = *message;
        (void)message_set(message, before.status, before.line, before.column,
                          "%s; or add --steady: the calibre ripples with "
                          "breathing, which makes healthy vein unsteady",
                          before.text);
    }
}

/* Healthy vein is sought without ripple, where one was found: the crest of a
 * breath is not healthier than its trough. What is found is measured as it
 * was traced. */
static bl_status search_reference(workings *work, const profile *other,
                                  found_reference *found, bl_assessment *out) {
    out->reference_from = BL_FROM_FOUND;
    workings calm = *work;
    bool without = out->ripple.found && !out->ripple.removed;
    if (without) {
        calm.profile = *other;
    }
    bl_status status = finder_search(&calm, found);
    if (status == BL_OK && without) {
        reference_measure(&found->chosen, &work->profile);
        reference_measure(&found->runner_up, &work->profile);
    }
    if (status == BL_ERR_REFERENCE) {
        say_steady(work->message, &out->ripple);
    }
    status = level_compare(work, status, found);
    if (status == BL_OK) {
        work->reference = found->chosen;
        out->reference_why = found->why;
        out->candidates = found->candidates;
        out->candidate_count = found->candidate_count;
        out->more_candidates = found->more_candidates;
        out->more_rejected = found->more_rejected;
    }
    return status;
}

/* Of a search *found is what it found, else settled and without runner-up. */
static bl_status choose_reference(workings *work, const profile *other,
                                  found_reference *found, bl_assessment *out) {
    *found = (found_reference){.settled = true};
    bl_reference_choice choice = work->options.reference;
    if (choice == BL_REFERENCE_NONE) {
        out->reference_why = "no reference was asked for";
        return BL_OK;
    }
    if (choice == BL_REFERENCE_EXPECTED) {
        out->reference_from = BL_FROM_EXPECTED;
        bl_status status = expected_reference(work, &work->reference);
        return status == BL_OK ? expected_why(work, &out->reference_why)
                               : status;
    }
    if (choice == BL_REFERENCE_DEFAULT && work->pullback->reference_count > 0) {
        out->reference_from = BL_FROM_GIVEN;
        out->reference_why = "given by the reader";
        return reference_given(work);
    }
    return search_reference(work, other, found, out);
}

static void fill_points(workings *work) {
    for (size_t i = 0; i < work->profile.count; i++) {
        bl_profile_point *point = &work->profile.points[i];
        reference_shape healthy =
            reference_shape_at(&work->reference, point->position_mm);
        bl_vein vein = vein_line_at(&work->veins, point->position_mm);
        point->reference_area_mm2 = healthy.area_mm2;
        point->normal_area_mm2 = workings_normal_area_mm2(work, vein);
    }
}

/* Whether two areas differ, or one of them only is known. */
static bool differ(double a, double b) {
    return a < b || a > b || isnan(a) != isnan(b);
}

static bl_status fill_steps(const workings *work, bl_assessment *out) {
    reference_break breaks[REFERENCE_BREAKS];
    size_t count = reference_breaks(&work->reference, breaks);
    bl_step *steps = arena_alloc(work->owner, count, sizeof *steps);
    if (steps == NULL) {
        return BL_ERR_MEMORY;
    }
    const bl_profile_point *points = work->profile.points;
    double first = points[0].position_mm;
    double last = points[work->profile.count - 1].position_mm;
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        double before = breaks[i].before.area_mm2;
        double after = breaks[i].after.area_mm2;
        double at = breaks[i].x_mm;
        if (breaks[i].steps && differ(before, after) && at >= first &&
            at <= last) {
            steps[held++] = (bl_step){at, before, after};
        }
    }
    out->steps = steps;
    out->step_count = held;
    return BL_OK;
}

static double judged_mm(const profile *along) {
    double sum = 0.0;
    for (size_t i = 0; i < along->count; i++) {
        if (!isnan(along->points[i].reference_area_mm2)) {
            sum += profile_weight_mm(along->points, along->count, i);
        }
    }
    return sum;
}

/* Among all points, by what was traced. */
static size_t lowest_traced(const workings *work) {
    const bl_profile_point *points = work->profile.points;
    size_t best = 0;
    for (size_t i = 1; i < work->profile.count; i++) {
        if (work->rows[points[i].row].measures.area_mm2 <
            work->rows[points[best].row].measures.area_mm2) {
            best = i;
        }
    }
    return best;
}

static course_points all_points(const profile *along) {
    return (course_points){0, along->count};
}

/* The lowest single frame, with what was traced instead of what is smooth. */
static bl_place lowest_frame(const workings *work) {
    size_t index = lowest_traced(work);
    const bl_profile_point *point = &work->profile.points[index];
    const bl_measures *traced = &work->rows[point->row].measures;
    bl_profile_point raw = *point;
    raw.area_mm2 = traced->area_mm2;
    raw.equivalent_diameter_mm = circle_diameter_mm(traced->area_mm2);
    raw.min_diameter_mm = traced->min_diameter_mm;
    raw.max_diameter_mm = traced->max_diameter_mm;
    workings alone = *work;
    alone.profile.points = &raw;
    alone.profile.count = 1;
    return workings_place(&alone, 0);
}

static void fill_places(workings *work, bl_assessment *out) {
    const profile *along = &work->profile;
    size_t least = workings_least_of(along);
    out->minimum = workings_place(work, least);
    out->worst =
        workings_place(work, reference_exists(&work->reference)
                                 ? workings_worst_of(work, all_points(along))
                                 : least);
    reference_ends(&work->reference, out->worst.position_mm);
    out->lowest_frame = lowest_frame(work);
}

static bl_status fill_findings(workings *work, const reference *runner_up,
                               bl_assessment *out) {
    bl_narrowing *narrowings = NULL;
    bl_compression *compressions = NULL;
    bl_status status = BL_OK;
    if (reference_exists(&work->reference)) {
        status = narrowing_find(work, &narrowings, &out->narrowing_count);
        if (status == BL_OK) {
            status =
                compression_find(work, &compressions, &out->compression_count);
        }
    }
    out->narrowings = narrowings;
    out->compressions = compressions;
    inflow_stretch_fill(work, out);
    if (status == BL_OK) {
        status = interval_fill(work, runner_up, narrowings, out);
    }
    if (status == BL_OK) {
        status = vein_table_fill(work, out);
    }
    if (status == BL_OK) {
        status = untold_fill(work, out);
    }
    return status;
}

static bl_status assess_all(workings *work, bl_assessment *out) {
    bl_status status =
        profile_build(work->rows, work->row_count, work->options.smooth_mm,
                      NULL, work->owner, &work->profile);
    if (status != BL_OK) {
        return status;
    }
    status = check_profile(work);
    if (status == BL_OK) {
        status = interval_inputs(work, out);
    }
    if (status != BL_OK) {
        return status;
    }
    profile other = {0};
    status = steady_profile(work, &out->ripple, &other);
    if (status != BL_OK) {
        return status;
    }
    const profile *along = &work->profile;
    out->options = work->options;
    out->frames = along->count + along->left_out_count;
    out->frames_used = along->count;
    out->left_out = along->left_out;
    out->left_out_count = along->left_out_count;
    out->gaps = along->gaps;
    out->gap_count = along->gap_count;
    out->profile = along->points;
    out->profile_count = along->count;
    out->volume_mm3 =
        profile_volume_mm3(along->points, along->count, &out->traced_mm);
    found_reference found;
    status = choose_reference(work, &other, &found, out);
    if (status != BL_OK) {
        return status;
    }
    fill_points(work);
    out->judged_mm = judged_mm(along);
    fill_places(work, out);
    out->segment_count = work->reference.count;
    status = workings_segments(work, out->worst.position_mm, &out->segments);
    if (status == BL_OK) {
        status = fill_steps(work, out);
    }
    if (status == BL_OK) {
        status = fill_findings(work, &found.runner_up, out);
    }
    if (status == BL_OK) {
        status = steady_compare(work, &other, &out->ripple);
    }
    if (status == BL_OK) {
        status = sensitivity_fill(work, &found.runner_up, out);
    }
    return status == BL_OK ? warning_collect(work, &found, out) : status;
}

bl_status bl_assess(const bl_study *study, const bl_assess_options *options,
                    bl_assessment **out, bl_message *message) {
    bl_status status = check_options(options, message);
    if (status != BL_OK) {
        return status;
    }
    whole *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return message_memory(message);
    }
    workings work = {
        .rows = bl_study_rows(study),
        .row_count = bl_study_row_count(study),
        .said = bl_study_findings(study),
        .said_count = bl_study_finding_count(study),
        .pullback = bl_study_pullback(study),
        .veins = vein_line_of(bl_study_pullback(study)),
        .options = *options,
        .owner = &made->owner,
        .message = message,
        .reference = {.rule = options->rule},
    };
    status = assess_all(&work, &made->public);
    if (status != BL_OK) {
        bl_assessment_free(&made->public);
        return status == BL_ERR_MEMORY ? message_memory(message) : status;
    }
    *out = &made->public;
    return BL_OK;
}

void bl_assessment_free(bl_assessment *assessment) {
    if (assessment != NULL) {
        whole *made = (whole *)assessment;
        arena_free(&made->owner);
        free(made);
    }
}
