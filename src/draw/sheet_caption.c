/*
 * sheet_caption.c - the caption of a comparison: what was achieved, against
 * what, and how the tables were lined up.
 */
#include "draw/sheet.h"

#include "base/aligned.h"
#include "base/apposed.h"
#include "base/place.h"
#include "base/stages.h"

#include <math.h>

/* Sentences that stand before the figures. */
#define FOREMOST_MOST ((size_t)2)

#define SQUARE " mm\xC2\xB2"
#define NBSP "\xC2\xA0"
/* The names of the files take no more of a line than this, each. */
#define FILE_SHARE 0.3

static void say_least(text *to, double area_mm2, const char *table) {
    if (isnan(area_mm2)) {
        text_add(to, "not known");
    } else {
        text_fixed(to, area_mm2, 1);
        text_add(to, SQUARE);
    }
    text_add(to, " ");
    text_add(to, table);
}

/* Of what one of the tables has not, nothing is made. */
static void say_leasts(text *to, const bl_comparison *of) {
    text_add(to, "Least lumen area ");
    if (isnan(of->before.area_mm2) || isnan(of->after.area_mm2)) {
        say_least(to, of->before.area_mm2, stages_first(of));
        text_add(to, ", ");
        say_least(to, of->after.area_mm2, stages_second(of));
        text_add(to, ",");
    } else {
        text_fixed(to, of->before.area_mm2, 1);
        text_add(to, " to ");
        text_fixed(to, of->after.area_mm2, 1);
        text_add(to, SQUARE);
    }
}

static void say_treated(text *to, const bl_comparison *of) {
    text_fixed(to, of->treated.from_mm, 1);
    text_add(to, of->treated.to_mm < 0.0 ? " to " : "\xE2\x80\x93");
    text_fixed(to, of->treated.to_mm, 1);
    text_add(to, " mm");
}

/* On a low page `brief`: the stretch comes last. */
static void say_gain(text *to, const bl_comparison *of, bool brief) {
    say_leasts(to, of);
    if (!isnan(of->gain_area_pct)) {
        text_add(to, " (");
        sheet_signed(to, of->gain_area_pct, 0);
        text_add(to, " %)");
    }
    if (of->treated_from != BL_TREATED_NOWHERE && !brief) {
        text_add(to, " in the treated ");
        say_treated(to, of);
    }
    text_add(to, ". ");
}

/* "7.9 % of the reference before", "7.9 % of ref. before", "none of the
 * reference before (4.0 % above it)". */
static void say_residual(const sheet *on, text *to, size_t index, bool brief) {
    double pct = sheet_residual(on, index)->area_stenosis_pct;
    bool above = place_is_above(pct);
    if (!above) {
        text_fixed(to, pct, 1);
    }
    text_add(to, above ? "none of " : " % of ");
    text_add(to, brief ? "" : "the ");
    if (index < 2) {
        text_add(to, brief ? "ref." NBSP : "reference ");
        text_add(to, brief ? sheet_denominator_short(on, index)
                           : sheet_denominator(on, index));
    } else {
        text_add(to, brief ? "nominal" : "nominal area");
    }
    if (above && !brief) {
        place_above_words(to, pct, "it");
    }
}

/* All that are known, by one clause that is not cut: none may be read without
 * the others. */
static void say_residuals(const sheet *on, text *to, bool brief) {
    bool nowhere = on->of->treated_from == BL_TREATED_NOWHERE;
    size_t said = 0;
    for (size_t i = 0; i < SHEET_RESIDUALS; i++) {
        if (!isnan(sheet_residual(on, i)->area_stenosis_pct)) {
            text_add(to, said++ > 0 ? ", "
                         : nowhere  ? "The treated stretch is not known; "
                                      "greatest area stenosis: "
                                    : "Residual area stenosis: ");
            say_residual(on, to, i, brief);
        }
    }
    text_add(to, said > 0 ? ". " : "");
}

static void say_device(text *to, const bl_device_state *of) {
    if (!of->traced) {
        text_format(to,
                    "No device contours%s: expansion, symmetry and apposition "
                    "are not known. ",
                    of->left_out > 0 ? " that can be measured" : "");
        return;
    }
    if (!isnan(of->expansion_index)) {
        text_add(to, "Expansion index ");
        text_fixed(to, of->expansion_index, 2);
        if (!isnan(of->least_expansion)) {
            text_add(to, ", along the device least ");
            text_fixed(to, of->least_expansion, 2);
        }
        text_add(to, ". ");
    }
    if (!isnan(of->nominal_expansion_pct)) {
        text_add(to, "Nominal expansion ");
        text_fixed(to, of->nominal_expansion_pct, 0);
        text_add(to, " % least, ");
        text_fixed(to, of->mean_nominal_expansion_pct, 0);
        text_add(to, " % mean. ");
    }
    text_add(to, "Symmetry index up to ");
    text_fixed(to, of->symmetry_index, 2);
    text_add(to, ": (max \xE2\x88\x92 min) / max, 0 is round. ");
    if (!apposed_is_known(of)) {
        text_format(to, "Apposition is not known: no vessel contour%s. ",
                    of->vessels_left_out > 0 ? " that can be measured" : "");
    }
}

/* At follow-up the two ways of losing lumen; before that what fills the device.
 */
