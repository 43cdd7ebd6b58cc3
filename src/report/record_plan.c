/*
 * record_plan.c - what would be treated and with what, if the operator decides
 * to treat.
 */
#include "report/record_parts.h"

#include "base/limits.h"
#include "base/place.h"
#include "report/assessment_text.h"
#include "report/plan_text.h"
#include "report/prose.h"

#include <math.h>

/* "Device 1: 16 x 60 mm, 17.5..77.5 mm, balloon 16 mm, ..." */
static void device_sentence(text *out, size_t number, const bl_device *of) {
    text words = {0};
    text_format(&words, "device %zu: ", number);
    text_device_size(&words, of->diameter_mm, of->length_mm);
    text_add(&words, ", ");
    text_span(&words, of->span);
    text_add(&words, ", balloon ");
    text_short(&words, of->diameter_mm, 2);
    text_add(&words, " mm, reference there ");
    prose_number(&words, of->reference_diameter_mm, 2, " mm");
    text_add(&words, ", oversize ");
    plan_text_signed(&words, of->oversize_mm, " mm");
    if (of->of != NULL) {
        text_add(&words, ", on the list as ");
        record_label(&words, of->of->label);
    }
    record_sentence_of(out, &words);
}

static void chain_sentences(text *out, const bl_chain *of) {
    text words = {0};
    for (size_t i = 0; i < of->device_count; i++) {
        device_sentence(out, i + 1, &of->devices[i]);
    }
    if (of->device_count > 0) {
        plan_text_reach(&words, of);
    }
    record_sentence_of(out, &words);
}

static void stretch_sentences(text *out, const plan_view *in,
                              const bl_stretch *of) {
    text words = {0};
    text_add(&words, "if treated: ");
    plan_text_treat(&words, in, of);
    record_sentence_of(out, &words);
    for (size_t i = 0; i < 2; i++) {
        text_add(&words, "landing ");
        plan_text_landing(&words, in, &of->landings[i]);
        text_add(&words, of->landings[i].healthy
                             ? ", in healthy vein"
                             : ", not in healthy vein of the length asked for");
        record_sentence_of(out, &words);
    }
    plan_text_cover(&words, of);
    record_sentence_of(out, &words);
    chain_sentences(out, &of->chain);
    if (plan_text_lacks(in->plan, of)) {
        record_sentence(out, of->missing);
    }
}

static void doubt_sentence(text *out, const bl_plan *of) {
    text words = {0};
    if (of->doubt_count == 0) {
        return;
    }
    for (size_t i = 0; i < of->doubt_count; i++) {
        text_add(&words, i == 0 ? "not certain: " : "; ");
        text_add(&words, of->doubts[i]);
    }
    record_sentence_of(out, &words);
}

static void plan_words(text *out, const plan_view *in) {
    const bl_plan *plan = in->plan;
    text words = {0};
    record_sentence(out, "this is what fits if the operator decides to treat; "
                         "it is no advice to treat");
    plan_text_summary(&words, in);
    if (plan->stretch_count == 0) {
        text_add(&words, ": area stenosis reaches ");
        text_short(&words, in->assessment->options.threshold_pct, 2);
        text_add(&words, " % nowhere");
        text_add(&words, place_judged_in_part(in->assessment) ? " there" : "");
    } else if (plan->options.stock != NULL) {
        text_add(&words, ", of the list ");
        record_name(&words, bl_stock_name(plan->options.stock));
        text_add(&words, ", sized by ");
        text_add(&words, bl_size_by_name(plan->sized_by));
    }
    record_sentence_of(out, &words);
    doubt_sentence(out, plan);
    for (size_t i = 0; i < plan->stretch_count && i < LIMIT_RECORD_LISTED;
         i++) {
        stretch_sentences(out, in, &plan->stretches[i]);
    }
    record_more_sentence(out, plan->stretch_count);
    for (size_t i = 0; i < plan->change_count && i < LIMIT_RECORD_LISTED; i++) {
        record_sentence(out, plan->changes[i].what);
    }
    record_more_sentence(out, plan->change_count);
}

/* Devices that the user named. */
static void wish_words(text *out, const bl_plan *of) {
    text words = {0};
    if (of->wish.device_count == 0) {
        return;
    }
    plan_text_chain(&words, &of->wish);
    text_add(&words, ": ");
    text_add(&words, plan_text_wish_verdict(of));
    record_sentence_of(out, &words);
    for (size_t i = 0; i < of->wish_finding_count; i++) {
        record_sentence(out, of->wish_findings[i]);
    }
    for (size_t i = 0; i < of->wish_unjudged_count; i++) {
        text_add(&words, "cannot be judged: ");
        text_add(&words, of->wish_unjudged[i]);
        record_sentence_of(out, &words);
    }
    chain_sentences(out, &of->wish);
}

void record_plan(record_page *to, const bl_compared_table *of,
                 const bl_plan *plan) {
    plan_view in = {bl_study_pullback(of->study), of->assessment, plan};
    plan_words(record_page_begin(to, "plan", "what fits"), &in);
    wish_words(record_page_begin(to, "plan", "device as given"), plan);
    record_warnings(to, "plan", plan->warnings, plan->warning_count);
}
