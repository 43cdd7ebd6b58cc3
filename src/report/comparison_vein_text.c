/*
 * comparison_vein_text.c - the vein beyond the treated stretch: its edges, and
 * what was left untreated.
 */
#include "report/comparison_text.h"

#include "base/constants.h"
#include "base/stages.h"
#include "report/assessment_text.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

/* By the reference of the first table, else by that of the second, else the
 * area alone. */
static void stenosis_words(text *out, const bl_comparison *of,
                           const bl_waist *at) {
    bool before = !isnan(at->before_reference_stenosis_pct);
    double pct = before ? at->before_reference_stenosis_pct
                        : at->after_reference_stenosis_pct;
    if (isnan(pct)) {
        text_add(out, "least area ");
    } else {
        place_text_stenosis(out, "area stenosis", pct);
        text_add(out, ", ");
    }
    text_fixed(out, at->area_mm2, 1);
    if (!isnan(pct)) {
        text_add(out, " of ");
        text_fixed(out,
                   before ? at->before_reference_mm2 : at->after_reference_mm2,
                   1);
    }
    text_add(out, " mm2 at ");
    text_fixed(out, at->position_mm, 1);
    text_add(out, " mm");
    if (!isnan(pct)) {
        text_add(out, ", reference ");
        text_add(out, before ? stages_first(of) : stages_second(of));
    }
}

static void loss_words(text *out, const bl_comparison *in, const bl_edge *of) {
    if (isnan(of->loss_pct)) {
        return;
    }
    bool whole = of->traced_mm >= of->span.to_mm - of->span.from_mm - GAP_MM;
    bool lost = of->loss_pct >= PRINTED_LEAST;
    text_add(out, lost    ? "; greatest loss since "
                  : whole ? "; nowhere narrower than "
                          : "; where traced, nowhere narrower than ");
    text_add(out, stages_first(in));
    if (lost) {
        text_add(out, " ");
        text_fixed(out, of->loss_pct, 1);
        text_add(out, " %");
    }
    text_add(out, " (");
    text_fixed(out, of->loss_before_mm2, 1);
    text_add(out, " to ");
    text_fixed(out, of->loss_after_mm2, 1);
    text_add(out, " mm2 at ");
    text_fixed(out, of->loss_position_mm, 1);
    text_add(out, !lost ? " mm)"
                  : isnan(of->loss_interval_pct.low)
                      ? " mm), not judged, since where that end lies is not "
                        "told"
                  : of->loss_within_error ? " mm), within reader error"
                                          : " mm), beyond reader error");
}

void comparison_text_edge(text *out, const bl_comparison *in,
                          const bl_edge *of) {
    text_add(out, bl_end_name(of->where));
    text_add(out, ", ");
    text_span(out, of->span);
    text_add(out, ": ");
    if (of->worst.frame >= 0) {
        stenosis_words(out, in, &of->worst);
        loss_words(out, in, of);
    } else {
        text_add(out, "not known, no lumen was traced there ");
        text_add(out, stages_second(in));
    }
}

static void edge_line(text *out, const bl_comparison *in, const bl_edge *of) {
    text words = {0};
    comparison_text_edge(&words, in, of);
    prose_wrapped_line(out, 2, &words);
}

void comparison_text_untreated(text *out, const bl_comparison *in,
                               const bl_untreated *of) {
    text_span(out, of->span);
    text_add(out, ": ");
    stenosis_words(out, in, &of->worst);
    text_add(out, of->was_there  ? "; it was there "
                  : of->was_seen ? "; new, not there "
                                 : "; whether it is new is not known, it was "
                                   "not seen ");
    text_add(out, stages_first(in));
}

/* What was traced without a lumen is not in the list. */
static void not_whole_words(text *out, const bl_comparison *of) {
    double length = 0.0;
    size_t frames = 0;
    for (size_t i = 0; i < of->outside_hole_count; i++) {
        const bl_hole *one = &of->outside_holes[i];
        length += one->span.to_mm - one->span.from_mm;
        frames += one->frames;
    }
    if (length > EDGE_MM) {
        text_add(out, "; not whole: ");
        text_fixed(out, length, 1);
        text_add(out, " mm have a wall and no lumen");
    } else if (frames > 0) {
        text_format(out, "; not whole: %zu frame%s a wall and no lumen", frames,
                    frames == 1 ? " has" : "s have");
    }
}

void comparison_text_judged(text *out, const bl_comparison *of) {
    if (isnan(of->outside_mm)) {
        text_add(out, ": not known, none of it was traced ");
        text_add(out, stages_second(of));
    } else if (isnan(of->outside_judged_mm)) {
        text_add(out, ": not known, for want of a reference");
    } else if (of->outside_judged_mm < of->outside_mm - EDGE_MM) {
        text_add(out, ", judged over ");
        text_fixed(out, of->outside_judged_mm, 1);
        text_add(out, " of ");
        text_fixed(out, of->outside_mm, 1);
        text_add(out, " mm: the rest has no reference");
    }
    not_whole_words(out, of);
}

static void untreated_line(text *out, const bl_comparison *in,
                           const bl_untreated *of) {
    text words = {0};
    comparison_text_untreated(&words, in, of);
    prose_wrapped_line(out, 2, &words);
}

static void untreated_lines(text *out, const comparison_view *in) {
    const bl_comparison *of = in->of;
    bool none = of->untreated_count == 0 && !isnan(of->outside_judged_mm);
    text words = {0};
    text_add(&words, "area stenosis of ");
    text_short(&words, in->before->assessment->options.threshold_pct, 2);
    text_add(&words, " % or more outside the treated stretch");
    text_add(&words, none ? ": none" : "");
    comparison_text_judged(&words, of);
    prose_paragraph(out, "Untreated", &words);
    for (size_t i = 0; i < of->untreated_count; i++) {
        untreated_line(out, of, &of->untreated[i]);
    }
}

void comparison_text_vein(text *out, const comparison_view *in) {
    const bl_comparison *of = in->of;
    if (of->edge_count > 0) {
        source_heading(out, "Edges");
        text_add(out, "the ");
        text_short(out, of->options.edge_mm, 1);
        text_add(out, " mm of vein beyond each end\n");
    }
    for (size_t i = 0; i < of->edge_count; i++) {
        edge_line(out, of, &of->edges[i]);
    }
    if (of->treated_from != BL_TREATED_NOWHERE) {
        untreated_lines(out, in);
    }
}
