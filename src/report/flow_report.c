/*
 * flow_report.c - the flow index of the pullback, of all that is narrowed and
 * of each narrowing, in words and JSON.
 *
 * It never stands without what it is not and what it leaves out.
 */
#include "report/assessment_json.h"
#include "report/assessment_text.h"

#include "report/prose.h"
#include "report/source.h"

#include <math.h>

/* Three digits, or what stands before the point. */
static void index_number(text *out, double index) {
    text_fixed(out, index, index < 9.995 ? 2 : index < 99.95 ? 1 : 0);
}

static bl_span whole_of(const bl_assessment *of) {
    return (bl_span){of->profile[0].position_mm,
                     of->profile[of->profile_count - 1].position_mm};
}

/* From the first narrowing's shoulder to the last one's. */
static bl_span narrowed_of(const bl_assessment *of) {
    return (bl_span){of->narrowings[0].shoulders.from_mm,
                     of->narrowings[of->narrowing_count - 1].shoulders.to_mm};
}

static void stretch_line(text *out, const char *heading,
                         const bl_assessment *of, const char *what,
                         bl_span span) {
    bl_flow flow = bl_assessment_flow(of, span);
    text words = {0};
    text_add(&words, what);
    text_add(&words, " ");
    text_span(&words, span);
    text_add(&words, ": ");
    if (flow.why_not == NULL) {
        index_number(&words, flow.index);
    } else {
        text_add(&words, "not known, since ");
        text_add(&words, flow.why_not);
    }
    if (!isnan(flow.area_index)) {
        text_add(&words, "; by loss of area alone ");
        index_number(&words, flow.area_index);
    }
    prose_paragraph(out, heading, &words);
}

void flow_text(text *out, const bl_assessment *of) {
    stretch_line(out, "Flow index", of, "whole pullback", whole_of(of));
    if (of->narrowing_count > 0) {
        stretch_line(out, "", of, "all narrowed, from shoulder to shoulder",
                     narrowed_of(of));
    }
    for (size_t i = 0; i < of->narrowing_count; i++) {
        stretch_line(out, "", of, "narrowing", of->narrowings[i].span);
    }
    source_heading(out, "");
    prose_wrapped(out, bl_flow_note());
}

static void stretch_json(json *to, const bl_assessment *of, const char *what,
                         bl_span span) {
    bl_flow flow = bl_assessment_flow(of, span);
    json_open(to, NULL, '{', true);
    json_string(to, "of", what);
    json_number(to, "from_mm", span.from_mm);
    json_number(to, "to_mm", span.to_mm);
    json_number(to, "index", flow.index);
    json_number(to, "area_index", flow.area_index);
    json_string(to, "why_not", flow.why_not);
    json_close(to, '{');
}

void flow_json(json *to, const bl_assessment *of) {
    json_open(to, "flow", '{', false);
    json_string(to, "note", bl_flow_note());
    json_open(to, "stretches", '[', false);
    stretch_json(to, of, "pullback", whole_of(of));
    if (of->narrowing_count > 0) {
        stretch_json(to, of, "narrowed", narrowed_of(of));
    }
    for (size_t i = 0; i < of->narrowing_count; i++) {
        stretch_json(to, of, "narrowing", of->narrowings[i].span);
    }
    json_close(to, '[');
    json_close(to, '{');
}
