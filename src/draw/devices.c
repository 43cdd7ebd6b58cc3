/*
 * devices.c - a plan in the picture: landing points, and devices as bars as
 * long as what they cover, with their nominal diameters in the panel above.
 */
#include "draw/lane.h"

#include <math.h>

#define DEVICE_FILL 0xE3E3EFU
#define GAP_EM 0.3

typedef void (*chain_taker)(page *on, const bl_chain *chain, void *context);

/* The chains of the plan, one a stretch. */
static void each_chain(page *on, chain_taker take, void *context) {
    const bl_plan *plan = on->scene->plan;
    for (size_t i = 0; i < plan->stretch_count; i++) {
        take(on, &plan->stretches[i].chain, context);
    }
}

static void count_devices(page *on, const bl_chain *chain, void *context) {
    (void)on;
    *(size_t *)context += chain->device_count;
}

size_t devices_count(page *on) {
    size_t count = 0;
    if (on->scene->plan != NULL) {
        each_chain(on, count_devices, &count);
    }
    return count;
}

/* ------------------------------------------------------------------- labels */

/* "16 x 100 mm", "16 x 100". */
static const char *size_words(page *on, const bl_device *of, bool unit) {
    text words = {0};
    text_short(&words, of->diameter_mm, 2);
    text_add(&words, "\xC2\xA0\xC3\x97\xC2\xA0");
    text_short(&words, of->length_mm, 2);
    text_add(&words, unit ? "\xC2\xA0mm" : "");
    return page_keep(on, &words);
}

/* Of what is on the page; a wish may lie anywhere. */
static double middle_x(const page *on, bl_span span) {
    double from = fmin(fmax(span.from_mm, on->from_mm), on->to_mm);
    double to = fmax(fmin(span.to_mm, on->to_mm), on->from_mm);
    return 0.5 * (page_x(on, from) + page_x(on, to));
}

static void label_devices(page *on, const bl_chain *chain, void *context) {
    page_lane *lane = context;
    for (size_t i = 0; i < chain->device_count; i++) {
        const bl_device *of = &chain->devices[i];
        text least = {0};
        text_short(&least, of->diameter_mm, 2);
        lane->labels[lane->count++] =
            (label){.texts = {size_words(on, of, true),
                              size_words(on, of, false), page_keep(on, &least)},
                    .wanted_x = middle_x(on, of->span),
                    .worth = 1.0,
                    .colour = INK,
                    .bold = true};
    }
}

/* Where it is wanted to end; '?' where it is not healthy vein. */
static label landing_label(page *on, const bl_landing *of) {
    text full = {0};
    text_add(&full, "lands at ");
    text_fixed(&full, of->position_mm, 1);
    text_add(&full, " mm");
    text words = {0};
    text_fixed(&words, of->position_mm, 1);
    text_add(&words, " mm");
    text least = {0};
    text_fixed(&least, of->position_mm, 0);
    text *all[] = {&full, &words, &least};
    for (size_t i = 0; i < 3; i++) {
        text_add(all[i], of->healthy && !of->open ? "" : " ?");
    }
    return (label){.texts = {page_keep(on, &full), page_keep(on, &words),
                             page_keep(on, &least)},
                   .wanted_x = page_x(on, of->position_mm),
                   .worth = 2.0,
                   .colour = INK};
}

/* Without devices, what is to be covered. */
static label wanted_label(page *on, const bl_stretch *of) {
    text full = {0};
    text_add(&full, "to cover: ");
    text_fixed(&full, of->cover_mm, 1);
    text_add(&full, " mm");
    if (!isnan(of->wanted_diameter_mm)) {
        text_add(&full, ", reference ");
        text_fixed(&full, of->wanted_diameter_mm, 1);
        text_add(&full, " mm");
    }
    text words = {0};
    text_fixed(&words, of->cover_mm, 1);
    text_add(&words, " mm");
    return (label){.texts = {page_keep(on, &full), page_keep(on, &words)},
                   .wanted_x =
                       middle_x(on, (bl_span){of->landings[0].position_mm,
                                              of->landings[1].position_mm}),
                   .worth = 1.0,
                   .colour = INK,
                   .bold = true};
}

