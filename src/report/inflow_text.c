/*
 * inflow_text.c - candidate inflow veins as a short report to read: which is
 * named or why none is, the figures side by side, what each measure says, then
 * each candidate.
 */
#include "base/inflow_words.h"
#include "report/assessment_text.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

#define COLUMN 16

/* A cell of the table, to the right; the words are freed. */
static void cell(text *out, text *words) {
    for (size_t i = words->size; i < COLUMN; i++) {
        text_add(out, " ");
    }
    text_add(out, text_c(words));
    out->failed = out->failed || words->failed;
    text_free(words);
}

static void word_cell(text *out, const char *word) {
    text words = {0};
    text_add(&words, word);
    cell(out, &words);
}

static void table_head(text *out) {
    source_heading(out, "");
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        word_cell(out, bl_inflow_measure_name(i));
    }
    prose_next_line(out);
    for (unsigned i = 0; i < BL_INFLOW_MEASURES - 1; i++) {
        word_cell(out, inflow_unit(i));
    }
    text_add(out, "\n");
}

static void table_row(text *out, const bl_inflow_candidate *of, size_t number) {
    const bl_inflow_figure *figures = of->input.assessment->inflow.figures;
    text heading = {0};
    text_format(&heading, "%zu. %c", number, of->letter);
    source_heading(out, text_c(&heading));
    out->failed = out->failed || heading.failed;
    text_free(&heading);
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        text words = {0};
        prose_number(&words, figures[i].value, inflow_decimals(i), "");
        cell(out, &words);
    }
    text_add(out, "\n");
    source_heading(out, "   95 %");
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        text words = {0};
        inflow_interval_words(&words, i, figures[i].interval);
        cell(out, &words);
    }
    text_add(out, "\n");
}

static void head(text *out, const bl_inflow *of) {
    source_heading(out, "Inflow");
    prose_wrapped(out, of->why);
    text words = {0};
    text_add(&words, "what can be said of the inflow; no advice to treat");
    prose_wrapped_line(out, 0, &words);
    source_heading(out, "Compared");
    text_add(out, "the last ");
    text_short(out, of->within_mm, 2);
    text_add(out, " mm of each pullback, at its caudal end\n");
    table_head(out);
    for (size_t i = 0; i < of->candidate_count; i++) {
        table_row(out, &of->candidates[i], i + 1);
    }
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        text_add(&words, bl_inflow_measure_name(i));
        text_add(&words, ": ");
        text_add(&words, of->verdicts[i].words);
        prose_paragraph(out, i == 0 ? "By measure" : "", &words);
    }
}

/* ------------------------------------------------------------ of a candidate
 */

static void stretch_words(text *out, const bl_inflow_candidate *of) {
    const bl_inflow_stretch *stretch = &of->input.assessment->inflow;
    bl_vein vein = stretch->minimum.vein;
    text_span(out, stretch->span);
    text_format(out, ", %zu frames", stretch->frames);
    text_add(out, "; least area at ");
    text_fixed(out, stretch->minimum.position_mm, 1);
    text_format(out, " mm, frame %lld", (long long)stretch->minimum.frame);
    if (vein != BL_VEIN_UNKNOWN) {
        text_add(out, ", ");
        text_add(out, vein == BL_VEIN_FEMORAL
                          ? "caudal of the femoral confluence"
                          : bl_vein_name(vein));
    }
    text_add(out, ", diameter ");
    prose_number(out, stretch->minimum.min_diameter_mm, 2, " mm");
    text_add(out, " least, ");
    prose_number(out, stretch->minimum.max_diameter_mm, 2, " mm");
    text_add(out, " greatest");
}

/* " held against no normal area: marks do not tell the vein". */
static void normal_words(text *out, const bl_assessment *of,
                         const bl_segment *segment) {
    bool published = of->options.expected == NULL;
    text_add(out, " held against ");
    if (!isnan(segment->normal_area_mm2)) {
        text_add(out, published ? "the published normal of "
                                : "the expected area of ");
        text_add(out, bl_vein_name(segment->vein));
        text_add(out, ", ");
        text_fixed(out, segment->normal_area_mm2, 0);
        text_add(out, " mm2");
    } else if (segment->vein == BL_VEIN_UNKNOWN) {
        text_add(out, "no normal area: marks do not tell the vein");
    } else {
        text_add(out, published ? "no normal area: none is published of that "
                                  "vein"
                                : "no expected area: the table has none of "
                                  "that vein");
    }
}

static void reference_words(text *out, const bl_assessment *of) {
    const bl_place *least = &of->inflow.minimum;
    text_add(out, "reference ");
    text_add(out, bl_reference_from_name(of->reference_from));
    for (size_t i = 0; i < of->segment_count; i++) {
        const bl_segment *one = &of->segments[i];
        bool last = i + 1 == of->segment_count || one[1].vein != one->vein;
        text_add(out, ", ");
        text_span(out, one->span);
        if (last) {
            normal_words(out, of, one);
        }
    }
    if (!isnan(least->reference_area_mm2)) {
        text_add(out, "; where the area is least it is ");
        text_fixed(out, least->reference_area_mm2, 1);
        text_add(out, " mm2; ");
        place_text_stenosis(out, "area stenosis", least->area_stenosis_pct);
    }
}

static void candidate_lines(text *out, const bl_inflow_candidate *of) {
    char heading[] = {of->letter, '\0'};
    text words = {0};
    text_add(&words, of->input.source->file);
    source_labels(&words, bl_study_pullback(of->input.study));
    prose_paragraph(out, heading, &words);
    stretch_words(&words, of);
    prose_paragraph(out, "", &words);
    reference_words(&words, of->input.assessment);
    prose_paragraph(out, "", &words);
    for (size_t i = 0; i < of->note_count; i++) {
        text_add(&words, of->notes[i]);
        prose_paragraph(out, "", &words);
    }
}

/* Those of an assessment that are not of the inflow alone. */
static void warning_lines(text *out, const bl_inflow *of) {
    for (size_t i = 0; i < of->warning_count; i++) {
        source_heading(out, "Note");
        prose_wrapped(out, of->warnings[i]);
    }
    for (size_t i = 0; i < of->candidate_count; i++) {
        const bl_inflow_candidate *one = &of->candidates[i];
        const bl_assessment *all = one->input.assessment;
        text heading = {0};
        text_format(&heading, "Note of %c", one->letter);
        for (size_t k = 0; k < all->warning_count; k++) {
            source_heading(out, text_c(&heading));
            prose_wrapped(out, all->warnings[k]);
        }
        out->failed = out->failed || heading.failed;
        text_free(&heading);
    }
}

bl_status bl_report_inflow_text(const bl_inflow *of, bl_sink sink,
                                void *context) {
    text out = {0};
    head(&out, of);
    for (size_t i = 0; i < of->candidate_count; i++) {
        candidate_lines(&out, &of->candidates[i]);
    }
    source_heading(&out, "Order");
    prose_wrapped(&out, of->rule);
    source_heading(&out, "Intervals");
    prose_wrapped(&out, bl_inflow_intervals_note());
    source_heading(&out, "Flow index");
    prose_wrapped(&out, bl_flow_note());
    warning_lines(&out, of);
    source_heading(&out, "Caution");
    prose_wrapped(&out, bl_caution());
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
