/*
 * shelved.c - veins made by hand and stocks in a line, for tests of plans.
 */
#include "support/shelved.h"

#include "support/table.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define STEP_MM 0.5
#define PERIMETER_RATIO 1.1

static double area_of(double diameter_mm) {
    return PI / 4.0 * diameter_mm * diameter_mm;
}

static bl_profile_point point_at(const made *of, double x) {
    double part = (x - of->first_mm) / (of->last_mm - of->first_mm);
    double d = of->wide_mm + part * (of->narrow_mm - of->wide_mm);
    return (bl_profile_point){
        .position_mm = x,
        .area_mm2 = area_of(d),
        .equivalent_diameter_mm = d,
        .perimeter_mm = PI * d,
        .min_diameter_mm = d,
        .max_diameter_mm = 1.25 * d,
        .reference_area_mm2 = area_of(d),
    };
}

static bl_segment segment_at(double x, double diameter_mm) {
    return (bl_segment){
        .span = {x, x},
        .area_mm2 = area_of(diameter_mm),
        .equivalent_diameter_mm = diameter_mm,
        .perimeter_mm = PERIMETER_RATIO * PI * diameter_mm,
    };
}

void made_vein(made *out, double first_mm, double last_mm, double wide_mm,
               double narrow_mm, const char *notes) {
    memset(out, 0, sizeof *out);
    out->first_mm = first_mm;
    out->last_mm = last_mm;
    out->wide_mm = wide_mm;
    out->narrow_mm = narrow_mm;
    char text[1024];
    (void)snprintf(text, sizeof text,
                   "%sframe,position_mm,x_mm,y_mm\n0,%g,0,0\n0,%g,9,0\n"
                   "0,%g,0,9\n",
                   notes, first_mm, first_mm, first_mm);
    out->study = table_study(text, BL_COLUMNS_ASSESS);
    size_t count = (size_t)floor((last_mm - first_mm) / STEP_MM + 0.5) + 1;
    assert_true(count <= MADE_POINTS);
    for (size_t i = 0; i < count; i++) {
        double x = i + 1 == count ? last_mm : first_mm + (double)i * STEP_MM;
        out->profile[i] = point_at(out, x);
    }
    out->profile[0].after_gap = true;
    out->segments[0] = segment_at(first_mm, wide_mm);
    out->segments[1] = segment_at(last_mm, narrow_mm);
    out->of = (bl_assessment){
        .options = bl_assess_defaults(),
        .reference_from = BL_FROM_GIVEN,
        .segments = out->segments,
        .segment_count = 2,
        .profile = out->profile,
        .profile_count = count,
        .narrowings = out->narrowings,
        .compressions = out->compressions,
    };
    out->of.options.speed_cv_pct = 0.0;
}

/* Frames at the shoulders themselves keep the reference's calibre. */
void made_narrow(made *in, double from_mm, double to_mm) {
    assert_true(in->of.narrowing_count < MADE_NARROWINGS);
    for (size_t i = 0; i < in->of.profile_count; i++) {
        bl_profile_point *point = &in->profile[i];
        if (point->position_mm > from_mm + 1e-9 &&
            point->position_mm < to_mm - 1e-9) {
            point->equivalent_diameter_mm *= 0.5;
            point->area_mm2 *= 0.25;
        }
    }
    in->narrowings[in->of.narrowing_count++] = (bl_narrowing){
        .span = {from_mm, to_mm},
        .shoulders = {from_mm, to_mm},
    };
}

void made_gap(made *in, double from_mm, double to_mm) {
    size_t held = 0;
    bool dropped = false;
    for (size_t i = 0; i < in->of.profile_count; i++) {
        bl_profile_point point = in->profile[i];
        if (point.position_mm > from_mm + 1e-9 &&
            point.position_mm < to_mm - 1e-9) {
            dropped = true;
            continue;
        }
        point.after_gap = point.after_gap || dropped;
        dropped = false;
        in->profile[held++] = point;
    }
    in->of.profile_count = held;
}

void made_free(made *of) {
    bl_study_free(of->study);
}

bl_stock *shelved(const char *lines) {
    char text[16384];
    size_t commas = 0;
    for (size_t i = 0; i < strcspn(lines, "\n"); i++) {
        commas += lines[i] == ',';
    }
    int size = snprintf(text, sizeof text,
                        "label,diameter_mm,length_mm,foreshortening_pct%s\n%s",
                        commas == 4 ? ",count" : "", lines);
    assert_in_range(size, 1, (int)sizeof text - 1);
    bl_stock *out = NULL;
    bl_message message;
    if (bl_stock_from_text(text, (size_t)size, "stock", &out, &message) !=
        BL_OK) {
        fail_msg("%s\n%s", text, message.text);
    }
    return out;
}

bl_plan_options shelved_options(const bl_stock *stock) {
    bl_plan_options out = bl_plan_defaults();
    out.stock = stock;
    return out;
}

bl_plan *made_plan(const made *of, const bl_plan_options *options) {
    bl_plan *out = NULL;
    bl_message message;
    if (bl_plan_new(of->study, &of->of, options, &out, &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
    return out;
}

void check_told(const char *const *list, size_t count, const char *words) {
    for (size_t i = 0; i < count; i++) {
        if (strstr(list[i], words) != NULL) {
            return;
        }
    }
    for (size_t i = 0; i < count; i++) {
        print_error("told: %s\n", list[i]);
    }
    fail_msg("nothing told says: %s", words);
}

void check_no_doubt(const bl_plan *plan, const char *words) {
    for (size_t i = 0; i < plan->doubt_count; i++) {
        if (strstr(plan->doubts[i], words) != NULL) {
            fail_msg("not certain: %s", plan->doubts[i]);
        }
    }
}

void made_says(const bl_plan *plan, const char *words) {
    check_told(plan->warnings, plan->warning_count, words);
}

void made_finds(const bl_plan *plan, const char *words) {
    check_told(plan->wish_findings, plan->wish_finding_count, words);
}

void check_span(bl_span got, double from, double to) {
    check_close(got.from_mm, from, 1e-9, "mm");
    check_close(got.to_mm, to, 1e-9, "mm");
}

void check_label(const bl_device *device, const char *label) {
    assert_non_null(device->of);
    assert_string_equal(device->of->label, label);
}
