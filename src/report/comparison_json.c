/*
 * comparison_json.c - the comparison as JSON.
 *
 * Positions are on the axis of the first table, frames those of their own.
 */
#include "report/comparison_json.h"

#include "base/constants.h"
#include "report/assessment_json.h"
#include "report/source.h"

#include <math.h>

void comparison_json_span(json *to, bl_span span) {
    json_number(to, "from_mm", span.from_mm);
    json_number(to, "to_mm", span.to_mm);
}

/* ------------------------------------------------------------------- tables */

static void table_json(json *to, const char *key, const bl_compared_table *of) {
    json_open(to, key, '{', false);
    assessment_json_input(to, of->study, of->assessment, of->source);
    source_pullback_json(to, of->study);
    assessment_json_reference(to, of->assessment);
    json_strings(to, "warnings", of->assessment->warnings,
                 of->assessment->warning_count);
    json_close(to, '{');
}

static void settings_json(json *to, const bl_compared_table *before,
                          const bl_comparison *of) {
    json_open(to, "settings", '{', false);
    assessment_json_settings(to, &before->assessment->options);
    json_number(to, "edge_mm", of->options.edge_mm);
    json_number(to, "gap_tolerance_mm", of->device.gap_tolerance_mm);
    json_number(to, "area_cv_pct", of->options.area_cv_pct);
    json_integer(to, "seed", (int64_t)of->options.seed);
    json_integer(to, "resamples", (int64_t)of->resamples);
    json_close(to, '{');
}

/* ---------------------------------------------------------------- alignment */

