/*
 * plan_text.c - the plan as a short report to read: its parts in their order.
 *
 * What a specialist checks at a glance comes first: what the plan is, then what
 * is treated, where devices land, which they are.
 */
#include "report/plan_text.h"

#include "base/constants.h"
#include "base/place.h"
#include "report/assessment_text.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

static size_t count_unserved(const bl_plan *plan) {
    size_t count = 0;
    for (size_t i = 0; i < plan->stretch_count; i++) {
        count += plan->stretches[i].chain.device_count == 0;
    }
    return count;
}

void plan_text_chain(text *out, const bl_chain *of) {
    plan_text_sizes(out, of, 1);
    text_add(out, " from ");
    text_fixed(out, of->devices[0].span.from_mm, 1);
    text_add(out, " to ");
    text_fixed(out, of->devices[of->device_count - 1].span.to_mm, 1);
    text_add(out, " mm");
}

/* ", over 46.7 mm of healthy vein too". */
static void healthy_words(text *out, const bl_stretch *of) {
    if (of->healthy_between_mm >= PRINTED_LEAST) {
        text_add(out, ", over ");
        text_fixed(out, of->healthy_between_mm, 1);
        text_add(out, " mm of healthy vein too");
    }
}

static void stretch_sizes(text *out, const bl_plan *plan) {
    const char *between = "";
    for (size_t i = 0; i < plan->stretch_count; i++) {
        if (plan->stretches[i].chain.device_count > 0) {
            text_add(out, between);
            plan_text_chain(out, &plan->stretches[i].chain);
            healthy_words(out, &plan->stretches[i]);
            between = "; ";
        }
    }
}

/* Calibres at the two ends that one size does not fit. */
#define ENDS_DIFFER_MM 0.5

/* One size for all of it would not do where its ends differ. */
static void ends_words(text *out, const bl_stretch *of) {
    double first = of->landings[0].reference_diameter_mm;
    double last = of->landings[1].reference_diameter_mm;
    if (fabs(first - last) > ENDS_DIFFER_MM) {
        text_add(out, " (");
        text_fixed(out, first, 1);
        text_add(out, " mm at its ");
        text_add(out, bl_end_name(of->landings[0].where));
        text_add(out, " end, ");
        text_fixed(out, last, 1);
        text_add(out, " mm at the other)");
    }
}

/* What to look for, stretch by stretch: "14.0 mm or more over 228.5 mm". */
static void wanted_words(text *out, const bl_plan *plan) {
    for (size_t i = 0; i < plan->stretch_count; i++) {
        const bl_stretch *one = &plan->stretches[i];
        prose_number(out, one->wanted_diameter_mm, 1, " mm");
        text_add(out, " or more in diameter over ");
        text_fixed(out, one->cover_mm, 1);
        text_add(out, " mm, from ");
        text_fixed(out, one->landings[0].position_mm, 1);
        text_add(out, " to ");
        text_fixed(out, one->landings[1].position_mm, 1);
        text_add(out, " mm");
        ends_words(out, one);
        text_add(out, "; ");
    }
    text_add(out, "no stock list was given (--stock)");
}

/* Where little was judged the first words must not sound like all of it. */
static void nothing_words(text *out, const bl_assessment *of) {
    text_add(out, "nothing to treat");
    if (place_judged_in_part(of)) {
        text_add(out, " in ");
        place_judged_words(out, of);
    }
}

/* Why nothing was found, of all stretches. */
static bool is_stopped(const bl_plan *of) {
    return !of->exact && of->options.stock != NULL &&
           count_unserved(of) == of->stretch_count;
}

bool plan_text_lacks(const bl_plan *of, const bl_stretch *one) {
    return one->missing != NULL && !(one->stopped && is_stopped(of));
}

void plan_text_summary(text *out, const plan_view *of) {
    const bl_plan *plan = of->plan;
    size_t unserved = count_unserved(plan);
    if (plan->stretch_count == 0) {
        nothing_words(out, of->assessment);
    } else if (plan->options.stock == NULL) {
        wanted_words(out, plan);
    } else if (unserved == plan->stretch_count) {
        text_add(out, is_stopped(plan) ? "the search was stopped before "
                                         "anything was found"
                                       : "nothing on the list fits");
    } else {
        stretch_sizes(out, plan);
        if (unserved > 0) {
            text_format(out, "; for %zu of %zu stretches nothing fits",
                        unserved, plan->stretch_count);
        }
    }
}

