/*
 * unjudged.c - vein without a reference.
 *
 * The mean that a device is sized by leaves such vein aside, and nothing in it
 * is called narrowed: of both only what was traced says something, which is
 * told as it is.
 */
#include "plan/unjudged.h"

#include "base/circle.h"
#include "plan/describing.h"
#include "plan/laying.h"
#include "plan/wording.h"

#include <math.h>

/* Devices that reach so far into what was not traced are doubted for it, mm;
 * by less is less than a landing point is known: our own. */
#define UNSEEN_MM 1.0

/* ----------------------------------------------------------------- devices */

/* From the first to the last of a stretch that a reference is known of, on the
 * ground; NaN where there is none. */
static bl_span judged_within(const ground *on, bl_span place) {
    bl_span out = {UNKNOWN, UNKNOWN};
    for (size_t i = 1; i < on->count; i++) {
        double from = fmax(on->nodes[i - 1].at_mm, place.from_mm);
        double to = fmin(on->nodes[i].at_mm, place.to_mm);
        if (to - from > GROUND_SAME_MM && on->nodes[i].joined &&
            !ground_is_unjudged(on, i)) {
            out.from_mm = fmin(out.from_mm, from); /* passes over NaN */
            out.to_mm = fmax(out.to_mm, to);
        }
    }
    return out;
}

static void tell_device(sentences *to, const planner *in, const bl_device *of) {
    if (of->unjudged_mm < GROUND_PRINTED_MM) {
        return;
    }
    text *out = &to->draft;
    bl_span place = ground_span(&in->ground, of->span.from_mm, of->span.to_mm);
    bl_span judged = judged_within(&in->ground, place);
    wording_length(out, of->unjudged_mm);
    text_add(out, " of ");
    wording_device(out, of);
    text_add(out, " have no reference");
    if (!isnan(judged.from_mm)) {
        text_add(out, ": it is sized by what lies in ");
        text_span(out, ground_span(&in->ground, judged.from_mm, judged.to_mm));
        text_add(out, " only, and whether it fits the rest is not known");
    }
    sentences_end(to);
}

void unjudged_tell(sentences *to, const planner *in, const bl_chain *chain) {
    size_t count = chain->device_count;
    for (size_t i = 0; i < count; i++) {
        tell_device(to, in, &chain->devices[laying_turned(in, i, count)]);
    }
}

/* Of all that chains cover, mm. */
typedef struct covered_vein {
    double all;
    double unjudged;
    double unseen;
} covered_vein;

static covered_vein covered_by(const planner *in, const treatment *list,
                               size_t count, const bl_plan *out) {
    const ground *on = &in->ground;
    covered_vein sum = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < count; i++) {
        const bl_stretch *own = &out->stretches[laying_turned(in, i, count)];
        described_ends ends = describing_ends(in, &list[i], &own->chain);
        sum.all += ends.at_mm[1] - ends.at_mm[0];
        sum.unjudged += ground_unjudged_mm(on, ends.at_mm[0], ends.at_mm[1]);
        sum.unseen += ground_unseen_mm(on, ends.at_mm[0], ends.at_mm[1]);
    }
    return sum;
}

void unjudged_doubt_covered(sentences *to, const planner *in,
                            const treatment *list, size_t count,
                            const bl_plan *out) {
    covered_vein sum = covered_by(in, list, count, out);
    if (sum.unseen >= UNSEEN_MM) {
        text_fixed(&to->draft, sum.unseen, 1);
        text_add(&to->draft, " of the ");
        wording_length(&to->draft, sum.all);
        text_add(&to->draft, " to be covered, which were not traced");
        sentences_end(to);
    }
    if (sum.unjudged >= GROUND_PRINTED_MM) {
        text_add(&to->draft, "the diameters, since ");
        text_fixed(&to->draft, sum.unjudged, 1);
        text_add(&to->draft, " of the ");
        wording_length(&to->draft, sum.all);
        text_add(&to->draft, " to be covered have no reference");
        sentences_end(to);
    }
}

/* ------------------------------------------------------------------- veins */

typedef struct unjudged_vein {
    double length_mm;
    double least_mm; /* equivalent diameter; infinite: none was traced */
} unjudged_vein;

static unjudged_vein vein_of(const planner *in, bl_vein vein) {
    const ground *on = &in->ground;
    unjudged_vein out = {0.0, HUGE_VAL};
    for (size_t i = 1; i < on->count; i++) {
        const ground_node *a = &on->nodes[i - 1];
        const ground_node *b = &on->nodes[i];
        double middle = 0.5 * (a->at_mm + b->at_mm);
        if (ground_is_unjudged(on, i) &&
            bl_pullback_vein_at(in->pullback, ground_position(on, middle)) ==
                vein) {
            out.length_mm += b->at_mm - a->at_mm;
            out.least_mm =
                fmin(out.least_mm, fmin(a->diameter_mm, b->diameter_mm));
        }
    }
    return out;
}

static void doubt_vein(sentences *to, const planner *in, bl_vein vein) {
    unjudged_vein own = vein_of(in, vein);
    if (own.length_mm < GROUND_PRINTED_MM || isinf(own.least_mm)) {
        return;
    }
    text *out = &to->draft;
    double area = circle_area_mm2(own.least_mm);
    const bl_normals *expected = in->assessment->options.expected;
    double normal = bl_normals_area_mm2(expected, vein, in->pullback->side);
    wording_length(out, own.length_mm);
    text_add(out, " of ");
    text_add(out, vein == BL_VEIN_UNKNOWN ? "vein" : bl_vein_name(vein));
    text_add(out, " not judged, least area ");
    if (isnan(normal)) {
        text_fixed(out, area, 1);
        text_add(out, " mm2");
    } else {
        text_fixed(out, 100.0 * area / normal, 0);
        text_add(out, expected == NULL ? " % of normal" : " % of expected");
    }
    sentences_end(to);
}

/* That vein is not judged where nothing is treated is a doubt of its own, which
 * says it of vein that marks do not tell. */
void unjudged_doubt_veins(sentences *to, const planner *in) {
    static const bl_vein list[] = {BL_VEIN_COMMON_ILIAC, BL_VEIN_EXTERNAL_ILIAC,
                                   BL_VEIN_COMMON_FEMORAL};
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        doubt_vein(to, in, list[i]);
    }
    if (in->assessment->narrowing_count > 0) {
        doubt_vein(to, in, BL_VEIN_UNKNOWN);
    }
}
