/*
 * assessment_text.c - the assessment as a short report to read.
 *
 * Every percentage names its kind and stands beside the absolute number it
 * came from. A heading stands in the left column, the words to its right;
 * lines stay within 80 characters unless a label or file name is long.
 */
#include "base/limits.h"
#include "base/origin.h"
#include "base/place.h"
#include "report/explained.h"
#include "report/source.h"

#include <math.h>

#define LINE_WIDTH 80
#define REFERENCES_A_LINE 6

static void next_line(text *out) {
    text_add(out, "\n");
    source_heading(out, "");
}

static void number(text *out, double value, unsigned decimals,
                   const char *unit) {
    if (isnan(value)) {
        text_add(out, "unknown");
    } else {
        text_fixed(out, value, decimals);
        text_add(out, unit);
    }
}

/* Words wrapped at LINE_WIDTH, continued under the right column, `indent` in
 * from it, where the first of them is written too. */
static void wrapped_in(text *out, unsigned indent, const char *words) {
    size_t column = SOURCE_HEADING_WIDTH + indent;
    while (*words != '\0') {
        size_t size = 0;
        while (words[size] != '\0' && words[size] != ' ') {
            size++;
        }
        bool first = column == SOURCE_HEADING_WIDTH + indent;
        if (!first && column + 1 + size > LINE_WIDTH) {
            next_line(out);
            text_format(out, "%*s", (int)indent, "");
            column = SOURCE_HEADING_WIDTH + indent;
        } else if (!first) {
            text_add(out, " ");
            column++;
        }
        text_bytes(out, words, size);
        column += size;
        words += size;
        words += *words == ' ';
    }
    text_add(out, "\n");
}

static void wrapped(text *out, const char *words) {
    wrapped_in(out, 0, words);
}

/* A line of its own of composed words, which are freed; without words none. */
static void wrapped_line(text *out, unsigned indent, text *words) {
    if (words->size > 0) {
        source_heading(out, "");
        text_format(out, "%*s", (int)indent, "");
        wrapped_in(out, indent, text_c(words));
    }
    out->failed = out->failed || words->failed;
    text_free(words);
}

static void pullback_lines(text *out, const bl_study *study,
                           const bl_assessment *of, const bl_source *source) {
    const bl_pullback *pullback = bl_study_pullback(study);
    source_heading(out, "Pullback");
    text_add(out, source->file);
    const char *labels[] = {pullback->case_name, pullback->side,
                            pullback->stage, pullback->reader};
    for (size_t i = 0; i < sizeof labels / sizeof labels[0]; i++) {
        text_add(out, labels[i][0] != '\0' ? "; " : "");
        text_add(out, i == 3 && labels[i][0] != '\0' ? "reader " : "");
        text_add(out, labels[i]);
    }
    next_line(out);
    text_fixed(out, pullback->length_mm, 1);
    text_format(out, " mm long; %zu of %zu frames used", of->frames_used,
                of->frames);
    text_add(out, "\n");
    text words = {0};
    text_add(&words, "position from ");
    origin_position_words(&words, pullback);
    wrapped_line(out, 0, &words);
    source_heading(out, "");
    text_add(out, "coordinates in ");
    origin_units_words(out, pullback);
    next_line(out);
    if (of->options.smooth_mm > 0.0) {
        text_add(out, "smoothed by a running median over ");
        text_short(out, of->options.smooth_mm, 4);
        text_add(out, " mm\n");
    } else {
        text_add(out, "not smoothed\n");
    }
}

/* "36 % of normal (common iliac vein, 200 mm2)". */
static void share_words(text *out, bl_vein vein, double share_pct,
                        double normal_mm2) {
    text_fixed(out, share_pct, 0);
    text_add(out, " % of normal (");
    text_add(out, bl_vein_name(vein));
    text_add(out, ", ");
    text_short(out, normal_mm2, 2);
    text_add(out, " mm2)");
}

