/*
 * pullback_text.c - the pullback: what it is called, how long it is, and where
 * its numbers come from.
 */
#include "report/assessment_text.h"

#include "base/origin.h"
#include "report/prose.h"
#include "report/source.h"

void pullback_text(text *out, const bl_study *study, const bl_assessment *of,
                   const bl_source *source) {
    const bl_pullback *pullback = bl_study_pullback(study);
    source_heading(out, "Pullback");
    text_add(out, source->file);
    source_labels(out, pullback);
    prose_next_line(out);
    text_fixed(out, pullback->length_mm, 1);
    text_format(out, " mm long; %zu of %zu frames used", of->frames_used,
                of->frames);
    text_add(out, "\n");
    text words = {0};
    text_add(&words, "position from ");
    origin_position_words(&words, pullback);
    prose_wrapped_line(out, 0, &words);
    source_heading(out, "");
    text_add(out, "coordinates in ");
    origin_units_words(out, pullback);
    prose_next_line(out);
    if (of->options.smooth_mm > 0.0) {
        text_add(out, "smoothed by a running median over ");
        text_short(out, of->options.smooth_mm, 4);
        text_add(out, " mm\n");
    } else {
        text_add(out, "not smoothed\n");
    }
}
