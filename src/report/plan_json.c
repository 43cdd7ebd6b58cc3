/*
 * plan_json.c - the plan as JSON: over all stretches at the top, and stretch by
 * stretch.
 */
#include "report/plan_json.h"
#include "base/constants.h"
#include "base/place.h"
#include "report/assessment_json.h"
#include "report/source.h"

#include <math.h>

/* ----------------------------------------------------------------- settings */

static void settings_json(json *to, const bl_assessment *assessment,
                          const bl_plan *plan) {
    const bl_plan_options *of = &plan->options;
    json_open(to, "settings", '{', false);
    assessment_json_settings(to, &assessment->options);
    json_number(to, "landing_mm", of->landing_mm);
    json_number(to, "margin_mm", of->margin_mm);
    json_number(to, "overlap_mm", of->overlap_mm);
    json_number(to, "join_mm", of->join_mm);
    json_number(to, "diameter_step_mm", of->step_mm);
    json_string(to, "size_by", bl_size_by_name(plan->sized_by));
    json_number(to, "oversize_limit_pct", of->oversize_limit_pct);
    json_bool(to, "treat_given", of->treat_given);
    json_close(to, '{');
}

static void stock_json(json *to, const bl_stock *of) {
    if (of == NULL) {
        json_string(to, "stock", NULL);
        return;
    }
    json_open(to, "stock", '{', true);
    json_string(to, "file", bl_stock_name(of));
    json_integer(to, "devices", (int64_t)bl_stock_device_count(of));
    json_close(to, '{');
}

/* -------------------------------------------------------------------- treat */

static void narrowing_numbers(json *to, const bl_stretch *of) {
    for (size_t i = 0; i < of->narrowing_count; i++) {
        json_integer(to, NULL, (int64_t)(of->first_narrowing + i));
    }
}

static void treat_json(json *to, const bl_plan *of) {
    if (of->stretch_count == 0) {
        json_string(to, "treat", NULL);
        return;
    }
    const bl_stretch *last = &of->stretches[of->stretch_count - 1];
    json_open(to, "treat", '{', true);
    json_number(to, "from_mm", of->stretches[0].treat.from_mm);
    json_number(to, "to_mm", last->treat.to_mm);
    json_open(to, "narrowings", '[', true);
    for (size_t i = 0; i < of->stretch_count; i++) {
        narrowing_numbers(to, &of->stretches[i]);
    }
    json_close(to, '[');
    json_close(to, '{');
}

/* ------------------------------------------------------------------ landing */

static void mark_json(json *to, const char *key, const bl_mark *mark) {
    json_string(to, key, mark != NULL ? mark->name : NULL);
}

static void landing_json(json *to, const bl_pullback *pullback, size_t stretch,
                         const bl_landing *of) {
    const bl_mark *nearest = place_nearest_mark(pullback, of->position_mm);
    bl_vein vein = bl_pullback_vein_at(pullback, of->position_mm);
    json_open(to, NULL, '{', false);
    json_integer(to, "stretch", (int64_t)stretch);
    json_string(to, "where", bl_end_name(of->where));
    json_number(to, "position_mm", of->position_mm);
    json_interval(to, "position_interval_mm", of->position_interval_mm);
    json_bool(to, "healthy", of->healthy);
    json_bool(to, "open", of->open);
    json_number(to, "healthy_from_mm", of->healthy_vein.from_mm);
    json_number(to, "healthy_to_mm", of->healthy_vein.to_mm);
    json_string(to, "ends_at", bl_border_name(of->ends_at));
    json_number(to, "equivalent_diameter_mm", of->equivalent_diameter_mm);
    json_number(to, "aspect_ratio", of->aspect_ratio);
    json_number(to, "reference_diameter_mm", of->reference_diameter_mm);
    json_string(to, "vein",
                vein == BL_VEIN_UNKNOWN ? NULL : bl_vein_name(vein));
    mark_json(to, "nearest_mark", nearest);
    json_number(to, "from_mark_mm",
                nearest != NULL ? of->position_mm - nearest->position_mm
                                : UNKNOWN);
    mark_json(to, "crosses", of->crosses);
    mark_json(to, "near", of->near);
    mark_json(to, "beyond", of->beyond);
    json_close(to, '{');
}

static void landings_json(json *to, const bl_pullback *pullback,
                          const bl_plan *of) {
    json_open(to, "landing", '[', false);
    for (size_t i = 0; i < of->stretch_count; i++) {
        landing_json(to, pullback, i, &of->stretches[i].landings[0]);
        landing_json(to, pullback, i, &of->stretches[i].landings[1]);
    }
    json_close(to, '[');
}

/* ------------------------------------------------------------------ devices */

