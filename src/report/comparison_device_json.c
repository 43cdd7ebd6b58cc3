/*
 * comparison_device_json.c - the device of a comparison as JSON.
 */
#include "report/comparison_json.h"

#include "base/apposed.h"

#include <math.h>

static void nominals_json(json *to, const bl_device_state *of) {
    if (of->nominal_count == 0) {
        json_string(to, "nominal_diameter_mm", NULL);
        json_string(to, "nominal_length_mm", NULL);
        return;
    }
    json_open(to, "nominal_diameter_mm", '[', true);
    for (size_t i = 0; i < of->nominal_count; i++) {
        json_number(to, NULL, of->nominals[i].diameter_mm);
    }
    json_close(to, '[');
    json_open(to, "nominal_length_mm", '[', true);
    for (size_t i = 0; i < of->nominal_count; i++) {
        json_number(to, NULL, of->nominals[i].length_mm);
    }
    json_close(to, '[');
}

static void expansion_json(json *to, const bl_device_state *of) {
    json_number(to, "min_area_mm2", of->minimum.area_mm2);
    json_number(to, "position_mm", of->minimum.position_mm);
    json_number(to, "mean_area_mm2", of->mean_area_mm2);
    json_number(to, "expansion_index", of->expansion_index);
    json_number(to, "after_expansion_index", of->after_expansion_index);
    json_number(to, "least_expansion", of->least_expansion);
    json_number(to, "least_expansion_position_mm",
                of->least_expansion_position_mm);
    json_number(to, "mean_expansion", of->mean_expansion);
    json_number(to, "after_least_expansion", of->after_least_expansion);
    json_number(to, "after_least_expansion_position_mm",
                of->after_least_expansion_position_mm);
    json_number(to, "after_mean_expansion", of->after_mean_expansion);
    json_number(to, "nominal_expansion_pct", of->nominal_expansion_pct);
    json_number(to, "nominal_expansion_position_mm",
                of->nominal_expansion_position_mm);
    json_number(to, "mean_nominal_expansion_pct",
                of->mean_nominal_expansion_pct);
    json_number(to, "greatest_nominal_expansion_pct",
                of->greatest_nominal_expansion_pct);
    json_number(to, "greatest_nominal_expansion_position_mm",
                of->greatest_nominal_expansion_position_mm);
    json_number(to, "first_nominal_expansion_pct",
                of->first_nominal_expansion_pct);
    json_number(to, "symmetry_index", of->symmetry_index);
    json_number(to, "symmetry_position_mm", of->symmetry_position_mm);
    json_number(to, "mean_symmetry_index", of->mean_symmetry_index);
    json_string(to, "symmetry_formula",
                "(max - min) / max device diameter; 0 is round");
}

static void tissue_json(json *to, const bl_device_state *of) {
    json_number(to, "tissue_inside_pct", of->tissue_inside_pct);
    json_number(to, "tissue_greatest_pct", of->tissue_greatest_pct);
    json_number(to, "tissue_greatest_position_mm",
                of->tissue_greatest_position_mm);
    if (isnan(of->tissue_greatest_pct)) {
        json_string(to, "tissue_within_reader_error", NULL);
    } else {
        json_bool(to, "tissue_within_reader_error", of->tissue_within_error);
    }
    json_number(to, "tissue_length_mm", of->tissue_mm);
    json_number(to, "compressed_pct", of->compressed_pct);
    json_number(to, "mean_compressed_pct", of->mean_compressed_pct);
}

static void unapposed_json(json *to, const bl_device_state *of) {
    if (!apposed_is_known(of)) {
        json_string(to, "unapposed", NULL);
        return;
    }
    json_open(to, "unapposed", '[', false);
    for (size_t i = 0; i < of->unapposed_count; i++) {
        const bl_unapposed *one = &of->unapposed[i];
        json_open(to, NULL, '{', false);
        comparison_json_span(to, one->span);
        json_integer(to, "frames", (int64_t)one->frames);
        json_number(to, "max_gap_mm", one->max_gap_mm);
        json_number(to, "max_gap_position_mm", one->max_gap_position_mm);
        json_integer(to, "max_gap_frame", one->max_gap_frame);
        json_number(to, "max_gap_direction_deg", one->max_gap_direction_deg);
        json_number(to, "widest_arc_deg", one->widest_arc_deg);
        json_number(to, "widest_arc_position_mm", one->widest_arc_position_mm);
        json_number(to, "max_area_between_mm2", one->max_area_between_mm2);
        json_number(to, "volume_between_mm3", one->volume_between_mm3);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void apposition_json(json *to, const bl_device_state *of) {
    json_open(to, "apposition", '{', false);
    json_integer(to, "frames", (int64_t)of->apposition_frames);
    json_integer(to, "against_lumen", (int64_t)of->against_lumen);
    json_number(to, "length_mm", of->apposition_mm);
    json_open(to, "outside_frames", '[', true);
    for (size_t i = 0; i < of->outside_count; i++) {
        json_integer(to, NULL, of->outside_frames[i]);
    }
    json_close(to, '[');
    json_close(to, '{');
}

static void extent_json(json *to, const bl_device_state *of) {
    json_integer(to, "frames", (int64_t)of->frames);
    comparison_json_span(to, of->span);
    json_open(to, "parts", '[', false);
    for (size_t i = 0; i < of->part_count; i++) {
        json_open(to, NULL, '{', true);
        comparison_json_span(to, of->parts[i]);
        json_close(to, '{');
    }
    json_close(to, '[');
    comparison_json_holes(to, "holes", of->holes, of->hole_count);
    json_open(to, "ends_unseen", '[', true);
    for (size_t i = 0; i < 2; i++) {
        if (of->end_unseen[i]) {
            json_number(to, NULL, i == 0 ? of->span.from_mm : of->span.to_mm);
        }
    }
    json_close(to, '[');
    json_open(to, "crosses", '[', false);
    for (size_t i = 0; i < of->crossed_count; i++) {
        json_open(to, NULL, '{', true);
        json_string(to, "mark", of->crossed[i].mark);
        json_number(to, "position_mm", of->crossed[i].position_mm);
        json_string(to, "end", bl_end_name(of->crossed[i].end));
        json_number(to, "past_mm", of->crossed[i].past_mm);
        json_close(to, '{');
    }
    json_close(to, '[');
    json_open(to, "overlaps", '[', false);
    for (size_t i = 0; i < of->overlap_count; i++) {
        json_open(to, NULL, '{', true);
        comparison_json_span(to, of->overlaps[i].span);
        json_integer(to, "first", (int64_t)of->overlaps[i].first);
        json_bool(to, "exact", of->overlaps[i].exact);
        json_close(to, '{');
    }
    json_close(to, '[');
}

void comparison_json_device(json *to, const bl_comparison *in) {
    const bl_device_state *of = &in->device;
    if (!of->traced) {
        json_string(to, "device", NULL);
        return;
    }
    json_open(to, "device", '{', false);
    nominals_json(to, of);
    expansion_json(to, of);
    tissue_json(to, of);
    unapposed_json(to, of);
    apposition_json(to, of);
    extent_json(to, of);
    json_close(to, '{');
}