static void plan_labels(page *on) {
    const bl_plan *plan = on->scene->plan;
    page_lane *lane = &on->devices;
    size_t most = devices_count(on) + 3 * plan->stretch_count;
    lane->labels = page_alloc(on, most + 1, sizeof *lane->labels);
    if (lane->labels == NULL) {
        return;
    }
    each_chain(on, label_devices, lane);
    for (size_t i = 0; i < plan->stretch_count; i++) {
        const bl_stretch *of = &plan->stretches[i];
        lane->labels[lane->count++] = landing_label(on, &of->landings[0]);
        lane->labels[lane->count++] = landing_label(on, &of->landings[1]);
        if (of->chain.device_count == 0) {
            lane->labels[lane->count++] = wanted_label(on, of);
        }
    }
    lane_place(on, lane);
}

/* -------------------------------------------------------------------- place */

/* Neighbours overlap: every second one stands in a row of its own, where there
 * is room for one. */
static double second_row_em(const page *on) {
    return on->is_low ? 0.0 : BAR_EM;
}

static double bars_em(const page *on, const bl_chain *wish) {
    const bl_plan *plan = on->scene->plan;
    bool two = wish != NULL && wish->device_count > 1;
    for (size_t i = 0; wish == NULL && i < plan->stretch_count; i++) {
        two = two || plan->stretches[i].chain.device_count > 1;
    }
    return BAR_EM + (two ? second_row_em(on) : 0.0);
}

void devices_plan(page *on) {
    const bl_plan *plan = on->scene->plan;
    if (plan == NULL) {
        return;
    }
    const double labels = LABEL_EM + 0.4;
    if (plan->stretch_count > 0) {
        plan_labels(on);
        on->devices_height =
            (bars_em(on, NULL) + labels) * on->em + on->devices.leader;
    }
    /* A low page has them in the panel only. */
    const bl_chain *wish = &plan->wish;
    if (wish->device_count > 0 && !on->is_low) {
        on->wishes.labels =
            page_alloc(on, wish->device_count, sizeof *on->wishes.labels);
        if (on->wishes.labels != NULL) {
            label_devices(on, wish, &on->wishes);
            lane_place(on, &on->wishes);
        }
        on->wishes_height =
            (bars_em(on, wish) + labels) * on->em + on->wishes.leader;
    }
}

/* Devices may reach past the frames: the axis then does too. */
bl_span devices_span(const page *on) {
    bl_span out = {on->from_mm, on->to_mm};
    const bl_plan *plan = on->scene->plan;
    for (size_t i = 0; plan != NULL && i < plan->stretch_count; i++) {
        const bl_chain *chain = &plan->stretches[i].chain;
        for (size_t k = 0; k < chain->device_count; k++) {
            out.from_mm = fmin(out.from_mm, chain->devices[k].span.from_mm);
            out.to_mm = fmax(out.to_mm, chain->devices[k].span.to_mm);
        }
    }
    return out;
}

static double widest_mm(const bl_chain *of) {
    double most = 0.0;
    for (size_t i = 0; i < of->device_count; i++) {
        most = fmax(most, of->devices[i].diameter_mm);
    }
    return most;
}

double devices_diameter_mm(const page *on) {
    const bl_plan *plan = on->scene->plan;
    double most = plan == NULL ? 0.0 : widest_mm(&plan->wish);
    for (size_t i = 0; plan != NULL && i < plan->stretch_count; i++) {
        most = fmax(most, widest_mm(&plan->stretches[i].chain));
    }
    return most;
}

/* ------------------------------------------------------------------ drawing */

canvas_pen devices_pen(const page *on) {
    return page_pen(on, INK, 0.12, CANVAS_SOLID);
}

/* A device's nominal diameter over what it covers, between caps. */
static void draw_diameters(page *on, const bl_chain *chain, void *context) {
    const canvas_pen pen = *(const canvas_pen *)context;
    for (size_t i = 0; i < chain->device_count; i++) {
        const bl_device *of = &chain->devices[i];
        if (of->span.to_mm < on->from_mm || of->span.from_mm > on->to_mm) {
            continue; /* a wish may lie anywhere */
        }
        double y = page_y(&on->diameter, of->diameter_mm);
        double x0 = page_x(on, fmax(of->span.from_mm, on->from_mm));
        double x1 = page_x(on, fmin(of->span.to_mm, on->to_mm));
        double cap = 0.3 * on->em;
        canvas_line(on->canvas, x0, y, x1, y, pen);
        canvas_line(on->canvas, x0, y - cap, x0, y + cap, pen);
        canvas_line(on->canvas, x1, y - cap, x1, y + cap, pen);
    }
}

