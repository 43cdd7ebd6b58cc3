/*
 * plan_device_text.c - the devices as two small tables: where each lies and
 * what vein it lies in; how much wider than that it is.
 */
#include "report/plan_text.h"

#include "base/constants.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>
#include <string.h>

/* Where cells begin, in the right column. */
#define AT_SIZE 3
#define AT_SPAN 18
#define AT_BALLOON 37
#define AT_REFERENCE 47
#define AT_OVERSIZE 3
#define AT_BY_AREA 14
#define AT_BY_PERIMETER 24
#define AT_CRANIAL 39
#define AT_CAUDAL 53

/* ------------------------------------------------------------------- tables */

/* Blanks up to a column of the line that began at `start`. */
static void move_to(text *out, size_t start, size_t column) {
    do {
        text_add(out, " ");
    } while (!out->failed && out->size - start < column);
}

/* Begins a line in the right column; where its columns count from. */
static size_t begin_line(text *out) {
    source_heading(out, "");
    return out->size;
}

void plan_text_signed(text *out, double value, const char *unit) {
    text_add(out, value >= PRINTED_LEAST ? "+" : "");
    prose_number(out, value, 1, unit);
}

static void place_row(text *out, size_t number, const bl_device *one) {
    size_t start = begin_line(out);
    text_format(out, "%zu", number);
    move_to(out, start, AT_SIZE);
    text_device_size(out, one->diameter_mm, one->length_mm);
    move_to(out, start, AT_SPAN);
    text_span(out, one->span);
    move_to(out, start, AT_BALLOON);
    text_short(out, one->diameter_mm, 2);
    text_add(out, " mm");
    move_to(out, start, AT_REFERENCE);
    prose_number(out, one->reference_diameter_mm, 2, " mm");
    text_add(out, "\n");
}

typedef struct heading {
    size_t column;
    const char *words;
} heading;

static void headings(text *out, const heading *list, size_t count) {
    size_t start = begin_line(out);
    for (size_t i = 0; i < count; i++) {
        move_to(out, start, list[i].column);
        text_add(out, list[i].words);
    }
    text_add(out, "\n");
}

static void place_table(text *out, const bl_chain *of) {
    static const heading list[] = {{AT_SIZE, "size"},
                                   {AT_SPAN, "from..to"},
                                   {AT_BALLOON, "balloon"},
                                   {AT_REFERENCE, "reference there"}};
    headings(out, list, sizeof list / sizeof list[0]);
    for (size_t i = 0; i < of->device_count; i++) {
        place_row(out, i + 1, &of->devices[i]);
    }
}

static void oversize_row(text *out, size_t number, const bl_device *one) {
    size_t start = begin_line(out);
    text_format(out, "%zu", number);
    move_to(out, start, AT_OVERSIZE);
    plan_text_signed(out, one->oversize_mm, " mm");
    move_to(out, start, AT_BY_AREA);
    plan_text_signed(out, one->oversize_area_pct, " %");
    move_to(out, start, AT_BY_PERIMETER);
    plan_text_signed(out, one->oversize_perimeter_pct, " %");
    move_to(out, start, AT_CRANIAL);
    plan_text_signed(out, one->oversize_cranial_mm, " mm");
    move_to(out, start, AT_CAUDAL);
    plan_text_signed(out, one->oversize_caudal_mm, " mm");
    text_add(out, "\n");
}

static void oversize_table(text *out, const bl_chain *of) {
    static const heading list[] = {{AT_OVERSIZE, "oversize"},
                                   {AT_BY_AREA, "by area"},
                                   {AT_BY_PERIMETER, "by perimeter"},
                                   {AT_CRANIAL, "cranial end"},
                                   {AT_CAUDAL, "caudal end"}};
    headings(out, list, sizeof list / sizeof list[0]);
    for (size_t i = 0; i < of->device_count; i++) {
        oversize_row(out, i + 1, &of->devices[i]);
    }
}

/* ---------------------------------------------------------- below the tables
 */

static void label_line(text *out, size_t number, const bl_device *one) {
    text words = {0};
    if (one->of == NULL) {
        return;
    }
    text_format(&words, "%zu: ", number);
    text_add(&words, one->of->label);
    if (one->of->counted) {
        text_format(&words, ", %lu on the list", (unsigned long)one->of->count);
    }
    if (one->of->foreshortening_pct > 0.0) {
        text_add(&words, "; shortens by ");
        text_short(&words, one->of->foreshortening_pct, 2);
        text_add(&words, " % to ");
        text_fixed(&words, one->span.to_mm - one->span.from_mm, 1);
        text_add(&words, " mm");
    }
    prose_wrapped_line(out, 0, &words);
}

