/*
 * record_pullback.c - which vein was recorded and how, and what it is held
 * against.
 */
#include "report/record_parts.h"

#include "base/limits.h"
#include "base/origin.h"
#include "report/assessment_text.h"

#include <math.h>

/* --------------------------------------------------------------------- vein */

static void vein_list(text *out, const bl_assessment *of) {
    text words = {0};
    for (size_t i = 0; i < of->vein_count && i < LIMIT_RECORD_LISTED; i++) {
        text_add(&words, i > 0 ? "; " : "");
        text_add(&words, bl_vein_name(of->veins[i].vein));
        text_add(&words, " ");
        text_span(&words, of->veins[i].span);
    }
    record_more(&words, of->vein_count);
    record_sentence_of(out, &words);
}

/* Stretches of which marks do not tell the vein. */
static void untold_list(text *out, const bl_assessment *of) {
    for (size_t i = 0; i < of->untold_count && i < LIMIT_RECORD_LISTED; i++) {
        text words = {0};
        text_span(&words, of->untold[i].span);
        text_add(&words, ": ");
        text_add(&words, of->untold[i].why);
        record_sentence_of(out, &words);
    }
    record_more_sentence(out, of->untold_count);
    if (of->vein_count + of->untold_count == 0) {
        record_sentence(out, "which vein is where is not known: no mark tells "
                             "it");
    }
}

static void add_labelled(text *out, const char *what, const char *label) {
    if (label[0] != '\0') {
        text words = {0};
        text_add(&words, what);
        record_label(&words, label);
        record_sentence_of(out, &words);
    }
}

static void vein_words(text *out, const bl_compared_table *of) {
    const bl_pullback *pullback = bl_study_pullback(of->study);
    text words = {0};
    text_add(&words, pullback->side);
    text_add(&words, pullback->side[0] != '\0' ? " side" : "side not known");
    record_sentence_of(out, &words);
    vein_list(out, of->assessment);
    untold_list(out, of->assessment);
    add_labelled(out, "case ", pullback->case_name);
}

/* ----------------------------------------------------------------- pullback */

static void length_words(text *out, const bl_pullback *pullback) {
    text words = {0};
    text_fixed(&words, pullback->length_mm, 1);
    text_add(&words, " mm long, from ");
    bool caudal = pullback->travel == BL_END_CAUDAL;
    text_add(&words, bl_end_name(caudal ? BL_END_CRANIAL : BL_END_CAUDAL));
    text_add(&words, " to ");
    text_add(&words, bl_end_name(pullback->travel));
    text_add(&words, "; position from ");
    origin_position_words(&words, pullback);
    text_add(&words, "; coordinates in ");
    origin_units_words(&words, pullback);
    record_sentence_of(out, &words);
}

static void frame_words(text *out, const bl_assessment *of) {
    text words = {0};
    text_format(&words, "%zu of %zu frames used", of->frames_used, of->frames);
    if (of->left_out_count > 0) {
        text_format(&words, "; %zu left out, ", of->left_out_count);
        text_fixed(&words,
                   100.0 * (double)of->left_out_count / (double)of->frames, 1);
        text_add(&words, " % of all");
    }
    record_sentence_of(out, &words);
}

static void gap_words(text *out, const bl_assessment *of) {
    text words = {0};
    if (of->gap_count > 0) {
        text_add(&words, "no frame over ");
    }
    for (size_t i = 0; i < of->gap_count && i < LIMIT_RECORD_LISTED; i++) {
        text_add(&words, i > 0 ? ", " : "");
        text_span(&words, of->gaps[i]);
    }
    record_more(&words, of->gap_count);
    if (of->gap_count > 0) {
        text_add(&words, ": nothing is known there; ");
        text_fixed(&words, of->traced_mm, 1);
        text_add(&words, " mm were traced");
    } else {
        text_add(&words, "no gap over 5 mm");
    }
    record_sentence_of(out, &words);
}

static void profile_words(text *out, const bl_assessment *of) {
    text words = {0};
    if (of->options.smooth_mm > 0.0) {
        text_add(&words, "profile smoothed by a running median over ");
        text_short(&words, of->options.smooth_mm, 4);
        text_add(&words, " mm");
    } else {
        text_add(&words, "profile not smoothed");
    }
    text_add(&words, of->ripple.removed ? "; breathing ripple taken off" : "");
    record_sentence_of(out, &words);
}

static void pullback_words(text *out, const bl_compared_table *of) {
    const bl_pullback *pullback = bl_study_pullback(of->study);
    length_words(out, pullback);
    frame_words(out, of->assessment);
    gap_words(out, of->assessment);
    profile_words(out, of->assessment);
    add_labelled(out, "traced by reader ", pullback->reader);
}

/* ---------------------------------------------------------------- reference */

static void segment_words(text *out, const bl_segment *of) {
    text words = {0};
    reference_text_segment(&words, of);
    if (!isnan(of->share_of_normal_pct)) {
        text_add(&words, ", ");
        place_text_share(&words, of->vein, of->share_of_normal_pct,
                         of->normal_area_mm2);
    }
    record_sentence_of(out, &words);
}

static void reference_words(text *out, const bl_assessment *of) {
    text words = {0};
    if (of->reference_from == BL_FROM_NOTHING) {
        record_sentence(out, "none, so nothing is called narrowed");
    } else {
        record_sentence(out, of->reference_why);
    }
    if (of->segment_count > 1) {
        text_add(&words, "rule ");
        text_add(&words, bl_rule_name(of->options.rule));
    }
    record_sentence_of(out, &words);
    for (size_t i = 0; i < of->segment_count && i < LIMIT_RECORD_LISTED; i++) {
        segment_words(out, &of->segments[i]);
    }
    record_more_sentence(out, of->segment_count);
    reference_text_normal_words(&words, of);
    record_sentence_of(out, &words);
}

void record_pullback(record_page *to, const char *part,
                     const bl_compared_table *of) {
    vein_words(record_page_begin(to, part, "vein"), of);
    pullback_words(record_page_begin(to, part, "pullback"), of);
    reference_words(record_page_begin(to, part, "reference"), of->assessment);
}
