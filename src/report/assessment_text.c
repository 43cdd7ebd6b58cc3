/*
 * assessment_text.c - the assessment as a short report to read: its parts in
 * their order.
 *
 * Every percentage names its kind and stands beside the absolute number it
 * came from. A heading stands in the left column, the words to its right.
 */
#include "report/assessment_text.h"

#include "report/explained.h"
#include "report/prose.h"
#include "report/source.h"

static void volume_line(text *out, const bl_assessment *of) {
    source_heading(out, "Volume");
    text_fixed(out, of->volume_mm3, 0);
    text_add(out, " mm3 over ");
    text_fixed(out, of->traced_mm, 1);
    text_add(out, " mm traced\n");
}

bl_status bl_report_assessment_text(const bl_study *study,
                                    const bl_assessment *of,
                                    const bl_source *source, bl_sink sink,
                                    void *context) {
    text out = {0};
    pullback_text(&out, study, of, source);
    bool any = of->reference_from != BL_FROM_NOTHING;
    if (any) {
        reference_text(&out, of);
    } else {
        source_heading(&out, "Reference");
        text_add(&out, "none, so nothing is called narrowed\n");
    }
    if (of->options.explain) {
        explained_text(&out, of);
    }
    reference_text_normal(&out, of);
    if (any) {
        place_text_worst(&out, of);
    }
    if (!any || of->minimum.row != of->worst.row) {
        place_text_least(&out, of);
    }
    place_text_single_frame(&out, of);
    ripple_text(&out, of);
    rule_text(&out, of);
    if (any) {
        narrowing_text(&out, of);
        compression_text(&out, of);
    }
    interval_text(&out, of);
    if (of->options.flow) {
        flow_text(&out, of);
    }
    vein_text(&out, of);
    volume_line(&out, of);
    for (size_t i = 0; i < of->warning_count; i++) {
        source_heading(&out, "Note");
        prose_wrapped(&out, of->warnings[i]);
    }
    source_heading(&out, "Caution");
    prose_wrapped(&out, bl_caution());
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