static void summary_lines(text *out, const plan_view *of) {
    const bl_plan *plan = of->plan;
    text words = {0};
    plan_text_summary(&words, of);
    prose_paragraph(out, "Plan", &words);
    for (size_t i = 0; i < plan->doubt_count; i++) {
        text_add(&words, i == 0 ? "not certain: " : "; ");
        text_add(&words, plan->doubts[i]);
    }
    prose_wrapped_line(out, 0, &words);
    if (plan->warning_count > 0) {
        text_format(&words, "%zu %s on it below", plan->warning_count,
                    plan->warning_count == 1 ? "note" : "notes");
        prose_wrapped_line(out, 0, &words);
    }
    source_heading(out, "");
    text_add(out, "what fits if the operator decides to treat; "
                  "no advice to treat\n");
}

static void nothing_lines(text *out, const bl_assessment *of) {
    source_heading(out, "Treat");
    text_add(out, "nothing: area stenosis reaches ");
    text_short(out, of->options.threshold_pct, 2);
    text_add(out, " % nowhere");
    place_text_unjudged(out, of);
    text_add(out, "\n");
    place_text_worst(out, of);
}

/* What the plan was made by. */
static void rule_lines(text *out, const plan_view *of) {
    const bl_plan_options *options = &of->plan->options;
    text words = {0};
    text_add(&words, "narrowed: area stenosis of ");
    text_short(&words, of->assessment->options.threshold_pct, 2);
    text_add(&words, " % or more; healthy: ");
    text_short(&words, of->assessment->options.shoulder_pct, 2);
    text_add(&words, " % or less; land in ");
    text_short(&words, options->landing_mm, 2);
    text_add(&words, " mm of healthy vein or more, ");
    text_short(&words, options->margin_mm, 2);
    text_add(&words, " mm into it; overlap by ");
    text_short(&words, options->overlap_mm, 2);
    text_add(&words, " mm or more; neighbours differ by ");
    text_short(&words, options->step_mm, 2);
    text_add(&words, " mm or less; sized by ");
    text_add(&words, bl_size_by_name(of->plan->sized_by));
    if (!isnan(options->oversize_limit_pct)) {
        text_add(&words, ", at most ");
        text_short(&words, options->oversize_limit_pct, 2);
        text_add(&words, " % wider");
    }
    if (!options->treat_given) {
        text_add(&words, "; treat together what is less than ");
        text_short(&words, options->join_mm, 2);
        text_add(&words, " mm apart");
    }
    prose_paragraph(out, "Rules", &words);
}

static void note_lines(text *out, const char *const *words, size_t count) {
    for (size_t i = 0; i < count; i++) {
        source_heading(out, "Note");
        prose_wrapped(out, words[i]);
    }
}

bl_status bl_report_plan_text(const bl_study *study,
                              const bl_assessment *assessment,
                              const bl_plan *plan, const bl_source *source,
                              bl_sink sink, void *context) {
    text out = {0};
    plan_view of = {bl_study_pullback(study), assessment, plan};
    summary_lines(&out, &of);
    pullback_text(&out, study, assessment, source);
    reference_text(&out, assessment);
    reference_text_normal(&out, assessment);
    if (plan->stretch_count == 0) {
        nothing_lines(&out, assessment);
    }
    for (size_t i = 0; i < plan->stretch_count; i++) {
        plan_text_stretch(&out, &of, i);
        plan_text_devices(&out, &of, i);
    }
    plan_text_wish(&out, &of);
    plan_text_alternatives(&out, &of);
    plan_text_lengths(&out, &of);
    rule_lines(&out, &of);
    note_lines(&out, plan->warnings, plan->warning_count);
    note_lines(&out, assessment->warnings, assessment->warning_count);
    source_heading(&out, "Caution");
    prose_wrapped(&out, bl_caution());
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
