/*
 * rule_text.c - the same under each rule and under the runner-up.
 */
#include "report/assessment_text.h"

#include "base/place.h"
#include "report/prose.h"
#include "report/source.h"

#define RULE_WIDTH ((size_t)11)
#define PERCENT_WIDTH ((size_t)12)
#define LENGTH_WIDTH ((size_t)18)

/* Right-aligned in so many columns. */
static void cell(text *out, double value, const char *unit, size_t columns) {
    text words = {0};
    if (place_is_above(value)) {
        text_add(&words, "none");
    } else {
        prose_number(&words, value, 1, unit);
    }
    for (size_t i = words.size; i < columns; i++) {
        text_add(out, " ");
    }
    text_add(out, text_c(&words));
    out->failed = out->failed || words.failed;
    text_free(&words);
}

static void rule_line(text *out, const char *name, double worst_pct,
                      double minimum_pct, double narrowed_mm) {
    size_t start = out->size;
    prose_next_line(out);
    text_add(out, name);
    while (!out->failed &&
           out->size - start < 1 + SOURCE_HEADING_WIDTH + RULE_WIDTH) {
        text_add(out, " ");
    }
    cell(out, worst_pct, " %", PERCENT_WIDTH);
    cell(out, minimum_pct, " %", PERCENT_WIDTH + 4);
    cell(out, narrowed_mm, " mm", LENGTH_WIDTH);
}

static void runner_up_lines(text *out, const bl_runner_up *of, bl_rule rule) {
    prose_next_line(out);
    text_add(out, "runner-up: next best stretches where there are some, rule ");
    text_add(out, bl_rule_name(rule));
    for (size_t i = 0; i < of->segment_count; i++) {
        const bl_segment *segment = &of->segments[i];
        prose_next_line(out);
        text_add(out, "  ");
        text_add(out, bl_end_name(segment->where));
        text_add(out, " ");
        text_span(out, segment->span);
        text_add(out, ": ");
        text_fixed(out, segment->area_mm2, 1);
        text_add(out, " mm2");
    }
}

void rule_text(text *out, const bl_assessment *of) {
    const bl_runner_up *next = of->runner_up;
    if (of->segment_count < 2 && next == NULL) {
        return;
    }
    source_heading(out, "By reference");
    text_add(out, "area stenosis:  greatest   at least area   narrowed over");
    for (unsigned i = 0; i < BL_RULE_COUNT; i++) {
        rule_line(out, bl_rule_name(i), of->worst_by_rule_pct[i],
                  of->minimum_by_rule_pct[i], of->narrowed_by_rule_mm[i]);
    }
    if (next != NULL) {
        rule_line(out, "runner-up", next->worst.area_stenosis_pct,
                  next->minimum_area_stenosis_pct, next->narrowed_mm);
        runner_up_lines(out, next, of->options.rule);
    }
    text_add(out, "\n");
}
