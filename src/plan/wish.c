/*
 * wish.c - a chain of the user, held against the rules.
 *
 * What it treats in one go is what its devices join; the plan may part it
 * otherwise. Ends, marks, overlaps and what was not traced are told of any
 * device, also where nothing is to be treated; what takes a reference cannot be
 * judged where there is none, which is said and is no keeping of rules.
 * Its devices are on the list where one of their diameter and length is; that
 * one gives label and foreshortening, else none is assumed.
 */
#include "plan/wish.h"

#include "base/constants.h"
#include "plan/earlier.h"
#include "plan/laying.h"
#include "plan/misfit.h"
#include "plan/sizing.h"
#include "plan/telling.h"
#include "plan/wording.h"

#include <math.h>

typedef struct wishes {
    planner *in;
    sentences said;
    sentences unjudged;
    bl_device *devices; /* from cranial to caudal */
    size_t count;
    treatment *list; /* what is to be treated, as its devices join it */
    size_t list_count;
    uint32_t *taken; /* of each device of the stock */
} wishes;

/* --------------------------------------------------------------- the list */

/* One of this size, if possible one of which there are more; NULL: none. */
static const bl_stock_device *find(wishes *of, const bl_device_wish *wish) {
    const shelf *stock = &of->in->stock;
    const bl_stock_device *found = NULL;
    for (size_t i = 0; i < stock->device_count; i++) {
        const bl_stock_device *one = &stock->devices[i];
        if (!shelf_same(one->diameter_mm, wish->diameter_mm) ||
            !shelf_same(one->length_mm, wish->length_mm)) {
            continue;
        }
        if (!one->counted || of->taken[i] < one->count) {
            of->taken[i]++;
            return one;
        }
        found = found == NULL ? one : found;
    }
    if (found != NULL) {
        of->taken[found - stock->devices]++;
    }
    return found;
}

static void tell_list(wishes *of, const bl_device_wish *wish,
                      const bl_stock_device *found) {
    text *out = &of->said.draft;
    if (of->in->options->stock == NULL) {
        return;
    }
    if (found == NULL) {
        text_device_size(out, wish->diameter_mm, wish->length_mm);
        text_add(out, " is not on the list: no foreshortening is assumed");
        sentences_end(&of->said);
        return;
    }
    uint32_t taken = of->taken[found - of->in->stock.devices];
    if (found->counted && taken > found->count) {
        text_device_size(out, wish->diameter_mm, wish->length_mm);
        text_format(out, ": %llu on the list, %llu wanted",
                    (unsigned long long)found->count,
                    (unsigned long long)taken);
        sentences_end(&of->said);
    }
}

static bl_device device_of(wishes *of, const bl_device_wish *wish) {
    const planner *in = of->in;
    const bl_stock_device *found = find(of, wish);
    tell_list(of, wish, found);
    double shorter = found == NULL ? 0.0 : found->foreshortening_pct;
    double covers = wish->length_mm * (1.0 - shorter / 100.0);
    bl_span span =
        ground_span(&in->ground, wish->from_mm, wish->from_mm + covers);
    return laying_device(in, found, wish->diameter_mm, wish->length_mm,
                         span.from_mm, span.to_mm);
}

/* On the ground. */
static bl_span place_of(const wishes *of, size_t i) {
    return ground_span(&of->in->ground, of->devices[i].span.from_mm,
                       of->devices[i].span.to_mm);
}

static bl_status lay_wishes(wishes *of) {
    const bl_plan_options *options = of->in->options;
    of->count = options->wish_count;
    of->devices = arena_alloc(of->in->owner, of->count, sizeof *of->devices);
    if (of->devices == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < of->count; i++) {
        bl_device next = device_of(of, &options->wishes[i]);
        double from =
            of->in->ground.turn > 0.0 ? next.span.from_mm : -next.span.to_mm;
        size_t at = i;
        while (at > 0 && place_of(of, at - 1).from_mm > from) {
            of->devices[at] = of->devices[at - 1];
            at--;
        }
        of->devices[at] = next;
    }
    return BL_OK;
}

/* ---------------------------------------------------------------- treatments
 */

/* Whether devices lie over all of a stretch. */
static bool is_covered(const wishes *of, double from_mm, double to_mm) {
    double reached = from_mm;
    for (size_t i = 0; i < of->count; i++) {
        bl_span place = place_of(of, i);
        if (place.from_mm <= reached + GROUND_PRINTED_MM) {
            reached = fmax(reached, place.to_mm);
        }
    }
    return reached >= to_mm - GROUND_PRINTED_MM;
}

