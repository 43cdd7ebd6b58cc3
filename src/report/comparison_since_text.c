/*
 * comparison_since_text.c - what changed between the tables, and at follow-up
 * why: tissue inside the device, or the device itself.
 */
#include "report/comparison_text.h"

#include "base/stages.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

void comparison_text_tissue(text *out, const bl_device_state *of) {
    text_add(out, "tissue inside the device: ");
    if (isnan(of->tissue_inside_pct)) {
        text_add(out, "not known, no frame has both a device and a lumen "
                      "contour");
    } else {
        text_fixed(out, of->tissue_inside_pct, 1);
        text_add(out, " % of its volume over ");
        text_fixed(out, of->tissue_mm, 1);
        text_add(out, " mm, ");
        text_fixed(out, of->tissue_greatest_pct, 1);
        text_add(out, " % of its area at most, at ");
        text_fixed(out, of->tissue_greatest_position_mm, 1);
        text_add(out, of->tissue_within_error
                          ? " mm, within reader error: the share of the "
                            "device that is not lumen"
                          : " mm, beyond reader error: the share of the "
                            "device that is not lumen");
    }
}

static void tissue_line(text *out, const bl_device_state *of) {
    text words = {0};
    comparison_text_tissue(&words, of);
    prose_wrapped_line(out, 2, &words);
}

static void compressed_words(text *out, const bl_comparison *in) {
    const bl_device_state *of = &in->device;
    text_fixed(out, of->compressed_pct, 1);
    text_add(out, " % below its nominal area at most, at ");
    text_fixed(out, of->nominal_expansion_position_mm, 1);
    text_add(out, " mm");
    if (!isnan(of->first_nominal_expansion_pct)) {
        text_add(out, " (");
        text_fixed(out, 100.0 - of->first_nominal_expansion_pct, 1);
        text_add(out, " % there ");
        text_add(out, stages_first(in));
        text_add(out, ")");
    }
    text_add(out, ", ");
    text_fixed(out, of->mean_compressed_pct, 1);
    text_add(out, " % in the mean: 100 - nominal expansion; compressed, "
                  "or never opened further");
}

static void short_loss_words(text *out, const bl_place_loss *of) {
    if (of->loss_pct > 0.0) {
        text_add(out, "lost ");
        text_fixed(out, of->loss_pct, 1);
        text_add(out, " % at most, at ");
        text_fixed(out, of->position_mm, 1);
        text_add(out, " mm, ");
        text_add(out, of->within_error ? "within" : "beyond");
        text_add(out, " reader error; ");
    } else {
        text_add(out, "lost nothing at any place; ");
    }
}

/* What changed comes first: what is below nominal may always have been. */
void comparison_text_compressed(text *out, const bl_comparison *in) {
    text_add(out, "the device itself: ");
    if (isnan(in->device_loss.loss_pct)) {
        text_add(out, "whether it changed is not known, the first table has "
                      "no device contours there; ");
    } else {
        short_loss_words(out, &in->device_loss);
    }
    if (isnan(in->device.compressed_pct)) {
        text_add(out, "how far it is from its nominal area is not known, ");
        text_add(out, in->device.nominal_count == 0
                          ? "no nominal size was given (--nominal)"
                          : "which nominal size lies where cannot be told");
    } else {
        compressed_words(out, in);
    }
}

static void compressed_line(text *out, const bl_comparison *of) {
    text words = {0};
    comparison_text_compressed(&words, of);
    prose_wrapped_line(out, 2, &words);
}

void comparison_text_change(text *out, const char *what, const bl_change *of) {
    if (isnan(of->change_mm2)) {
        return;
    }
    text_add(out, what);
    text_fixed(out, of->first_mm2, 1);
    text_add(out, " to ");
    text_fixed(out, of->second_mm2, 1);
    text_add(out, " mm2, ");
    text_add(out, of->change_mm2 > 0.0 ? "+" : "");
    text_fixed(out, of->change_pct, 1);
    text_add(out, " %");
    if (isnan(of->interval_pct.low)) {
        text_add(out, ": its interval is not known");
    } else {
        text_add(out, " (95 %: ");
        text_fixed(out, of->interval_pct.low, 1);
        text_add(out, " to ");
        text_fixed(out, of->interval_pct.high, 1);
        text_add(out, of->within_error ? " %): within reader error"
                                       : " %): beyond reader error");
    }
}

