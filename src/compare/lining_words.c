/*
 * lining_words.c - what is said of how two tables are lined up: by what and how
 * well, in a sentence, and what a reader has to know of it.
 */
#include "base/constants.h"
#include "compare/comparing.h"
#include "compare/likeness.h"

#include <math.h>

#define KNOTS_NAMED ((size_t)6)
#define SHIFT_APART_MM 2.0

/* --------------------------------------------------------------------- how */

static void knot_words(const bl_alignment *of, text *out) {
    size_t count = of->knot_count;
    text_format(out, "lined up by %zu mark%s that both tables have (", count,
                count == 1 ? "" : "s");
    for (size_t i = 0; i < count && i < KNOTS_NAMED; i++) {
        text_add(out, i == 0 ? "" : ", ");
        text_add(out, of->knots[i].mark);
    }
    text_add(out, count > KNOTS_NAMED ? ", ...)" : ")");
}

/* The mean of each side is taken out of the difference, so it is told. */
static void calibre_words(const comparing *in, const bl_alignment *of,
                          bool treated, text *out) {
    bool low_is_cranial = in->tables[BEFORE].pullback->travel == BL_END_CAUDAL;
    const char *between = ", about means that are in the second table ";
    for (int i = 0; i < 2 && treated; i++) {
        double ratio = of->calibre_ratio[i];
        if (isnan(ratio)) {
            continue;
        }
        text_add(out, between);
        text_fixed(out, fabs(100.0 * (ratio - 1.0)), 1);
        text_add(out, ratio < 1.0 ? " % smaller" : " % larger");
        text_add(out, (i == 0) == low_is_cranial ? " cranially" : " caudally");
        between = " and ";
    }
}

static void fit_words(const comparing *in, const bl_alignment *of, bool treated,
                      text *out) {
    if (isnan(of->compared_mm)) {
        text_add(out, "; how well the profiles agree cannot be said, since "
                      "less than 10 mm outside the treated stretch is in "
                      "both");
        return;
    }
    text_add(out, "; over ");
    text_fixed(out, of->compared_mm, 0);
    text_add(out, " mm outside the treated stretch diameters differ by ");
    text_fixed(out, of->difference_pct, 1);
    text_add(out, " % (root mean square) where they vary by ");
    text_fixed(out, of->spread_pct, 1);
    text_add(out, " % (standard deviation)");
    calibre_words(in, of, treated, out);
}

const char *lining_words(const comparing *in, const bl_alignment *of,
                         bool treated) {
    text words = {0};
    text *out = &words;
    switch (of->by) {
    case BL_ALIGNED_MARKS:
        knot_words(of, out);
        break;
    case BL_ALIGNED_SHIFT:
        text_add(out, "lined up by the shift that was given");
        break;
    case BL_ALIGNED_PROFILES:
    default:
        text_add(out, "lined up by the profiles outside the treated stretch");
        break;
    }
    fit_words(in, of, treated, out);
    if (!isnan(of->shift_interval_mm.low)) {
        text_add(out, "; the shift lies between ");
        text_fixed(out, of->shift_interval_mm.low, 1);
        text_add(out, " and ");
        text_fixed(out, of->shift_interval_mm.high, 1);
        text_add(out, " mm (95 %)");
    }
    if (!isnan(of->next_shift_mm)) {
        text_add(out, ", and the next best, ");
        text_fixed(out, of->next_shift_mm, 1);
        text_add(out, " mm, leaves ");
        text_fixed(out, of->next_difference_pct, 1);
        text_add(out, " %");
    }
    text_add(out, ".");
    const char *kept =
        out->failed ? NULL : arena_text(in->owner, out->bytes, out->size);
    text_free(out);
    return kept;
}

/* ----------------------------------------------------------------- remarks */

static void on_pace(comparing *in) {
    const bl_alignment *of = &in->out->alignment;
    for (size_t i = 0; i < of->pace_count; i++) {
        const bl_pace *one = &of->paces[i];
        if (!one->differs) {
            continue;
        }
        double before = one->span.to_mm - one->span.from_mm;
        text *words = &in->said.draft;
        text_add(words, "The vein between ");
        text_span(words, one->span);
        text_add(words, " is ");
        text_fixed(words, before, 1);
        text_add(words, " mm long in the first table and ");
        text_fixed(words, before / one->ratio, 1);
        text_add(words,
                 " mm in the second: one of the catheters was pulled there at "
                 "another real speed than its positions say");
        text_add(words, of->by == BL_ALIGNED_MARKS
                            ? ", or a mark does not stand at the same place in "
                              "both."
                            : ".");
        text_add(words, " The second is stretched to the first by ");
        text_fixed(words, one->ratio, 3);
        text_add(words, "; neither length is better known.");
        sentences_end(&in->said);
    }
}

/* Our own: an end that is not told to 5 mm is worth a word. */
#define END_WIDTH_MM 5.0

static void on_end(comparing *in, const char *which, const bl_interval *of) {
    if (of->high - of->low <= END_WIDTH_MM) {
        return;
    }
    text *words = &in->said.draft;
    text_add(words, "Where the ");
    text_add(words, which);
    text_add(words, " of the treated stretch lies ");
    if (isnan(of->low)) {
        text_add(words, "cannot be told to 25 mm from the profiles alone: the "
                        "speed of the catheters is not known well enough");
    } else {
        text_add(words, "is not told to 5 mm: between ");
        text_fixed(words, of->low, 1);
        text_add(words, " and ");
        text_fixed(words, of->high, 1);
        text_add(words, " mm (95 %)");
    }
    text_add(words, "; marks that both tables have would tell.");
    sentences_end(&in->said);
}

