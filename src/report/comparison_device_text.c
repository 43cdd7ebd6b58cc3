/*
 * comparison_device_text.c - the device: how far it is open, how round, and
 * where it stands off the wall.
 */
#include "report/comparison_text.h"

#include "base/apposed.h"
#include "base/stages.h"
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
            text_device_size(out, one->diameter_mm, one->length_mm);
        }
    }
}

void comparison_text_size(text *out, const bl_device_state *of) {
    nominal_words(out, of);
    text_format(out, "; contours in %zu frame%s, ", of->frames,
                of->frames == 1 ? "" : "s");
    text_span(out, of->span);
    if (of->part_count > 1) {
        text_format(out, ", in %zu parts", of->part_count);
    }
}

void comparison_text_crossed(text *out, const bl_crossed *of) {
    text_add(out, "crosses ");
    text_add(out, of->mark);
    text_add(out, ", ");
    text_fixed(out, of->position_mm, 1);
    text_add(out, " mm, and ends ");
    text_fixed(out, of->past_mm, 1);
    text_add(out, " mm ");
    text_add(out, bl_end_name(of->end));
    text_add(out, " of it");
}

static void crossed_lines(text *out, const bl_device_state *of) {
    for (size_t i = 0; i < of->crossed_count; i++) {
        text words = {0};
        comparison_text_crossed(&words, &of->crossed[i]);
        prose_wrapped_line(out, 0, &words);
    }
}

static void device_line(text *out, const bl_device_state *of) {
    text words = {0};
    comparison_text_size(&words, of);
    prose_paragraph(out, "Device", &words);
}

void comparison_text_device_least(text *out, const bl_device_state *of) {
    text_add(out, "least area ");
    prose_number(out, of->minimum.area_mm2, 1, " mm2");
    text_add(out, " at ");
    prose_number(out, of->minimum.position_mm, 1, " mm");
    text_add(out, ", mean ");
    prose_number(out, of->mean_area_mm2, 1, " mm2");
}

void comparison_text_expansion(text *out, const bl_comparison *in) {
    const bl_device_state *of = &in->device;
    text_add(out, "expansion index ");
    prose_number(out, of->expansion_index, 2, "");
    text_add(out, isnan(of->expansion_index) ? " against the reference "
                                             : " of the reference ");
    text_add(out, stages_first(in));
    text_add(out, ", ");
    prose_number(out, of->after_expansion_index, 2, "");
    text_add(out,
             isnan(of->after_expansion_index) ? " against that " : " of that ");
    text_add(out, stages_second(in));
    text_add(out, ": least device area / reference lumen area there");
}

static void along_words(text *out, double least, double position_mm,
                        double mean, const char *reference) {
    prose_number(out, least, 2, " least");
    if (!isnan(position_mm)) {
        text_add(out, ", at ");
        text_fixed(out, position_mm, 1);
        text_add(out, " mm, ");
        prose_number(out, mean, 2, " mean");
    }
    text_add(out, reference);
}

void comparison_text_expansion_along(text *out, const bl_comparison *in) {
    const bl_device_state *of = &in->device;
    if (isnan(of->least_expansion) && isnan(of->after_least_expansion)) {
        return;
    }
    text_add(out, "expansion along the device ");
    along_words(out, of->least_expansion, of->least_expansion_position_mm,
                of->mean_expansion, " of the reference ");
    text_add(out, stages_first(in));
    text_add(out, "; ");
    along_words(out, of->after_least_expansion,
                of->after_least_expansion_position_mm, of->after_mean_expansion,
                " of that ");
    text_add(out, stages_second(in));
    text_add(out, ": device area / reference lumen area of each place");
}

static void least_lines(text *out, const bl_comparison *in) {
    text words = {0};
    comparison_text_device_least(&words, &in->device);
    prose_wrapped_line(out, 0, &words);
    text index = {0};
    comparison_text_expansion(&index, in);
    prose_wrapped_line(out, 0, &index);
    text along = {0};
    comparison_text_expansion_along(&along, in);
    prose_wrapped_line(out, 0, &along);
}

