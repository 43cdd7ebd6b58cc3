/*
 * assessment_json.c - the assessment as JSON.
 */
#include "report/assessment_json.h"

#include "base/place.h"
#include "report/explained.h"
#include "report/source.h"

#include <math.h>

void assessment_json_input(json *to, const bl_study *study,
                           const bl_assessment *of, const bl_source *source) {
    const bl_row *rows = bl_study_rows(study);
    json_open(to, "input", '{', false);
    source_json(to, source);
    json_integer(to, "frames", (int64_t)of->frames);
    json_integer(to, "frames_used", (int64_t)of->frames_used);
    json_integer(to, "points", (int64_t)bl_study_pullback(study)->points);
    json_open(to, "left_out", '[', false);
    for (size_t i = 0; i < of->left_out_count; i++) {
        const bl_row *row = &rows[of->left_out[i]];
        text words = {0};
        source_flags(&words, row->measures.flags);
        json_open(to, NULL, '{', true);
        json_integer(to, "frame", row->frame);
        json_string(to, "flags", text_c(&words));
        json_close(to, '{');
        to->out->failed = to->out->failed || words.failed;
        text_free(&words);
    }
    json_close(to, '[');
    json_close(to, '{');
}

void assessment_json_settings(json *to, const bl_assess_options *options) {
    json_number(to, "threshold_pct", options->threshold_pct);
    json_number(to, "shoulder_pct", options->shoulder_pct);
    json_number(to, "smooth_mm", options->smooth_mm);
    json_bool(to, "steady", options->steady);
}

/* The vein's name; null when it is not known. */
static void vein_json(json *to, bl_vein vein) {
    json_string(to, "vein",
                vein == BL_VEIN_UNKNOWN ? NULL : bl_vein_name(vein));
}