static bl_status part_as_laid(wishes *of, const parting *parted) {
    of->list = arena_alloc(of->in->owner, parted->count, sizeof *of->list);
    if (of->list == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < parted->count; i++) {
        const treatment *next = &parted->alone[i];
        treatment *last = i > 0 ? &of->list[of->list_count - 1] : NULL;
        if (last != NULL &&
            is_covered(of, last->ends[1].at_mm, next->ends[0].at_mm)) {
            last->to_mm = next->to_mm;
            last->ends[1] = next->ends[1];
            last->narrowing_count += next->narrowing_count;
        } else {
            of->list[of->list_count++] = *next;
        }
    }
    return BL_OK;
}

/* Whether any of a stretch is to be treated. */
static bool is_treated(const wishes *of, bl_span place) {
    bool treated = false;
    for (size_t i = 0; i < of->list_count; i++) {
        treated = treated || (place.from_mm < of->list[i].ends[1].at_mm &&
                              place.to_mm > of->list[i].ends[0].at_mm);
    }
    return treated;
}

/* ----------------------------------------------------------------- the rules
 */

/* The devices that lie anywhere between two places, [first, end). */
typedef struct part {
    size_t first;
    size_t end;
} part;

static part devices_in(const wishes *of, double from_mm, double to_mm) {
    part out = {0, 0};
    for (size_t i = 0; i < of->count; i++) {
        bl_span place = place_of(of, i);
        if (place.from_mm < to_mm && place.to_mm > from_mm) {
            out.first = out.end == 0 ? i : out.first;
            out.end = i + 1;
        }
    }
    return out;
}

static void tell_uncovered(wishes *of, double from_mm, double to_mm) {
    if (to_mm - from_mm < GROUND_PRINTED_MM) {
        return;
    }
    text *out = &of->said.draft;
    text_span(out, ground_span(&of->in->ground, from_mm, to_mm));
    text_add(out, ", between the landing points, is not covered");
    sentences_end(&of->said);
}

/* reached_mm: the furthest that those cranial of it reach. */
static void tell_overlap(wishes *of, size_t i, double reached_mm) {
    bl_span place = place_of(of, i);
    double overlap = fmin(reached_mm, place.to_mm) - place.from_mm;
    double least = (double)of->in->rules.overlap / SHELF_TENTHS;
    if (overlap >= least - GROUND_SAME_MM) {
        return;
    }
    text *out = &of->said.draft;
    text_add(out, "neighbouring devices overlap by ");
    wording_length(out, fmax(overlap, 0.0));
    text_add(out, " at ");
    wording_position(out, of->in, place.from_mm);
    text_add(out, ", less than ");
    wording_length(out, least);
    sentences_end(&of->said);
}

static void check_ends(wishes *of, const treatment *one, double from_mm,
                       double to_mm) {
    const planner *in = of->in;
    const double ends[2] = {from_mm, to_mm};
    for (size_t i = 0; i < 2; i++) {
        telling_landing(&of->said, in, &one->ends[i]);
        telling_end(&of->said, in, &one->ends[i], ends[i], ends[1 - i]);
    }
}

/* From landing point to landing point. Returns what lies beyond. */
static double check_cover(wishes *of, const treatment *one) {
    double from = one->ends[0].at_mm;
    double to = one->ends[1].at_mm;
    part own = devices_in(of, from, to);
    double reached = from;
    double first = HUGE_VAL;
    for (size_t i = own.first; i < own.end; i++) {
        bl_span place = place_of(of, i);
        tell_uncovered(of, reached, fmin(place.from_mm, to));
        reached = fmax(reached, place.to_mm);
        first = fmin(first, place.from_mm);
    }
    tell_uncovered(of, reached, to);
    if (own.end == 0) {
        return 0.0;
    }
    check_ends(of, one, first, reached);
    return fmax(from - first, 0.0) + fmax(reached - to, 0.0);
}

/* ------------------------------------------------------- beside a treatment */

/* An end without a landing point to be held against. */
static void check_free_end(wishes *of, bool caudal, double end_mm,
                           double other_mm) {
    const planner *in = of->in;
    landing here = {
        .caudal = caudal,
        .shoulder_mm = end_mm,
        .at_mm = end_mm,
        .near_mm = UNKNOWN,
        .far_mm = UNKNOWN,
        .ends_at = BL_BORDER_SHOULDER,
    };
    telling_end(&of->said, in, &here, end_mm, other_mm);
    double reference =
        ground_node_at(&in->ground, end_mm).reference_mm[in->rules.by];
    if (!isnan(reference) && ground_healthy_at(&in->ground, end_mm) == NULL) {
        text *out = &of->said.draft;
        text_format(out, "the %s end of the devices, ", wording_end(caudal));
        wording_position(out, in, end_mm);
        text_add(out, ", does not lie in healthy vein");
        sentences_end(&of->said);
    }
}

/* Devices that touch, one after the other: what holds of them whatever is to
 * be treated. */
