/*
 * wish.c - a chain of the user, held against the rules.
 *
 * Its devices are on the list where one of their diameter and length is; that
 * one gives label and foreshortening, else none is assumed.
 */
#include "plan/wish.h"

#include "base/constants.h"
#include "plan/laying.h"
#include "plan/telling.h"
#include "plan/wording.h"

#include <math.h>

typedef struct wishes {
    planner *in;
    sentences said;
    bl_device *devices; /* from cranial to caudal */
    size_t count;
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

static void tell_overlap(wishes *of, size_t i) {
    double overlap = place_of(of, i - 1).to_mm - place_of(of, i).from_mm;
    double least = (double)of->in->rules.overlap / SHELF_TENTHS;
    if (overlap < -GROUND_PRINTED_MM || overlap >= least - GROUND_SAME_MM) {
        return; /* a gap is told where it leaves vein uncovered */
    }
    text *out = &of->said.draft;
    text_add(out, "neighbouring devices overlap by ");
    wording_length(out, fmax(overlap, 0.0));
    text_add(out, " at ");
    wording_position(out, of->in, place_of(of, i).from_mm);
    text_add(out, ", less than ");
    wording_length(out, least);
    sentences_end(&of->said);
}

static void check_ends(wishes *of, const treatment *one, double from_mm,
                       double to_mm) {
    const planner *in = of->in;
    const double ends[2] = {from_mm, to_mm};
    for (size_t i = 0; i < 2; i++) {
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
        if (i > own.first) {
            tell_overlap(of, i);
        }
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

/* A device that covers nothing of what is to be treated. */
static void tell_idle(wishes *of, const treatment *list, size_t count) {
    for (size_t i = 0; i < of->count && count > 0; i++) {
        bl_span place = place_of(of, i);
        bool idle = true;
        for (size_t k = 0; k < count; k++) {
            idle = idle && (place.from_mm >= list[k].ends[1].at_mm ||
                            place.to_mm <= list[k].ends[0].at_mm);
        }
        if (idle) {
            text *out = &of->said.draft;
            wording_device(out, &of->devices[i]);
            text_add(out, " covers nothing of what is to be treated");
            sentences_end(&of->said);
        }
    }
}

bl_status wish_check(planner *in, const treatment *list, size_t count,
                     bl_plan *out) {
    if (in->options->wish_count == 0) {
        return BL_OK;
    }
    wishes of = {.in = in, .said = {.owner = in->owner}};
    of.taken = arena_alloc(in->owner, in->stock.device_count, sizeof *of.taken);
    bl_status status = of.taken == NULL ? BL_ERR_MEMORY : lay_wishes(&of);
    double beyond = 0.0;
    if (status == BL_OK) {
        for (size_t i = 0; i < count; i++) {
            beyond += check_cover(&of, &list[i]);
        }
        tell_idle(&of, list, count);
        status = laying_chain(in, of.devices, of.count, 1.0, &out->wish);
    }
    if (status == BL_OK) {
        out->wish.beyond_mm = beyond;
        telling_sizes(&of.said, in, &out->wish);
        status = of.said.failed ? BL_ERR_MEMORY : BL_OK;
    }
    sentences_free(&of.said);
    out->wish_findings = of.said.texts;
    out->wish_finding_count = of.said.count;
    return status;
}
