/*
 * inflow_verdict.c - what each measure says of candidate inflow veins, and
 * which of them is named.
 *
 * Two are told apart by a measure where their 95 % intervals do not meet: a
 * stricter rule than a test at 5 %, which asks less of two intervals. What is
 * not known is told apart from nothing.
 */
#include "compare/inflow.h"

#include "base/constants.h"
#include "base/inflow_words.h"
#include "base/place.h"
#include "base/text.h"

#include <math.h>

/* Less is not compared. */
#define WITHIN_LEAST_MM 5.0

/* A's interval lies wholly on the better side of b's. */
static bool is_apart(const bl_inflow_candidate *a, const bl_inflow_candidate *b,
                     unsigned measure) {
    bl_interval of_a = inflow_figure(a, measure)->interval;
    bl_interval of_b = inflow_figure(b, measure)->interval;
    return inflow_more_is_better(measure) ? of_a.low > of_b.high
                                          : of_a.high < of_b.low;
}

/* The first in order of those that no other is better than. */
static size_t best_of(const inflow *of, unsigned measure) {
    size_t i = 0;
    while (i < of->public.candidate_count &&
           of->candidates[i].ranks[measure] != 1) {
        i++;
    }
    return i;
}

/* "B", "B and C", "B, C and D": those of a set that `is` holds for. */
typedef bool (*is_listed)(const inflow *of, size_t candidate, unsigned measure,
                          size_t best);

static size_t list(text *out, const inflow *of, unsigned measure, size_t best,
                   is_listed is) {
    size_t count = 0;
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        count += is(of, i, measure, best);
    }
    size_t said = 0;
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        if (is(of, i, measure, best)) {
            said++;
            text_add(out, said == 1 ? "" : said == count ? " and " : ", ");
            text_bytes(out, &of->candidates[i].letter, 1);
        }
    }
    return count;
}

static bool is_unknown(const inflow *of, size_t i, unsigned measure,
                       size_t best) {
    (void)best;
    return isnan(inflow_figure(&of->candidates[i], measure)->value);
}

/* Of another whose figure is known. */
static bool is_near(const inflow *of, size_t i, unsigned measure, size_t best) {
    return i != best && !is_unknown(of, i, measure, best) &&
           !is_apart(&of->candidates[best], &of->candidates[i], measure);
}

/* "A (61.2 mm2, 95 % 55.0 to 66.1)". */
static void figure_words(text *out, const bl_inflow_candidate *of,
                         unsigned measure) {
    const bl_inflow_figure *figure = inflow_figure(of, measure);
    const char *unit = inflow_unit(measure);
    text_bytes(out, &of->letter, 1);
    text_add(out, " (");
    text_fixed(out, figure->value, inflow_decimals(measure));
    text_add(out, unit[0] == '\0' ? "" : " ");
    text_add(out, unit);
    if (!isnan(figure->interval.low)) {
        text_add(out, ", 95 % ");
        inflow_interval_words(out, measure, figure->interval);
    }
    text_add(out, ")");
}

/* Which figures are not known, and why that of the first of them is not. */
static void unknown_words(text *out, const inflow *of, unsigned measure) {
    text_add(out, "; not known of ");
    bool several = list(out, of, measure, 0, is_unknown) > 1;
    size_t i = 0;
    while (!is_unknown(of, i, measure, 0)) {
        i++;
    }
    text_add(out, several ? ": of " : ": ");
    if (several) {
        text_bytes(out, &of->candidates[i].letter, 1);
        text_add(out, " since ");
    }
    text_add(out, inflow_figure(&of->candidates[i], measure)->why_not);
}

static bool any_unknown(const inflow *of, unsigned measure) {
    bool any = false;
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        any = any || is_unknown(of, i, measure, 0);
    }
    return any;
}

/* A figure that is the only one known is better than nothing. */
static bool say_only_known(text *out, const inflow *of, unsigned measure) {
    size_t only = of->public.candidate_count;
    size_t known = 0;
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        if (!is_unknown(of, i, measure, 0)) {
            known++;
            only = i;
        }
    }
    if (known == 1) {
        text_add(out, "only that of ");
        figure_words(out, &of->candidates[only], measure);
        text_add(out, " is known, so there is nothing to hold it against");
    }
    return known == 1;
}

/* What is said of the best; *near: whether another known one is not told apart
 * from it. */