static void device_members(json *to, const bl_device *of) {
    json_string(to, "label", of->of != NULL ? of->of->label : NULL);
    json_number(to, "diameter_mm", of->diameter_mm);
    json_number(to, "length_mm", of->length_mm);
    json_number(to, "foreshortening_pct",
                of->of != NULL ? of->of->foreshortening_pct : UNKNOWN);
    json_number(to, "from_mm", of->span.from_mm);
    json_number(to, "to_mm", of->span.to_mm);
    json_number(to, "reference_diameter_mm", of->reference_diameter_mm);
    json_number(to, "area_diameter_mm", of->area_diameter_mm);
    json_number(to, "perimeter_diameter_mm", of->perimeter_diameter_mm);
    json_number(to, "oversize_mm", of->oversize_mm);
    json_number(to, "oversize_pct", of->oversize_pct);
    json_number(to, "oversize_area_pct", of->oversize_area_pct);
    json_number(to, "oversize_perimeter_pct", of->oversize_perimeter_pct);
    json_number(to, "oversize_cranial_mm", of->oversize_cranial_mm);
    json_number(to, "oversize_caudal_mm", of->oversize_caudal_mm);
    json_number(to, "unjudged_mm", of->unjudged_mm);
    json_number(to, "balloon_mm", of->diameter_mm);
}

static void devices_json(json *to, const bl_plan *of) {
    json_open(to, "devices", '[', false);
    for (size_t i = 0; i < of->stretch_count; i++) {
        const bl_chain *chain = &of->stretches[i].chain;
        for (size_t j = 0; j < chain->device_count; j++) {
            json_open(to, NULL, '{', false);
            json_integer(to, "stretch", (int64_t)i);
            device_members(to, &chain->devices[j]);
            json_close(to, '{');
        }
    }
    json_close(to, '[');
}

static void overlap_numbers(json *to, const bl_chain *of) {
    for (size_t i = 0; i + 1 < of->device_count; i++) {
        json_number(to, NULL, of->overlaps_mm[i]);
    }
}

static void overlaps_json(json *to, const bl_plan *of) {
    json_open(to, "overlaps_mm", '[', true);
    for (size_t i = 0; i < of->stretch_count; i++) {
        overlap_numbers(to, &of->stretches[i].chain);
    }
    json_close(to, '[');
}

/* Labels of all devices, null of those that are not on the list. */
static void labels_json(json *to, const bl_chain *chains, size_t count) {
    json_open(to, "devices", '[', true);
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < chains[i].device_count; j++) {
            const bl_device *one = &chains[i].devices[j];
            json_string(to, NULL, one->of != NULL ? one->of->label : NULL);
        }
    }
    json_close(to, '[');
}

static void alternatives_json(json *to, const bl_plan *of) {
    json_open(to, "alternatives", '[', false);
    for (size_t i = 0; i < of->alternative_count; i++) {
        const bl_alternative *one = &of->alternatives[i];
        json_open(to, NULL, '{', false);
        labels_json(to, one->chains, one->chain_count);
        json_number(to, "beyond_mm", one->beyond_mm);
        json_number(to, "oversize_sum_mm", one->misfit_mm);
        json_string(to, "why_not", one->why_not);
        json_bool(to, "keeps_the_rules", one->finding_count == 0);
        json_strings(to, "findings", one->findings, one->finding_count);
        json_close(to, '{');
    }
    json_close(to, '[');
}

/* Devices that lie in the vein already. */
static void earlier_json(json *to, const bl_plan *of) {
    json_open(to, "devices_already", '[', false);
    for (size_t i = 0; i < of->earlier_count; i++) {
        const bl_earlier *one = &of->earlier[i];
        json_open(to, NULL, '{', true);
        json_number(to, "from_mm", one->span.from_mm);
        json_number(to, "to_mm", one->span.to_mm);
        json_integer(to, "contours", (int64_t)one->contours);
        json_number(to, "covered_mm", one->covered_mm);
        json_bool(to, "landed_in", one->landed_in);
        json_close(to, '{');
    }
    json_close(to, '[');
}

/* ---------------------------------------------------------------- stretches */

static void stretch_json(json *to, const bl_stretch *of) {
    json_open(to, NULL, '{', false);
    json_number(to, "from_mm", of->treat.from_mm);
    json_number(to, "to_mm", of->treat.to_mm);
    json_open(to, "narrowings", '[', true);
    narrowing_numbers(to, of);
    json_close(to, '[');
    json_number(to, "healthy_between_mm", of->healthy_between_mm);
    json_number(to, "cover_mm", of->cover_mm);
    json_interval(to, "cover_interval_mm", of->cover_interval_mm);
    json_number(to, "wanted_diameter_mm", of->wanted_diameter_mm);
    labels_json(to, &of->chain, 1);
    json_open(to, "overlaps_mm", '[', true);
    overlap_numbers(to, &of->chain);
    json_close(to, '[');
    json_number(to, "beyond_mm",
                of->chain.device_count > 0 ? of->chain.beyond_mm : UNKNOWN);
    json_string(to, "missing", of->missing);
    json_close(to, '{');
}

