/*
 * narrowing_text.c - narrowings.
 */
#include "report/assessment_text.h"

#include "report/prose.h"
#include "report/source.h"

#include <math.h>

/* An end of a narrowing or of its shoulder that was not seen. */
static void open_end(text *words, bool shoulder, bool narrowing, double at_mm) {
    if (shoulder) {
        text_add(words, words->size > 0 ? ", " : "");
        text_add(words, narrowing ? "narrowing open at " : "shoulder open at ");
        text_fixed(words, at_mm, 1);
        text_add(words, " mm");
    }
}

void narrowing_text_open(text *words, const bl_narrowing *of) {
    open_end(words, of->open_from, of->span_open_from, of->shoulders.from_mm);
    open_end(words, of->open_to, of->span_open_to, of->shoulders.to_mm);
}

void narrowing_text_length(text *out, const bl_narrowing *of) {
    text_fixed(out, of->span.to_mm - of->span.from_mm, 1);
    text_add(out, of->span_open_from || of->span_open_to ? " mm long or more"
                                                         : " mm long");
}

/* How long it is, and of what the end was not seen. */
static void narrowing_head(text *out, const bl_narrowing *of) {
    source_heading(out, "");
    text_span(out, of->span);
    text_add(out, ", ");
    narrowing_text_length(out, of);
    text_add(out, ", shoulders ");
    text_span(out, of->shoulders);
    text_add(out, "\n");
    text words = {0};
    narrowing_text_open(&words, of);
    prose_wrapped_line(out, 2, &words);
    source_heading(out, "");
}

void narrowing_text_pattern(text *out, const bl_narrowing *of) {
    text_add(out, bl_pattern_name(of->pattern));
    text_add(out, " (flattening share ");
    text_fixed(out, of->flattening_share, 2);
    text_add(out, ")");
}

void narrowing_text_left_out(text *words, const bl_narrowing *of) {
    if (of->left_out > 0) {
        text_format(words, "%zu %s between its shoulders %s left out",
                    of->left_out, of->left_out == 1 ? "frame" : "frames",
                    of->left_out == 1 ? "was" : "were");
    }
}

static void narrowing_doubts(text *out, const bl_assessment *in,
                             const bl_narrowing *of) {
    text words = {0};
    narrowing_text_left_out(&words, of);
    prose_wrapped_line(out, 2, &words);
    place_text_doubts(out, 2, &of->worst, &in->worst);
}

static void narrowing_line(text *out, const bl_assessment *of,
                           const bl_narrowing *one) {
    narrowing_head(out, one);
    text_add(out, "  least ");
    text_fixed(out, one->min_area_mm2, 1);
    text_add(out, " mm2, area stenosis ");
    text_fixed(out, one->worst.area_stenosis_pct, 1);
    text_add(out, " % at ");
    text_fixed(out, one->worst.position_mm, 1);
    text_add(out, " mm");
    prose_next_line(out);
    if (!isnan(one->worst.share_of_normal_pct)) {
        text_add(out, "  there ");
        place_text_share(out, one->worst.vein, one->worst.share_of_normal_pct,
                         one->worst.normal_area_mm2);
        prose_next_line(out);
    }
    text_add(out, "  ");
    narrowing_text_pattern(out, one);
    place_text_circle(out, of);
    text_add(out, "\n");
    narrowing_doubts(out, of, one);
}

void narrowing_text(text *out, const bl_assessment *of) {
    source_heading(out, "Narrowings");
    text_add(out, "area stenosis of ");
    text_short(out, of->options.threshold_pct, 2);
    text_add(out, " % or more; shoulders to ");
    text_short(out, of->options.shoulder_pct, 2);
    text_add(out, of->narrowing_count == 0 ? " %: none" : " %");
    place_text_unjudged(out, of);
    text_add(out, "\n");
    for (size_t i = 0; i < of->narrowing_count; i++) {
        narrowing_line(out, of, &of->narrowings[i]);
    }
}