static void best_words(text *out, const inflow *of, unsigned measure,
                       size_t best, bool *near) {
    const bl_inflow_candidate *first = &of->candidates[best];
    text others = {0};
    *near = list(&others, of, measure, best, is_near) > 0;
    figure_words(out, first, measure);
    if (isnan(inflow_figure(first, measure)->interval.low)) {
        text_add(out, " is best as read; without intervals none is told apart");
        *near = true;
    } else if (*near) {
        text_add(out, " is not told apart from ");
        text_add(out, text_c(&others));
        text_add(out, ": their 95 % intervals overlap");
    } else {
        text_add(out, " stands apart: its 95 % interval meets no other");
        text_add(out, any_unknown(of, measure) ? " that is known" : "");
    }
    out->failed = out->failed || others.failed;
    text_free(&others);
}

/* The text into the owner's memory; NULL when memory is out. */
static const char *keep(inflow *of, text *words) {
    const char *kept = words->failed
                           ? NULL
                           : arena_text(&of->owner, words->bytes, words->size);
    text_free(words);
    return kept;
}

static bl_status judge_by(inflow *of, unsigned measure) {
    bl_inflow_verdict *out = &of->public.verdicts[measure];
    text words = {0};
    bool near = true;
    bool unknown = any_unknown(of, measure);
    out->best = best_of(of, measure);
    if (out->best < of->public.candidate_count) {
        best_words(&words, of, measure, out->best, &near);
    } else if (!say_only_known(&words, of, measure)) {
        text_add(&words, "not known of any: ");
        text_add(&words, inflow_figure(&of->candidates[0], measure)->why_not);
        unknown = false;
    }
    if (unknown) {
        unknown_words(&words, of, measure);
    }
    out->told_apart = !near && !unknown;
    out->words = keep(of, &words);
    return out->words == NULL ? BL_ERR_MEMORY : BL_OK;
}

/* By these the smaller vein can be the better one. */
static void add_own_measure(text *out, unsigned measure) {
    if (measure == BL_INFLOW_NARROWED || measure == BL_INFLOW_FLOW) {
        text_add(out, "; ");
        text_add(out, bl_inflow_measure_name(measure));
        text_add(out, " holds each against its own healthy vein: it tells what "
                      "was lost, not what is there, and can speak for the "
                      "smaller vein");
    }
}

/* A measure that tells another apart from the first as better, and which. */
static bool is_contradicted(const inflow *of, text *words) {
    for (unsigned m = 0; m < BL_INFLOW_MEASURES; m++) {
        for (size_t i = 1; i < of->public.candidate_count; i++) {
            if (is_apart(&of->candidates[i], &of->candidates[0], m)) {
                text_add(words, "least area speaks for ");
                text_bytes(words, &of->candidates[0].letter, 1);
                text_add(words, ", ");
                text_add(words, bl_inflow_measure_name(m));
                text_add(words, " for ");
                text_bytes(words, &of->candidates[i].letter, 1);
                add_own_measure(words, m);
                return true;
            }
        }
    }
    return false;
}

/* What was not traced of the first may be smaller. */
static bool is_partly_traced(const inflow *of, text *words) {
    const bl_inflow_candidate *first = &of->candidates[0];
    const bl_inflow_stretch *stretch = &first->input.assessment->inflow;
    if (stretch->is_shorter) {
        text_add(words, "of ");
        text_bytes(words, &first->letter, 1);
        text_add(words, " only ");
        text_fixed(words, stretch->span.to_mm - stretch->span.from_mm, 1);
        text_add(words, " of ");
        text_short(words, of->public.within_mm, 2);
        text_add(words, " mm were traced");
    } else if (isnan(stretch->figures[BL_INFLOW_MEAN_AREA].value)) {
        text_add(words, "a gap lies in the stretch of ");
        text_bytes(words, &first->letter, 1);
    }
    return words->size > 0;
}

/* The stretch of one of them runs on into vein that all share: what is read
 * there is no candidate's own. */
static bool is_shared(const inflow *of, text *words) {
    const bl_inflow_candidate *one = NULL;
    inflow_border least = {.mark = NULL};
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        inflow_border border = inflow_border_of(&of->candidates[i]);
        if (border.mark != NULL &&
            (one == NULL || border.caudal_mm < least.caudal_mm)) {
            one = &of->candidates[i];
            least = border;
        }
    }
    if (one == NULL) {
        return false;
    }
    text_add(words, "the stretch of ");
    text_bytes(words, &one->letter, 1);
    text_add(words, " runs on cranial of ");
    inflow_border_words(words, &least);
    text_add(words, ", into vein that candidates share");
    double within_mm = floor(least.caudal_mm + EDGE_MM);
    if (least.begins_own && within_mm >= WITHIN_LEAST_MM) {
        text_add(words, "; --within ");
        text_fixed(words, within_mm, 0);
        text_add(words, " leaves that out");
    }
    return true;
}

