/*
 * inflow_json.c - candidate inflow veins as JSON.
 */
#include "report/assessment_json.h"
#include "report/source.h"

#include <math.h>

/* Keys of the measures' figures and intervals. */
static const char *const keys[BL_INFLOW_MEASURES][2] = {
    {"min_area_mm2", "min_area_interval_mm2"},
    {"mean_area_mm2", "mean_area_interval_mm2"},
    {"narrowed_mm", "narrowed_interval_mm"},
    {"flow_index", "flow_index_interval"},
};

static void letter(json *to, const char *key, const bl_inflow_candidate *of) {
    char word[] = {of == NULL ? '\0' : of->letter, '\0'};
    json_string(to, key, of == NULL ? NULL : word);
}

static void stretch_members(json *to, const bl_inflow_stretch *of) {
    json_number(to, "from_mm", of->span.from_mm);
    json_number(to, "to_mm", of->span.to_mm);
    json_integer(to, "frames", (int64_t)of->frames);
    json_integer(to, "left_out", (int64_t)of->left_out);
    json_integer(to, "min_area_frame", of->minimum.frame);
    json_number(to, "min_area_position_mm", of->minimum.position_mm);
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        json_number(to, keys[i][0], of->figures[i].value);
        json_interval(to, keys[i][1], of->figures[i].interval);
    }
}

/* Why figures are null, by their keys. */
static void why_not(json *to, const bl_inflow_stretch *of) {
    json_open(to, "not_known", '{', false);
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        if (of->figures[i].why_not != NULL) {
            json_string(to, keys[i][0], of->figures[i].why_not);
        }
    }
    json_close(to, '{');
}

static void ranks(json *to, const bl_inflow_candidate *of) {
    json_open(to, "ranks", '{', true);
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        if (of->ranks[i] > 0) {
            json_integer(to, keys[i][0], (int64_t)of->ranks[i]);
        } else {
            json_string(to, keys[i][0], NULL);
        }
    }
    json_close(to, '{');
}

static void candidate(json *to, const bl_inflow_candidate *of) {
    const bl_inflow_input *from = &of->input;
    json_open(to, NULL, '{', false);
    letter(to, "letter", of);
    assessment_json_input(to, from->study, from->assessment, from->source);
    source_pullback_json(to, from->study);
    json_open(to, "settings", '{', true);
    assessment_json_settings(to, &from->assessment->options);
    json_close(to, '{');
    assessment_json_reference(to, from->assessment);
    json_open(to, "stretch", '{', false);
    stretch_members(to, &from->assessment->inflow);
    why_not(to, &from->assessment->inflow);
    json_close(to, '{');
    ranks(to, of);
    json_strings(to, "notes", of->notes, of->note_count);
    json_strings(to, "warnings", from->assessment->warnings,
                 from->assessment->warning_count);
    json_close(to, '{');
}

static void verdicts(json *to, const bl_inflow *of) {
    json_open(to, "by_measure", '[', false);
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        const bl_inflow_verdict *one = &of->verdicts[i];
        json_open(to, NULL, '{', true);
        json_string(to, "measure", keys[i][0]);
        letter(to, "best",
               one->best < of->candidate_count ? &of->candidates[one->best]
                                               : NULL);
        json_bool(to, "told_apart", one->told_apart);
        json_string(to, "words", one->words);
        json_close(to, '{');
    }
    json_close(to, '[');
}

bl_status bl_report_inflow_json(const bl_inflow *of, bl_sink sink,
                                void *context) {
    text out = {0};
    json to = {.out = &out};
    json_open(&to, NULL, '{', false);
    json_string(&to, "boreline", bl_version());
    json_number(&to, "within_mm", of->within_mm);
    letter(&to, "named", of->named ? &of->candidates[0] : NULL);
    json_string(&to, "why", of->why);
    verdicts(&to, of);
    json_open(&to, "candidates", '[', false);
    for (size_t i = 0; i < of->candidate_count; i++) {
        candidate(&to, &of->candidates[i]);
    }
    json_close(&to, '[');
    json_string(&to, "rule", of->rule);
    json_string(&to, "intervals", bl_inflow_intervals_note());
    json_string(&to, "flow_index", bl_flow_note());
    json_strings(&to, "warnings", of->warnings, of->warning_count);
    json_string(&to, "caution", bl_caution());
    json_close(&to, '{');
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