static void check_run(wishes *of, part run, bl_span place) {
    if (!is_treated(of, place)) {
        check_free_end(of, false, place.from_mm, place.to_mm);
        check_free_end(of, true, place.to_mm, place.from_mm);
    }
    double reached = place_of(of, run.first).to_mm;
    for (size_t i = run.first + 1; i < run.end; i++) {
        tell_overlap(of, i, reached);
        reached = fmax(reached, place_of(of, i).to_mm);
    }
    telling_unseen(&of->said, of->in, place.from_mm, place.to_mm);
    earlier_check(&of->said, of->in, place);
}

/* What is to be treated is told as not covered. */
static void tell_bare(wishes *of, double from_mm, double to_mm) {
    if (!is_treated(of, (bl_span){from_mm, to_mm})) {
        misfit_tell_bare(&of->said, of->in, from_mm, to_mm);
    }
}

static void check_runs(wishes *of) {
    part run = {0, 0};
    double reached = UNKNOWN;
    while (run.first < of->count) {
        bl_span place = place_of(of, run.first);
        run.end = run.first + 1;
        while (run.end < of->count && place_of(of, run.end).from_mm <=
                                          place.to_mm + GROUND_PRINTED_MM) {
            place.to_mm = fmax(place.to_mm, place_of(of, run.end).to_mm);
            run.end++;
        }
        check_run(of, run, place);
        if (!isnan(reached)) {
            tell_bare(of, reached, place.from_mm);
        }
        reached = place.to_mm;
        run.first = run.end;
    }
}

/* --------------------------------------------------------- one device alone */

static void tell_unjudged(wishes *of, size_t i, double lacks_mm,
                          bool treats_unknown) {
    text *out = &of->unjudged.draft;
    bl_span place = place_of(of, i);
    text_add(out, "the width of ");
    wording_device(out, &of->devices[i]);
    text_add(out, treats_unknown
                      ? ", and whether it covers what is to be treated: "
                      : ": ");
    if (lacks_mm < place.to_mm - place.from_mm - GROUND_PRINTED_MM) {
        wording_length(out, lacks_mm);
        text_add(out, " of it have no reference");
    } else {
        text_add(out, "no reference is known there");
    }
    sentences_end(&of->unjudged);
}

/* A device that covers nothing of what is to be treated, or of which that
 * cannot be known; and its width, where no reference is. */
static void check_device(wishes *of, size_t i) {
    bl_span place = place_of(of, i);
    double lacks = of->devices[i].unjudged_mm;
    bool unjudged = lacks >= GROUND_PRINTED_MM;
    bool treats_unknown = unjudged && of->list_count == 0;
    if (unjudged) {
        tell_unjudged(of, i, lacks, treats_unknown);
    }
    if (!treats_unknown && !is_treated(of, place)) {
        text *out = &of->said.draft;
        wording_device(out, &of->devices[i]);
        text_add(out, " covers nothing of what is to be treated");
        sentences_end(&of->said);
    }
}

/* ------------------------------------------------------------------- whole */

static double check_all(wishes *of) {
    double beyond = 0.0;
    for (size_t i = 0; i < of->list_count; i++) {
        beyond += check_cover(of, &of->list[i]);
    }
    check_runs(of);
    for (size_t i = 0; i < of->count; i++) {
        check_device(of, i);
    }
    return beyond;
}

static void give_out(const wishes *of, bl_plan *out) {
    out->wish_findings = of->said.texts;
    out->wish_finding_count = of->said.count;
    out->wish_unjudged = of->unjudged.texts;
    out->wish_unjudged_count = of->unjudged.count;
    out->wish_stretch_count = of->list_count;
}

bl_status wish_check(planner *in, const parting *parted, bl_plan *out) {
    if (in->options->wish_count == 0) {
        return BL_OK;
    }
    wishes of = {
        .in = in,
        .said = {.owner = in->owner},
        .unjudged = {.owner = in->owner},
    };
    of.taken = arena_alloc(in->owner, in->stock.device_count, sizeof *of.taken);
    bl_status status = of.taken == NULL ? BL_ERR_MEMORY : lay_wishes(&of);
    if (status == BL_OK) {
        status = part_as_laid(&of, parted);
    }
    if (status == BL_OK) {
        double beyond = check_all(&of);
        status = laying_chain(in, of.devices, of.count, 1.0, &out->wish);
        out->wish.beyond_mm = beyond;
    }
    if (status == BL_OK) {
        sizing_tell(&of.said, in, &out->wish);
        status = of.said.failed || of.unjudged.failed ? BL_ERR_MEMORY : BL_OK;
    }
    sentences_free(&of.said);
    sentences_free(&of.unjudged);
    give_out(&of, out);
    return status;
}
