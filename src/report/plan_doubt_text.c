/*
 * plan_doubt_text.c - what else could have been planned, and how far lengths
 * can be trusted.
 */
#include "report/plan_text.h"

#include "report/prose.h"
#include "report/source.h"

#include <math.h>
#include <string.h>

/* Whether the plan is told the same. */
static bool holds_of_plan(const bl_plan *plan, const char *finding) {
    for (size_t i = 0; i < plan->warning_count; i++) {
        if (strcmp(plan->warnings[i], finding) == 0) {
            return true;
        }
    }
    return false;
}

/* What breaks a rule, but for what is noted of the plan and is the same. */
static void finding_lines(text *out, const bl_plan *plan,
                          const bl_alternative *of) {
    size_t shared = 0;
    text words = {0};
    for (size_t i = 0; i < of->finding_count; i++) {
        if (holds_of_plan(plan, of->findings[i])) {
            shared++;
            continue;
        }
        text_add(&words, "- ");
        text_add(&words, of->findings[i]);
        prose_wrapped_line(out, 2, &words);
    }
    if (shared > 0) {
        text_format(&words, "- %zu %s of it too", shared,
                    shared == 1 ? "note below holds" : "notes below hold");
        prose_wrapped_line(out, 2, &words);
    }
}

void plan_text_alternatives(text *out, const plan_view *of) {
    const bl_plan *plan = of->plan;
    for (size_t i = 0; i < plan->alternative_count; i++) {
        const bl_alternative *one = &plan->alternatives[i];
        text words = {0};
        plan_text_sizes(&words, one->chains, one->chain_count);
        text_add(&words, ": ");
        text_add(&words, one->why_not);
        text_add(&words, one->finding_count == 0 ? "; it keeps the rules" : "");
        prose_paragraph(out, i == 0 ? "Otherwise" : "", &words);
        finding_lines(out, plan, one);
    }
}

/* "0.80 to 1.20 times". */
static void factor_words(text *out, bl_interval of) {
    text_fixed(out, of.low, 2);
    text_add(out, " to ");
    text_fixed(out, of.high, 2);
    text_add(out, " times");
}

static void error_line(text *out, const plan_view *of) {
    const bl_assessment *in = of->assessment;
    text words = {0};
    text_add(&words, "the error of the pullback's speed is taken as ");
    text_short(&words, in->options.speed_cv_pct, 1);
    text_add(&words, " % (");
    text_add(&words, bl_error_from_name(in->intervals.speed_cv_from));
    text_add(&words, in->intervals.speed_cv_from == BL_ERROR_ASSUMED
                         ? " for a motor; by hand: --speed-cv 30"
                         : "");
    text_add(&words, "): true lengths may be ");
    factor_words(&words, of->plan->length_factor);
    text_add(&words, " these (95 %)");
    prose_paragraph(out, "Lengths", &words);
}

/* "landing points may lie: cranial at 21.8 to 32.4 mm, caudal at 45.5 to 68.3
 * mm". */
static void landing_line(text *out, const bl_plan *plan, size_t index) {
    const bl_stretch *one = &plan->stretches[index];
    text words = {0};
    text_add(&words, "landing points");
    if (plan->stretch_count > 1) {
        text_format(&words, " of stretch %zu", index + 1);
    }
    text_add(&words, ", counted from the first frame, may lie: ");
    for (size_t i = 0; i < 2; i++) {
        const bl_landing *at = &one->landings[i];
        text_add(&words, i == 0 ? "" : ", ");
        text_add(&words, bl_end_name(at->where));
        if (at->open) {
            text_add(&words, " not known, it is open");
            continue;
        }
        text_add(&words, " at ");
        text_fixed(&words, at->position_interval_mm.low, 1);
        text_add(&words, " to ");
        text_fixed(&words, at->position_interval_mm.high, 1);
        text_add(&words, " mm");
    }
    prose_wrapped_line(out, 0, &words);
}

static void enough_line(text *out, const bl_plan *plan) {
    text words = {0};
    if (isnan(plan->enough_up_to_factor)) {
        return;
    }
    text_add(&words, "the devices reach from landing point to landing point up "
                     "to ");
    text_fixed(&words, floor(100.0 * plan->enough_up_to_factor) / 100.0, 2);
    text_add(&words, " times these lengths");
    prose_wrapped_line(out, 0, &words);
}

/* The first end whose place is not known; NULL: all are. */
static const bl_landing *open_end(const bl_plan *plan) {
    for (size_t i = 0; i < 2 * plan->stretch_count; i++) {
        const bl_landing *at = &plan->stretches[i / 2].landings[i % 2];
        if (at->open) {
            return at;
        }
    }
    return NULL;
}

/* Of lengths only: what was not traced is no matter of the speed. */
static void steady_line(text *out, const bl_plan *plan) {
    const bl_landing *open = open_end(plan);
    text words = {0};
    if (open == NULL) {
        text_add(&words, "the plan stays the same at both ends of that range");
    } else {
        text_add(&words, "in length the plan stays the same at both ends of "
                         "that range; what lies beyond the ");
        text_add(&words, bl_end_name(open->where));
        text_format(&words, " end (%s) stays unknown",
                    bl_border_name(open->ends_at));
    }
    prose_wrapped_line(out, 0, &words);
}

static void change_lines(text *out, const bl_plan *plan) {
    for (size_t i = 0; i < plan->change_count; i++) {
        text words = {0};
        text_add(&words, plan->changes[i].what);
        prose_wrapped_line(out, 0, &words);
    }
    bool planned = !isnan(plan->enough_up_to_factor);
    if (plan->change_count == 0 && planned) {
        steady_line(out, plan);
    } else if (plan->change_count == 0 && plan->exact &&
               plan->options.stock != NULL) {
        source_heading(out, "");
        text_add(out, "nothing on the list fits at either end of that range\n");
    }
}

void plan_text_lengths(text *out, const plan_view *of) {
    const bl_plan *plan = of->plan;
    if (plan->stretch_count == 0) {
        return;
    }
    if (isnan(plan->length_factor.low)) {
        source_heading(out, "Lengths");
        text_add(out, "no error of positions is assumed (--speed-cv)\n");
        return;
    }
    error_line(out, of);
    for (size_t i = 0; i < plan->stretch_count; i++) {
        landing_line(out, plan, i);
    }
    enough_line(out, plan);
    change_lines(out, plan);
}