static void stretches_json(json *to, const bl_plan *of) {
    json_open(to, "stretches", '[', false);
    for (size_t i = 0; i < of->stretch_count; i++) {
        stretch_json(to, &of->stretches[i]);
    }
    json_close(to, '[');
}

/* All of them in sum: one error of speed moves all. */
static void cover_json(json *to, const bl_plan *of) {
    double sum = 0.0;
    bl_interval interval = {0.0, 0.0};
    for (size_t i = 0; i < of->stretch_count; i++) {
        sum += of->stretches[i].cover_mm;
        interval.low += of->stretches[i].cover_interval_mm.low;
        interval.high += of->stretches[i].cover_interval_mm.high;
    }
    json_number(to, "cover_mm", sum);
    json_interval(to, "cover_interval_mm", interval);
}

/* ------------------------------------------------------------------ what if */

static void wish_json(json *to, const bl_plan *of) {
    if (of->options.wish_count == 0) {
        json_string(to, "what_if", NULL);
        return;
    }
    json_open(to, "what_if", '{', false);
    json_open(to, "devices", '[', false);
    for (size_t i = 0; i < of->wish.device_count; i++) {
        json_open(to, NULL, '{', false);
        device_members(to, &of->wish.devices[i]);
        json_close(to, '{');
    }
    json_close(to, '[');
    json_open(to, "overlaps_mm", '[', true);
    overlap_numbers(to, &of->wish);
    json_close(to, '[');
    json_number(to, "beyond_mm", of->wish.beyond_mm);
    if (of->wish_finding_count == 0 && of->wish_unjudged_count > 0) {
        json_string(to, "keeps_the_rules", NULL);
    } else {
        json_bool(to, "keeps_the_rules", of->wish_finding_count == 0);
    }
    json_strings(to, "findings", of->wish_findings, of->wish_finding_count);
    json_strings(to, "cannot_be_judged", of->wish_unjudged,
                 of->wish_unjudged_count);
    json_integer(to, "stretches", (int64_t)of->wish_stretch_count);
    json_close(to, '{');
}

static void changes_json(json *to, const bl_plan *of) {
    json_interval(to, "length_factor_interval", of->length_factor);
    json_number(to, "enough_up_to_factor", of->enough_up_to_factor);
    json_open(to, "changes", '[', false);
    for (size_t i = 0; i < of->change_count; i++) {
        const bl_plan_change *one = &of->changes[i];
        json_open(to, NULL, '{', false);
        json_number(to, "factor", one->factor);
        labels_json(to, one->chains, one->chain_count);
        json_string(to, "what", one->what);
        json_close(to, '{');
    }
    json_close(to, '[');
}

static void warnings_json(json *to, const char *const *words, size_t count) {
    for (size_t i = 0; i < count; i++) {
        json_string(to, NULL, words[i]);
    }
}

/* Where devices go, and what else they could be. */
static void laid_json(json *to, const bl_pullback *pullback,
                      const bl_plan *plan) {
    json_strings(to, "not_certain", plan->doubts, plan->doubt_count);
    treat_json(to, plan);
    json_integer(to, "untreated", (int64_t)plan->untreated_count);
    landings_json(to, pullback, plan);
    cover_json(to, plan);
    devices_json(to, plan);
    overlaps_json(to, plan);
    stretches_json(to, plan);
    earlier_json(to, plan);
    alternatives_json(to, plan);
    wish_json(to, plan);
    changes_json(to, plan);
    json_bool(to, "exact", plan->exact);
}

void plan_json_members(json *to, const bl_study *study,
                       const bl_assessment *assessment, const bl_plan *plan) {
    settings_json(to, assessment, plan);
    stock_json(to, plan->options.stock);
    laid_json(to, bl_study_pullback(study), plan);
    json_open(to, "warnings", '[', false);
    warnings_json(to, plan->warnings, plan->warning_count);
    json_close(to, '[');
}

bl_status bl_report_plan_json(const bl_study *study,
                              const bl_assessment *assessment,
                              const bl_plan *plan, const bl_source *source,
                              bl_sink sink, void *context) {
    text out = {0};
    json to = {.out = &out};
    json_open(&to, NULL, '{', false);
    json_string(&to, "boreline", bl_version());
    assessment_json_input(&to, study, assessment, source);
    source_pullback_json(&to, study);
    settings_json(&to, assessment, plan);
    stock_json(&to, plan->options.stock);
    assessment_json_reference(&to, assessment);
    assessment_json_narrowings(&to, assessment);
    laid_json(&to, bl_study_pullback(study), plan);
    json_open(&to, "warnings", '[', false);
    warnings_json(&to, plan->warnings, plan->warning_count);
    warnings_json(&to, assessment->warnings, assessment->warning_count);
    json_close(&to, '[');
    json_string(&to, "caution", bl_caution());
    json_close(&to, '{');
    bl_status status = text_flush(&out, sink, context);
    text_free(&out);
    return status;
}