/* What the first shows in its stretch has to pass the rest of its vein. */
static bool is_less_cranially(const inflow *of, text *words) {
    const bl_inflow_candidate *first = &of->candidates[0];
    inflow_way way = inflow_way_of(of, first);
    if (!inflow_way_is_barred(&way)) {
        return false;
    }
    text_add(words, "cranial of its stretch ");
    text_bytes(words, &first->letter, 1);
    text_add(words, " ");
    inflow_way_words(words, &way);
    return true;
}

static bool is_doubtful(const inflow *of, text *words) {
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        const bl_inflow_candidate *one = &of->candidates[i];
        const bl_place *least = &one->input.assessment->inflow.minimum;
        if (place_is_doubted(least)) {
            text_add(words, "the least area of ");
            text_bytes(words, &one->letter, 1);
            text_add(words, " is doubtful: ");
            place_doubt_words(words, least);
            return true;
        }
    }
    return false;
}

static bool is_of_doubted_scale(const inflow *of, text *words) {
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        const bl_finding *doubt = inflow_scale_doubt(&of->candidates[i]);
        if (doubt != NULL) {
            text_add(words, "the scale of ");
            text_bytes(words, &of->candidates[i].letter, 1);
            text_add(words, " is doubtful: ");
            if (doubt->frame >= 0) {
                text_format(words, "at frame %lld, ", (long long)doubt->frame);
            }
            text_add(words, doubt->message.text);
            return true;
        }
    }
    return false;
}

/* By the vein that the first shares with another. */
static bool is_unlike(const inflow *of, text *words) {
    const bl_inflow_candidate *first = &of->candidates[0];
    for (size_t i = 1; i < of->public.candidate_count; i++) {
        inflow_common common;
        if (inflow_common_bars(first, &of->candidates[i], &common)) {
            inflow_common_words(words, &common, first);
            return true;
        }
    }
    return false;
}

static bool is_of_two_sides(const inflow *of, text *words) {
    bool two = inflow_is_of_two_sides(of);
    if (two) {
        inflow_side_words(words, of);
    }
    return two;
}

/* Whether something keeps the first from being named, and what. */
static bool is_barred(const inflow *of, text *words) {
    const bl_inflow_verdict *least = &of->public.verdicts[BL_INFLOW_MIN_AREA];
    if (is_of_two_sides(of, words) || is_of_doubted_scale(of, words) ||
        is_shared(of, words) || is_unlike(of, words) ||
        is_less_cranially(of, words)) {
        return true;
    }
    if (!least->told_apart) {
        text_add(words, "by least area ");
        text_add(words, least->words);
        return true;
    }
    return is_contradicted(of, words) || is_partly_traced(of, words) ||
           is_doubtful(of, words);
}

/* Whether a figure or an interval is missing. */
static bool is_uncompared(const inflow *of, unsigned measure) {
    bool missing = false;
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        missing =
            missing ||
            isnan(inflow_figure(&of->candidates[i], measure)->interval.low);
    }
    return missing;
}

/* What measures but the least area say, none of which contradicts it. */
static void others_words(text *out, const inflow *of) {
    size_t missing = 0;
    size_t said = 0;
    for (unsigned m = BL_INFLOW_MIN_AREA + 1; m < BL_INFLOW_MEASURES; m++) {
        missing += is_uncompared(of, m);
    }
    text_add(out, missing == 0 ? "no other measure says otherwise"
                  : missing < BL_INFLOW_MEASURES - 1
                      ? "no other measure that could be compared says "
                        "otherwise; "
                      : "");
    for (unsigned m = BL_INFLOW_MIN_AREA + 1; m < BL_INFLOW_MEASURES; m++) {
        if (is_uncompared(of, m)) {
            said++;
            text_add(out, said == 1 ? "" : said == missing ? " and " : ", ");
            text_add(out, bl_inflow_measure_name(m));
        }
    }
    text_add(out, missing > 0 ? " could not be compared, not being known of "
                                "every vein"
                              : "");
}

static bl_status name_one(inflow *of) {
    text barred = {0};
    text words = {0};
    of->public.named = !is_barred(of, &barred);
    if (of->public.named) {
        text_bytes(&words, &of->candidates[0].letter, 1);
        text_add(&words, " (");
        text_add(&words, of->candidates[0].input.source->file);
        text_add(&words, ") is the larger inflow by its least area, whose 95 % "
                         "interval lies above all others; ");
        others_words(&words, of);
    } else {
        text_add(&words, "none is named: ");
        text_add(&words, text_c(&barred));
    }
    words.failed = words.failed || barred.failed;
    text_free(&barred);
    of->public.why = keep(of, &words);
    return of->public.why == NULL ? BL_ERR_MEMORY : BL_OK;
}

bl_status inflow_judge(inflow *of) {
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        if (judge_by(of, i) != BL_OK) {
            return BL_ERR_MEMORY;
        }
    }
    return name_one(of);
}