void plan_text_reach(text *out, const bl_chain *of) {
    for (size_t i = 0; i + 1 < of->device_count; i++) {
        double overlap = of->overlaps_mm[i];
        text_add(out, i > 0 ? ", " : "");
        text_format(out, "%zu and %zu ", i + 1, i + 2);
        text_add(out, overlap < 0.0 ? "leave a gap of " : "overlap by ");
        text_fixed(out, fabs(overlap), 1);
        text_add(out, " mm");
    }
    text_add(out, of->device_count > 1 ? "; " : "");
    text_fixed(out, of->beyond_mm, 1);
    text_add(out, " mm beyond the landing points");
}

static void reach_line(text *out, const bl_chain *of) {
    text words = {0};
    plan_text_reach(&words, of);
    prose_wrapped_line(out, 0, &words);
}

static void chain_lines(text *out, const bl_chain *of) {
    place_table(out, of);
    oversize_table(out, of);
    for (size_t i = 0; i < of->device_count; i++) {
        label_line(out, i + 1, &of->devices[i]);
    }
    reach_line(out, of);
}

/* ------------------------------------------------------------------- whole */

/* What to look for on a shelf that was not given. */
static void wanted_lines(text *out, const plan_view *of,
                         const bl_stretch *one) {
    text words = {0};
    text_add(&words, "diameter at or above the reference, ");
    prose_number(&words, one->wanted_diameter_mm, 1, " mm");
    text_add(&words, " over all of it (by ");
    text_add(&words, bl_size_by_name(of->plan->sized_by));
    text_add(&words, "), ");
    for (size_t i = 0; i < 2; i++) {
        const bl_landing *at = &one->landings[i];
        prose_number(&words, at->reference_diameter_mm, 1, " mm");
        text_add(&words, " at the ");
        text_add(&words, bl_end_name(at->where));
        text_add(&words, i == 0 ? " end, " : " end");
    }
    prose_paragraph(out, "Wanted", &words);
    text_add(&words, "length ");
    text_fixed(&words, one->cover_mm, 1);
    text_add(&words, " mm when opened; of several devices ");
    text_short(&words, of->plan->options.overlap_mm, 2);
    text_add(&words, " mm more for each overlap");
    prose_wrapped_line(out, 0, &words);
}

void plan_text_devices(text *out, const plan_view *of, size_t index) {
    const bl_stretch *one = &of->plan->stretches[index];
    if (of->plan->options.stock == NULL) {
        wanted_lines(out, of, one);
        return;
    }
    if (plan_text_lacks(of->plan, one)) {
        source_heading(out, "Missing");
        prose_wrapped(out, one->missing);
    }
    if (one->chain.device_count > 0) {
        source_heading(out, "Devices");
        text_add(out, "of ");
        text_add(out, bl_stock_name(of->plan->options.stock));
        text_add(out, ", sized by ");
        text_add(out, bl_size_by_name(of->plan->sized_by));
        text_add(out, "\n");
        chain_lines(out, &one->chain);
    }
}

const char *plan_text_wish_verdict(const bl_plan *of) {
    if (of->wish_finding_count > 0) {
        return "not by the rules";
    }
    return of->wish_unjudged_count > 0
               ? "whether it keeps the rules cannot be judged"
               : "it keeps the rules";
}

/* What it treats in one go may not be what the plan does. */
static const char *parted_words(const bl_plan *of) {
    if (of->wish_stretch_count > of->stretch_count) {
        return ", narrowings treated apart";
    }
    return of->wish_stretch_count < of->stretch_count
               ? ", narrowings treated together"
               : "";
}

void plan_text_wish(text *out, const plan_view *of) {
    const bl_plan *plan = of->plan;
    text words = {0};
    if (plan->options.wish_count == 0) {
        return;
    }
    plan_text_sizes(&words, &plan->wish, 1);
    text_add(&words, ", as given");
    text_add(&words, parted_words(plan));
    text_add(&words, ": ");
    text_add(&words, plan_text_wish_verdict(plan));
    prose_paragraph(out, "What if", &words);
    for (size_t i = 0; i < plan->wish_finding_count; i++) {
        text_add(&words, "- ");
        text_add(&words, plan->wish_findings[i]);
        prose_wrapped_line(out, 0, &words);
    }
    for (size_t i = 0; i < plan->wish_unjudged_count; i++) {
        text_add(&words, "- cannot be judged: ");
        text_add(&words, plan->wish_unjudged[i]);
        prose_wrapped_line(out, 0, &words);
    }
    chain_lines(out, &plan->wish);
}