static void knots_json(json *to, const bl_alignment *of) {
    json_open(to, "knots", '[', false);
    for (size_t i = 0; i < of->knot_count; i++) {
        json_open(to, NULL, '{', true);
        json_string(to, "mark", of->knots[i].mark);
        json_number(to, "before_mm", of->knots[i].before_mm);
        json_number(to, "after_mm", of->knots[i].after_mm);
        json_close(to, '{');
    }
    json_close(to, '[');
    json_open(to, "paces", '[', false);
    for (size_t i = 0; i < of->pace_count; i++) {
        json_open(to, NULL, '{', true);
        comparison_json_span(to, of->paces[i].span);
        json_number(to, "ratio", of->paces[i].ratio);
        json_bool(to, "differs", of->paces[i].differs);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void alignment_json(json *to, const bl_alignment *of) {
    json_string(to, "aligned_by", bl_aligned_by_name(of->by));
    json_number(to, "shift_mm", of->shift_mm);
    json_open(to, "alignment", '{', false);
    json_string(to, "how", of->how);
    json_interval(to, "shift_range_mm", of->shift_range_mm);
    json_bool(to, "turned", of->turned);
    json_bool(to, "scaled", of->scaled);
    json_number(to, "compared_mm", of->compared_mm);
    json_number(to, "difference_pct", of->difference_pct);
    json_number(to, "spread_pct", of->spread_pct);
    json_open(to, "calibre_ratio", '[', true);
    json_number(to, NULL, of->calibre_ratio[0]);
    json_number(to, NULL, of->calibre_ratio[1]);
    json_close(to, '[');
    json_interval(to, "shift_interval_mm", of->shift_interval_mm);
    json_interval(to, "treated_from_interval_mm", of->end_interval_mm[0]);
    json_interval(to, "treated_to_interval_mm", of->end_interval_mm[1]);
    json_bool(to, "pace_checked", of->pace_checked);
    json_number(to, "next_shift_mm", of->next_shift_mm);
    json_number(to, "next_difference_pct", of->next_difference_pct);
    json_number(to, "better_shift_mm", of->better_shift_mm);
    json_number(to, "better_difference_pct", of->better_difference_pct);
    knots_json(to, of);
    json_close(to, '{');
}

/* -------------------------------------------------------------------- areas */

static void frame_json(json *to, int64_t frame) {
    if (frame < 0) {
        json_number(to, "frame", UNKNOWN);
    } else {
        json_integer(to, "frame", frame);
    }
}

static void waist_json(json *to, const char *key, const bl_waist *of,
                       double mean_area_mm2) {
    json_open(to, key, '{', false);
    json_number(to, "min_area_mm2", of->area_mm2);
    json_number(to, "position_mm", of->position_mm);
    json_number(to, "min_diameter_mm", of->min_diameter_mm);
    json_number(to, "area_stenosis_pct", of->before_reference_stenosis_pct);
    frame_json(to, of->frame);
    json_number(to, "own_position_mm", of->own_position_mm);
    json_number(to, "max_diameter_mm", of->max_diameter_mm);
    json_number(to, "equivalent_diameter_mm", of->equivalent_diameter_mm);
    json_number(to, "before_reference_area_mm2", of->before_reference_mm2);
    json_number(to, "after_reference_area_mm2", of->after_reference_mm2);
    json_number(to, "after_reference_area_stenosis_pct",
                of->after_reference_stenosis_pct);
    json_number(to, "nominal_area_mm2", of->nominal_mm2);
    json_number(to, "nominal_area_stenosis_pct", of->nominal_stenosis_pct);
    json_number(to, "mean_area_mm2", mean_area_mm2);
    json_close(to, '{');
}

static void treated_json(json *to, const bl_comparison *of) {
    if (of->treated_from == BL_TREATED_NOWHERE) {
        json_string(to, "treated", NULL);
        return;
    }
    json_open(to, "treated", '{', true);
    comparison_json_span(to, of->treated);
    json_number(to, "before_traced_mm", of->before_traced_mm);
    json_number(to, "after_traced_mm", of->after_traced_mm);
    json_string(to, "known_from", bl_treated_from_name(of->treated_from));
    json_close(to, '{');
}

static void gain_json(json *to, const bl_comparison *of) {
    json_open(to, "gain", '{', true);
    json_number(to, "area_mm2", of->gain_area_mm2);
    json_number(to, "area_pct", of->gain_area_pct);
    json_number(to, "min_diameter_mm", of->gain_min_diameter_mm);
    json_close(to, '{');
}

static void place_json(json *to, const char *key, const bl_residual *of) {
    json_open(to, key, '{', true);
    json_number(to, "position_mm", of->position_mm);
    json_number(to, "area_mm2", of->area_mm2);
    json_number(to, "denominator_mm2", of->denominator_mm2);
    json_close(to, '{');
}

/* The percentages together, the places they are of beside them. */
static void residual_json(json *to, const bl_comparison *of) {
    json_open(to, "residual_area_stenosis_pct", '{', true);
    json_number(to, "before_reference",
                of->before_reference_residual.area_stenosis_pct);
    json_number(to, "after_reference",
                of->after_reference_residual.area_stenosis_pct);
    json_number(to, "nominal", of->nominal_residual.area_stenosis_pct);
    json_close(to, '{');
    json_open(to, "residual_places", '{', false);
    place_json(to, "before_reference", &of->before_reference_residual);
    place_json(to, "after_reference", &of->after_reference_residual);
    place_json(to, "nominal", &of->nominal_residual);
    json_close(to, '{');
    json_string(to, "after_reference_from",
                bl_after_reference_name(of->after_reference_from));
}

/* --------------------------------------------------------------------- vein */

/* By the reference before, else by that after. */
static void stenosis_json(json *to, const bl_waist *of) {
    bool before = !isnan(of->before_reference_stenosis_pct);
    bool after = !isnan(of->after_reference_stenosis_pct);
    json_number(to, "area_stenosis_pct",
                before ? of->before_reference_stenosis_pct
                       : of->after_reference_stenosis_pct);
    json_string(to, "against",
                before  ? "before_reference"
                : after ? "after_reference"
                        : NULL);
    json_number(to, "worst_position_mm", of->position_mm);
    json_number(to, "area_mm2", of->area_mm2);
}

/* An edge's position is where the treated stretch ends. */
static void edges_json(json *to, const bl_comparison *of) {
    json_open(to, "edges", '[', false);
    for (size_t i = 0; i < of->edge_count; i++) {
        const bl_edge *one = &of->edges[i];
        json_open(to, NULL, '{', false);
        json_string(to, "where", bl_end_name(one->where));
        json_number(to, "position_mm",
                    i == 0 ? one->span.to_mm : one->span.from_mm);
        comparison_json_span(to, one->span);
        json_number(to, "traced_mm", one->traced_mm);
        stenosis_json(to, &one->worst);
        json_number(to, "before_area_mm2", one->before_area_mm2);
        json_number(to, "loss_pct", one->loss_pct);
        json_number(to, "loss_position_mm", one->loss_position_mm);
        json_number(to, "loss_before_area_mm2", one->loss_before_mm2);
        json_number(to, "loss_after_area_mm2", one->loss_after_mm2);
        json_interval(to, "loss_interval_pct", one->loss_interval_pct);
        if (isnan(one->loss_interval_pct.low)) {
            json_string(to, "loss_within_reader_error", NULL);
        } else {
            json_bool(to, "loss_within_reader_error", one->loss_within_error);
        }
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void untreated_json(json *to, const bl_comparison *of) {
    json_number(to, "outside_mm", of->outside_mm);
    json_number(to, "outside_judged_mm", of->outside_judged_mm);
    if (isnan(of->outside_judged_mm)) {
        json_string(to, "untreated", NULL);
        return;
    }
    json_open(to, "untreated", '[', false);
    for (size_t i = 0; i < of->untreated_count; i++) {
        json_open(to, NULL, '{', false);
        comparison_json_span(to, of->untreated[i].span);
        stenosis_json(to, &of->untreated[i].worst);
        if (of->untreated[i].was_seen) {
            json_bool(to, "was_there", of->untreated[i].was_there);
        } else {
            json_string(to, "was_there", NULL);
        }
        json_close(to, '{');
    }
    json_close(to, '[');
}

/* ------------------------------------------------------------------- change */

static void change_json(json *to, const char *key, const bl_change *of) {
    json_open(to, key, '{', false);
    json_number(to, "first_mm2", of->first_mm2);
    json_number(to, "second_mm2", of->second_mm2);
    json_number(to, "change_mm2", of->change_mm2);
    json_number(to, "change_pct", of->change_pct);
    json_interval(to, "interval_mm2", of->interval_mm2);
    json_interval(to, "interval_pct", of->interval_pct);
    if (isnan(of->interval_mm2.low)) {
        json_string(to, "within_reader_error", NULL);
    } else {
        json_bool(to, "within_reader_error", of->within_error);
    }
    json_close(to, '{');
}

static void loss_json(json *to, const char *key, const bl_place_loss *of) {
    json_open(to, key, '{', false);
    frame_json(to, of->frame);
    json_number(to, "position_mm", of->position_mm);
    json_number(to, "own_position_mm", of->own_position_mm);
    json_number(to, "first_mm2", of->first_mm2);
    json_number(to, "second_mm2", of->second_mm2);
    json_number(to, "loss_pct", of->loss_pct);
    json_interval(to, "interval_pct", of->interval_pct);
    if (isnan(of->interval_pct.low)) {
        json_string(to, "within_reader_error", NULL);
    } else {
        json_bool(to, "within_reader_error", of->within_error);
    }
    json_number(to, "first_nominal_pct", of->first_nominal_pct);
    json_number(to, "second_nominal_pct", of->second_nominal_pct);
    json_close(to, '{');
}

static void changes_json(json *to, const bl_comparison *of) {
    json_open(to, "change", '{', false);
    change_json(to, "least_lumen_area", &of->lumen_least);
    change_json(to, "mean_lumen_area", &of->lumen_mean);
    change_json(to, "least_device_area", &of->device_least);
    change_json(to, "mean_device_area", &of->device_mean);
    loss_json(to, "greatest_lumen_loss", &of->lumen_loss);
    loss_json(to, "greatest_device_loss", &of->device_loss);
    json_close(to, '{');
}

/* Frame by frame of the second table, in position order. */
static void series_json(json *to, const bl_comparison *of) {
    json_open(to, "series", '[', false);
    for (size_t i = 0; i < of->series_count; i++) {
        const bl_compared *one = &of->series[i];
        json_open(to, NULL, '{', true);
        json_integer(to, "frame", one->frame);
        json_number(to, "position_mm", one->position_mm);
        json_number(to, "own_position_mm", one->own_position_mm);
        json_bool(to, "treated", one->in_treated);
        json_number(to, "before_area_mm2", one->before_area_mm2);
        json_number(to, "before_device_area_mm2", one->before_device_area_mm2);
        json_number(to, "lumen_area_mm2", one->lumen_area_mm2);
        json_number(to, "device_area_mm2", one->device_area_mm2);
        json_number(to, "vessel_area_mm2", one->vessel_area_mm2);
        json_number(to, "before_reference_area_mm2", one->before_reference_mm2);
        json_number(to, "after_reference_area_mm2", one->after_reference_mm2);
        json_number(to, "nominal_area_mm2", one->nominal_mm2);
        json_number(to, "expansion",
                    one->device_area_mm2 / one->before_reference_mm2);
        json_number(to, "nominal_expansion_pct",
                    100.0 * one->device_area_mm2 / one->nominal_mm2);
        json_number(to, "gap_mm", one->gap_mm);
        json_number(to, "arc_deg", one->arc_deg);
        json_close(to, '{');
    }
    json_close(to, '[');
}

void comparison_json_holes(json *to, const char *key, const bl_hole *holes,
                           size_t count) {
    json_open(to, key, '[', false);
    for (size_t i = 0; i < count; i++) {
        json_open(to, NULL, '{', true);
        comparison_json_span(to, holes[i].span);
        json_integer(to, "frames", (int64_t)holes[i].frames);
        json_number(to, "first_frame_mm", holes[i].within.from_mm);
        json_number(to, "last_frame_mm", holes[i].within.to_mm);
        json_integer(to, "left_out", (int64_t)holes[i].left_out);
        json_bool(to, "bridged", holes[i].bridged);
        json_bool(to, "gap", holes[i].gap);
        json_bool(to, "was_there", holes[i].was_there);
        json_close(to, '{');
    }
    json_close(to, '[');
}

/* Contours of device and vessel that nothing is made of. */
static void left_out_json(json *to, const bl_comparison *of) {
    json_open(to, "left_out", '[', false);
    for (size_t i = 0; i < of->left_out_count; i++) {
        const bl_left_out *one = &of->left_out[i];
        text words = {0};
        source_flags(&words, one->flags);
        json_open(to, NULL, '{', true);
        json_string(to, "table", one->second ? "after" : "before");
        json_string(to, "kind", bl_kind_name(one->kind));
        json_integer(to, "frame", one->frame);
        json_number(to, "position_mm", one->position_mm);
        json_number(to, "own_position_mm", one->own_position_mm);
        json_string(to, "flags", text_c(&words));
        json_close(to, '{');
        to->out->failed = to->out->failed || words.failed;
        text_free(&words);
    }
    json_close(to, '[');
}

void comparison_json_members(json *to, const bl_compared_table *before,
                             const bl_comparison *comparison, bool frames) {
    settings_json(to, before, comparison);
    json_bool(to, "follow_up", comparison->follow_up);
    json_bool(to, "since_after", comparison->since_after);
    json_strings(to, "foremost", comparison->foremost,
                 comparison->foremost_count);
    alignment_json(to, &comparison->alignment);
    json_number(to, "before_step_mm", comparison->before_step_mm);
    json_number(to, "after_step_mm", comparison->after_step_mm);
    treated_json(to, comparison);
    waist_json(to, "before", &comparison->before,
               comparison->before_mean_area_mm2);
    waist_json(to, "after", &comparison->after,
               comparison->after_mean_area_mm2);
    gain_json(to, comparison);
    comparison_json_holes(to, "lumen_holes", comparison->lumen_holes,
                          comparison->lumen_hole_count);
    comparison_json_holes(to, "outside_holes", comparison->outside_holes,
                          comparison->outside_hole_count);
    left_out_json(to, comparison);
    residual_json(to, comparison);
    comparison_json_device(to, comparison);
    edges_json(to, comparison);
    untreated_json(to, comparison);
    changes_json(to, comparison);
    if (frames) {
        series_json(to, comparison);
    }
    json_strings(to, "cannot", comparison->cannot, comparison->cannot_count);
    json_strings(to, "warnings", comparison->warnings,
                 comparison->warning_count);
}

bl_status bl_report_comparison_json(const bl_compared_table *before,
                                    const bl_compared_table *after,
                                    const bl_comparison *comparison,
                                    bl_sink sink, void *context) {
    text out = {0};
    json to = {.out = &out};
    json_open(&to, NULL, '{', false);
    json_string(&to, "boreline", bl_version());
    json_open(&to, "tables", '{', false);
    table_json(&to, "before", before);
    table_json(&to, "after", after);
    json_close(&to, '{');
    comparison_json_members(&to, before, comparison, true);
    json_string(&to, "caution", bl_caution());
    json_close(&to, '{');
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
