/*
 * plan_stretch_text.c - what is treated and why, where devices land, and what
 * they have to cover.
 */
#include "report/plan_text.h"

#include "base/constants.h"
#include "base/place.h"
#include "report/assessment_text.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

/* -------------------------------------------------------------------- treat */

static void narrowing_lines(text *out, const bl_narrowing *one) {
    text words = {0};
    text_add(&words, "narrowing ");
    text_span(&words, one->span);
    text_add(&words, ": least area ");
    text_fixed(&words, one->min_area_mm2, 1);
    text_add(&words, " mm2, area stenosis ");
    text_fixed(&words, one->worst.area_stenosis_pct, 1);
    text_add(&words, " % at ");
    text_fixed(&words, one->worst.position_mm, 1);
    text_add(&words, " mm");
    if (!isnan(one->worst.share_of_normal_pct)) {
        text_add(&words, ", ");
        place_text_share(&words, one->worst.vein,
                         one->worst.share_of_normal_pct,
                         one->worst.normal_area_mm2);
    }
    prose_wrapped_line(out, 2, &words);
    place_text_doubts(out, 4, &one->worst, NULL);
}

void plan_text_treat(text *out, const plan_view *of, const bl_stretch *one) {
    bool open = one->landings[0].open || one->landings[1].open;
    text_span(out, one->treat);
    text_add(out, ", ");
    text_fixed(out, one->treat.to_mm - one->treat.from_mm, 1);
    text_add(out, open ? " mm or more" : " mm");
    text_add(out, of->plan->options.treat_given ? ", as given"
                                                : " from shoulder to shoulder");
    if (one->healthy_between_mm >= PRINTED_LEAST) {
        text_add(out, "; ");
        text_fixed(out, one->healthy_between_mm, 1);
        text_add(out, " mm of it healthy vein");
    }
}

static void treat_lines(text *out, const plan_view *of, size_t index) {
    const bl_stretch *one = &of->plan->stretches[index];
    text words = {0};
    if (of->plan->stretch_count > 1) {
        text_format(&words, "stretch %zu of %zu: ", index + 1,
                    of->plan->stretch_count);
    }
    plan_text_treat(&words, of, one);
    prose_paragraph(out, "Treat", &words);
    for (size_t i = 0; i < one->narrowing_count; i++) {
        narrowing_lines(out,
                        &of->assessment->narrowings[one->first_narrowing + i]);
    }
}

/* ------------------------------------------------------------------ landing */

/* "19.1 mm caudal of iliocaval_confluence". */
static void mark_words(text *out, const bl_pullback *pullback, double at_mm) {
    const bl_mark *mark = place_nearest_mark(pullback, at_mm);
    if (mark == NULL) {
        return;
    }
    double past = at_mm - mark->position_mm;
    bool caudal = (past > 0.0) == (pullback->travel == BL_END_CAUDAL);
    text_add(out, ", ");
    text_fixed(out, fabs(past), 1);
    text_add(out, " mm ");
    text_add(out, bl_end_name(caudal ? BL_END_CAUDAL : BL_END_CRANIAL));
    text_add(out, " of ");
    text_add(out, mark->name);
}

void plan_text_landing(text *out, const plan_view *of, const bl_landing *at) {
    bl_vein vein = bl_pullback_vein_at(of->pullback, at->position_mm);
    text_add(out, bl_end_name(at->where));
    text_add(out, " at ");
    text_fixed(out, at->position_mm, 1);
    text_add(out, " mm");
    if (vein != BL_VEIN_UNKNOWN) {
        text_add(out, ", ");
        text_add(out, bl_vein_name(vein));
    }
    mark_words(out, of->pullback, at->position_mm);
}

static void landing_head(text *out, const plan_view *of, const char *heading,
                         const bl_landing *at) {
    text words = {0};
    plan_text_landing(&words, of, at);
    prose_paragraph(out, heading, &words);
}

/* How far behind the shoulder healthy vein begins, where it does not there. */
static void begins_words(text *out, double behind_mm) {
    if (behind_mm >= PRINTED_LEAST) {
        text_add(out, "; it begins ");
        text_fixed(out, behind_mm, 1);
        text_add(out, " mm beyond the shoulder");
    }
}

