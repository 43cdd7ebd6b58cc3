/*
 * assessment_text.c - the assessment as a short report to read.
 *
 * Every percentage names its kind and stands beside the absolute number it
 * came from. A heading stands in the left column, the words to its right;
 * lines stay within 80 characters unless a label or file name is long.
 */
#include "report/source.h"

#include <math.h>

#define HEADING_WIDTH 15
#define LINE_WIDTH 80
#define REFERENCES_A_LINE 6

static void heading(text *out, const char *words) {
    size_t start = out->size;
    text_add(out, words);
    while (!out->failed && out->size - start < HEADING_WIDTH) {
        text_add(out, " ");
    }
}

static void next_line(text *out) {
    text_add(out, "\n");
    heading(out, "");
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

static void span(text *out, bl_span of) {
    text_fixed(out, of.from_mm, 1);
    text_add(out, "..");
    text_fixed(out, of.to_mm, 1);
    text_add(out, " mm");
}

/* Words wrapped at LINE_WIDTH, continued under the right column. */
static void wrapped(text *out, const char *words) {
    size_t column = HEADING_WIDTH;
    while (*words != '\0') {
        size_t size = 0;
        while (words[size] != '\0' && words[size] != ' ') {
            size++;
        }
        bool first = column == HEADING_WIDTH;
        if (!first && column + 1 + size > LINE_WIDTH) {
            next_line(out);
            column = HEADING_WIDTH;
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

static void pullback_lines(text *out, const bl_study *study,
                           const bl_assessment *of, const bl_source *source) {
    const bl_pullback *pullback = bl_study_pullback(study);
    heading(out, "Pullback");
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
    next_line(out);
    text_add(out, "position from ");
    source_position_words(out, pullback);
    next_line(out);
    text_add(out, "coordinates in ");
    source_units_words(out, pullback);
    text_add(out, "\n");
}

/* "36 % of normal (common iliac vein, 200 mm2)". */
static void share_words(text *out, bl_vein vein, double share_pct,
                        double normal_mm2) {
    text_fixed(out, share_pct, 0);
    text_add(out, " % of normal (");
    text_add(out, bl_vein_name(vein));
    text_add(out, ", ");
    source_short(out, normal_mm2, 2);
    text_add(out, " mm2)");
}

static void reference_lines(text *out, const bl_assessment *of) {
    heading(out, "Reference");
    for (size_t i = 0; i < of->segment_count; i++) {
        const bl_segment *segment = &of->segments[i];
        text_add(out, bl_end_name(segment->where));
        text_add(out, " ");
        span(out, segment->span);
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

static void stenosis_line(text *out, const bl_place *place) {
    next_line(out);
    text_add(out, "area stenosis ");
    number(out, place->area_stenosis_pct, 1, " %");
    text_add(out, ", diameter stenosis ");
    number(out, place->diameter_stenosis_pct, 1, " %");
    next_line(out);
    text_add(out, "minimum-diameter stenosis ");
    number(out, place->min_diameter_stenosis_pct, 1, " %");
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
    heading(out, "Normal");
    wrapped(out, text_c(&words));
    out->failed = out->failed || words.failed;
    text_free(&words);
}

static void place_lines(text *out, const bl_assessment *of, const char *title,
                        const bl_place *place) {
    heading(out, title);
    text_add(out, "at ");
    text_fixed(out, place->position_mm, 1);
    text_format(out, " mm, frame %lld", (long long)place->frame);
    if (place->vein != BL_VEIN_UNKNOWN) {
        text_add(out, ", ");
        text_add(out, bl_vein_name(place->vein));
    }
    next_line(out);
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
        stenosis_line(out, place);
    }
    text_add(out, "\n");
}

static void single_frame_line(text *out, const bl_assessment *of) {
    heading(out, "Single frame");
    text_add(out, "lowest as traced: ");
    text_fixed(out, of->lowest_frame.area_mm2, 1);
    text_format(out, " mm2 in frame %lld at ",
                (long long)of->lowest_frame.frame);
    text_fixed(out, of->lowest_frame.position_mm, 1);
    text_add(out, " mm\n");
}

static void rule_lines(text *out, const bl_assessment *of) {
    if (of->segment_count < 2) {
        return;
    }
    heading(out, "By rule");
    text_add(out, "greatest area stenosis:");
    for (unsigned i = 0; i < BL_RULE_COUNT; i++) {
        if (i == 3) {
            next_line(out);
            text_add(out, "                       ");
        }
        text_add(out, " ");
        text_add(out, bl_rule_name(i));
        text_add(out, " ");
        number(out, of->worst_by_rule_pct[i], 1, " %");
        text_add(out, i + 1 < BL_RULE_COUNT ? "," : "\n");
    }
}

/* Lengths are printed to a tenth. */
static bool is_judged_in_part(const bl_assessment *of) {
    return of->traced_mm - of->judged_mm >= 0.05;
}

/* What is not held against a reference is not healthy for that. */
static void unjudged_words(text *out, const bl_assessment *of) {
    if (is_judged_in_part(of)) {
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
            heading(out, "Ripple");
            text_add(out, "none found: --steady changes nothing\n");
        }
        return;
    }
    heading(out, "Ripple");
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
        span(out, ripple->stretches[i]);
    }
    key_figure_lines(out, of, ripple->removed ? "with it" : "with it, as above",
                     &ripple->with);
    key_figure_lines(out, of,
                     ripple->removed ? "taken off, as above" : "taken off",
                     &ripple->without);
    text_add(out, "\n");
}

static void narrowing_lines(text *out, const bl_assessment *of) {
    heading(out, "Narrowings");
    text_add(out, "area stenosis of ");
    source_short(out, of->options.threshold_pct, 2);
    text_add(out, " % or more; shoulders to ");
    source_short(out, of->options.shoulder_pct, 2);
    text_add(out, of->narrowing_count == 0 ? " %: none" : " %");
    unjudged_words(out, of);
    text_add(out, "\n");
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        heading(out, "");
        span(out, one->span);
        text_add(out, ", ");
        text_fixed(out, one->span.to_mm - one->span.from_mm, 1);
        text_add(out, one->open_from || one->open_to
                          ? " mm long or more, shoulders "
                          : " mm long, shoulders ");
        span(out, one->shoulders);
        next_line(out);
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
    }
}

static void compression_lines(text *out, const bl_assessment *of) {
    heading(out, "Compression");
    if (of->compression_count == 0) {
        text_add(out, "no stretch is flattened more than the reference");
        unjudged_words(out, of);
        text_add(out, "\n");
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        const bl_compression *one = &of->compressions[i];
        if (i > 0) {
            heading(out, "");
        }
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
        text_add(out, " deg, area stenosis ");
        text_fixed(out, one->place.area_stenosis_pct, 1);
        text_add(out, " %");
        circle_words(out, of);
        if (one->nearest_mark != NULL) {
            next_line(out);
            text_add(out, "  ");
            text_fixed(
                out,
                fabs(one->nearest_mark->position_mm - one->place.position_mm),
                1);
            text_add(out, " mm from the mark ");
            text_add(out, one->nearest_mark->name);
        }
        text_add(out, "\n");
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
    text_add(out, " mm2; greatest area stenosis ");
    text_fixed(out, one->worst.area_stenosis_pct, 1);
    text_add(out, " %");
    next_line(out);
    text_add(out, "  narrowed over ");
    text_fixed(out, one->narrowed_mm, 1);
    text_format(out, " mm; %zu compression %s", one->compression_count,
                one->compression_count == 1 ? "point" : "points");
}

static void vein_lines(text *out, const bl_assessment *of) {
    for (size_t i = 0; i < of->vein_count; i++) {
        const bl_vein_row *one = &of->veins[i];
        heading(out, i == 0 ? "Vein by vein" : "");
        text_add(out, bl_vein_name(one->vein));
        text_add(out, ", ");
        span(out, one->span);
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
        vein_stenosis_lines(out, one);
        text_add(out, "\n");
    }
}

static void volume_line(text *out, const bl_assessment *of) {
    heading(out, "Volume");
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
        heading(&out, "Reference");
        text_add(&out, "none, so nothing is called narrowed\n");
    }
    normal_lines(&out, of);
    if (any) {
        place_lines(&out, of,
                    of->narrowing_count > 0 ? "Worst place" : "Greatest loss",
                    &of->worst);
    }
    if (!any || of->minimum.row != of->worst.row) {
        place_lines(&out, of, "Least area", &of->minimum);
    }
    single_frame_line(&out, of);
    ripple_lines(&out, of);
    rule_lines(&out, of);
    if (any) {
        narrowing_lines(&out, of);
        compression_lines(&out, of);
    }
    vein_lines(&out, of);
    volume_line(&out, of);
    for (size_t i = 0; i < of->warning_count; i++) {
        heading(&out, "Note");
        wrapped(&out, of->warnings[i]);
    }
    heading(&out, "Caution");
    wrapped(&out, bl_caution());
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
