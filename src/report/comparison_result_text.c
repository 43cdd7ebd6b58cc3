/*
 * comparison_result_text.c - what was achieved: least areas, gain, residual
 * stenosis by each denominator.
 */
#include "report/comparison_text.h"

#include "base/place.h"
#include "base/stages.h"
#include "report/assessment_text.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

/* "+77.4", "-3.1", "not known". */
static void signed_number(text *out, double value, unsigned decimals,
                          const char *unit) {
    text_add(out, value > 0.0 ? "+" : "");
    prose_number(out, value, decimals, unit);
}

/* "reference before". */
static void reference_name(text *out, const char *table) {
    text_add(out, "reference ");
    text_add(out, table);
}

/* "24.2 % of the nominal area", "none of the reference before (...)". */
static void share_words(text *out, double pct, const char *table) {
    bool above = place_is_above(pct);
    if (!above) {
        text_fixed(out, pct, 1);
    }
    text_add(out, above ? "none of the " : " % of the ");
    if (table != NULL) {
        reference_name(out, table);
    } else {
        text_add(out, "nominal area");
    }
    if (above) {
        place_above_words(out, pct, "it");
    }
}

/* The three in a row, each with its denominator. */
static void residual_words(text *out, const bl_comparison *of) {
    const struct {
        double pct;
        const char *table; /* NULL: nominal */
    } all[] = {
        {of->before_reference_residual.area_stenosis_pct, stages_first(of)},
        {of->after_reference_residual.area_stenosis_pct, stages_second(of)},
        {of->nominal_residual.area_stenosis_pct, NULL}};
    const char *between = "";
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (!isnan(all[i].pct)) {
            text_add(out, between);
            share_words(out, all[i].pct, all[i].table);
            between = ", ";
        }
    }
    if (between[0] == '\0') {
        text_add(out, isnan(of->after.area_mm2)
                          ? "not known: no lumen was traced there "
                          : "not known: nothing to hold it against");
        text_add(out, isnan(of->after.area_mm2) ? stages_second(of) : "");
    }
}

/* "44.0 mm2 before"; at which place, where the two need not be one. */
static void least_words(text *out, const char *table, const bl_waist *at,
                        bool placed) {
    if (isnan(at->area_mm2)) {
        text_add(out, "not known ");
    } else {
        text_fixed(out, at->area_mm2, 1);
        text_add(out, " mm2 ");
    }
    text_add(out, table);
    if (placed && !isnan(at->position_mm)) {
        text_add(out, " at ");
        text_fixed(out, at->position_mm, 1);
        text_add(out, " mm");
    }
}

/* Without a gain: of one table nothing is known, or nobody said what was
 * treated, and the least areas may be of two places. */
static void apart_words(text *out, const bl_comparison *of) {
    bool nowhere = of->treated_from == BL_TREATED_NOWHERE;
    text_add(out, nowhere ? "least lumen area in the vein that both tables "
                            "have: "
                          : "least lumen area in the treated stretch: ");
    least_words(out, stages_first(of), &of->before, nowhere);
    text_add(out, ", ");
    least_words(out, stages_second(of), &of->after, nowhere);
    if (isnan(of->before.area_mm2) || isnan(of->after.area_mm2)) {
        text_add(out, ": no lumen was traced there");
    } else if (nowhere) {
        text_add(out, "; what was treated is not known, so no gain is given");
    }
}

void comparison_text_gain(text *out, const bl_comparison *of) {
    if (isnan(of->gain_area_pct)) {
        apart_words(out, of);
        return;
    }
    text_add(out, "least lumen area ");
    prose_number(out, of->before.area_mm2, 1, "");
    text_add(out, " to ");
    prose_number(out, of->after.area_mm2, 1, " mm2 (");
    signed_number(out, of->gain_area_pct, 1, " %");
    text_add(out, ") in the treated stretch");
}

/* What one kind of contour lost somewhere, where that is more than the error of
 * reading it. */
static void lost_words(text *out, const char *what, const bl_place_loss *of) {
    if (of->loss_pct > 0.0 && !of->within_error) {
        text_add(out, out->size > 0 ? "; " : "");
        text_add(out, what);
        text_add(out, " lost up to ");
        text_fixed(out, of->loss_pct, 1);
        text_add(out, " % of its area, at ");
        text_fixed(out, of->position_mm, 1);
        text_add(out, " mm (");
        text_fixed(out, of->first_mm2, 1);
        text_add(out, " to ");
        text_fixed(out, of->second_mm2, 1);
        text_add(out, " mm2), beyond reader error");
    }
}