/* Another scale, or fuller veins: our own. */
#define CALIBRE_MOST_PCT 5.0

static double calibre_pct(const comparing *in, int side) {
    return 100.0 * (in->out->alignment.calibre_ratio[side] - 1.0);
}

bool lining_is_rescaled(const comparing *in) {
    return fabs(calibre_pct(in, 0)) > CALIBRE_MOST_PCT &&
           fabs(calibre_pct(in, 1)) > CALIBRE_MOST_PCT;
}

static void on_calibre(comparing *in) {
    if (!lining_is_rescaled(in)) {
        return;
    }
    text *words = &in->foremost.draft;
    text_add(words, "On both sides of the treated stretch, where nothing was "
                    "done, diameters of the second table differ in the mean, "
                    "by ");
    for (int i = 0; i < 2; i++) {
        double pct = calibre_pct(in, i);
        text_add(words, i == 0 ? "" : " % and ");
        text_add(words, pct > 0.0 ? "+" : "");
        text_fixed(words, pct, 1);
    }
    text_add(words,
             " %: another scale, another filling of the veins, or the "
             "tables are lined up wrongly. Gain and what is held against "
             "the reference before hold that difference too, areas about "
             "twice as much.");
    sentences_end(&in->foremost);
}

static void on_better_shift(comparing *in) {
    const bl_alignment *of = &in->out->alignment;
    if (isnan(of->better_shift_mm)) {
        return;
    }
    text *words = &in->foremost.draft;
    text_add(words, "By the shift that was given, ");
    text_fixed(words, in->options->shift_mm, 1);
    text_add(words, " mm, the calibres outside the treated stretch differ by ");
    text_fixed(words, of->difference_pct, 1);
    text_add(words, " %; by ");
    text_fixed(words, of->better_shift_mm, 1);
    text_add(words, " mm they would by ");
    text_fixed(words, of->better_difference_pct, 1);
    text_add(words, " %: see whether the shift is right; with a wrong one "
                    "places that are held against each other are not one.");
    sentences_end(&in->foremost);
}

static void on_misfit(comparing *in) {
    const bl_alignment *of = &in->out->alignment;
    text *words = &in->foremost.draft;
    if (in->misfit != MISFIT_ALL) {
        return;
    }
    text_add(words, "As lined up, the calibres outside the treated stretch do "
                    "not agree (diameters differ by ");
    text_fixed(words, of->difference_pct, 1);
    text_add(words, " % where they vary by ");
    text_fixed(words, of->spread_pct, 1);
    text_add(words, of->by == BL_ALIGNED_MARKS ? " %): see whether the marks "
                                               : " %): see whether the shift ");
    text_add(words, of->by == BL_ALIGNED_MARKS ? "are" : "is");
    text_add(words, " right, or the vein there changed.");
    sentences_end(&in->foremost);
}

static void on_misfit_at_edges(comparing *in) {
    text *words = &in->said.draft;
    if (in->misfit != MISFIT_AT_EDGES) {
        return;
    }
    text_add(words, "As lined up, the calibres beside the ends of the treated "
                    "stretch do not agree, and those more than ");
    text_short(words, in->options->edge_mm, 1);
    text_add(words, " mm from them do: the vein at an edge changed, or the ");
    text_add(words, in->out->alignment.by == BL_ALIGNED_MARKS
                        ? "marks are a little off."
                        : "shift is a little off.");
    sentences_end(&in->said);
}

void lining_lead(comparing *in) {
    on_calibre(in);
    on_misfit(in);
    on_better_shift(in);
}

void lining_remark(comparing *in) {
    const bl_alignment *of = &in->out->alignment;
    on_pace(in);
    if (of->by == BL_ALIGNED_PROFILES) {
        on_end(in, "first end", &of->end_interval_mm[0]);
        on_end(in, "last end", &of->end_interval_mm[1]);
    }
    if (!of->pace_checked) {
        sentences_add(
            &in->said,
            "Whether the treated stretch was pulled at another real "
            "speed in one of the tables cannot be told: that takes marks "
            "beside it, or a shape of the vein on both sides that tells "
            "its length to 5 %. Places inside it may be off by the error "
            "of the speed.");
    }
    on_misfit_at_edges(in);
    double shift = in->options->shift_mm;
    if (of->by == BL_ALIGNED_MARKS && !isnan(shift)) {
        text_add(&in->said.draft, "The shift that was given, ");
        text_fixed(&in->said.draft, shift, 1);
        text_add(&in->said.draft,
                 " mm, was not used: marks that both tables have go "
                 "first");
        if (fabs(shift - of->shift_mm) > SHIFT_APART_MM) {
            text_add(&in->said.draft, ", and say ");
            text_fixed(&in->said.draft, of->shift_mm, 1);
            text_add(&in->said.draft, " mm");
        }
        text_add(&in->said.draft, ".");
        sentences_end(&in->said);
    }
    if (of->turned) {
        sentences_add(&in->said,
                      "The catheters travelled in opposite directions; the "
                      "second table is read backwards.");
    }
}