void comparison_text_nominal(text *out, const bl_device_state *of) {
    if (!isnan(of->nominal_expansion_pct)) {
        text_add(out, "nominal expansion ");
        prose_number(out, of->nominal_expansion_pct, 1, " % least, at ");
        prose_number(out, of->nominal_expansion_position_mm, 1, " mm, ");
        prose_number(out, of->mean_nominal_expansion_pct, 1, " % mean");
        text_add(out, ": device area / nominal area");
    }
}

static void nominal_line(text *out, const bl_device_state *of) {
    text words = {0};
    comparison_text_nominal(&words, of);
    prose_wrapped_line(out, 0, &words);
}

void comparison_text_symmetry(text *out, const bl_device_state *of) {
    text_add(out, "symmetry index ");
    prose_number(out, of->symmetry_index, 2, "");
    if (isnan(of->symmetry_index)) {
        return;
    }
    text_add(out, " greatest, at ");
    prose_number(out, of->symmetry_position_mm, 1, " mm, ");
    prose_number(out, of->mean_symmetry_index, 2, " mean");
    text_add(out, ": (max - min) / max device diameter, 0 is round");
}

static void symmetry_line(text *out, const bl_device_state *of) {
    text words = {0};
    comparison_text_symmetry(&words, of);
    prose_wrapped_line(out, 0, &words);
}

/* At follow-up it has lines of its own. */
void comparison_text_inside(text *out, const bl_comparison *in) {
    const bl_device_state *of = &in->device;
    if (!in->follow_up && !in->since_after && !isnan(of->tissue_inside_pct)) {
        text_add(out, "not lumen inside it: ");
        text_fixed(out, of->tissue_inside_pct, 1);
        text_add(out, " % of its volume, ");
        text_fixed(out, of->tissue_greatest_pct, 1);
        text_add(out, " % of its area at most, at ");
        text_fixed(out, of->tissue_greatest_position_mm, 1);
        text_add(out, of->tissue_within_error ? " mm, within reader error"
                                              : " mm, beyond reader error");
    }
}

static void inside_line(text *out, const bl_comparison *in) {
    text words = {0};
    comparison_text_inside(&words, in);
    prose_wrapped_line(out, 0, &words);
}

void comparison_text_overlap(text *out, const bl_overlap *of) {
    text_format(out, "devices %zu and %zu overlap over ", of->first + 1,
                of->first + 2);
    text_fixed(out, of->span.to_mm - of->span.from_mm, 1);
    text_add(out, " mm, ");
    text_span(out, of->span);
    text_add(out, of->exact ? ", by their nominal lengths"
                            : ", if all overlaps are equally long");
}

static void overlap_lines(text *out, const bl_device_state *of) {
    for (size_t i = 0; i < of->overlap_count; i++) {
        text words = {0};
        comparison_text_overlap(&words, &of->overlaps[i]);
        prose_wrapped_line(out, 0, &words);
    }
}

void comparison_text_unapposed(text *out, const bl_unapposed *of) {
    text_span(out, of->span);
    text_format(out, ", %zu frame%s: gap up to ", of->frames,
                of->frames == 1 ? "" : "s");
    text_fixed(out, of->max_gap_mm, 2);
    text_add(out, " mm at ");
    text_fixed(out, of->max_gap_position_mm, 1);
    text_format(out, " mm (frame %lld), over an arc of up to ",
                (long long)of->max_gap_frame);
    text_fixed(out, of->widest_arc_deg, 0);
    text_add(out, " deg; between them up to ");
    text_fixed(out, of->max_area_between_mm2, 1);
    text_add(out, " mm2, ");
    text_fixed(out, of->volume_between_mm3, 0);
    text_add(out, " mm3 in all");
}