static void steady_words(text *out, const bl_comparison *of) {
    const bl_device_state *device = &of->device;
    if (!isnan(of->device_loss.loss_pct)) {
        if (of->device_loss.within_error) {
            text_add(out, out->size > 0 ? "; " : "");
            text_add(out, "the device lost nowhere more than reader error");
            text_add(out, device->hole_count > 0 ? " where it was traced" : "");
        }
    } else if (!isnan(device->compressed_pct)) {
        text_add(out, out->size > 0 ? "; " : "");
        text_add(out, "the device is up to ");
        text_fixed(out, device->compressed_pct, 1);
        text_add(out, " % below its nominal area, whether since treatment is "
                      "not known");
    }
}

/* At follow-up the two ways of losing lumen, which are not the same; before
 * that what fills the device. */
void comparison_text_lost(text *out, const bl_comparison *of) {
    const bl_device_state *device = &of->device;
    bool later = of->follow_up || of->since_after;
    if (device->tissue_greatest_pct > of->options.area_cv_pct) {
        text_add(out, later ? "tissue fills up to " : "up to ");
        text_fixed(out, device->tissue_greatest_pct, 1);
        text_add(out, later ? " % of the device, at "
                            : " % of the device is not lumen, at ");
        text_fixed(out, device->tissue_greatest_position_mm, 1);
        text_add(out, device->tissue_within_error ? " mm, within reader error"
                                                  : " mm, beyond reader error");
    }
    if (!later) {
        return;
    }
    if (of->since_after) {
        lost_words(out, "the lumen", &of->lumen_loss);
    }
    lost_words(out, "the device itself", &of->device_loss);
    steady_words(out, of);
}

static void count_words(text *out, size_t count, const char *one,
                        const char *more) {
    if (count > 0) {
        text_format(out, "%s%zu narrowing%s outside the treated stretch",
                    out->size > 0 ? "; " : "", count, count == 1 ? "" : "s");
        text_add(out, count == 1 ? one : more);
    }
}

/* What was left, and what is new. */
static void beyond_words(text *out, const bl_comparison *of) {
    size_t left = 0;
    size_t fresh = 0;
    for (size_t i = 0; i < of->untreated_count; i++) {
        left += of->untreated[i].was_there;
        fresh += of->untreated[i].was_seen && !of->untreated[i].was_there;
    }
    if (of->treated_from != BL_TREATED_NOWHERE) {
        count_words(out, left, " was left", " were left");
        count_words(out, fresh, " is new", " are new");
        count_words(out, of->untreated_count - left - fresh,
                    ", known in this table only", ", known in this table only");
    }
}

/* What a reader must not overlook, in short. */
static void findings_words(text *out, const bl_comparison *of) {
    const bl_device_state *device = &of->device;
    comparison_text_lost(out, of);
    if (device->unapposed_count > 0) {
        text_add(out, out->size > 0 ? "; " : "");
        comparison_text_stands_off(out, device);
    }
    beyond_words(out, of);
}

void comparison_text_result(text *out, const comparison_view *in) {
    const bl_comparison *of = in->of;
    for (size_t i = 0; i < of->foremost_count; i++) {
        source_heading(out, i == 0 ? "Result" : "");
        prose_wrapped(out, of->foremost[i]);
    }
    text words = {0};
    comparison_text_gain(&words, of);
    prose_paragraph(out, of->foremost_count == 0 ? "Result" : "", &words);
    text residual = {0};
    text_add(&residual, in->of->treated_from == BL_TREATED_NOWHERE
                            ? "greatest area stenosis "
                            : "residual area stenosis ");
    residual_words(&residual, in->of);
    prose_wrapped_line(out, 0, &residual);
    text findings = {0};
    findings_words(&findings, in->of);
    prose_wrapped_line(out, 0, &findings);
}

void comparison_text_waist(text *out, const char *table, const bl_waist *at,
                           bool second) {
    text_add(out, table);
    text_add(out, ": ");
    if (at->frame < 0) {
        text_add(out, "nothing was traced there");
        return;
    }
    prose_number(out, at->area_mm2, 1, " mm2");
    text_add(out, " at ");
    text_fixed(out, at->position_mm, 1);
    text_add(out, " mm");
    if (second) {
        comparison_text_own(out, at);
    } else {
        text_format(out, " (frame %lld)", (long long)at->frame);
    }
    text_add(out, "; diameter ");
    prose_number(out, at->min_diameter_mm, 2, " mm least, ");
    prose_number(out, at->max_diameter_mm, 2, " mm greatest, ");
    prose_number(out, at->equivalent_diameter_mm, 2, " mm equivalent");
}

static void waist_lines(text *out, const char *table, const bl_waist *at,
                        bool second) {
    text words = {0};
    comparison_text_waist(&words, table, at, second);
    prose_wrapped_line(out, 0, &words);
}

void comparison_text_waist_stenosis(text *out, const bl_comparison *of,
                                    const bl_waist *at) {
    if (!isnan(at->before_reference_stenosis_pct)) {
        place_text_stenosis(out, "area stenosis",
                            at->before_reference_stenosis_pct);
        text_add(out, ", ");
        comparison_text_of(out, at->area_mm2, at->before_reference_mm2);
        text_add(out, " of the ");
        reference_name(out, stages_first(of));
    }
}