static void reference_lines(text *out, const bl_assessment *of) {
    source_heading(out, "Reference");
    for (size_t i = 0; i < of->segment_count; i++) {
        const bl_segment *segment = &of->segments[i];
        text_add(out, bl_end_name(segment->where));
        text_add(out, " ");
        text_span(out, segment->span);
        text_add(out, ": ");
        text_fixed(out, segment->area_mm2, 1);
        text_add(out, " mm2, equivalent diameter ");
        text_fixed(out, segment->equivalent_diameter_mm, 2);
        text_add(out, " mm");
        next_line(out);
        if (!isnan(segment->share_of_normal_pct)) {
            text_add(out, "  ");
            share_words(out, segment->vein, segment->share_of_normal_pct,
                        segment->normal_area_mm2);
            next_line(out);
        }
    }
    if (of->segment_count > 1) {
        text_add(out, "rule ");
        text_add(out, bl_rule_name(of->options.rule));
        next_line(out);
    }
    wrapped(out, of->reference_why);
}

/* A percentage below zero is no stenosis, and is not called one. */
static void stenosis(text *out, const char *kind, double pct) {
    bool above = pct < -0.05; /* as printed */
    text_add(out, above ? "no " : "");
    text_add(out, kind);
    text_add(out, above ? " (" : " ");
    number(out, above ? -pct : pct, 1, " %");
    text_add(out, above ? " above the reference)" : "");
}

static void stenosis_lines(text *out, const bl_place *place) {
    next_line(out);
    stenosis(out, "area stenosis", place->area_stenosis_pct);
    text_add(out, ",");
    if (place_exceeds(place)) {
        next_line(out);
    } else {
        text_add(out, " ");
    }
    stenosis(out, "diameter stenosis", place->diameter_stenosis_pct);
    next_line(out);
    stenosis(out, "minimum-diameter stenosis",
             place->min_diameter_stenosis_pct);
}

/* What shares of normal are of, once; a reference of what is expected has said
 * it. */
static void normal_lines(text *out, const bl_assessment *of) {
    bool any = !isnan(of->minimum.normal_area_mm2) ||
               !isnan(of->worst.normal_area_mm2);
    for (size_t i = 0; i < of->segment_count; i++) {
        any = any || !isnan(of->segments[i].normal_area_mm2);
    }
    for (size_t i = 0; i < of->vein_count; i++) {
        any = any || !isnan(of->veins[i].minimum.normal_area_mm2);
    }
    if (!any || of->reference_from == BL_FROM_EXPECTED) {
        return;
    }
    text words = {0};
    text_add(&words, of->options.expected == NULL
                         ? "published normal minimal area of each vein: "
                         : "area expected of each vein: ");
    text_add(&words, bl_normals_source(of->options.expected));
    source_heading(out, "Normal");
    wrapped(out, text_c(&words));
    out->failed = out->failed || words.failed;
    text_free(&words);
}

/* What speaks against a contour, once: that was said of `above`. */
static void doubt_lines(text *out, unsigned indent, const bl_place *place,
                        const bl_place *above) {
    text words = {0};
    if (place_is_doubted(place)) {
        bool again = above != NULL && above->row == place->row;
        text_add(&words, again ? "doubtful, as above" : "doubtful: ");
        if (!again) {
            place_doubt_words(&words, place);
        }
    }
    wrapped_line(out, indent, &words);
}

/* What the worst place is the worst of, where that is not all of the vein; and
 * that nothing is below the reference where nothing is. */
static void scope_lines(text *out, const bl_assessment *of) {
    bool in_part = place_judged_in_part(of);
    text words = {0};
    if (place_exceeds(&of->worst)) {
        text_add(&words, "no frame lies below the reference");
        text_add(&words, in_part ? ", of " : "");
    } else if (in_part) {
        text_add(&words, "of ");
    }
    if (in_part) {
        place_judged_words(&words, of);
        text_add(&words, "; the rest has no reference");
    }
    wrapped_line(out, 0, &words);
}

static void place_head(text *out, const bl_place *place) {
    text_add(out, "at ");
    text_fixed(out, place->position_mm, 1);
    text_format(out, " mm, frame %lld", (long long)place->frame);
    if (place->vein != BL_VEIN_UNKNOWN) {
        text_add(out, ", ");
        text_add(out, bl_vein_name(place->vein));
    }
    text_add(out, "\n");
    doubt_lines(out, 0, place, NULL);
}

