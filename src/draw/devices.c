/*
 * devices.c - a plan in the picture: landing points, and devices as bars as
 * long as what they cover, with their nominal diameters in the panel above.
 */
#include "base/constants.h"
#include "draw/lane.h"

#include <math.h>

#define GAP_EM 0.3
/* Diameters that differ by less are one. */
#define SAME_MM 0.005
/* A lane's name above the feet of its labels. */
#define NAME_EM 0.36

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

/* How many devices from this one on have its diameter. */
static size_t run_length(const bl_chain *of, size_t first) {
    size_t end = first + 1;
    while (end < of->device_count &&
           fabs(of->devices[end].diameter_mm - of->devices[first].diameter_mm) <
               SAME_MM) {
        end++;
    }
    return end - first;
}

/* "4 of 16 mm": not "4 x 16", which is how sizes are written. */
static const char *run_words(page *on, const bl_device *first, size_t count,
                             bool unit) {
    text words = {0};
    if (count > 1) {
        text_format(&words, "%zu of\xC2\xA0", count);
    }
    text_short(&words, first->diameter_mm, 2);
    text_add(&words, unit ? "\xC2\xA0mm" : "");
    return page_keep(on, &words);
}

/* Where there is no room for each device: some without a word would make the
 * chain look like the others. Landing points are left out first. */
static void label_runs(page *on, const bl_chain *chain, void *context) {
    page_lane *lane = context;
    size_t i = 0;
    while (i < chain->device_count) {
        size_t count = run_length(chain, i);
        const bl_device *first = &chain->devices[i];
        const bl_device *last = &chain->devices[i + count - 1];
        bl_span all = {fmin(first->span.from_mm, last->span.from_mm),
                       fmax(first->span.to_mm, last->span.to_mm)};
        lane->labels[lane->count++] =
            (label){.texts = {run_words(on, first, count, true),
                              run_words(on, first, count, false)},
                    .wanted_x = middle_x(on, all),
                    .worth = 3.0,
                    .colour = INK,
                    .bold = true};
        i += count;
    }
}

/* Where it is wanted to end, which is not where the device does; '?' where it
 * is not healthy vein. */
