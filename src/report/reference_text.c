/*
 * reference_text.c - the reference, and the normals that shares are of.
 */
#include "report/assessment_text.h"

#include "report/prose.h"
#include "report/source.h"

#include <math.h>

void reference_text_segment(text *out, const bl_segment *of) {
    text_add(out, bl_end_name(of->where));
    text_add(out, " ");
    text_span(out, of->span);
    text_add(out, ": ");
    text_fixed(out, of->area_mm2, 1);
    text_add(out, " mm2, equivalent diameter ");
    text_fixed(out, of->equivalent_diameter_mm, 2);
    text_add(out, " mm");
}

void reference_text(text *out, const bl_assessment *of) {
    source_heading(out, "Reference");
    for (size_t i = 0; i < of->segment_count; i++) {
        const bl_segment *segment = &of->segments[i];
        reference_text_segment(out, segment);
        prose_next_line(out);
        if (!isnan(segment->share_of_normal_pct)) {
            text_add(out, "  ");
            place_text_share(out, segment->vein, segment->share_of_normal_pct,
                             segment->normal_area_mm2);
            prose_next_line(out);
        }
    }
    if (of->segment_count > 1) {
        text_add(out, "rule ");
        text_add(out, bl_rule_name(of->options.rule));
        prose_next_line(out);
    }
    prose_wrapped(out, of->reference_why);
}

/* What shares of normal are of, once; a reference of what is expected has said
 * it. */
void reference_text_normal_words(text *out, const bl_assessment *of) {
    bool any = !isnan(of->minimum.normal_area_mm2) ||
               !isnan(of->worst.normal_area_mm2);
    for (size_t i = 0; i < of->segment_count; i++) {
        any = any || !isnan(of->segments[i].normal_area_mm2);
    }
    for (size_t i = 0; i < of->vein_count; i++) {
        any = any || !isnan(of->veins[i].minimum.normal_area_mm2);
    }
    if (!any || of->reference_from == BL_FROM_EXPECTED) {
        return;
    }
    text_add(out, of->options.expected == NULL
                      ? "published normal minimal area of each vein: "
                      : "area expected of each vein: ");
    text_add(out, bl_normals_source(of->options.expected));
}

void reference_text_normal(text *out, const bl_assessment *of) {
    text words = {0};
    reference_text_normal_words(&words, of);
    if (words.size > 0) {
        prose_paragraph(out, "Normal", &words);
    }
    out->failed = out->failed || words.failed;
    text_free(&words);
}
