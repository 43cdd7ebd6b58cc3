/*
 * telling.c - what a careful reader should be told about a plan.
 *
 * One function a matter. Lengths are told from the first that prints as more
 * than nothing, a tenth of a millimetre.
 */
#include "plan/telling.h"

#include "base/constants.h"
#include "plan/describing.h"
#include "plan/earlier.h"
#include "plan/laying.h"
#include "plan/misfit.h"
#include "plan/sizing.h"
#include "plan/source_vein.h"
#include "plan/unjudged.h"
#include "plan/wording.h"

#include <math.h>

/* Healthy vein that begins so far past a shoulder is told. */
#define FAR_MM 1.0
/* Of foreshortening less than that is taken for a fraction: 50 % is the most
 * that a list may say. */
#define FRACTION_PCT 0.5
/* Two readers' diameters hardly agree better: our own measure. */
#define DIAMETER_ERROR_MM 0.2

/* ------------------------------------------------------------ landing points
 */

/* What healthy vein ends at, and what that means. */
static const char *border_words(bl_border border) {
    switch (border) {
    case BL_BORDER_PULLBACK:
        return "before the pullback ends: whether it goes on is not known";
    case BL_BORDER_GAP:
        return "before a gap: whether it goes on is not known";
    case BL_BORDER_LEFT_OUT:
        return "before a frame that was left out: whether it goes on there is "
               "not known";
    case BL_BORDER_COMPRESSION:
        return "before a compression point: devices that end there end beside "
               "it";
    case BL_BORDER_CONFLUENCE:
        return "before a confluence: devices that go on would lie across it";
    case BL_BORDER_REFERENCE:
        return "before vein without a reference: whether it goes on is not "
               "known";
    case BL_BORDER_SHOULDER:
    default:
        return "before vein narrower than the shoulder level: devices that end "
               "there end beside it";
    }
}

static void tell_open(sentences *to, const planner *in, const landing *of) {
    text *out = &to->draft;
    const char *end = wording_end(of->caudal);
    text_add(out, "the treated vein runs into ");
    text_add(out, of->ends_at == BL_BORDER_GAP ? "a gap"
                  : of->ends_at == BL_BORDER_REFERENCE
                      ? "vein without a reference"
                      : "the end of the pullback");
    text_format(out, " at its %s end, ", end);
    wording_position(out, in, of->at_mm);
    text_add(out, ": where it ends is not known, and devices planned to there "
                  "may be too short");
    sentences_end(to);
}

/* Beside a left-out frame no vein counts as healthy, however wide it is. */
static void tell_left_out(sentences *to, const planner *in, const landing *of) {
    const ground *on = &in->ground;
    double low = fmin(of->near_mm, of->shoulder_mm);
    double high = fmax(of->near_mm, of->shoulder_mm);
    size_t count = 0;
    double at = UNKNOWN;
    for (size_t i = 0; i < on->left_out_count; i++) {
        if (on->left_out[i] > low && on->left_out[i] < high) {
            at = count == 0 ? on->left_out[i] : at;
            count++;
        }
    }
    if (count == 0) {
        return;
    }
    text_add(&to->draft, "; beside the left-out frame at ");
    wording_position(&to->draft, in, at);
    if (count > 1) {
        text_format(&to->draft, " and %zu more", count - 1);
    }
    text_add(&to->draft, " no vein counts as healthy, which may cost all of "
                         "it: trace anew what can be traced");
}

/* Vein past the shoulder that is not healthy is covered too. */
static void tell_far(sentences *to, const planner *in, const landing *of) {
    double away = fabs(of->near_mm - of->shoulder_mm);
    if (away >= FAR_MM) {
        wording_length(&to->draft, away);
        text_format(&to->draft,
                    " that do not count as healthy lie between the %s shoulder "
                    "and healthy vein to land in, which begins at ",
                    wording_end(of->caudal));
        wording_position(&to->draft, in, of->near_mm);
        text_add(&to->draft, ": they are covered too");
        tell_left_out(to, in, of);
        sentences_end(to);
    }
}

/* Where healthy vein begins outwards of a place; NaN where there is none. */
static double next_healthy_mm(const ground *on, double at_mm, bool caudal) {
    for (size_t k = 0; k < on->healthy_count; k++) {
        size_t i = caudal ? k : on->healthy_count - 1 - k;
        double begins = caudal ? on->healthy[i].from_mm : on->healthy[i].to_mm;
        if (caudal ? begins > at_mm : begins < at_mm) {
            return begins;
        }
    }
    return UNKNOWN;
}

