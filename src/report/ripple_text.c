/*
 * ripple_text.c - breathing ripple, and the figures it touches.
 */
#include "report/assessment_text.h"

#include "report/prose.h"
#include "report/source.h"

#include <math.h>

#define REFERENCES_A_LINE 6

/* The figures that breathing touches, under the same reference stretches. */
static void key_figure_lines(text *out, const bl_assessment *of,
                             const char *title, const bl_key_figures *key) {
    prose_next_line(out);
    text_add(out, title);
    text_add(out, ": least area ");
    text_fixed(out, key->minimum.area_mm2, 1);
    text_add(out, " mm2 at ");
    text_fixed(out, key->minimum.position_mm, 1);
    text_add(out, " mm");
    for (size_t i = 0; i < of->segment_count; i++) {
        if (i % REFERENCES_A_LINE == 0) {
            prose_next_line(out);
            text_add(out, i == 0 ? "  reference " : "            ");
        }
        text_fixed(out, key->segment_area_mm2[i], 1);
        text_add(out, i + 1 == of->segment_count ? " mm2" : ", ");
    }
    if (of->reference_from != BL_FROM_NOTHING) {
        prose_next_line(out);
        text_add(out, "  greatest area stenosis ");
        prose_number(out, key->worst.area_stenosis_pct, 1, " %");
        text_add(out, " at ");
        text_fixed(out, key->worst.position_mm, 1);
        text_format(out, " mm; narrowings: %zu", key->narrowing_count);
    }
}

void ripple_text(text *out, const bl_assessment *of) {
    const bl_ripple *ripple = &of->ripple;
    if (!ripple->found) {
        if (of->options.steady) {
            source_heading(out, "Ripple");
            text_add(out, "none found: --steady changes nothing\n");
        }
        return;
    }
    source_heading(out, "Ripple");
    text_fixed(out, ripple->peak_to_trough_mm, 2);
    text_add(out, " mm peak to trough, ");
    text_fixed(out, ripple->share_of_diameter_pct, 0);
    text_add(out, " % of the diameter, every ");
    text_fixed(out, ripple->wavelength_mm, 1);
    text_add(out, " mm");
    if (!isnan(ripple->period_s)) {
        text_add(out, ", ");
        text_fixed(out, ripple->period_s, 1);
        text_add(out, " s");
    }
    for (size_t i = 0; i < ripple->stretch_count; i++) {
        prose_next_line(out);
        text_add(out, i == 0 ? "over " : "and  ");
        text_span(out, ripple->stretches[i]);
    }
    key_figure_lines(out, of, ripple->removed ? "with it" : "with it, as above",
                     &ripple->with);
    key_figure_lines(out, of,
                     ripple->removed ? "taken off, as above" : "taken off",
                     &ripple->without);
    text_add(out, "\n");
}