static void stenosis_line(text *out, const bl_comparison *of,
                          const bl_waist *at) {
    text words = {0};
    comparison_text_waist_stenosis(&words, of, at);
    prose_wrapped_line(out, 2, &words);
}

static void means_words(text *out, const bl_comparison *of) {
    text_add(out, "; mean area ");
    prose_number(out, of->before_mean_area_mm2, 1, " mm2 ");
    text_add(out, stages_first(of));
    text_add(out, ", ");
    prose_number(out, of->after_mean_area_mm2, 1, " mm2 ");
    text_add(out, stages_second(of));
}

const char *comparison_text_gain_name(const bl_comparison *of) {
    return of->gain_area_mm2 < 0.0 ? "Loss" : "Gain";
}

void comparison_text_gained(text *out, const bl_comparison *of) {
    if (isnan(of->gain_area_mm2)) {
        text_add(out, of->treated_from == BL_TREATED_NOWHERE
                          ? "not given, since what was treated is not known"
                          : "not known");
        if (!isnan(of->before.area_mm2) && !isnan(of->after.area_mm2)) {
            means_words(out, of);
        }
        return;
    }
    signed_number(out, of->gain_area_mm2, 1, " mm2");
    text_add(out, " of least area (");
    signed_number(out, of->gain_area_pct, 1, " %");
    text_add(out, "), ");
    signed_number(out, of->gain_min_diameter_mm, 2, " mm");
    text_add(out, " of minimum diameter at these places; mean area ");
    prose_number(out, of->before_mean_area_mm2, 1, "");
    text_add(out, " to ");
    prose_number(out, of->after_mean_area_mm2, 1, " mm2");
}

static void gain_lines(text *out, const bl_comparison *of) {
    text words = {0};
    comparison_text_gained(&words, of);
    prose_paragraph(out, comparison_text_gain_name(of), &words);
}

static void residual_of(text *out, const bl_residual *of, const char *against,
                        const char *why) {
    text_add(out, ": ");
    if (isnan(of->area_stenosis_pct)) {
        text_add(out, "not known, ");
        text_add(out, why);
    } else {
        bool above = place_is_above(of->area_stenosis_pct);
        text_add(out, above ? "no area stenosis" : "area stenosis ");
        if (above) {
            place_above_words(out, of->area_stenosis_pct, against);
        } else {
            text_fixed(out, of->area_stenosis_pct, 1);
            text_add(out, " %");
        }
        text_add(out, " at ");
        text_fixed(out, of->position_mm, 1);
        text_add(out, " mm, ");
        comparison_text_of(out, of->area_mm2, of->denominator_mm2);
    }
}

void comparison_text_residual(text *out, const bl_comparison *of,
                              comparison_denominator against) {
    bool seen = !isnan(of->after.area_mm2);
    const char *none =
        seen ? "there is none there" : "no lumen was traced there";
    switch (against) {
    case DENOMINATOR_FIRST:
        reference_name(out, stages_first(of));
        residual_of(out, &of->before_reference_residual, "the reference", none);
        break;
    case DENOMINATOR_SECOND:
        reference_name(out, stages_second(of));
        residual_of(out, &of->after_reference_residual, "the reference", none);
        break;
    case DENOMINATOR_NOMINAL:
    case DENOMINATOR_COUNT:
    default:
        text_add(out, "nominal device area");
        residual_of(out, &of->nominal_residual, "the nominal area",
                    of->device.nominal_count == 0
                        ? "no nominal size was given (--nominal)"
                    : seen ? "no nominal size is known there"
                           : none);
        break;
    }
}

void comparison_text_residual_scope(text *out, const bl_comparison *of) {
    text_add(out, of->treated_from == BL_TREATED_NOWHERE
                      ? "greatest in the vein that both tables have, by three "
                        "denominators"
                      : "greatest in the treated stretch, by three "
                        "denominators");
}

static void residual_lines(text *out, const bl_comparison *of) {
    source_heading(out, "Residual");
    comparison_text_residual_scope(out, of);
    text_add(out, "\n");
    for (int i = 0; i < DENOMINATOR_COUNT; i++) {
        text words = {0};
        comparison_text_residual(&words, of, (comparison_denominator)i);
        prose_wrapped_line(out, 2, &words);
    }
}

void comparison_text_areas(text *out, const comparison_view *in) {
    const bl_comparison *of = in->of;
    source_heading(out, "Least area");
    text_add(out, of->treated_from == BL_TREATED_NOWHERE
                      ? "of lumen, where both tables have it\n"
                      : "of lumen in the treated stretch\n");
    waist_lines(out, stages_first(of), &of->before, false);
    stenosis_line(out, of, &of->before);
    waist_lines(out, stages_second(of), &of->after, true);
    stenosis_line(out, of, &of->after);
    gain_lines(out, of);
    residual_lines(out, of);
}
