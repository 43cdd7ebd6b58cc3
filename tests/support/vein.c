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