/* What of the vein outwards of a place was not judged: without a reference, and
 * in gaps. */
typedef struct unknown_vein {
    double unjudged_mm;
    double unseen_mm;
} unknown_vein;

static unknown_vein unknown_to(const ground *on, double from_mm, double to_mm) {
    double low = fmin(from_mm, to_mm);
    double high = fmax(from_mm, to_mm);
    return (unknown_vein){ground_unjudged_mm(on, low, high),
                          ground_unseen_mm(on, low, high)};
}

/* "12.0 mm there have no reference and 6.0 mm were not traced". */
static void add_unknown(text *out, const unknown_vein *of) {
    bool unjudged = of->unjudged_mm >= GROUND_PRINTED_MM;
    bool unseen = of->unseen_mm >= GROUND_PRINTED_MM;
    if (unjudged) {
        wording_length(out, of->unjudged_mm);
        text_add(out, " there have no reference");
    }
    text_add(out, unjudged && unseen ? " and " : "");
    if (unseen) {
        wording_length(out, of->unseen_mm);
        text_add(out, unjudged ? " were not traced" : " there were not traced");
    }
}

static bool is_unknown(const unknown_vein *of) {
    return of->unjudged_mm >= GROUND_PRINTED_MM ||
           of->unseen_mm >= GROUND_PRINTED_MM;
}

telling_vein telling_vein_beyond(const planner *in, double at_mm, bool caudal) {
    const ground *on = &in->ground;
    double last = on->nodes[caudal ? on->count - 1 : 0].at_mm;
    unknown_vein beside = unknown_to(on, at_mm, last);
    if (!isnan(next_healthy_mm(on, at_mm, caudal))) {
        return TELLING_VEIN_FURTHER;
    }
    return fabs(at_mm - last) <= GROUND_SAME_MM || is_unknown(&beside)
               ? TELLING_VEIN_UNKNOWN
               : TELLING_VEIN_NONE;
}

static void add_no_vein(text *out, const planner *in, const landing *of) {
    const ground *on = &in->ground;
    const char *end = wording_end(of->caudal);
    double last = on->nodes[of->caudal ? on->count - 1 : 0].at_mm;
    unknown_vein beside = unknown_to(on, of->at_mm, last);
    if (fabs(of->at_mm - last) <= GROUND_SAME_MM) {
        text_format(out,
                    "what lies %sly of the treated vein was not traced: ", end);
    } else if (telling_vein_beyond(in, of->at_mm, of->caudal) ==
               TELLING_VEIN_UNKNOWN) {
        text_format(out,
                    "whether healthy vein lies %sly of the treated vein is not "
                    "known, since ",
                    end);
        add_unknown(out, &beside);
        text_add(out, ": ");
    } else {
        text_format(out,
                    "no healthy vein lies %sly of the treated vein: ", end);
    }
}

static void add_next_vein(text *out, const planner *in, const landing *of,
                          double next_mm) {
    unknown_vein before = unknown_to(&in->ground, of->at_mm, next_mm);
    text_format(out, "healthy vein %s %sly of the treated vein only from ",
                is_unknown(&before) ? "is known" : "lies",
                wording_end(of->caudal));
    wording_position(out, in, next_mm);
    text_add(out, " on, ");
    wording_length(out, fabs(next_mm - of->at_mm));
    text_add(out, in->options->treat_given
                      ? " away from the stretch that was named: "
                      : " away and past what is not known or a confluence: ");
}

/* None at all, or none that may be landed in. */
static void tell_none(sentences *to, const planner *in, const landing *of) {
    text *out = &to->draft;
    double next = next_healthy_mm(&in->ground, of->at_mm, of->caudal);
    if (isnan(next)) {
        add_no_vein(out, in, of);
    } else {
        add_next_vein(out, in, of, next);
    }
    text_add(out, "the landing point is its end, ");
    wording_position(out, in, of->at_mm);
    sentences_end(to);
}

