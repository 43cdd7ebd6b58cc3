/*
 * comparison_device_text.c - the device: how far it is open, how round, and
 * where it stands off the wall.
 */
#include "report/comparison_text.h"

#include "base/apposed.h"
#include "report/plan_text.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

static void nominal_words(text *out, const bl_device_state *of) {
    text_add(out, of->nominal_count > 0 ? "nominal "
                                        : "nominal size not given (--nominal)");
    for (size_t i = 0; i < of->nominal_count; i++) {
        const bl_nominal *one = &of->nominals[i];
        text_add(out, i > 0 ? ", then " : "");
        if (isnan(one->length_mm)) {
            text_short(out, one->diameter_mm, 2);
            text_add(out, " mm");
        } else {
            plan_text_size(out, one->diameter_mm, one->length_mm);
        }
    }
}

static void device_line(text *out, const bl_device_state *of) {
    text words = {0};
    nominal_words(&words, of);
    text_format(&words, "; contours in %zu frames, ", of->frames);
    text_span(&words, of->span);
    if (of->part_count > 1) {
        text_format(&words, ", in %zu parts", of->part_count);
    }
    prose_paragraph(out, "Device", &words);
}

static void least_lines(text *out, const bl_comparison *in) {
    const bl_device_state *of = &in->device;
    text words = {0};
    text_add(&words, "least area ");
    prose_number(&words, of->minimum.area_mm2, 1, " mm2");
    text_add(&words, " at ");
    prose_number(&words, of->minimum.position_mm, 1, " mm");
    text_add(&words, ", mean ");
    prose_number(&words, of->mean_area_mm2, 1, " mm2");
    prose_wrapped_line(out, 0, &words);
    text index = {0};
    text_add(&index, "expansion index ");
    prose_number(&index, of->expansion_index, 2, " of the reference ");
    text_add(&index, comparison_text_first(in));
    text_add(&index, ", ");
    prose_number(&index, of->after_expansion_index, 2, " of that ");
    text_add(&index, comparison_text_second(in));
    text_add(&index, ": least device area / reference lumen area there");
    prose_wrapped_line(out, 0, &index);
}

static void nominal_line(text *out, const bl_device_state *of) {
    text words = {0};
    if (!isnan(of->nominal_expansion_pct)) {
        text_add(&words, "nominal expansion ");
        prose_number(&words, of->nominal_expansion_pct, 1, " % least, at ");
        prose_number(&words, of->nominal_expansion_position_mm, 1, " mm, ");
        prose_number(&words, of->mean_nominal_expansion_pct, 1, " % mean");
        text_add(&words, ": device area / nominal area");
    }
    prose_wrapped_line(out, 0, &words);
}

static void symmetry_line(text *out, const bl_device_state *of) {
    text words = {0};
    text_add(&words, "symmetry index ");
    prose_number(&words, of->symmetry_index, 2, "");
    text_add(&words, " greatest, at ");
    prose_number(&words, of->symmetry_position_mm, 1, " mm, ");
    prose_number(&words, of->mean_symmetry_index, 2, " mean");
    text_add(&words, ": (max - min) / max device diameter, 0 is round");
    prose_wrapped_line(out, 0, &words);
}

/* At follow-up it has lines of its own. */
static void inside_line(text *out, const bl_comparison *in) {
    const bl_device_state *of = &in->device;
    text words = {0};
    if (!in->follow_up && !in->since_after && !isnan(of->tissue_inside_pct)) {
        text_add(&words, "not lumen inside it: ");
        text_fixed(&words, of->tissue_inside_pct, 1);
        text_add(&words, " % of its volume, ");
        text_fixed(&words, of->tissue_greatest_pct, 1);
        text_add(&words, " % of its area at most, at ");
        text_fixed(&words, of->tissue_greatest_position_mm, 1);
        text_add(&words, " mm");
    }
    prose_wrapped_line(out, 0, &words);
}

static void overlap_lines(text *out, const bl_device_state *of) {
    for (size_t i = 0; i < of->overlap_count; i++) {
        const bl_overlap *one = &of->overlaps[i];
        text words = {0};
        text_format(&words, "devices %zu and %zu overlap over ", one->first + 1,
                    one->first + 2);
        text_fixed(&words, one->span.to_mm - one->span.from_mm, 1);
        text_add(&words, " mm, ");
        text_span(&words, one->span);
        text_add(&words, one->exact ? ", by their nominal lengths"
                                    : ", if all overlaps are equally long");
        prose_wrapped_line(out, 0, &words);
    }
}

static void unapposed_line(text *out, const bl_unapposed *of) {
    text words = {0};
    text_span(&words, of->span);
    text_format(&words, ", %zu frame%s: gap up to ", of->frames,
                of->frames == 1 ? "" : "s");
    text_fixed(&words, of->max_gap_mm, 2);
    text_add(&words, " mm at ");
    text_fixed(&words, of->max_gap_position_mm, 1);
    text_format(&words, " mm (frame %lld), over an arc of up to ",
                (long long)of->max_gap_frame);
    text_fixed(&words, of->widest_arc_deg, 0);
    text_add(&words, " deg; between them up to ");
    text_fixed(&words, of->max_area_between_mm2, 1);
    text_add(&words, " mm2, ");
    text_fixed(&words, of->volume_between_mm3, 0);
    text_add(&words, " mm3 in all");
    prose_wrapped_line(out, 2, &words);
}

static void looked_at_line(text *out, const bl_device_state *of) {
    text words = {0};
    text_format(&words, "looked at in %zu frames over ", of->apposition_frames);
    text_fixed(&words, of->apposition_mm, 1);
    text_add(&words, " mm");
    if (of->against_lumen > 0) {
        text_format(&words,
                    ", %zu of them by the lumen for want of a vessel contour, "
                    "which shows a gap but not that there is none",
                    of->against_lumen);
    }
    if (of->outside_count > 0) {
        text_format(&words,
                    "; %zu more left out, whose device lies outside "
                    "the vessel",
                    of->outside_count);
    }
    prose_wrapped_line(out, 0, &words);
}

static void apposition_lines(text *out, const bl_device_state *of) {
    if (of->apposition_frames == 0) {
        return;
    }
    source_heading(out, "Apposition");
    if (!apposed_is_known(of)) {
        text_add(out, "not known: no frame has a vessel contour\n");
        return;
    }
    text_add(out, of->unapposed_count == 0
                      ? "on the wall within "
                      : "stands off the wall by more than ");
    text_short(out, of->gap_tolerance_mm, 3);
    text_add(out, of->unapposed_count > 0 ? " mm\n" : " mm in ");
    if (of->unapposed_count == 0) {
        text_format(out, "all %zu frames that show the wall\n",
                    apposed_frames(of));
        if (of->against_lumen == 0 && of->outside_count == 0) {
            return;
        }
    }
    for (size_t i = 0; i < of->unapposed_count; i++) {
        unapposed_line(out, &of->unapposed[i]);
    }
    looked_at_line(out, of);
}

void comparison_text_device(text *out, const comparison_view *in) {
    const bl_device_state *of = &in->of->device;
    if (!of->traced) {
        return;
    }
    device_line(out, of);
    least_lines(out, in->of);
    nominal_line(out, of);
    symmetry_line(out, of);
    inside_line(out, in->of);
    overlap_lines(out, of);
    apposition_lines(out, of);
}