static label landing_label(page *on, const bl_landing *of) {
    text full = {0};
    text_add(&full, "land at ");
    text_fixed(&full, of->position_mm, 1);
    text_add(&full, " mm");
    text words = {0};
    text_add(&words, "land at ");
    text_fixed(&words, of->position_mm, 0);
    text least = {0};
    text_add(&least, "land ");
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

/* What lies there already, as it is drawn: its runs are bounded by the paper.
 */
static bl_span earlier_at(const page *on, size_t index) {
    return on->scene->plan->earlier[index].span;
}

static bool next_earlier(const page *on, size_t *index, bl_span *out) {
    return page_next_run(on, earlier_at, on->scene->plan->earlier_count, index,
                         out);
}

static size_t count_earlier(const page *on) {
    size_t count = 0;
    bl_span run;
    for (size_t i = 0; next_earlier(on, &i, &run);) {
        count++;
    }
    return count;
}

static void label_earlier(page *on, page_lane *lane) {
    bl_span run;
    for (size_t i = 0; next_earlier(on, &i, &run);) {
        lane->labels[lane->count++] =
            (label){.texts = {"device there already", "already there", "old"},
                    .wanted_x = middle_x(on, run),
                    .worth = 2.5,
                    .colour = GREY};
    }
}

/* A device alone has room for all of its size beside short landing points. */
static void place_labels(page *on, page_lane *lane) {
    lane_place(on, lane);
    labels_lengthen(on, lane->labels, lane->count, on->x0, on->x1);
}

static void label_plan(page *on, chain_taker label_chain) {
    const bl_plan *plan = on->scene->plan;
    page_lane *lane = &on->devices;
    lane->count = 0;
    lane->leader = 0.0;
    each_chain(on, label_chain, lane);
    for (size_t i = 0; i < plan->stretch_count; i++) {
        const bl_stretch *of = &plan->stretches[i];
        lane->labels[lane->count++] = landing_label(on, &of->landings[0]);
        lane->labels[lane->count++] = landing_label(on, &of->landings[1]);
        if (of->chain.device_count == 0) {
            lane->labels[lane->count++] = wanted_label(on, of);
        }
    }
    label_earlier(on, lane);
    place_labels(on, lane);
}

static void plan_labels(page *on) {
    const bl_plan *plan = on->scene->plan;
    page_lane *lane = &on->devices;
    size_t most =
        devices_count(on) + 3 * plan->stretch_count + count_earlier(on);
    lane->labels = page_alloc(on, most + 1, sizeof *lane->labels);
    if (lane->labels == NULL) {
        return;
    }
    label_plan(on, label_devices);
    if (lane->left_out > 0) {
        label_plan(on, label_runs);
    }
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

/* A low page has them in the panel only, and their name beside it. */
static void plan_wishes(page *on, const bl_chain *wish) {
    if (wish->device_count == 0 || on->is_low) {
        return;
    }
    on->wishes.labels =
        page_alloc(on, wish->device_count, sizeof *on->wishes.labels);
    if (on->wishes.labels != NULL) {
        label_devices(on, wish, &on->wishes);
        place_labels(on, &on->wishes);
        if (on->wishes.left_out > 0) {
            on->wishes.count = 0;
            on->wishes.leader = 0.0;
            label_runs(on, wish, &on->wishes);
            place_labels(on, &on->wishes);
        }
    }
    on->wishes_height =
        (bars_em(on, wish) + LABEL_EM + 0.4) * on->em + on->wishes.leader;
}

static bool has_lane(const bl_plan *plan) {
    return plan->stretch_count + plan->earlier_count > 0;
}

void devices_plan(page *on) {
    const bl_plan *plan = on->scene->plan;
    if (plan == NULL) {
        return;
    }
    const double labels = LABEL_EM + 0.4;
    if (has_lane(plan)) {
        plan_labels(on);
        on->devices_height =
            (bars_em(on, NULL) + labels) * on->em + on->devices.leader;
    }
    plan_wishes(on, &plan->wish);
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

/* Where a chain's bars are, and whether it is only looked at. */
typedef struct bar_row {
    double y;
    bool what_if;
} bar_row;

/* A chain that is only looked at has dashed bars, as its diameters have. */
static void draw_bar(page *on, const bar_row *row, bl_span span, double y,
                     bool hatched) {
    canvas_box box = lane_bar(on, span, y);
    if (!row->what_if || !(box.x1 > box.x0)) {
        lane_draw_bar(on, box, PLANNED_TINT, hatched);
        return;
    }
    canvas_rectangle(on->canvas, box, WHITE,
                     page_pen(on, INK, 0.08, CANVAS_DASHED));
    if (hatched) {
        canvas_hatch(on->canvas, box, 0.5 * on->em, false,
                     page_pen(on, INK, 0.05, CANVAS_SOLID));
    }
}

/* What two devices share is hatched in both. */
static void draw_chain(page *on, const bl_chain *chain, void *context) {
    const bar_row *row = context;
    double y = row->y + GAP_EM * on->em;
    for (size_t i = 0; i < chain->device_count; i++) {
        double top = y + (i % 2 == 0 ? 0.0 : second_row_em(on) * on->em);
        const bl_span *span = &chain->devices[i].span;
        if (span->to_mm < on->from_mm || span->from_mm > on->to_mm) {
            continue;
        }
        draw_bar(on, row, *span, top, false);
        for (size_t k = i == 0 ? 1 : i - 1;
             k < chain->device_count && k <= i + 1; k += 2) {
            const bl_span *other = &chain->devices[k].span;
            bl_span both = {fmax(span->from_mm, other->from_mm),
                            fmin(span->to_mm, other->to_mm)};
            if (both.to_mm > both.from_mm) {
                draw_bar(on, row, both, top, true);
            }
        }
    }
}

/* What new devices share with those that lie there is hatched too. */
static void hatch_earlier(page *on, const bl_chain *chain, void *context) {
    const bar_row *row = context;
    bl_span run;
    for (size_t i = 0; next_earlier(on, &i, &run);) {
        for (size_t k = 0; k < chain->device_count; k++) {
            const bl_span *own = &chain->devices[k].span;
            bl_span both = {fmax(own->from_mm, run.from_mm),
                            fmin(own->to_mm, run.to_mm)};
            double down = k % 2 == 0 ? 0.0 : second_row_em(on);
            if (both.to_mm > both.from_mm) {
                draw_bar(on, row, both, row->y + (GAP_EM + down) * on->em,
                         true);
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

const char *devices_wish_name(page *on, double room) {
    size_t findings = on->scene->plan->wish_finding_count;
    const char *ending = findings == 1 ? "" : "s";
    text all[3] = {{0}, {0}, {0}};
    if (findings > 0) {
        text_format(&all[0], "what if: %zu finding%s", findings, ending);
        text_format(&all[1], "if: %zu finding%s", findings, ending);
        text_format(&all[2], "%zu finding%s", findings, ending);
    } else if (on->scene->plan->wish_unjudged_count > 0) {
        text_add(&all[0], "what if: not judged");
        text_add(&all[1], "if: not judged");
        text_add(&all[2], "not judged");
    } else {
        text_add(&all[0], "what if: keeps rules");
        text_add(&all[1], "if: keeps rules");
        text_add(&all[2], "keeps rules");
    }
    const char *name = "";
    for (size_t i = 0; i < 3; i++) {
        const char *next = page_keep(on, &all[i]);
        name = i == 0 || page_advance(on, name) > room ? next : name;
    }
    return name;
}

/* Behind what is planned, and quieter. */
static void draw_earlier(page *on) {
    bl_span run;
    for (size_t i = 0; next_earlier(on, &i, &run);) {
        canvas_box box = lane_bar(on, run, on->devices_y + GAP_EM * on->em);
        if (box.x1 > box.x0) {
            canvas_rectangle(on->canvas, box, WHITE,
                             page_pen(on, GREY, 0.08, CANVAS_DOTTED));
        }
    }
}

static void draw_devices(page *on) {
    const bl_plan *plan = on->scene->plan;
    canvas_pen pen = devices_pen(on);
    bar_row row = {on->devices_y, false};
    draw_earlier(on);
    draw_landings(on);
    each_chain(on, draw_diameters, &pen);
    each_chain(on, draw_chain, &row);
    each_chain(on, hatch_earlier, &row);
    for (size_t i = 0; i < plan->stretch_count; i++) {
        if (plan->stretches[i].chain.device_count == 0) {
            draw_wanted(on, &plan->stretches[i]);
        }
    }
    double foot = on->devices_y + on->devices_height - 0.45 * on->em;
    bool none = plan->stretch_count > 0 && plan->options.stock != NULL &&
                devices_count(on) == 0;
    lane_labels(on, &on->devices,
                on->devices_y + (bars_em(on, NULL) + GAP_EM) * on->em, foot);
    lane_name(on, foot - NAME_EM * on->em, none ? "no device fits" : "devices");
}

canvas_pen devices_wish_pen(const page *on) {
    canvas_pen pen = devices_pen(on);
    pen.dash = CANVAS_DASHED;
    return pen;
}

double devices_wish_mm(const page *on) {
    const bl_plan *plan = on->scene->plan;
    return plan == NULL || plan->wish.device_count == 0
               ? UNKNOWN
               : widest_mm(&plan->wish);
}

static void draw_wishes(page *on) {
    const bl_chain *wish = &on->scene->plan->wish;
    canvas_pen pen = devices_wish_pen(on);
    draw_diameters(on, wish, &pen);
    if (on->is_low) {
        return;
    }
    double foot = on->wishes_y + on->wishes_height - 0.45 * on->em;
    bar_row row = {on->wishes_y, true};
    draw_chain(on, wish, &row);
    lane_labels(on, &on->wishes,
                on->wishes_y + (bars_em(on, wish) + GAP_EM) * on->em, foot);
    lane_name(on, foot - NAME_EM * on->em,
              devices_wish_name(on, on->names_x1 - on->names_x));
}

void devices_draw(page *on) {
    const bl_plan *plan = on->scene->plan;
    if (plan == NULL) {
        return;
    }
    if (has_lane(plan)) {
        draw_devices(on);
    }
    if (plan->wish.device_count > 0) {
        draw_wishes(on);
    }
}