void telling_landing(sentences *to, const planner *in, const landing *of) {
    text *out = &to->draft;
    double length = fabs(of->far_mm - of->near_mm);
    const char *end = wording_end(of->caudal);
    if (of->open) {
        tell_open(to, in, of);
    } else if (isnan(length)) {
        tell_none(to, in, of);
    } else if (!of->healthy) {
        text_add(out, "only ");
        wording_length(out, length);
        text_format(out, " of healthy vein to land in at the %s end, ", end);
        text_span(out, ground_span(&in->ground, fmin(of->near_mm, of->far_mm),
                                   fmax(of->near_mm, of->far_mm)));
        text_add(out, ", ");
        text_add(out, border_words(of->ends_at));
        sentences_end(to);
    } else if (of->whole) {
        text_format(out,
                    "the %s landing point is at the end of its healthy "
                    "vein: of the margin of ",
                    end);
        wording_length(out, in->options->margin_mm);
        text_add(out, " there are ");
        wording_length(out, length);
        sentences_end(to);
    }
}

/* What an end lies in whose landing point has no healthy vein. */
static void add_place(text *out, const planner *in, double end_mm) {
    const ground_healthy *vein = ground_healthy_at(&in->ground, end_mm);
    ground_node there = ground_node_at(&in->ground, end_mm);
    text_add(out, " past the landing point, in ");
    if (vein != NULL) {
        text_add(out, "the healthy vein at ");
        text_span(out, ground_span(&in->ground, vein->from_mm, vein->to_mm));
    } else if (isnan(there.diameter_mm)) {
        text_add(out, "vein that was not traced");
    } else {
        text_add(out, isnan(there.reference_mm[in->rules.by])
                          ? "vein without a reference"
                          : "vein that is not healthy");
    }
}

static void tell_outside(sentences *to, const planner *in, const landing *of,
                         double end_mm) {
    double sense = of->caudal ? 1.0 : -1.0;
    double last = isnan(of->far_mm) ? of->at_mm : of->far_mm;
    double past = sense * (end_mm - last);
    if (past < GROUND_PRINTED_MM) {
        return;
    }
    text *out = &to->draft;
    text_format(out, "the %s end of the devices, ", wording_end(of->caudal));
    wording_position(out, in, end_mm);
    text_add(out, ", lies ");
    wording_length(out, past);
    if (isnan(of->far_mm)) {
        add_place(out, in, end_mm);
    } else {
        text_add(out, " past the healthy vein, which ends at ");
        wording_position(out, in, last);
        text_add(out, " (");
        text_add(out, bl_border_name(of->ends_at));
        text_add(out, ")");
    }
    sentences_end(to);
}

static void tell_crossing(sentences *to, const planner *in, bool caudal,
                          double end_mm, const bl_mark *crosses) {
    text *out = &to->draft;
    double mark = ground_at(&in->ground, crosses->position_mm);
    text_format(out, "the %s end of the devices, ", wording_end(caudal));
    wording_position(out, in, end_mm);
    text_add(out, ", lies ");
    wording_length(out, fabs(end_mm - mark));
    text_format(out, " past %s, ", crosses->name);
    wording_length(out, crosses->position_mm);
    text_add(out, caudal
                      ? ": inflow of the deep femoral vein may lie behind them "
                        "(common practice, no source)"
                      : ", in the cava: they may cover the inflow of the other "
                        "side (common practice, no source)");
    sentences_end(to);
}

static void tell_near(sentences *to, const planner *in, bool caudal,
                      double end_mm, double other_mm, const bl_mark *near) {
    text *out = &to->draft;
    double mark = ground_at(&in->ground, near->position_mm);
    double past = end_mm - mark;
    bool inside =
        mark > fmin(end_mm, other_mm) && mark < fmax(end_mm, other_mm);
    text_format(out, "the %s end, ", wording_end(caudal));
    wording_position(out, in, end_mm);
    text_add(out, ", lies ");
    wording_length(out, fabs(past));
    if (fabs(past) >= GROUND_PRINTED_MM) {
        text_format(out, " %s", wording_end(past > 0.0));
        text_format(out, " of %s, ", near->name);
    } else {
        text_format(out, " from %s, ", near->name);
    }
    wording_length(out, near->position_mm);
    text_add(out, inside && fabs(past) >= GROUND_PRINTED_MM
                      ? ", which the devices cross"
                      : "");
    text_add(out, ": the vein bends there, and ends are kept ");
    text_short(out, LANDING_NEAR_MM, 1);
    text_add(out, " mm away (common practice, no source)");
    sentences_end(to);
}

void telling_end(sentences *to, const planner *in, const landing *of,
                 double end_mm, double other_mm) {
    const bl_pullback *marks = in->pullback;
    const bl_mark *crosses =
        landing_crosses(&in->ground, marks, of->caudal, end_mm, other_mm);
    const bl_mark *near = landing_near(&in->ground, marks, end_mm);
    /* Healthy vein that ends at the confluence: the same told once. */
    if (crosses == NULL || of->ends_at != BL_BORDER_CONFLUENCE) {
        tell_outside(to, in, of, end_mm);
    }
    if (crosses != NULL) {
        tell_crossing(to, in, of->caudal, end_mm, crosses);
    }
    if (near != NULL) {
        tell_near(to, in, of->caudal, end_mm, other_mm, near);
    }
}