static void say_loss(text *to, const bl_comparison *of) {
    if (of->device.tissue_greatest_pct > of->options.area_cv_pct) {
        bool later = of->follow_up || of->since_after;
        text_add(to, later ? "Tissue fills up to " : "Up to ");
        text_fixed(to, of->device.tissue_greatest_pct, 0);
        text_add(to, later ? " % of the device"
                           : " % of the device is not "
                             "lumen");
        text_add(to, of->device.tissue_within_error ? ", within reader error. "
                                                    : ". ");
    }
    const bl_place_loss *lost = &of->device_loss;
    if (!isnan(lost->loss_pct) && !lost->within_error) {
        text_add(to, "The device lost up to ");
        text_fixed(to, lost->loss_pct, 0);
        text_add(to, " % of its area, at ");
        text_fixed(to, lost->position_mm, 1);
        text_add(to, " mm. ");
    }
    if (isnan(lost->loss_pct) && of->follow_up &&
        !isnan(of->device.compressed_pct)) {
        text_add(to, "The device itself is up to ");
        text_fixed(to, of->device.compressed_pct, 0);
        text_add(to, " % below its nominal area. ");
    }
}

static void say_lined_up(text *to, const bl_alignment *of) {
    text_add(to, "Lined up by ");
    text_add(to, bl_aligned_by_name(of->by));
    text_add(to, ", ");
    if (aligned_by_several(of)) {
        sheet_signed(to, of->shift_range_mm.low, 1);
        text_add(to, " to ");
        sheet_signed(to, of->shift_range_mm.high, 1);
    } else {
        sheet_signed(to, of->shift_mm, 1);
    }
    text_add(to, " mm; positions are those of the first table. ");
}

static void say_warnings(const sheet *on, text *to) {
    size_t count = on->of->warning_count;
    for (size_t i = 0; i < 2; i++) {
        count += on->tables[i]->assessment->warning_count;
    }
    if (count > 0) {
        text_format(to, "%zu warning%s: see the report. ", count,
                    count == 1 ? "" : "s");
    }
}

/* What is drawn all the same. */
static void say_unlabelled(text *to, const page_lane *lane, const char *what) {
    if (lane->left_out > 0) {
        text_format(to, "%zu %s have no room for a label. ", lane->left_out,
                    what);
    }
}

/* What the picture may not be read without; of many the first, so that figures
 * have room too. */
static void say_foremost(text *to, const bl_comparison *of) {
    size_t said =
        of->foremost_count < FOREMOST_MOST ? of->foremost_count : FOREMOST_MOST;
    for (size_t i = 0; i < said; i++) {
        text_add(to, of->foremost[i]);
        text_add(to, " ");
    }
    if (of->foremost_count > said) {
        text_format(to, "%zu more to be read first: see the report. ",
                    of->foremost_count - said);
    }
}

/* A low page has room for the residuals and little else. */
static void say_result(const sheet *on, text *to, bool brief) {
    const bl_comparison *of = on->of;
    if (!brief) {
        say_foremost(to, of);
        say_gain(to, of, false);
        say_residuals(on, to, false);
        return;
    }
    text_add(to, of->foremost_count > 0 ? "First read the report. " : "");
    say_residuals(on, to, true);
    say_gain(to, of, true);
    if (of->treated_from != BL_TREATED_NOWHERE) {
        text_add(to, "Treated: ");
        say_treated(to, of);
        text_add(to, ". ");
    }
}

static const char *facts(sheet *on, bool brief) {
    text words = {0};
    say_result(on, &words, brief);
    say_loss(&words, on->of);
    say_device(&words, &on->of->device);
    say_lined_up(&words, &on->of->alignment);
    say_warnings(on, &words);
    say_unlabelled(&words, &on->wall, "gaps");
    say_unlabelled(&words, &on->devices, "devices");
    say_unlabelled(&words, &on->beyond, "narrowings and edges");
    text_add(&words, on->of->treated_from != BL_TREATED_NOWHERE
                         ? "Dotted upright: ends of the treated stretch. "
                         : "");
    text_add(&words, "Brackets: what is lacking. ");
    text_add(&words, on->of->edge_count > 0 ? "Edges: area stenosis. " : "");
    return caption_keep(&on->page, &words);
}

static const char *sources(sheet *on, double room) {
    page *paper = &on->page;
    text words = {0};
    text_format(&words, "boreline %s", bl_version());
    for (size_t i = 0; i < 2; i++) {
        const bl_source *of = on->tables[i]->source;
        text_format(&words, "%s %s, crc32 %08x", i == 0 ? "," : ";",
                    caption_file(paper, of->file, room), (unsigned)of->crc32);
    }
    text_add(&words, ".");
    return caption_keep(paper, &words);
}

void sheet_plan_caption(sheet *on) {
    page *paper = &on->page;
    double room = FILE_SHARE * (paper->width - 2.0 * paper->margin);
    caption_lay(paper, facts(on, paper->is_low), sources(on, room),
                paper->is_low);
}

const char *sheet_whole_caption(sheet *on) {
    text words = {0};
    text_format(&words, "%s%s%s %s", facts(on, false),
                caption_marks(&on->page, HUGE_VAL), sources(on, HUGE_VAL),
                bl_caution());
    return page_keep(&on->page, &words);
}