static void steps_json(json *to, const bl_assessment *of) {
    json_open(to, "steps", '[', false);
    for (size_t i = 0; i < of->step_count; i++) {
        json_open(to, NULL, '{', true);
        json_number(to, "position_mm", of->steps[i].position_mm);
        json_number(to, "before_area_mm2", of->steps[i].before_area_mm2);
        json_number(to, "after_area_mm2", of->steps[i].after_area_mm2);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void segments_json(json *to, const bl_segment *segments, size_t count) {
    json_open(to, "segments", '[', false);
    for (size_t i = 0; i < count; i++) {
        const bl_segment *segment = &segments[i];
        json_open(to, NULL, '{', true);
        json_number(to, "from_mm", segment->span.from_mm);
        json_number(to, "to_mm", segment->span.to_mm);
        json_integer(to, "frames", (int64_t)segment->frames);
        json_number(to, "area_mm2", segment->area_mm2);
        json_number(to, "equivalent_diameter_mm",
                    segment->equivalent_diameter_mm);
        json_number(to, "perimeter_mm", segment->perimeter_mm);
        json_number(to, "area_cv_pct", segment->area_cv_pct);
        json_string(to, "where", bl_end_name(segment->where));
        json_bool(to, "serves_worst", segment->serves_worst);
        vein_json(to, segment->vein);
        json_number(to, "normal_area_mm2", segment->normal_area_mm2);
        json_number(to, "share_of_normal_pct", segment->share_of_normal_pct);
        json_close(to, '{');
    }
    json_close(to, '[');
}

void assessment_json_reference(json *to, const bl_assessment *of) {
    if (of->reference_from == BL_FROM_NOTHING) {
        json_string(to, "reference", NULL);
        return;
    }
    json_open(to, "reference", '{', false);
    json_string(to, "chosen", bl_reference_from_name(of->reference_from));
    json_string(to, "rule",
                of->segment_count > 0 ? bl_rule_name(of->options.rule) : NULL);
    segments_json(to, of->segments, of->segment_count);
    steps_json(to, of);
    json_string(to, "why", of->reference_why);
    if (of->options.explain) {
        explained_json(to, of);
    }
    json_close(to, '{');
}

/* What speaks against its contour, in words; null where nothing does. */
static void doubt_json(json *to, const bl_place *place) {
    text words = {0};
    place_doubt_words(&words, place);
    json_string(to, "doubt", words.size > 0 ? text_c(&words) : NULL);
    to->out->failed = to->out->failed || words.failed;
    text_free(&words);
}

static void place_members(json *to, const bl_place *place) {
    json_integer(to, "frame", place->frame);
    json_number(to, "position_mm", place->position_mm);
    json_number(to, "area_mm2", place->area_mm2);
    json_number(to, "equivalent_diameter_mm", place->equivalent_diameter_mm);
    json_number(to, "min_diameter_mm", place->min_diameter_mm);
    json_number(to, "max_diameter_mm", place->max_diameter_mm);
    json_number(to, "reference_area_mm2", place->reference_area_mm2);
    json_number(to, "area_stenosis_pct", place->area_stenosis_pct);
    json_number(to, "diameter_stenosis_pct", place->diameter_stenosis_pct);
    json_number(to, "min_diameter_stenosis_pct",
                place->min_diameter_stenosis_pct);
    vein_json(to, place->vein);
    json_number(to, "normal_area_mm2", place->normal_area_mm2);
    json_number(to, "share_of_normal_pct", place->share_of_normal_pct);
    doubt_json(to, place);
}

static void place_json(json *to, const char *key, const bl_place *place) {
    json_open(to, key, '{', false);
    place_members(to, place);
    json_close(to, '{');
}

static void minimum_json(json *to, const bl_assessment *of) {
    json_open(to, "minimum", '{', false);
    place_members(to, &of->minimum);
    json_interval(to, "area_interval_mm2", of->intervals.minimum_area_mm2);
    json_interval(to, "area_stenosis_interval_pct",
                  of->intervals.minimum_area_stenosis_pct);
    json_close(to, '{');
}

static void worst_json(json *to, const bl_assessment *of) {
    json_open(to, "worst", '{', false);
    place_members(to, &of->worst);
    json_interval(to, "area_stenosis_interval_pct",
                  of->intervals.worst_area_stenosis_pct);
    json_number(to, "area_stenosis_corrected_pct",
                of->intervals.worst_corrected_pct);
    json_interval(to, "position_interval_mm", of->intervals.worst_position_mm);
    json_close(to, '{');
}

/* The worst place outside the shoulders of every narrowing. */
static void next_worst_json(json *to, const bl_intervals *of) {
    json_open(to, "next_worst", '{', false);
    json_number(to, "position_mm", of->next_position_mm);
    json_number(to, "area_stenosis_pct", of->next_area_stenosis_pct);
    json_interval(to, "area_stenosis_interval_pct",
                  of->next_area_stenosis_interval_pct);
    json_close(to, '{');
}

/* What the intervals are made of. */
static void intervals_json(json *to, const bl_assessment *of) {
    const bl_intervals *all = &of->intervals;
    json_open(to, "intervals", '{', false);
    json_number(to, "level_pct", 95.0);
    json_string(to, "method", "basic bootstrap");
    json_integer(to, "resamples", (int64_t)all->resamples);
    json_integer(to, "seed", (int64_t)of->options.seed);
    json_number(to, "area_cv_pct", of->options.area_cv_pct);
    json_string(to, "area_cv_from", bl_error_from_name(all->area_cv_from));
    json_number(to, "scatter_cv_pct", all->scatter_cv_pct);
    json_number(to, "speed_cv_pct", of->options.speed_cv_pct);
    json_string(to, "speed_cv_from", bl_error_from_name(all->speed_cv_from));
    json_number(to, "minimum_reads_low_pct", all->minimum_reads_low_pct);
    json_number(to, "likely_ripple_pct", all->likely_ripple_pct);
    json_number(to, "unseen_ripple_pct", all->unseen_ripple_pct);
    json_close(to, '{');
}

static void rules_json(json *to, const bl_assessment *of) {
    json_open(to, "stenosis_by_rule", '[', false);
    for (unsigned i = 0; of->segment_count > 0 && i < BL_RULE_COUNT; i++) {
        json_open(to, NULL, '{', true);
        json_string(to, "rule", bl_rule_name(i));
        json_number(to, "area_stenosis_pct", of->minimum_by_rule_pct[i]);
        json_number(to, "worst_area_stenosis_pct", of->worst_by_rule_pct[i]);
        json_integer(to, "narrowings", (int64_t)of->narrowings_by_rule[i]);
        json_number(to, "narrowed_length_mm", of->narrowed_by_rule_mm[i]);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void runner_up_json(json *to, const bl_runner_up *of) {
    if (of == NULL) {
        json_string(to, "runner_up", NULL);
        return;
    }
    json_open(to, "runner_up", '{', false);
    segments_json(to, of->segments, of->segment_count);
    json_number(to, "area_stenosis_pct", of->minimum_area_stenosis_pct);
    json_number(to, "worst_area_stenosis_pct", of->worst.area_stenosis_pct);
    json_integer(to, "narrowings", (int64_t)of->narrowing_count);
    json_number(to, "narrowed_length_mm", of->narrowed_mm);
    json_integer(to, "compression_points", (int64_t)of->compression_count);
    place_json(to, "worst", &of->worst);
    json_close(to, '{');
}

void assessment_json_narrowings(json *to, const bl_assessment *of) {
    json_open(to, "narrowings", '[', false);
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        json_open(to, NULL, '{', false);
        json_number(to, "from_mm", one->span.from_mm);
        json_number(to, "to_mm", one->span.to_mm);
        json_number(to, "length_mm", one->span.to_mm - one->span.from_mm);
        json_number(to, "shoulder_from_mm", one->shoulders.from_mm);
        json_number(to, "shoulder_to_mm", one->shoulders.to_mm);
        json_bool(to, "open_from", one->open_from);
        json_bool(to, "open_to", one->open_to);
        json_bool(to, "span_open_from", one->span_open_from);
        json_bool(to, "span_open_to", one->span_open_to);
        json_integer(to, "left_out", (int64_t)one->left_out);
        json_number(to, "worst_position_mm", one->worst.position_mm);
        json_number(to, "min_area_mm2", one->min_area_mm2);
        json_number(to, "area_stenosis_pct", one->worst.area_stenosis_pct);
        json_interval(to, "length_interval_mm", one->length_interval_mm);
        json_interval(to, "shoulders_interval_mm", one->shoulders_interval_mm);
        json_interval(to, "min_area_interval_mm2", one->min_area_interval_mm2);
        json_interval(to, "area_stenosis_interval_pct",
                      one->area_stenosis_interval_pct);
        json_number(to, "area_stenosis_corrected_pct",
                    one->area_stenosis_corrected_pct);
        json_string(to, "pattern", bl_pattern_name(one->pattern));
        json_number(to, "flattening_share", one->flattening_share);
        place_json(to, "worst", &one->worst);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void compressions_json(json *to, const bl_assessment *of) {
    json_open(to, "compression_points", '[', false);
    for (size_t i = 0; i < of->compression_count; i++) {
        const bl_compression *one = &of->compressions[i];
        json_open(to, NULL, '{', false);
        place_members(to, &one->place);
        json_number(to, "aspect_ratio", one->aspect_ratio);
        json_number(to, "perimeter_kept_pct", one->perimeter_kept_pct);
        json_number(to, "long_axis_deg", one->long_axis_deg);
        json_string(to, "nearest_mark",
                    one->nearest_mark != NULL ? one->nearest_mark->name : NULL);
        json_number(to, "flattened_from_mm", one->span.from_mm);
        json_number(to, "flattened_to_mm", one->span.to_mm);
        json_close(to, '{');
    }
    json_close(to, '[');
}

/* Three studies, none made of another. */
static void published_json(json *to, bl_vein vein, const char *side) {
    bl_published of = bl_published_of(vein, side);
    json_open(to, "published", '{', true);
    json_number(to, "minimal_area_mm2", of.minimal_area_mm2);
    json_number(to, "nominal_diameter_mm", of.nominal_diameter_mm);
    json_number(to, "median_area_mm2", of.median_area_mm2);
    json_number(to, "median_diameter_mm", of.median_diameter_mm);
    json_close(to, '{');
}

static void veins_json(json *to, const bl_assessment *of, const char *side) {
    json_open(to, "veins", '[', false);
    for (size_t i = 0; i < of->vein_count; i++) {
        const bl_vein_row *one = &of->veins[i];
        json_open(to, NULL, '{', false);
        vein_json(to, one->vein);
        json_number(to, "from_mm", one->span.from_mm);
        json_number(to, "to_mm", one->span.to_mm);
        json_number(to, "traced_mm", one->traced_mm);
        json_integer(to, "frames", (int64_t)one->frames);
        place_json(to, "minimum", &one->minimum);
        if (one->has_reference) {
            place_json(to, "worst", &one->worst);
            json_number(to, "narrowed_mm", one->narrowed_mm);
            json_integer(to, "compression_points",
                         (int64_t)one->compression_count);
        } else {
            json_string(to, "worst", NULL);
            json_string(to, "narrowed_mm", NULL);
            json_string(to, "compression_points", NULL);
        }
        published_json(to, one->vein, side);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void untold_json(json *to, const bl_assessment *of) {
    json_open(to, "veins_untold", '[', false);
    for (size_t i = 0; i < of->untold_count; i++) {
        json_open(to, NULL, '{', true);
        json_number(to, "from_mm", of->untold[i].span.from_mm);
        json_number(to, "to_mm", of->untold[i].span.to_mm);
        json_string(to, "why", of->untold[i].why);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void published_from_json(json *to) {
    json_open(to, "published_from", '{', false);
    json_string(to, "minimal_area",
                bl_published_source(BL_PUBLISHED_MINIMAL_AREA));
    json_string(to, "nominal_diameter",
                bl_published_source(BL_PUBLISHED_NOMINAL_DIAMETER));
    json_string(to, "median", bl_published_source(BL_PUBLISHED_MEDIAN));
    json_close(to, '{');
}

static void gaps_json(json *to, const bl_assessment *of) {
    json_open(to, "gaps", '[', false);
    for (size_t i = 0; i < of->gap_count; i++) {
        json_open(to, NULL, '{', true);
        json_number(to, "from_mm", of->gaps[i].from_mm);
        json_number(to, "to_mm", of->gaps[i].to_mm);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void key_figures_json(json *to, const char *key,
                             const bl_key_figures *of, size_t segments) {
    json_open(to, key, '{', false);
    json_number(to, "min_area_mm2", of->minimum.area_mm2);
    json_number(to, "min_area_position_mm", of->minimum.position_mm);
    json_open(to, "segment_areas_mm2", '[', true);
    for (size_t i = 0; i < segments; i++) {
        json_number(to, NULL, of->segment_area_mm2[i]);
    }
    json_close(to, '[');
    json_number(to, "reference_area_mm2", of->worst.reference_area_mm2);
    json_number(to, "area_stenosis_pct", of->worst.area_stenosis_pct);
    json_number(to, "worst_position_mm", of->worst.position_mm);
    json_integer(to, "narrowings", (int64_t)of->narrowing_count);
    json_close(to, '{');
}

static void ripple_json(json *to, const bl_ripple *ripple, size_t segments) {
    if (!ripple->found) {
        json_string(to, "ripple", NULL);
        return;
    }
    json_open(to, "ripple", '{', false);
    json_number(to, "wavelength_mm", ripple->wavelength_mm);
    json_number(to, "period_s", ripple->period_s);
    json_number(to, "peak_to_trough_mm", ripple->peak_to_trough_mm);
    json_number(to, "share_of_diameter_pct", ripple->share_of_diameter_pct);
    json_open(to, "stretches", '[', false);
    for (size_t i = 0; i < ripple->stretch_count; i++) {
        json_open(to, NULL, '{', true);
        json_number(to, "from_mm", ripple->stretches[i].from_mm);
        json_number(to, "to_mm", ripple->stretches[i].to_mm);
        json_close(to, '{');
    }
    json_close(to, '[');
    json_bool(to, "removed", ripple->removed);
    key_figures_json(to, "with", &ripple->with, segments);
    key_figures_json(to, "without", &ripple->without, segments);
    json_close(to, '{');
}

/* What was traced, where the rest is of the steady profile. */
static void raw_json(json *to, const bl_ripple *ripple) {
    if (!ripple->removed) {
        json_string(to, "raw", NULL);
        return;
    }
    json_open(to, "raw", '{', false);
    place_json(to, "minimum", &ripple->with.minimum);
    place_json(to, "worst", &ripple->with.worst);
    json_close(to, '{');
}

void assessment_json_members(json *to, const bl_study *study,
                             const bl_assessment *of, const bl_source *source) {
    assessment_json_input(to, study, of, source);
    source_pullback_json(to, study);
    json_open(to, "settings", '{', true);
    assessment_json_settings(to, &of->options);
    json_close(to, '{');
    assessment_json_reference(to, of);
    json_string(to, "normal_areas_from",
                bl_normals_source(of->options.expected));
    minimum_json(to, of);
    worst_json(to, of);
    next_worst_json(to, &of->intervals);
    place_json(to, "lowest_single_frame", &of->lowest_frame);
    intervals_json(to, of);
    rules_json(to, of);
    runner_up_json(to, of->runner_up);
    json_bool(to, "call_depends_on_reference", of->call_depends);
    assessment_json_narrowings(to, of);
    compressions_json(to, of);
    veins_json(to, of, bl_study_pullback(study)->side);
    untold_json(to, of);
    published_from_json(to);
    gaps_json(to, of);
    if (of->options.flow) {
        flow_json(to, of);
    }
    json_number(to, "volume_mm3", of->volume_mm3);
    json_number(to, "traced_mm", of->traced_mm);
    json_number(to, "judged_mm", of->judged_mm);
    ripple_json(to, &of->ripple, of->segment_count);
    raw_json(to, &of->ripple);
    json_strings(to, "warnings", of->warnings, of->warning_count);
}

bl_status bl_report_assessment_json(const bl_study *study,
                                    const bl_assessment *of,
                                    const bl_source *source, bl_sink sink,
                                    void *context) {
    text out = {0};
    json to = {.out = &out};
    json_open(&to, NULL, '{', false);
    json_string(&to, "boreline", bl_version());
    assessment_json_members(&to, study, of, source);
    json_string(&to, "caution", bl_caution());
    json_close(&to, '{');
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