/* ----------------------------------------------------------------- devices */

void telling_unseen(sentences *to, const planner *in, double from_mm,
                    double to_mm) {
    double unseen = ground_unseen_mm(&in->ground, from_mm, to_mm);
    if (unseen >= GROUND_PRINTED_MM) {
        text_add(&to->draft, "of what the devices cover, ");
        text_span(&to->draft, ground_span(&in->ground, from_mm, to_mm));
        text_add(&to->draft, ", ");
        wording_length(&to->draft, unseen);
        text_add(&to->draft, " were not traced");
        sentences_end(to);
    }
}

/* What is treated in one go holds what lies between. */
static void tell_between(sentences *to, const planner *in,
                         const treatment *of) {
    ground_part healthy = describing_between(in, of);
    if (!(healthy.length_mm >= GROUND_PRINTED_MM)) {
        return;
    }
    wording_length(&to->draft, healthy.length_mm);
    text_add(&to->draft, " of healthy vein, within ");
    text_span(&to->draft,
              ground_span(&in->ground, healthy.from_mm, healthy.to_mm));
    text_add(&to->draft, of->narrowing_count > 1
                             ? ", lie between narrowings that are treated "
                               "together: they are covered too"
                             : ", lie in the stretch to treat: they are "
                               "covered too");
    sentences_end(to);
}

/* Without devices; of devices misfit.c tells it, one by one. */
static void tell_beyond(sentences *to, const planner *in, bool caudal,
                        const described_ends *ends) {
    const double *at = ends->at_mm;
    const bl_mark *mark = landing_beyond(&in->ground, in->pullback, caudal,
                                         at[caudal], at[!caudal]);
    if (mark != NULL) {
        text_add(&to->draft, "all that is to be covered, ");
        text_span(&to->draft, ground_span(&in->ground, at[0], at[1]));
        text_add(&to->draft, ", ");
        wording_beyond(&to->draft, mark, caudal);
        sentences_end(to);
    }
}

static void tell_treatment(sentences *to, const planner *in,
                           const treatment *of, const bl_chain *chain) {
    described_ends ends = describing_ends(in, of, chain);
    source_vein_tell(to, in, of);
    earlier_tell(to, in, of, chain);
    tell_between(to, in, of);
    for (size_t i = 0; i < 2; i++) {
        tell_far(to, in, &of->ends[i]);
        telling_landing(to, in, &of->ends[i]);
        telling_end(to, in, &of->ends[i], ends.at_mm[i], ends.at_mm[1 - i]);
        if (chain->device_count == 0) {
            tell_beyond(to, in, of->ends[i].caudal, &ends);
        }
    }
    telling_unseen(to, in, ends.at_mm[0], ends.at_mm[1]);
    sizing_tell(to, in, chain);
    unjudged_tell(to, in, chain);
}

/* Devices too long for the room between two stretches. */
static void tell_meeting(sentences *to, const planner *in,
                         const described_ends *cranial,
                         const described_ends *caudal) {
    double from = caudal->at_mm[0];
    double to_mm = cranial->at_mm[1];
    if (to_mm - from >= GROUND_PRINTED_MM) {
        text_add(&to->draft,
                 "devices of two stretches lie over each other at ");
        text_span(&to->draft, ground_span(&in->ground, from, to_mm));
        text_add(&to->draft, ": treat them together (--join), or look for "
                             "shorter ones");
        sentences_end(to);
    }
}

/* A hair less of reference, and the size below would be the default. */
static void tell_smaller(sentences *to, const planner *in,
                         const bl_device *of) {
    double smaller = 0.0;
    for (size_t i = 0; i < in->stock.diameter_count; i++) {
        double one = in->stock.diameters[i];
        bool below = one < of->diameter_mm && !shelf_same(one, of->diameter_mm);
        smaller = below ? fmax(smaller, one) : smaller;
    }
    double lacks = of->reference_diameter_mm - smaller;
    if (!(lacks > 0.0 && lacks <= DIAMETER_ERROR_MM) ||
        shelf_is_wide(smaller, of->reference_diameter_mm)) {
        return;
    }
    text_add(&to->draft, "the next smaller diameter on the list, ");
    text_short(&to->draft, smaller, 2);
    text_add(&to->draft, " mm, is only ");
    text_fixed(&to->draft, lacks, 2);
    text_add(&to->draft, " mm below the reference of ");
    wording_device(&to->draft, of);
    text_add(&to->draft, ", ");
    text_fixed(&to->draft, of->reference_diameter_mm, 2);
    text_add(&to->draft, " mm: within the error of a diameter");
    sentences_end(to);
}