static void place_lines(text *out, const bl_assessment *of,
                        const bl_place *place) {
    source_heading(out, "");
    text_add(out, "area ");
    text_fixed(out, place->area_mm2, 1);
    text_add(out, " mm2");
    if (!isnan(place->reference_area_mm2)) {
        text_add(out, " against ");
        text_fixed(out, place->reference_area_mm2, 1);
        text_add(out, " mm2 ");
        text_add(out, of->reference_from == BL_FROM_EXPECTED
                          ? "expected"
                          : "of healthy vein");
    }
    if (!isnan(place->share_of_normal_pct)) {
        next_line(out);
        share_words(out, place->vein, place->share_of_normal_pct,
                    place->normal_area_mm2);
    }
    next_line(out);
    text_add(out, "diameter ");
    number(out, place->min_diameter_mm, 2, " mm");
    text_add(out, " least, ");
    number(out, place->max_diameter_mm, 2, " mm");
    text_add(out, " greatest, ");
    number(out, place->equivalent_diameter_mm, 2, " mm");
    text_add(out, " equivalent");
    if (!isnan(place->area_stenosis_pct)) {
        stenosis_lines(out, place);
    }
    text_add(out, "\n");
}

static void worst_lines(text *out, const bl_assessment *of) {
    text title = {0};
    text_add(&title, place_worst_name(of));
    if (!title.failed) {
        title.bytes[0] = (char)(title.bytes[0] - 'a' + 'A');
    }
    source_heading(out, text_c(&title));
    out->failed = out->failed || title.failed;
    text_free(&title);
    place_head(out, &of->worst);
    scope_lines(out, of);
    place_lines(out, of, &of->worst);
}

static void single_frame_line(text *out, const bl_assessment *of) {
    source_heading(out, "Single frame");
    text_add(out, "lowest as traced: ");
    text_fixed(out, of->lowest_frame.area_mm2, 1);
    text_format(out, " mm2 in frame %lld at ",
                (long long)of->lowest_frame.frame);
    text_fixed(out, of->lowest_frame.position_mm, 1);
    text_add(out, " mm\n");
    doubt_lines(out, 0, &of->lowest_frame, &of->worst);
}

/* Right-aligned in so many columns. */
static void cell(text *out, double value, const char *unit, size_t columns) {
    text words = {0};
    if (value < -0.05) {
        text_add(&words, "none"); /* more area than the reference */
    } else {
        number(&words, value, 1, unit);
    }
    for (size_t i = words.size; i < columns; i++) {
        text_add(out, " ");
    }
    text_add(out, text_c(&words));
    out->failed = out->failed || words.failed;
    text_free(&words);
}

#define RULE_WIDTH ((size_t)11)
#define PERCENT_WIDTH ((size_t)12)
#define LENGTH_WIDTH ((size_t)18)

static void rule_line(text *out, const char *name, double worst_pct,
                      double minimum_pct, double narrowed_mm) {
    size_t start = out->size;
    next_line(out);
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
    next_line(out);
    text_add(out, "runner-up: next best stretches where there are some, rule ");
    text_add(out, bl_rule_name(rule));
    for (size_t i = 0; i < of->segment_count; i++) {
        const bl_segment *segment = &of->segments[i];
        next_line(out);
        text_add(out, "  ");
        text_add(out, bl_end_name(segment->where));
        text_add(out, " ");
        text_span(out, segment->span);
        text_add(out, ": ");
        text_fixed(out, segment->area_mm2, 1);
        text_add(out, " mm2");
    }
}

