/*
 * vein.c - whole pullbacks for tests.
 */
#include "support/vein.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define POINTS 180

void vein_straight(vein *out, double length_mm, double step_mm,
                   double area_mm2) {
    out->count = 0;
    out->notes = "";
    for (size_t i = 0; (double)i * step_mm <= length_mm + 1e-9; i++) {
        assert_true(i < VEIN_FRAMES);
        out->frames[out->count++] =
            (vein_frame){(double)i * step_mm, area_mm2, 1.0};
    }
}

static void feed(bl_study *study, const char *text) {
    if (bl_study_feed(study, text, strlen(text)) != BL_OK) {
        fail_msg("%s", bl_study_message(study)->text);
    }
}

static bl_study *begin(void) {
    bl_study_options options = {
        .columns = BL_COLUMNS_ALL & ~BL_BIT(BL_COL_INSCRIBED_DIAMETER_MM),
        .keep_contours = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    return study;
}

static void finish(bl_study *study) {
    if (bl_study_finish(study) != BL_OK) {
        fail_msg("%s", bl_study_message(study)->text);
    }
}

void vein_narrowed_middle(vein *out) {
    vein_straight(out, 200.0, 0.5, 150.0);
    for (size_t i = 0; i < out->count; i++) {
        double x = out->frames[i].position_mm;
        out->frames[i].area_mm2 = x > 90.0 && x < 110.0 ? 30.0 : 150.0;
    }
}

void vein_turn_around(vein *of) {
    for (size_t i = 0; i < of->count / 2; i++) {
        vein_frame *a = &of->frames[i];
        vein_frame *b = &of->frames[of->count - 1 - i];
        double area = a->area_mm2;
        a->area_mm2 = b->area_mm2;
        b->area_mm2 = area;
    }
}

void vein_four(vein *out, bool common, bool external, bool femoral) {
    vein_straight(out, 200.0, 0.5, 300.0);
    for (size_t i = 0; i < out->count; i++) {
        double x = out->frames[i].position_mm;
        double *area = &out->frames[i].area_mm2;
        if (x >= 140.0) {
            *area = femoral ? 50.0 : 125.0;
        } else if (x >= 70.0) {
            *area = external ? 60.0 : 150.0;
        } else if (x >= 20.0) {
            *area = common ? 80.0 : 200.0;
        }
    }
}

bl_study *vein_study(const vein *of) {
    bl_study *study = begin();
    feed(study, of->notes);
    feed(study, "frame,position_mm,x_mm,y_mm\n");
    /* Semi-axes of the ellipse whose inscribed polygon has the area. */
    double unit = 0.5 * POINTS * sin(2.0 * PI / POINTS);
    for (size_t i = 0; i < of->count; i++) {
        const vein_frame *at = &of->frames[i];
        double minor = sqrt(at->area_mm2 / unit / at->aspect);
        double major = minor * at->aspect;
        for (int k = 0; k < POINTS; k++) {
            char line[160];
            double angle = 2.0 * PI * k / POINTS;
            (void)snprintf(line, sizeof line, "%zu,%.17g,%.17g,%.17g\n", i,
                           at->position_mm, major * cos(angle),
                           minor * sin(angle));
            feed(study, line);
        }
    }
    finish(study);
    return study;
}

bl_study *vein_study_of_text(const char *text) {
    bl_study *study = begin();
    feed(study, text);
    finish(study);
    return study;
}

bl_assessment *vein_assess(const bl_study *study, bl_rule rule,
                           double smooth_mm) {
    bl_assess_options options = bl_assess_defaults();
    options.rule = rule;
    options.smooth_mm = smooth_mm;
    bl_assessment *out = NULL;
    bl_message message;
    if (bl_assess(study, &options, &out, &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
    return out;
}

bl_assessment *vein_explain(vein *of, const char *notes, bl_study **study) {
    of->notes = notes;
    *study = vein_study(of);
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_FIND;
    options.explain = true;
    bl_message message;
    bl_assessment *out = NULL;
    assert_int_equal(bl_assess(*study, &options, &out, &message), BL_OK);
    return out;
}

void vein_done(bl_study *study, bl_assessment *assessment) {
    bl_assessment_free(assessment);
    bl_study_free(study);
}

bool vein_warns(const bl_assessment *of, const char *words) {
    bool found = false;
    for (size_t i = 0; i < of->warning_count; i++) {
        found = found || strstr(of->warnings[i], words) != NULL;
    }
    return found;
}