/* Frames that stand alone have no length. */
void comparison_text_stands_off(text *out, const bl_device_state *of) {
    double length = 0.0;
    double gap = 0.0;
    double arc = 0.0;
    for (size_t i = 0; i < of->unapposed_count; i++) {
        const bl_unapposed *one = &of->unapposed[i];
        length += one->span.to_mm - one->span.from_mm;
        gap = fmax(gap, one->max_gap_mm);
        arc = fmax(arc, one->widest_arc_deg);
    }
    const char *more = of->unapposed_count == 1 ? "" : "s";
    text_add(out, "the device stands off the wall ");
    if (length > 0.0) {
        text_add(out, "over ");
        text_fixed(out, length, 1);
        text_format(out, " mm in %zu stretch%s%s", of->unapposed_count,
                    *more == '\0' ? "" : "e", more);
    } else {
        text_format(out, "in %zu single frame%s", of->unapposed_count, more);
    }
    text_add(out, ", gap to ");
    text_fixed(out, gap, 2);
    text_add(out, " mm, arc to ");
    text_fixed(out, arc, 0);
    text_add(out, " deg");
}

static void unapposed_line(text *out, const bl_unapposed *of) {
    text words = {0};
    comparison_text_unapposed(&words, of);
    prose_wrapped_line(out, 2, &words);
}

void comparison_text_looked_at(text *out, const bl_device_state *of) {
    text_format(out, "looked at in %zu frame%s over ", of->apposition_frames,
                of->apposition_frames == 1 ? "" : "s");
    text_fixed(out, of->apposition_mm, 1);
    text_add(out, " mm");
    if (of->against_lumen > 0) {
        text_format(
            out,
            ", %zu of them by the lumen for want of a vessel contour%s, "
            "which shows a gap but not that there is none",
            of->against_lumen,
            of->vessels_left_out > 0 ? " that can be measured" : "");
    }
    if (of->outside_count > 0) {
        text_format(out,
                    "; %zu more left out, whose device lies outside "
                    "the vessel",
                    of->outside_count);
    }
}

static void looked_at_line(text *out, const bl_device_state *of) {
    text words = {0};
    comparison_text_looked_at(&words, of);
    prose_wrapped_line(out, 0, &words);
}

static void apposed_frame_words(text *out, const bl_device_state *of) {
    size_t count = apposed_frames(of);
    bool held = of->outside_count > 0;
    if (count == 1) {
        text_add(out, held ? " in the one frame that could be held against "
                             "the wall"
                           : " in the one frame that shows the wall");
    } else {
        text_format(out, " in all %zu frames that %s", count,
                    held ? "could be held against the wall" : "show the wall");
    }
}

void comparison_text_apposed(text *out, const bl_device_state *of) {
    bool stands_off = of->unapposed_count > 0;
    if (!apposed_is_known(of)) {
        text_format(out, "not known: no frame has a vessel contour%s",
                    of->vessels_left_out > 0 ? " that can be measured" : "");
        return;
    }
    text_add(out, stands_off ? "stands off the wall by more than "
                             : "on the wall within ");
    text_short(out, of->gap_tolerance_mm, 3);
    text_add(out, " mm");
    if (!stands_off) {
        apposed_frame_words(out, of);
    }
}

static void apposition_lines(text *out, const bl_device_state *of) {
    if (of->apposition_frames == 0) {
        return;
    }
    text state = {0};
    comparison_text_apposed(&state, of);
    prose_paragraph(out, "Apposition", &state);
    if (!apposed_is_known(of)) {
        return;
    }
    if (of->unapposed_count == 0 && of->against_lumen == 0 &&
        of->outside_count == 0) {
        return;
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
    crossed_lines(out, of);
    least_lines(out, in->of);
    nominal_line(out, of);
    symmetry_line(out, of);
    inside_line(out, in->of);
    overlap_lines(out, of);
    apposition_lines(out, of);
}