void telling_treatments(sentences *to, const planner *in, const treatment *list,
                        const bl_chain *chains, size_t count) {
    described_ends before = {{0.0, 0.0}};
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        const bl_chain *own = &chains[laying_turned(in, i, count)];
        described_ends ends = describing_ends(in, &list[i], own);
        if (i > 0) {
            tell_meeting(to, in, &before, &ends);
            if (held > 0 && own->device_count > 0) {
                misfit_tell_bare(to, in, before.at_mm[1], ends.at_mm[0]);
            }
        }
        tell_treatment(to, in, &list[i], own);
        for (size_t k = 0; k < own->device_count; k++) {
            tell_smaller(to, in, &own->devices[k]);
        }
        before = ends;
        held = own->device_count;
    }
}

/* ------------------------------------------------------------------- whole */

/* Only of what was judged can it be said. */
static void tell_empty(planner *in, const treatment *of) {
    text *out = &in->said.draft;
    double unjudged = ground_unjudged_mm(&in->ground, of->from_mm, of->to_mm);
    if (unjudged < GROUND_PRINTED_MM) {
        text_add(out, "the stretch to treat holds no narrowing");
    } else {
        text_add(out, "no narrowing is known in the stretch to treat, but ");
        wording_length(out, unjudged);
        text_add(out, " of its ");
        wording_length(out, of->to_mm - of->from_mm);
        text_add(out, " have no reference: whether they are narrowed is not "
                      "known");
    }
    sentences_end(&in->said);
}

static void tell_given(planner *in, const treatment *of, size_t untreated) {
    text *out = &in->said.draft;
    if (of->narrowing_count == 0) {
        tell_empty(in, of);
    }
    if (untreated > 0) {
        text_format(out, "%zu %s outside the stretch to treat: not treated",
                    untreated,
                    untreated == 1 ? "narrowing lies" : "narrowings lie");
        sentences_end(&in->said);
    }
}

/* Narrowings of which the stretch given holds a part. */
static void tell_parts(planner *in, const treatment *of) {
    bl_span treat = in->options->treat;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        bl_span span = in->assessment->narrowings[of->first_narrowing + i].span;
        if (span.from_mm < treat.from_mm - GROUND_SAME_MM ||
            span.to_mm > treat.to_mm + GROUND_SAME_MM) {
            text_add(&in->said.draft, "the narrowing at ");
            text_span(&in->said.draft, span);
            text_add(&in->said.draft, " reaches out of the stretch to treat, ");
            text_span(&in->said.draft, treat);
            sentences_end(&in->said);
        }
    }
}

/* 0.04 written for 4 %. */
static void tell_fractions(planner *in) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < in->stock.device_count; i++) {
        double shorter = in->stock.devices[i].foreshortening_pct;
        least = shorter > 0.0 ? fmin(least, shorter) : least;
    }
    if (least < FRACTION_PCT) {
        text *out = &in->said.draft;
        text_add(out, "foreshortening_pct of the list is in percent and says ");
        text_short(out, least, 4);
        text_add(out, ": if that is a fraction, devices are shorter than "
                      "planned with");
        sentences_end(&in->said);
    }
}

static void tell_whole(planner *in) {
    text *out = &in->said.draft;
    tell_fractions(in);
    if (in->options->size_by != in->rules.by) {
        text_add(out, "an expected reference has no perimeter: devices are "
                      "sized by area");
        sentences_end(&in->said);
    }
    if (!in->exact) {
        text_add(out, "the search was stopped at its bound: there may be a "
                      "better plan");
        sentences_end(&in->said);
    }
}

void telling_collect(planner *in, const treatment *list, const bl_chain *chains,
                     size_t count, size_t untreated) {
    tell_whole(in);
    if (in->options->treat_given && count > 0) {
        tell_given(in, &list[0], untreated);
        tell_parts(in, &list[0]);
    }
    telling_treatments(&in->said, in, list, chains, count);
    earlier_tell_rest(&in->said, in, list, chains, count);
}
