/*
 * comparison_vein_text.c - the vein beyond the treated stretch: its edges, and
 * what was left untreated.
 */
#include "report/comparison_text.h"

#include "report/assessment_text.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

/* By the first table's reference, else by the second's, else the area alone. */
static void stenosis_words(text *out, const bl_comparison *of,
                           const bl_waist *at) {
    bool before = !isnan(at->before_reference_stenosis_pct);
    double pct = before ? at->before_reference_stenosis_pct
                        : at->after_reference_stenosis_pct;
    prose_number(out, at->area_mm2, 1, " mm2 at ");
    text_fixed(out, at->position_mm, 1);
    text_add(out, " mm");
    if (!isnan(pct)) {
        text_add(out, ", ");
        place_text_stenosis(out, "area stenosis", pct);
        text_add(out, " of the reference ");
        text_add(out, before ? comparison_text_first(of)
                             : comparison_text_second(of));
    }
}

static void edge_line(text *out, const bl_comparison *in, const bl_edge *of) {
    text words = {0};
    text_add(&words, bl_end_name(of->where));
    text_add(&words, " ");
    text_span(&words, of->span);
    text_add(&words, ": ");
    if (!(of->traced_mm > 0.0)) {
        text_add(&words, "not traced after, so nothing is known");
        prose_wrapped_line(out, 2, &words);
        return;
    }
    text_add(&words, "least favourable ");
    stenosis_words(&words, in, &of->worst);
    if (!isnan(of->loss_pct)) {
        text_add(&words, of->loss_pct < 0.0 ? "; wider than "
                                            : "; greatest loss since ");
        text_add(&words, comparison_text_first(in));
        text_add(&words, of->loss_pct < 0.0 ? " by at least " : " ");
        text_fixed(&words, fabs(of->loss_pct), 1);
        text_add(&words, " % (");
        text_fixed(&words, of->loss_before_mm2, 1);
        text_add(&words, " to ");
        text_fixed(&words, of->loss_after_mm2, 1);
        text_add(&words, " mm2 at ");
        text_fixed(&words, of->loss_position_mm, 1);
        text_add(&words, " mm)");
    }
    prose_wrapped_line(out, 2, &words);
}

static void untreated_line(text *out, const bl_comparison *in,
                           const bl_untreated *of) {
    text words = {0};
    text_span(&words, of->span);
    text_add(&words, ": ");
    stenosis_words(&words, in, &of->worst);
    text_add(&words, of->was_there ? "; the first table has it too"
                                   : "; not in the first table");
    prose_wrapped_line(out, 2, &words);
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
    if (of->treated_from == BL_TREATED_NOWHERE) {
        return;
    }
    source_heading(out, "Untreated");
    text_add(out, "area stenosis of ");
    text_short(out, in->before->assessment->options.threshold_pct, 2);
    text_add(out, " % or more outside the treated stretch");
    text_add(out, of->untreated_count == 0 ? ": none\n" : "\n");
    for (size_t i = 0; i < of->untreated_count; i++) {
        untreated_line(out, of, &of->untreated[i]);
    }
}