static void loss_nominal_words(text *out, const bl_comparison *in,
                               const bl_place_loss *of) {
    if (!isnan(of->first_nominal_pct)) {
        text_add(out, ", ");
        text_fixed(out, of->first_nominal_pct, 1);
        text_add(out, " % of nominal ");
        text_add(out, stages_first(in));
        text_add(out, " and ");
        text_fixed(out, of->second_nominal_pct, 1);
        text_add(out, " % ");
        text_add(out, stages_second(in));
    }
}

void comparison_text_loss(text *out, const char *what, const bl_comparison *in,
                          const bl_place_loss *of) {
    if (isnan(of->loss_pct)) {
        return;
    }
    text_add(out, what);
    text_add(out, of->loss_pct > 0.0 ? "greatest loss at one place "
                                     : "no place lost, least gain ");
    text_fixed(out, fabs(of->loss_pct), 1);
    text_add(out, " %, at ");
    text_fixed(out, of->position_mm, 1);
    text_add(out, " mm (");
    text_fixed(out, of->first_mm2, 1);
    text_add(out, " to ");
    text_fixed(out, of->second_mm2, 1);
    text_add(out, " mm2");
    if (of == &in->device_loss) {
        loss_nominal_words(out, in, of);
    }
    text_add(out, ")");
    if (of->loss_pct > 0.0 && !isnan(of->interval_pct.low)) {
        text_add(out, ", 95 %: ");
        text_fixed(out, of->interval_pct.low, 1);
        text_add(out, " to ");
        text_fixed(out, of->interval_pct.high, 1);
        text_add(out, of->within_error ? " %: within reader error"
                                       : " %: beyond reader error");
    }
}

static void loss_line(text *out, const char *what, const bl_comparison *in,
                      const bl_place_loss *of) {
    text words = {0};
    comparison_text_loss(&words, what, in, of);
    prose_wrapped_line(out, 2, &words);
}

/* Where nobody said what was treated, the two least may be of two places. */
void comparison_text_least_change(text *out, const bl_comparison *of) {
    text words = {0};
    text_add(&words, "least lumen area ");
    if (of->treated_from == BL_TREATED_NOWHERE) {
        text_add(&words, "(at ");
        prose_number(&words, of->before.position_mm, 1, " mm, then at ");
        prose_number(&words, of->after.position_mm, 1, " mm) ");
    }
    comparison_text_change(out, text_c(&words), &of->lumen_least);
    out->failed = out->failed || words.failed;
    text_free(&words);
}

static void least_change_line(text *out, const bl_comparison *of) {
    text words = {0};
    comparison_text_least_change(&words, of);
    prose_wrapped_line(out, 2, &words);
}

static void change_line(text *out, const char *what, const bl_change *of) {
    text words = {0};
    comparison_text_change(&words, what, of);
    prose_wrapped_line(out, 2, &words);
}

void comparison_text_change_scope(text *out, const bl_comparison *of) {
    text_add(out, "from the first table to the second, reader error ");
    text_short(out, of->options.area_cv_pct, 1);
    text_add(out, " % (standard deviation of one contour's area): a least area "
                  "is of many contours and a mean averages what is each one's "
                  "own, so that the bounds of each line differ");
}

bool comparison_text_is_change_known(const bl_comparison *of) {
    return !isnan(of->lumen_least.change_mm2) ||
           !isnan(of->lumen_mean.change_mm2) ||
           !isnan(of->device_least.change_mm2);
}

static void change_lines(text *out, const bl_comparison *of) {
    text words = {0};
    comparison_text_change_scope(&words, of);
    prose_paragraph(out, "Change", &words);
    least_change_line(out, of);
    change_line(out, "mean lumen area ", &of->lumen_mean);
    loss_line(out, "lumen, ", of, &of->lumen_loss);
    change_line(out, "least device area ", &of->device_least);
    change_line(out, "mean device area ", &of->device_mean);
    loss_line(out, "device, ", of, &of->device_loss);
}

void comparison_text_since(text *out, const comparison_view *in) {
    const bl_comparison *of = in->of;
    if (of->device.traced && (of->follow_up || of->since_after)) {
        source_heading(out, "Lumen lost");
        text_add(out, "to two things that are not the same\n");
        tissue_line(out, &of->device);
        compressed_line(out, of);
    }
    if (comparison_text_is_change_known(of)) {
        change_lines(out, of);
    }
}