static void rule_lines(text *out, const bl_assessment *of) {
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

/* What is not held against a reference is not healthy for that. */
static void unjudged_words(text *out, const bl_assessment *of) {
    if (place_judged_in_part(of)) {
        next_line(out);
        text_add(out, "in the ");
        text_fixed(out, of->judged_mm, 1);
        text_add(out, " mm that have a reference; ");
        text_fixed(out, of->traced_mm - of->judged_mm, 1);
        text_add(out, " mm were not judged");
    }
}

/* Of an expected area no shape is known. */
static void circle_words(text *out, const bl_assessment *of) {
    if (of->reference_from == BL_FROM_EXPECTED) {
        next_line(out);
        text_add(out, "    against a circle of the expected area");
    }
}

/* The figures that breathing touches, under the same reference stretches. */
static void key_figure_lines(text *out, const bl_assessment *of,
                             const char *title, const bl_key_figures *key) {
    next_line(out);
    text_add(out, title);
    text_add(out, ": least area ");
    text_fixed(out, key->minimum.area_mm2, 1);
    text_add(out, " mm2 at ");
    text_fixed(out, key->minimum.position_mm, 1);
    text_add(out, " mm");
    for (size_t i = 0; i < of->segment_count; i++) {
        if (i % REFERENCES_A_LINE == 0) {
            next_line(out);
            text_add(out, i == 0 ? "  reference " : "            ");
        }
        text_fixed(out, key->segment_area_mm2[i], 1);
        text_add(out, i + 1 == of->segment_count ? " mm2" : ", ");
    }
    if (of->reference_from != BL_FROM_NOTHING) {
        next_line(out);
        text_add(out, "  greatest area stenosis ");
        number(out, key->worst.area_stenosis_pct, 1, " %");
        text_add(out, " at ");
        text_fixed(out, key->worst.position_mm, 1);
        text_format(out, " mm; narrowings: %zu", key->narrowing_count);
    }
}

static void ripple_lines(text *out, const bl_assessment *of) {
    const bl_ripple *ripple = &of->ripple;
    if (!ripple->found) {
        if (of->options.steady) {
            source_heading(out, "Ripple");
            text_add(out, "none found: --steady changes nothing\n");
        }
        return;
    }
    source_heading(out, "Ripple");
    text_fixed(out, ripple->peak_to_trough_mm, 2);
    text_add(out, " mm peak to trough, ");
    text_fixed(out, ripple->share_of_diameter_pct, 0);
    text_add(out, " % of the diameter, every ");
    text_fixed(out, ripple->wavelength_mm, 1);
    text_add(out, " mm");
    if (!isnan(ripple->period_s)) {
        text_add(out, ", ");
        text_fixed(out, ripple->period_s, 1);
        text_add(out, " s");
    }
    for (size_t i = 0; i < ripple->stretch_count; i++) {
        next_line(out);
        text_add(out, i == 0 ? "over " : "and  ");
        text_span(out, ripple->stretches[i]);
    }
    key_figure_lines(out, of, ripple->removed ? "with it" : "with it, as above",
                     &ripple->with);
    key_figure_lines(out, of,
                     ripple->removed ? "taken off, as above" : "taken off",
                     &ripple->without);
    text_add(out, "\n");
}

/* An end of a narrowing or of its shoulder that was not seen. */
static void open_end(text *words, bool shoulder, bool narrowing, double at_mm) {
    if (shoulder) {
        text_add(words, words->size > 0 ? ", " : "");
        text_add(words, narrowing ? "narrowing open at " : "shoulder open at ");
        text_fixed(words, at_mm, 1);
        text_add(words, " mm");
    }
}

/* How long it is, and of what the end was not seen. */
static void narrowing_head(text *out, const bl_narrowing *of) {
    source_heading(out, "");
    text_span(out, of->span);
    text_add(out, ", ");
    text_fixed(out, of->span.to_mm - of->span.from_mm, 1);
    text_add(out, of->span_open_from || of->span_open_to
                      ? " mm long or more, shoulders "
                      : " mm long, shoulders ");
    text_span(out, of->shoulders);
    text_add(out, "\n");
    text words = {0};
    open_end(&words, of->open_from, of->span_open_from, of->shoulders.from_mm);
    open_end(&words, of->open_to, of->span_open_to, of->shoulders.to_mm);
    wrapped_line(out, 2, &words);
    source_heading(out, "");
}

static void narrowing_doubts(text *out, const bl_assessment *in,
                             const bl_narrowing *of) {
    text words = {0};
    if (of->left_out > 0) {
        text_format(&words, "%zu %s between its shoulders %s left out",
                    of->left_out, of->left_out == 1 ? "frame" : "frames",
                    of->left_out == 1 ? "was" : "were");
    }
    wrapped_line(out, 2, &words);
    doubt_lines(out, 2, &of->worst, &in->worst);
}

static void narrowing_line(text *out, const bl_assessment *of,
                           const bl_narrowing *one) {
    narrowing_head(out, one);
    text_add(out, "  least ");
    text_fixed(out, one->min_area_mm2, 1);
    text_add(out, " mm2, area stenosis ");
    text_fixed(out, one->worst.area_stenosis_pct, 1);
    text_add(out, " % at ");
    text_fixed(out, one->worst.position_mm, 1);
    text_add(out, " mm");
    next_line(out);
    if (!isnan(one->worst.share_of_normal_pct)) {
        text_add(out, "  there ");
        share_words(out, one->worst.vein, one->worst.share_of_normal_pct,
                    one->worst.normal_area_mm2);
        next_line(out);
    }
    text_add(out, "  ");
    text_add(out, bl_pattern_name(one->pattern));
    text_add(out, " (flattening share ");
    text_fixed(out, one->flattening_share, 2);
    text_add(out, ")");
    circle_words(out, of);
    text_add(out, "\n");
    narrowing_doubts(out, of, one);
}

static void narrowing_lines(text *out, const bl_assessment *of) {
    source_heading(out, "Narrowings");
    text_add(out, "area stenosis of ");
    text_short(out, of->options.threshold_pct, 2);
    text_add(out, " % or more; shoulders to ");
    text_short(out, of->options.shoulder_pct, 2);
    text_add(out, of->narrowing_count == 0 ? " %: none" : " %");
    unjudged_words(out, of);
    text_add(out, "\n");
    for (size_t i = 0; i < of->narrowing_count; i++) {
        narrowing_line(out, of, &of->narrowings[i]);
    }
}

static void compression_line(text *out, const bl_assessment *of,
                             const bl_compression *one) {
    text_add(out, "point at ");
    text_fixed(out, one->place.position_mm, 1);
    text_add(out, " mm: ");
    text_fixed(out, one->place.min_diameter_mm, 2);
    text_add(out, " x ");
    text_fixed(out, one->place.max_diameter_mm, 2);
    text_add(out, " mm (aspect ratio ");
    text_fixed(out, one->aspect_ratio, 2);
    text_add(out, ")");
    next_line(out);
    bool expected = of->reference_from == BL_FROM_EXPECTED;
    text_add(out, expected ? "  perimeter " : "  perimeter kept ");
    text_fixed(out, one->perimeter_kept_pct, 0);
    text_add(out, " %, long axis ");
    text_fixed(out, one->long_axis_deg, 0);
    text_add(out, " deg, ");
    stenosis(out, "area stenosis", one->place.area_stenosis_pct);
    circle_words(out, of);
    if (one->nearest_mark != NULL) {
        next_line(out);
        text_add(out, "  ");
        text_fixed(
            out, fabs(one->nearest_mark->position_mm - one->place.position_mm),
            1);
        text_add(out, " mm from the mark ");
        text_add(out, one->nearest_mark->name);
    }
    text_add(out, "\n");
    text words = {0};
    if (place_perimeter_is_long(one)) {
        text_add(&words, "the perimeter is ");
        place_perimeter_words(&words, of);
    }
    wrapped_line(out, 2, &words);
    doubt_lines(out, 2, &one->place, &of->worst);
}

static void compression_lines(text *out, const bl_assessment *of) {
    source_heading(out, "Compression");
    if (of->compression_count == 0) {
        text_add(out, "no stretch is flattened more than the reference");
        unjudged_words(out, of);
        text_add(out, "\n");
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        if (i > 0) {
            source_heading(out, "");
        }
        compression_line(out, of, &of->compressions[i]);
    }
}

static void vein_stenosis_lines(text *out, const bl_vein_row *one) {
    next_line(out);
    if (!one->has_reference) {
        text_add(out, "  no reference, so nothing is called narrowed");
        return;
    }
    text_add(out, "  reference there ");
    text_fixed(out, one->minimum.reference_area_mm2, 1);
    if (place_exceeds(&one->worst)) {
        text_add(out, " mm2; no frame lies below it");
    } else {
        text_add(out, " mm2; greatest area stenosis ");
        text_fixed(out, one->worst.area_stenosis_pct, 1);
        text_add(out, " %");
        if (one->worst.row != one->minimum.row &&
            place_is_doubted(&one->worst)) {
            next_line(out);
            text_add(out, "  doubtful there");
        }
    }
    next_line(out);
    text_add(out, "  narrowed over ");
    text_fixed(out, one->narrowed_mm, 1);
    text_format(out, " mm; %zu compression %s", one->compression_count,
                one->compression_count == 1 ? "point" : "points");
}

static void vein_lines(text *out, const bl_assessment *of) {
    for (size_t i = 0; i < of->vein_count; i++) {
        const bl_vein_row *one = &of->veins[i];
        source_heading(out, i == 0 ? "Vein by vein" : "");
        text_add(out, bl_vein_name(one->vein));
        text_add(out, ", ");
        text_span(out, one->span);
        text_add(out, ", ");
        text_fixed(out, one->traced_mm, 1);
        text_add(out, " mm traced");
        next_line(out);
        text_add(out, "  least ");
        text_fixed(out, one->minimum.area_mm2, 1);
        text_add(out, " mm2 at ");
        text_fixed(out, one->minimum.position_mm, 1);
        text_format(out, " mm, frame %lld", (long long)one->minimum.frame);
        if (!isnan(one->minimum.share_of_normal_pct)) {
            text_add(out, ", ");
            text_fixed(out, one->minimum.share_of_normal_pct, 0);
            text_add(out, " % of normal");
        }
        text_add(out, place_is_doubted(&one->minimum) ? ", doubtful" : "");
        vein_stenosis_lines(out, one);
        text_add(out, "\n");
    }
}

static void between(text *out, bl_interval of, unsigned decimals,
                    const char *unit) {
    if (isnan(of.low)) {
        text_add(out, "not known");
        return;
    }
    text_fixed(out, of.low, decimals);
    text_add(out, " to ");
    text_fixed(out, of.high, decimals);
    text_add(out, unit);
}

/* More area than the reference is no stenosis. */
static void stenosis_between(text *out, bl_interval of) {
    if (!(of.low < 0.0)) {
        between(out, of, 1, " %");
        return;
    }
    text_add(out, "none");
    if (of.high >= 0.0) {
        text_add(out, " to ");
        text_fixed(out, of.high, 1);
        text_add(out, " %");
    }
}

/* What is open is longer than what was traced of it. */
static void length_between(text *out, bl_interval of, const char *what,
                           bool open) {
    if (isnan(of.low)) {
        text_add(out, "not known how ");
        text_add(out, what);
        text_add(out, ",");
        return;
    }
    between(out, of, 1, " mm ");
    text_add(out, what);
    text_add(out, open ? " of what was traced," : ",");
}

/* A worst place that is not known to 2 mm is said to be so. */
static void place_between(text *out, bl_interval of) {
    if (of.high - of.low > 2.0) {
        next_line(out);
        text_add(out, "worst place between ");
        text_fixed(out, of.low, 1);
        text_add(out, " and ");
        text_fixed(out, of.high, 1);
        text_add(out, " mm");
    }
}

static void narrowing_intervals(text *out, const bl_narrowing *one) {
    next_line(out);
    text_add(out, "narrowing ");
    text_span(out, one->span);
    text_add(out, ": ");
    length_between(out, one->length_interval_mm, "long",
                   one->span_open_from || one->span_open_to);
    next_line(out);
    text_add(out, "  ");
    length_between(out, one->shoulders_interval_mm, "long between shoulders",
                   one->open_from || one->open_to);
    next_line(out);
    text_add(out, "  least ");
    between(out, one->min_area_interval_mm2, 1, " mm2");
    text_add(out, ", area stenosis ");
    stenosis_between(out, one->area_stenosis_interval_pct);
}

static bool lies_in(bl_interval of, double value) {
    return isnan(of.low) || (value >= of.low && value <= of.high);
}

static void breathing_contents(text *out, const bl_intervals *all) {
    bool likely = !isnan(all->likely_ripple_pct);
    double swing = likely ? all->likely_ripple_pct : all->unseen_ripple_pct;
    if (!(swing > 0.0)) {
        text_add(out, "no breathing");
        return;
    }
    text_add(out, "breathing (a ripple of ");
    text_add(out, likely ? "" : "up to ");
    text_fixed(out, swing, 0);
    text_add(out, likely ? " % of the diameter is likely and taken off)"
                         : " % of the diameter could not be seen)");
}

/* What intervals are made of, in words. */
static void contents(text *out, const bl_assessment *of) {
    const bl_intervals *all = &of->intervals;
    text_add(out, "They contain an error of ");
    text_short(out, of->options.area_cv_pct, 1);
    text_add(out, " % in the area of each contour (");
    text_add(out, bl_error_from_name(all->area_cv_from));
    text_add(out, "), ");
    if (of->segment_count > 0) {
        text_add(out, "the spread within the reference, ");
    }
    if (of->reference_from == BL_FROM_FOUND) {
        text_add(out, "taper and joining veins beyond and between its "
                      "stretches, ");
    }
    breathing_contents(out, all);
    text_add(out, " and ");
    if (of->options.speed_cv_pct > 0.0) {
        text_add(out, "in lengths an error of ");
        text_short(out, of->options.speed_cv_pct, 1);
        text_add(out, " % in speed (");
        text_add(out, bl_error_from_name(all->speed_cv_from));
        text_add(out, ")");
    } else {
        text_add(out, "no error of position");
    }
    text_add(out, "; that the least of many frames reads low, here by ");
    text_fixed(out, fmax(all->minimum_reads_low_pct, 0.0), 1);
    text_add(out, " %, is corrected");
    bool within =
        lies_in(all->minimum_area_mm2, of->minimum.area_mm2) &&
        lies_in(all->worst_area_stenosis_pct, of->worst.area_stenosis_pct);
    text_add(out, within ? "." : ": so a number can lie outside its interval.");
    text_add(out, " They do not contain a reference that is diseased, what "
                  "else neighbouring frames have in common, obliquity or "
                  "scale.");
}

static void interval_lines(text *out, const bl_assessment *of) {
    const bl_intervals *all = &of->intervals;
    source_heading(out, "Intervals");
    if (all->resamples == 0) {
        text_add(out, "none: the profile is smoothed over more than 5 mm\n");
        return;
    }
    text_add(out, "95 %: least area ");
    between(out, all->minimum_area_mm2, 1, " mm2");
    if (!isnan(all->worst_area_stenosis_pct.low)) {
        next_line(out);
        text_add(out, "greatest area stenosis ");
        stenosis_between(out, all->worst_area_stenosis_pct);
        if (all->worst_corrected_pct >= 0.0) {
            text_add(out, ", corrected ");
            text_fixed(out, all->worst_corrected_pct, 1);
            text_add(out, " %");
        }
        if (of->narrowing_count > 0) {
            place_between(out, all->worst_position_mm);
        }
    }
    for (size_t i = 0; i < of->narrowing_count && i < LIMIT_INTERVALS; i++) {
        narrowing_intervals(out, &of->narrowings[i]);
    }
    if (of->narrowing_count > LIMIT_INTERVALS) {
        next_line(out);
        text_format(out, "%zu more narrowings have none",
                    of->narrowing_count - LIMIT_INTERVALS);
    }
    text words = {0};
    contents(&words, of);
    text_add(out, "\n");
    wrapped_line(out, 0, &words);
}

static void volume_line(text *out, const bl_assessment *of) {
    source_heading(out, "Volume");
    text_fixed(out, of->volume_mm3, 0);
    text_add(out, " mm3 over ");
    text_fixed(out, of->traced_mm, 1);
    text_add(out, " mm traced\n");
}

bl_status bl_report_assessment_text(const bl_study *study,
                                    const bl_assessment *of,
                                    const bl_source *source, bl_sink sink,
                                    void *context) {
    text out = {0};
    pullback_lines(&out, study, of, source);
    bool any = of->reference_from != BL_FROM_NOTHING;
    if (any) {
        reference_lines(&out, of);
    } else {
        source_heading(&out, "Reference");
        text_add(&out, "none, so nothing is called narrowed\n");
    }
    if (of->options.explain) {
        explained_text(&out, of);
    }
    normal_lines(&out, of);
    if (any) {
        worst_lines(&out, of);
    }
    if (!any || of->minimum.row != of->worst.row) {
        source_heading(&out, "Least area");
        place_head(&out, &of->minimum);
        place_lines(&out, of, &of->minimum);
    }
    single_frame_line(&out, of);
    ripple_lines(&out, of);
    rule_lines(&out, of);
    if (any) {
        narrowing_lines(&out, of);
        compression_lines(&out, of);
    }
    interval_lines(&out, of);
    vein_lines(&out, of);
    volume_line(&out, of);
    for (size_t i = 0; i < of->warning_count; i++) {
        source_heading(&out, "Note");
        wrapped(&out, of->warnings[i]);
    }
    source_heading(&out, "Caution");
    wrapped(&out, bl_caution());
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