/* From the panel down to the bars. */
static void draw_landings(page *on) {
    const bl_plan *plan = on->scene->plan;
    canvas_pen pen = page_pen(on, INK, 0.09, CANVAS_DOTTED);
    for (size_t i = 0; i < plan->stretch_count; i++) {
        for (size_t k = 0; k < 2; k++) {
            double x = page_x(on, plan->stretches[i].landings[k].position_mm);
            canvas_line(on->canvas, x, on->diameter.box.y0, x,
                        on->diameter.box.y1, pen);
            canvas_line(on->canvas, x, on->devices_y, x,
                        on->devices_y + bars_em(on, NULL) * on->em, pen);
        }
    }
}

/* The bars of a chain from y on; what two share is hatched in both. */
static void draw_chain(page *on, const bl_chain *chain, void *context) {
    double y = *(const double *)context + GAP_EM * on->em;
    for (size_t i = 0; i < chain->device_count; i++) {
        double top = y + (i % 2 == 0 ? 0.0 : second_row_em(on) * on->em);
        const bl_span *span = &chain->devices[i].span;
        if (span->to_mm < on->from_mm || span->from_mm > on->to_mm) {
            continue;
        }
        lane_draw_bar(on, lane_bar(on, *span, top), DEVICE_FILL, false);
        for (size_t k = i == 0 ? 1 : i - 1;
             k < chain->device_count && k <= i + 1; k += 2) {
            const bl_span *other = &chain->devices[k].span;
            bl_span both = {fmax(span->from_mm, other->from_mm),
                            fmin(span->to_mm, other->to_mm)};
            if (both.to_mm > both.from_mm) {
                lane_draw_bar(on, lane_bar(on, both, top), DEVICE_FILL, true);
            }
        }
    }
}

/* Nothing on the shelf was named, or nothing fits: what is wanted. */
static void draw_wanted(page *on, const bl_stretch *of) {
    bl_span cover = {of->landings[0].position_mm, of->landings[1].position_mm};
    canvas_box box = lane_bar(on, cover, on->devices_y + GAP_EM * on->em);
    if (box.x1 > box.x0) {
        canvas_rectangle(on->canvas, box, WHITE,
                         page_pen(on, INK, 0.08, CANVAS_DASHED));
    }
}

static void draw_lane(page *on, const page_lane *lane, double y, double height,
                      double bars, const char *name) {
    double foot = y + height - 0.45 * on->em;
    lane_labels(on, lane, y + (bars + GAP_EM) * on->em, foot);
    lane_name(on, foot - 0.36 * on->em, name);
}

void devices_draw(page *on) {
    const bl_plan *plan = on->scene->plan;
    if (plan == NULL) {
        return;
    }
    if (plan->stretch_count > 0) {
        canvas_pen pen = devices_pen(on);
        draw_landings(on);
        each_chain(on, draw_diameters, &pen);
        each_chain(on, draw_chain, &on->devices_y);
        for (size_t i = 0; i < plan->stretch_count; i++) {
            if (plan->stretches[i].chain.device_count == 0) {
                draw_wanted(on, &plan->stretches[i]);
            }
        }
        draw_lane(on, &on->devices, on->devices_y, on->devices_height,
                  bars_em(on, NULL), "devices");
    }
    if (plan->wish.device_count > 0) {
        canvas_pen pen = devices_pen(on);
        pen.dash = CANVAS_DASHED;
        draw_diameters(on, &plan->wish, &pen);
    }
    if (on->wishes_height > 0.0) {
        draw_chain(on, &plan->wish, &on->wishes_y);
        draw_lane(on, &on->wishes, on->wishes_y, on->wishes_height,
                  bars_em(on, &plan->wish), "what if");
    }
}
