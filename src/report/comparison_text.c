/*
 * comparison_text.c - the comparison as a short report to read: its parts in
 * their order.
 *
 * What was achieved comes first, then against what, then how it is known. A
 * number of the second table stands at its place in the first, so that both
 * can be found on one axis.
 */
#include "report/comparison_text.h"

#include "base/stages.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

void comparison_text_of(text *out, double area_mm2, double denominator_mm2) {
    text_fixed(out, area_mm2, 1);
    text_add(out, " of ");
    text_fixed(out, denominator_mm2, 1);
    text_add(out, " mm2");
}

void comparison_text_own(text *out, const bl_waist *at) {
    text_format(out, " (frame %lld, ", (long long)at->frame);
    text_fixed(out, at->own_position_mm, 1);
    text_add(out, " mm of its own table)");
}

static void cannot_lines(text *out, const bl_comparison *of) {
    for (size_t i = 0; i < of->cannot_count; i++) {
        source_heading(out, i == 0 ? "Not known" : "");
        prose_wrapped(out, of->cannot[i]);
    }
}

/* Notes of one table say which. */
static void note_lines(text *out, const char *table, const char *const *notes,
                       size_t count) {
    for (size_t i = 0; i < count; i++) {
        text words = {0};
        text_add(&words, table);
        text_add(&words, table[0] != '\0' ? ": " : "");
        text_add(&words, notes[i]);
        prose_paragraph(out, "Note", &words);
    }
}

bl_status bl_report_comparison_text(const bl_compared_table *before,
                                    const bl_compared_table *after,
                                    const bl_comparison *comparison,
                                    bl_sink sink, void *context) {
    text out = {0};
    comparison_view in = {before, after, comparison};
    comparison_text_result(&out, &in);
    comparison_text_tables(&out, &in);
    comparison_text_areas(&out, &in);
    comparison_text_device(&out, &in);
    comparison_text_vein(&out, &in);
    comparison_text_since(&out, &in);
    cannot_lines(&out, comparison);
    note_lines(&out, "", comparison->warnings, comparison->warning_count);
    note_lines(&out, stages_first(comparison), before->assessment->warnings,
               before->assessment->warning_count);
    note_lines(&out, stages_second(comparison), after->assessment->warnings,
               after->assessment->warning_count);
    source_heading(&out, "Caution");
    prose_wrapped(&out, bl_caution());
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
