/*
 * comparison_table_text.c - the two tables of a comparison, how they were lined
 * up, and what counts as treated.
 */
#include "report/comparison_text.h"

#include "base/aligned.h"
#include "base/origin.h"
#include "base/stages.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>
#include <string.h>

static void table_lines(text *out, const char *stage,
                        const bl_compared_table *of) {
    const bl_pullback *pullback = bl_study_pullback(of->study);
    text heading = {0};
    text_format(&heading, "%c%s", stage[0] - 'a' + 'A', stage + 1);
    text name = {0};
    text_add(&name, of->source->file);
    source_labels(&name, pullback);
    prose_paragraph(out, text_c(&heading), &name);
    out->failed = out->failed || heading.failed;
    text_free(&heading);
    source_heading(out, "");
    text_fixed(out, pullback->length_mm, 1);
    text_format(out, " mm long; %zu of %zu frame%s used\n",
                of->assessment->frames_used, of->assessment->frames,
                of->assessment->frames == 1 ? "" : "s");
    text words = {0};
    origin_words(&words, pullback);
    prose_wrapped_line(out, 0, &words);
}

static void segment_words(text *out, const bl_segment *of) {
    text_add(out, bl_end_name(of->where));
    text_add(out, " ");
    text_span(out, of->span);
    text_add(out, ", ");
    text_fixed(out, of->area_mm2, 1);
    text_add(out, " mm2");
}

static void reference_words(text *out, const bl_assessment *of) {
    for (size_t i = 0; i < of->segment_count; i++) {
        text_add(out, i > 0 ? "; " : "");
        segment_words(out, &of->segments[i]);
    }
    text_add(out, of->segment_count > 0 ? "; rule " : "");
    text_add(out, of->segment_count > 0 ? bl_rule_name(of->options.rule) : "");
    text_add(out, of->segment_count > 0 ? "; " : "");
    text_add(out, bl_reference_from_name(of->reference_from));
}

/* Where the reference of the second table comes from. */
void comparison_text_after_reference(text *out, const comparison_view *in) {
    switch (in->of->after_reference_from) {
    case BL_AFTER_REFERENCE_OWN:
        reference_words(out, in->after->assessment);
        text_add(out, "; on its own positions");
        break;
    case BL_AFTER_REFERENCE_MEASURED:
        text_add(out, "the same stretches as measured there");
        break;
    case BL_AFTER_REFERENCE_EXPECTED:
        text_add(out, "expected of each vein");
        break;
    case BL_AFTER_REFERENCE_NONE:
    default:
        text_add(out, "none");
        break;
    }
}

static void references_lines(text *out, const comparison_view *in) {
    text words = {0};
    text_add(&words, stages_first(in->of));
    text_add(&words, ": ");
    reference_words(&words, in->before->assessment);
    prose_paragraph(out, "Reference", &words);
    text after = {0};
    text_add(&after, stages_second(in->of));
    text_add(&after, ": ");
    comparison_text_after_reference(&after, in);
    prose_wrapped_line(out, 0, &after);
}

void comparison_text_pace(text *out, const bl_alignment *in,
                          const bl_pace *of) {
    text_add(out, "between ");
    text_fixed(out, of->span.from_mm, 1);
    text_add(out, " and ");
    text_fixed(out, of->span.to_mm, 1);
    text_add(out, " mm the first table is ");
    text_fixed(out, of->ratio, 2);
    text_add(out, " times as long as the second: one of them was pulled at "
                  "another speed than its positions say");
    if (in->by == BL_ALIGNED_MARKS) {
        text_add(out, ", or a mark does not stand at the same place in both");
    }
}

static void shift_number(text *out, double shift_mm) {
    text_add(out, shift_mm < 0.0 ? "" : "+");
    text_fixed(out, shift_mm, 1);
}

void comparison_text_shift(text *out, const bl_alignment *of) {
    if (aligned_by_several(of)) {
        shift_number(out, of->shift_range_mm.low);
        text_add(out, " to ");
        shift_number(out, of->shift_range_mm.high);
    } else {
        shift_number(out, of->shift_mm);
    }
    text_add(out, " mm is added to positions of the second table");
    text_add(out, of->turned ? ", counted the other way" : "");
    if (!isnan(of->shift_interval_mm.low)) {
        text_add(out, " (95 %: ");
        text_fixed(out, of->shift_interval_mm.low, 1);
        text_add(out, " to ");
        text_fixed(out, of->shift_interval_mm.high, 1);
        text_add(out, " mm)");
    }
}

/* Of profiles only. */
static void ends_words(text *out, const bl_alignment *of) {
    static const char *const names[] = {"first", "last"};
    for (int i = 0; i < 2; i++) {
        const bl_interval *end = &of->end_interval_mm[i];
        text_add(out, i == 0 ? "the treated stretch's " : ", its ");
        text_add(out, names[i]);
        text_add(out, " end lies ");
        if (isnan(end->low)) {
            text_add(out, "at a place that cannot be told to 25 mm");
        } else {
            text_add(out, "between ");
            text_fixed(out, end->low, 1);
            text_add(out, " and ");
            text_fixed(out, end->high, 1);
            text_add(out, " mm (95 %)");
        }
    }
}

static void lined_up_lines(text *out, const bl_alignment *of) {
    static const char again[] = "lined up ";
    bool twice = strncmp(of->how, again, sizeof again - 1) == 0;
    source_heading(out, "Lined up");
    prose_wrapped(out, of->how + (twice ? sizeof again - 1 : 0));
    text words = {0};
    comparison_text_shift(&words, of);
    text_add(&words, "; all positions below are those of the first");
    prose_wrapped_line(out, 0, &words);
    text ends = {0};
    if (of->by == BL_ALIGNED_PROFILES) {
        ends_words(&ends, of);
    }
    prose_wrapped_line(out, 0, &ends);
    for (size_t i = 0; i < of->pace_count; i++) {
        text pace = {0};
        if (of->paces[i].differs) {
            comparison_text_pace(&pace, of, &of->paces[i]);
        }
        prose_wrapped_line(out, 0, &pace);
    }
}

void comparison_text_treated(text *out, const bl_comparison *of) {
    if (of->treated_from == BL_TREATED_NOWHERE) {
        text_format(out,
                    "not known where: the second table has no device contours"
                    "%s; --treated A..B gives it. Least areas are those of all "
                    "that both tables have",
                    of->device.left_out > 0 ? " that can be measured" : "");
    } else {
        text_span(out, of->treated);
        text_add(out, ", ");
        text_fixed(out, of->treated.to_mm - of->treated.from_mm, 1);
        text_add(out, of->treated_from == BL_TREATED_DEVICE
                          ? " mm long: where the second table has device "
                            "contours"
                          : " mm long, as given");
    }
}

static void treated_lines(text *out, const bl_comparison *of) {
    text words = {0};
    comparison_text_treated(&words, of);
    prose_paragraph(out, "Treated", &words);
}

void comparison_text_tables(text *out, const comparison_view *in) {
    const bl_comparison *of = in->of;
    table_lines(out, stages_first_short(of), in->before);
    table_lines(out, stages_second_short(of), in->after);
    lined_up_lines(out, &of->alignment);
    references_lines(out, in);
    treated_lines(out, of);
}
