/*
 * record_comparison.c - what was achieved, or what became of it: one table held
 * against the other, in the sentences of the comparison itself.
 */
#include "report/record_parts.h"

#include "base/apposed.h"
#include "base/limits.h"
#include "base/stages.h"
#include "report/comparison_text.h"

#include <math.h>

/* The part of a record that all of this is in. */
#define COMPARED "comparison"

static void waist_sentences(text *out, const bl_comparison *of,
                            const char *table, const bl_waist *at,
                            bool second) {
    text words = {0};
    comparison_text_waist(&words, table, at, second);
    record_sentence_of(out, &words);
    comparison_text_waist_stenosis(&words, of, at);
    record_sentence_of(out, &words);
}

static void result_words(text *out, const bl_comparison *of) {
    text words = {0};
    for (size_t i = 0; i < of->foremost_count; i++) {
        record_sentence(out, of->foremost[i]);
    }
    comparison_text_gain(&words, of);
    record_sentence_of(out, &words);
    comparison_text_lost(&words, of);
    record_sentence_of(out, &words);
    if (of->device.unapposed_count > 0) {
        comparison_text_stands_off(&words, &of->device);
        record_sentence_of(out, &words);
    }
    waist_sentences(out, of, stages_first(of), &of->before, false);
    waist_sentences(out, of, stages_second(of), &of->after, true);
    text_add(&words, of->gain_area_mm2 < 0.0 ? "loss " : "gain ");
    comparison_text_gained(&words, of);
    record_sentence_of(out, &words);
}

static void residual_words(text *out, const bl_comparison *of) {
    text words = {0};
    comparison_text_residual_scope(&words, of);
    record_sentence_of(out, &words);
    for (int i = 0; i < DENOMINATOR_COUNT; i++) {
        comparison_text_residual(&words, of, (comparison_denominator)i);
        record_sentence_of(out, &words);
    }
}

static void pace_sentences(text *out, const bl_alignment *of) {
    text words = {0};
    size_t count = 0;
    for (size_t i = 0; i < of->pace_count; i++) {
        count += of->paces[i].differs;
        if (of->paces[i].differs && count <= LIMIT_RECORD_LISTED) {
            comparison_text_pace(&words, of, &of->paces[i]);
            record_sentence_of(out, &words);
        }
    }
    record_more_sentence(out, count);
}

/* How the two were brought onto one axis, and what counts as treated. */
static void alignment_words(text *out, const comparison_view *in) {
    const bl_alignment *of = &in->of->alignment;
    text words = {0};
    record_sentence(out, of->how);
    comparison_text_shift(&words, of);
    text_add(&words, "; positions of this part are those of the first, of the "
                     "others each table's own");
    record_sentence_of(out, &words);
    pace_sentences(out, of);
    text_add(&words, "treated: ");
    comparison_text_treated(&words, in->of);
    record_sentence_of(out, &words);
    text_add(&words, "reference ");
    text_add(&words, stages_second(in->of));
    text_add(&words, ": ");
    comparison_text_after_reference(&words, in);
    record_sentence_of(out, &words);
}

/* ------------------------------------------------------------------- device */

static void device_words(text *out, const bl_comparison *in) {
    const bl_device_state *of = &in->device;
    text words = {0};
    comparison_text_size(&words, of);
    record_sentence_of(out, &words);
    for (size_t i = 0; i < of->crossed_count; i++) {
        comparison_text_crossed(&words, &of->crossed[i]);
        record_sentence_of(out, &words);
    }
    comparison_text_device_least(&words, of);
    record_sentence_of(out, &words);
    comparison_text_expansion(&words, in);
    record_sentence_of(out, &words);
    comparison_text_expansion_along(&words, in);
    record_sentence_of(out, &words);
    comparison_text_nominal(&words, of);
    record_sentence_of(out, &words);
    comparison_text_symmetry(&words, of);
    record_sentence_of(out, &words);
    comparison_text_inside(&words, in);
    record_sentence_of(out, &words);
    for (size_t i = 0; i < of->overlap_count; i++) {
        comparison_text_overlap(&words, &of->overlaps[i]);
        record_sentence_of(out, &words);
    }
}

