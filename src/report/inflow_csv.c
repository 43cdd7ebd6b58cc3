/*
 * inflow_csv.c - candidate inflow veins as a table, in order.
 */
#include "base/text.h"

#define DECIMALS 4

/* A name may hold what separates cells (RFC 4180). */
static void quoted(text *out, const char *words) {
    text_add(out, "\"");
    for (; *words != '\0'; words++) {
        text_add(out, *words == '"' ? "\"" : "");
        text_bytes(out, words, 1);
    }
    text_add(out, "\"");
}

static void number(text *out, double value) {
    text_fixed(out, value, DECIMALS);
    text_add(out, ",");
}

static void row(text *out, const bl_inflow *of, size_t place) {
    const bl_inflow_candidate *one = &of->candidates[place];
    const bl_inflow_stretch *stretch = &one->input.assessment->inflow;
    text_format(out, "%zu,%c,", place + 1, one->letter);
    quoted(out, one->input.source->file);
    text_format(out, ",%d,", of->named && place == 0);
    number(out, stretch->span.from_mm);
    number(out, stretch->span.to_mm);
    text_format(out, "%zu,%zu,", stretch->frames, stretch->left_out);
    number(out, stretch->minimum.position_mm);
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        number(out, stretch->figures[i].value);
        number(out, stretch->figures[i].interval.low);
        number(out, stretch->figures[i].interval.high);
        if (one->ranks[i] > 0) {
            text_format(out, "%zu", one->ranks[i]);
        }
        const bl_inflow_verdict *verdict = &of->verdicts[i];
        text_format(out, ",%d,", verdict->told_apart && verdict->best == place);
    }
    text_add(out,
             bl_reference_from_name(one->input.assessment->reference_from));
    text_add(out, ",");
    text notes = {0};
    for (size_t i = 0; i < one->note_count; i++) {
        text_add(&notes, i > 0 ? "; " : "");
        text_add(&notes, one->notes[i]);
    }
    quoted(out, text_c(&notes));
    out->failed = out->failed || notes.failed;
    text_free(&notes);
    text_add(out, ",");
    quoted(out, bl_caution());
    text_add(out, "\n");
}

bl_status bl_report_inflow_csv(const bl_inflow *of, bl_sink sink,
                               void *context) {
    static const char *const names[BL_INFLOW_MEASURES][2] = {
        {"min_area", "_mm2"},
        {"mean_area", "_mm2"},
        {"narrowed", "_mm"},
        {"flow_index", ""},
    };
    text out = {0};
    text_add(&out, "place,letter,file,named,from_mm,to_mm,frames,left_out,"
                   "min_area_position_mm,");
    for (unsigned i = 0; i < BL_INFLOW_MEASURES; i++) {
        const char *name = names[i][0];
        const char *unit = names[i][1];
        text_format(&out, "%s%s,%s_low%s,%s_high%s,%s_rank,%s_told_apart,",
                    name, unit, name, unit, name, unit, name, name);
    }
    text_add(&out, "reference,notes,caution\n");
    for (size_t i = 0; i < of->candidate_count; i++) {
        row(&out, of, i);
    }
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
