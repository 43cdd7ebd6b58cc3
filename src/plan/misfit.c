/*
 * misfit.c - what devices meet in the vein that the rules of size do not say.
 *
 * Sizes follow the reference, which may be of another vein than that in which a
 * device ends: what was traced there is looked at too.
 */
#include "plan/misfit.h"

#include "plan/laying.h"
#include "plan/wording.h"

#include <math.h>

/* Tracing and breath make so much of no matter: our own measure. */
#define WIDER_MM 0.5
/* More than a step of sizes above the reference (nominal diameters go by 2 mm,
 * common practice, no source). */
#define FAR_MM 2.0
/* From so much on a mean of two veins is told: our own measure. */
#define MIXED_MM 0.5

/* By its reference, which the device was sized by elsewhere too, or as traced,
 * which may be of another vein. */
static void tell_end(sentences *to, const planner *in, const bl_device *of,
                     bool caudal) {
    text *out = &to->draft;
    bl_span place = ground_span(&in->ground, of->span.from_mm, of->span.to_mm);
    double at = caudal ? place.to_mm : place.from_mm;
    double traced = ground_node_at(&in->ground, at).diameter_mm;
    double oversize = caudal ? of->oversize_caudal_mm : of->oversize_cranial_mm;
    bool wider = oversize < -GROUND_PRINTED_MM;
    bool loose = traced > of->diameter_mm + WIDER_MM;
    if (!wider && !loose) {
        return;
    }
    text_format(out, "at the %s end, ", wording_end(caudal));
    wording_position(out, in, at);
    text_add(out, ", the vein is wider than the device: ");
    if (wider) {
        text_add(out, "reference ");
        wording_length(out, of->diameter_mm - oversize);
        text_add(out, ", ");
    }
    if (loose) {
        text_add(out, "as traced ");
        wording_length(out, traced);
        text_add(out, ", ");
    }
    text_add(out, "device ");
    text_short(out, of->diameter_mm, 1);
    text_add(out,
             loose ? " mm; it would not lie against the wall there" : " mm");
    sentences_end(to);
}

/* The user's own limit says it where there is one. */
static void tell_far(sentences *to, const planner *in, const bl_device *of) {
    if (!isnan(in->rules.limit_pct) ||
        !(of->oversize_mm > FAR_MM + GROUND_SAME_MM)) {
        return;
    }
    text_device_size(&to->draft, of->diameter_mm, of->length_mm);
    text_add(&to->draft, " is ");
    wording_length(&to->draft, of->oversize_mm);
    text_add(&to->draft, " (");
    text_fixed(&to->draft, of->oversize_pct, 0);
    text_add(&to->draft, " %, ");
    text_fixed(&to->draft, of->oversize_area_pct, 0);
    text_add(&to->draft, " % of area) wider than the reference over its "
                         "stretch, ");
    wording_length(&to->draft, of->reference_diameter_mm);
    text_add(&to->draft, ": look for one between (--oversize-limit sets a "
                         "limit)");
    sentences_end(to);
}

/* A device that lies in another vein than those marks are for. */
static void tell_beyond_mark(sentences *to, const planner *in,
                             const bl_device *of) {
    bl_span place = ground_span(&in->ground, of->span.from_mm, of->span.to_mm);
    for (int caudal = 0; caudal < 2; caudal++) {
        const bl_mark *mark = landing_beyond(
            &in->ground, in->pullback, caudal == 1, place.from_mm, place.to_mm);
        if (mark != NULL) {
            wording_device(&to->draft, of);
            text_add(&to->draft, " ");
            wording_beyond(&to->draft, mark, caudal == 1);
            sentences_end(to);
        }
    }
}

/* One size for two veins: the mean is of neither. */
static void tell_mixed(sentences *to, const planner *in, const bl_device *of) {
    bl_span place = ground_span(&in->ground, of->span.from_mm, of->span.to_mm);
    const bl_mark *mark = landing_mark(in->pullback, GROUND_ILIOCAVAL);
    double at =
        mark == NULL ? HUGE_VAL : ground_at(&in->ground, mark->position_mm);
    if (!(at > place.from_mm && at < place.to_mm)) {
        return;
    }
    bl_size_by by = in->rules.by;
    double cava =
        ground_mean_over(&in->ground, place.from_mm, at).reference_mm[by];
    double iliac =
        ground_mean_over(&in->ground, at, place.to_mm).reference_mm[by];
    if (!(of->reference_diameter_mm - iliac > MIXED_MM)) {
        return;
    }
    wording_device(&to->draft, of);
    text_format(&to->draft, " lies on both sides of %s, ", mark->name);
    wording_length(&to->draft, mark->position_mm);
    text_add(&to->draft, ": its reference, ");
    wording_length(&to->draft, of->reference_diameter_mm);
    text_add(&to->draft, ", is a mean of ");
    wording_length(&to->draft, cava);
    text_add(&to->draft, " in the cava and ");
    wording_length(&to->draft, iliac);
    text_add(&to->draft, " in the iliac vein");
    sentences_end(to);
}

/* From the beginning of one device to the end of the one cranial of it. */
static void tell_ligament(sentences *to, const planner *in,
                          const bl_device *cranial, const bl_device *caudal) {
    bl_span first =
        ground_span(&in->ground, cranial->span.from_mm, cranial->span.to_mm);
    bl_span second =
        ground_span(&in->ground, caudal->span.from_mm, caudal->span.to_mm);
    double from = fmin(second.from_mm, first.to_mm);
    double to_mm = fmax(second.from_mm, first.to_mm);
    const bl_mark *mark = landing_near(&in->ground, in->pullback, from);
    mark = mark != NULL ? mark : landing_near(&in->ground, in->pullback, to_mm);
    if (mark == NULL) {
        return;
    }
    text_add(&to->draft, "the devices change at ");
    text_span(&to->draft, ground_span(&in->ground, from, to_mm));
    text_add(&to->draft, ", within 10 mm of ");
    text_add(&to->draft, mark->name);
    text_add(&to->draft, ", ");
    wording_length(&to->draft, mark->position_mm);
    text_add(&to->draft, ": the vein bends there, and ends and overlaps are "
                         "kept away (common practice, no source)");
    sentences_end(to);
}

void misfit_tell(sentences *to, const planner *in, const bl_chain *chain) {
    size_t count = chain->device_count;
    for (size_t i = 0; i < count; i++) {
        const bl_device *own = &chain->devices[laying_turned(in, i, count)];
        tell_far(to, in, own);
        tell_beyond_mark(to, in, own);
        tell_mixed(to, in, own);
        if (i > 0) {
            tell_ligament(
                to, in, &chain->devices[laying_turned(in, i - 1, count)], own);
        }
    }
    if (count > 0) {
        tell_end(to, in, &chain->devices[laying_turned(in, 0, count)], false);
        tell_end(to, in, &chain->devices[laying_turned(in, count - 1, count)],
                 true);
    }
}