static void apposition_words(text *out, const bl_device_state *of) {
    text words = {0};
    comparison_text_apposed(&words, of);
    record_sentence_of(out, &words);
    if (!apposed_is_known(of)) {
        return;
    }
    for (size_t i = 0; i < of->unapposed_count && i < LIMIT_RECORD_LISTED;
         i++) {
        comparison_text_unapposed(&words, &of->unapposed[i]);
        record_sentence_of(out, &words);
    }
    record_more_sentence(out, of->unapposed_count);
    comparison_text_looked_at(&words, of);
    record_sentence_of(out, &words);
}

/* --------------------------------------------------------------------- vein */

static void edge_words(text *out, const bl_comparison *of) {
    text words = {0};
    for (size_t i = 0; i < of->edge_count; i++) {
        comparison_text_edge(&words, of, &of->edges[i]);
        record_sentence_of(out, &words);
    }
}

static void untreated_words(text *out, const comparison_view *in) {
    const bl_comparison *of = in->of;
    bool none = of->untreated_count == 0 && !isnan(of->outside_judged_mm);
    text words = {0};
    text_add(&words, none ? "none with an " : "");
    text_add(&words, "area stenosis of ");
    text_short(&words, in->before->assessment->options.threshold_pct, 2);
    text_add(&words, " % or more outside the treated stretch");
    comparison_text_judged(&words, of);
    record_sentence_of(out, &words);
    for (size_t i = 0; i < of->untreated_count && i < LIMIT_RECORD_LISTED;
         i++) {
        comparison_text_untreated(&words, of, &of->untreated[i]);
        record_sentence_of(out, &words);
    }
    record_more_sentence(out, of->untreated_count);
}

/* ------------------------------------------------------------------- change */

static void lost_words(text *out, const bl_comparison *of) {
    text words = {0};
    comparison_text_tissue(&words, &of->device);
    record_sentence_of(out, &words);
    comparison_text_compressed(&words, of);
    record_sentence_of(out, &words);
}

static void change_words(text *out, const bl_comparison *of) {
    const struct {
        const char *what;
        const bl_change *of;
    } all[] = {{"mean lumen area ", &of->lumen_mean},
               {"least device area ", &of->device_least},
               {"mean device area ", &of->device_mean}};
    text words = {0};
    comparison_text_change_scope(&words, of);
    record_sentence_of(out, &words);
    comparison_text_least_change(&words, of);
    record_sentence_of(out, &words);
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        comparison_text_change(&words, all[i].what, all[i].of);
        record_sentence_of(out, &words);
    }
    comparison_text_loss(&words, "lumen, ", of, &of->lumen_loss);
    record_sentence_of(out, &words);
    comparison_text_loss(&words, "device, ", of, &of->device_loss);
    record_sentence_of(out, &words);
}

static void cannot_words(text *out, const bl_comparison *of) {
    for (size_t i = 0; i < of->cannot_count && i < LIMIT_RECORD_LISTED; i++) {
        record_sentence(out, of->cannot[i]);
    }
    record_more_sentence(out, of->cannot_count);
}

void record_comparison(record_page *to, const bl_record *of) {
    const bl_comparison *made = of->comparison;
    comparison_view in = {&of->before, &of->after, made};
    result_words(record_page_begin(to, COMPARED, "result"), made);
    residual_words(record_page_begin(to, COMPARED,
                                     made->treated_from == BL_TREATED_NOWHERE
                                         ? "greatest area stenosis"
                                         : "residual area stenosis"),
                   made);
    if (made->device.traced) {
        device_words(record_page_begin(to, COMPARED, "device"), made);
        apposition_words(record_page_begin(to, COMPARED, "apposition"),
                         &made->device);
    }
    edge_words(record_page_begin(to, COMPARED, "edges"), made);
    if (made->treated_from != BL_TREATED_NOWHERE) {
        untreated_words(record_page_begin(to, COMPARED, "untreated"), &in);
    }
    if (made->device.traced && (made->follow_up || made->since_after)) {
        lost_words(record_page_begin(to, COMPARED, "lumen lost"), made);
    }
    if (comparison_text_is_change_known(made)) {
        change_words(record_page_begin(to, COMPARED, "change"), made);
    }
    alignment_words(record_page_begin(to, COMPARED, "positions"), &in);
    cannot_words(record_page_begin(to, COMPARED, "not known"), made);
    record_warnings(to, COMPARED, made->warnings, made->warning_count);
}
