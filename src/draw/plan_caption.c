/*
 * plan_caption.c - the plan in the caption: devices, what of it is not certain,
 * and the chain that was only looked at.
 */
#include "draw/plan_caption.h"

#include <math.h>

/* Sizes that differ by less are one. */
#define ALIKE_MM 0.005
#define NBSP "\xC2\xA0"

/* "16 x 100 mm at 34.5-134.5 mm", without its place where there is little room.
 */
static void say_device(text *to, const bl_device *of, bool brief) {
    text_short(to, of->diameter_mm, 2);
    text_add(to, NBSP "\xC3\x97" NBSP);
    text_short(to, of->length_mm, 2);
    text_add(to, " mm");
    if (!brief) {
        text_add(to, " at ");
        caption_span(to, of->span);
    }
}

static bool is_alike(const bl_device *a, const bl_device *b) {
    return fabs(a->diameter_mm - b->diameter_mm) < ALIKE_MM &&
           fabs(a->length_mm - b->length_mm) < ALIKE_MM;
}

/* "4 of 16 x 40 mm, 5 of 14 x 40 mm": as many as are alike, once. */
static void say_alike(text *to, const bl_chain *chain) {
    size_t i = 0;
    while (i < chain->device_count) {
        const bl_device *first = &chain->devices[i];
        size_t end = i + 1;
        while (end < chain->device_count &&
               is_alike(first, &chain->devices[end])) {
            end++;
        }
        text_add(to, i > 0 ? ", " : "");
        if (end - i > 1) {
            text_format(to, "%zu of ", end - i);
        }
        say_device(to, first, true);
        i = end;
    }
}

static void say_chain(text *to, const bl_chain *chain, bool brief) {
    if (brief) {
        say_alike(to, chain);
        return;
    }
    for (size_t i = 0; i < chain->device_count; i++) {
        text_add(to, i > 0 ? ", " : "");
        say_device(to, &chain->devices[i], false);
        if (i > 0) {
            double overlap = chain->overlaps_mm[i - 1];
            text_add(to, overlap < 0.0 ? " (gap " : " (overlap ");
            text_fixed(to, fabs(overlap), 1);
            text_add(to, " mm)");
        }
    }
}

static void say_stretch(text *to, const bl_stretch *of, bool brief) {
    if (of->chain.device_count == 0) {
        text_fixed(to, of->cover_mm, 1);
        text_add(to, " mm to cover, no device");
    }
    say_chain(to, &of->chain, brief);
}

static bool lands_in_healthy_vein(const bl_stretch *of) {
    return of->landings[0].healthy && of->landings[1].healthy;
}

/* The chain that was only looked at. */
static void say_wish(text *to, const bl_plan *plan, bool brief) {
    size_t count = plan->wish_finding_count;
    if (plan->wish.device_count == 0) {
        return;
    }
    text_add(to, brief ? "What if" : "What if (dashed): ");
    if (!brief) {
        say_chain(to, &plan->wish, brief);
    }
    if (count == 0) {
        text_add(to, plan->wish_unjudged_count > 0
                         ? ": cannot be judged, no reference. "
                         : ": keeps the rules. ");
        return;
    }
    text_format(to, ": %zu finding%s", count, count == 1 ? "" : "s");
    text_add(to, brief ? ". " : ", see the report. ");
}

/* The first, as long as the others may be. */
static void say_doubts(text *to, const bl_plan *plan) {
    if (plan->doubt_count > 0) {
        text_add(to, "Not certain: ");
        text_add(to, plan->doubts[0]);
    }
    if (plan->doubt_count > 1) {
        text_format(to, "; and %zu more, see the report",
                    plan->doubt_count - 1);
    }
    text_add(to, plan->doubt_count > 0 ? ". " : "");
}

void plan_caption(const page *on, text *to, bool brief) {
    const bl_plan *plan = on->scene->plan;
    if (plan == NULL) {
        return;
    }
    bool healthy = true;
    text_add(to, plan->stretch_count == 0
                     ? "Plan: nothing reaches the threshold. "
                 : brief && plan->doubt_count > 0
                     ? "If the operator treats (not certain): "
                 : brief ? "Fits if the operator decides to treat: "
                         : "What fits if the operator decides to treat: ");
    for (size_t i = 0; i < plan->stretch_count; i++) {
        text_add(to, i > 0 ? "; " : "");
        say_stretch(to, &plan->stretches[i], brief);
        healthy = healthy && lands_in_healthy_vein(&plan->stretches[i]);
    }
    text_add(to, plan->stretch_count > 0 ? ". " : "");
    if (brief) { /* few words, where many would push out the doubts */
        say_wish(to, plan, brief);
    }
    say_doubts(to, plan);
    if (!brief) {
        say_wish(to, plan, brief);
    }
    text_add(to, plan->stretch_count > 0 ? "Dotted: landing points" : "");
    text_add(to, healthy ? "" : ", ? not in healthy vein");
    text_add(to, plan->stretch_count > 0 ? ". " : "");
}