static void healthy_words(text *out, const plan_view *of, const bl_landing *at,
                          double in_mm) {
    bl_span vein = at->healthy_vein;
    if (at->healthy) {
        text_fixed(out, fmax(in_mm, 0.0), 1);
        text_add(out, " mm into ");
    } else {
        text_add(out, "only ");
    }
    text_fixed(out, vein.to_mm - vein.from_mm, 1);
    text_add(out, " mm of healthy vein, ");
    text_span(out, vein);
    if (!at->healthy) {
        text_add(out, ", where ");
        text_short(out, of->plan->options.landing_mm, 2);
        text_add(out, " mm are asked for");
    }
}

/* So far past an end lies the vein beyond it. */
#define PAST_MM 0.1

/* "confluence, inferior vena cava": what it ends at, and which vein begins
 * there where marks tell. */
static void border_words(text *out, const plan_view *of, const bl_landing *at,
                         bool lower) {
    double known = lower ? at->healthy_vein.from_mm : at->healthy_vein.to_mm;
    double end = isnan(known) ? at->position_mm : known;
    bl_vein vein =
        bl_pullback_vein_at(of->pullback, end + (lower ? -PAST_MM : PAST_MM));
    text_add(out, bl_border_name(at->ends_at));
    if (vein != BL_VEIN_UNKNOWN && (at->ends_at == BL_BORDER_CONFLUENCE ||
                                    at->ends_at == BL_BORDER_REFERENCE)) {
        text_add(out, ", ");
        text_add(out, bl_vein_name(vein));
    }
}

/* Healthy vein there: how much, how far in, and what it ends at. */
static void healthy_lines(text *out, const plan_view *of, const bl_stretch *one,
                          size_t index) {
    const bl_landing *at = &one->landings[index];
    bl_span vein = at->healthy_vein;
    bool lower = index == 0;
    text words = {0};
    if (at->open) {
        text_add(&words, "not known where the narrowing ends; beyond it: ");
    } else if (isnan(vein.from_mm)) {
        text_add(&words, "no healthy vein there; beside it: ");
    } else {
        healthy_words(&words, of, at,
                      lower ? vein.to_mm - at->position_mm
                            : at->position_mm - vein.from_mm);
        begins_words(&words, lower ? one->treat.from_mm - vein.to_mm
                                   : vein.from_mm - one->treat.to_mm);
        text_add(&words, "; beyond it: ");
    }
    border_words(&words, of, at, lower);
    prose_wrapped_line(out, 2, &words);
}

static void calibre_line(text *out, const bl_landing *at) {
    text words = {0};
    if (!isnan(at->equivalent_diameter_mm)) {
        text_add(&words, "diameter ");
        text_fixed(&words, at->equivalent_diameter_mm, 1);
        text_add(&words, " mm by area, ");
    }
    text_add(&words, "reference ");
    prose_number(&words, at->reference_diameter_mm, 1, " mm");
    if (!isnan(at->aspect_ratio)) {
        text_add(&words, ", aspect ratio ");
        text_fixed(&words, at->aspect_ratio, 2);
    }
    prose_wrapped_line(out, 2, &words);
}

static void landing_lines(text *out, const plan_view *of,
                          const bl_stretch *one) {
    for (size_t i = 0; i < 2; i++) {
        const bl_landing *at = &one->landings[i];
        landing_head(out, of, i == 0 ? "Landing" : "", at);
        healthy_lines(out, of, one, i);
        calibre_line(out, at);
    }
}

void plan_text_cover(text *out, const bl_stretch *one) {
    bool open = one->landings[0].open || one->landings[1].open;
    text_fixed(out, one->cover_mm, 1);
    text_add(out, open ? " mm or more" : " mm");
    text_add(out, " between the landing points");
    if (!isnan(one->cover_interval_mm.low)) {
        text_add(out, " (95 %: ");
        text_fixed(out, one->cover_interval_mm.low, 1);
        text_add(out, " to ");
        text_fixed(out, one->cover_interval_mm.high, 1);
        text_add(out, " mm)");
    }
}

static void cover_line(text *out, const bl_stretch *one) {
    text words = {0};
    plan_text_cover(&words, one);
    prose_paragraph(out, "Cover", &words);
}

void plan_text_stretch(text *out, const plan_view *of, size_t index) {
    const bl_stretch *one = &of->plan->stretches[index];
    treat_lines(out, of, index);
    landing_lines(out, of, one);
    cover_line(out, one);
}
