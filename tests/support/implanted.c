/*
 * implanted.c - pullbacks with lumen, device and vessel for tests.
 */
#include "support/implanted.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846

static void feed(bl_study *study, const char *text) {
    if (bl_study_feed(study, text, strlen(text)) != BL_OK) {
        fail_msg("%s", bl_study_message(study)->text);
    }
}

static void feed_point(bl_study *study, size_t frame, double position_mm,
                       const char *kind, double radius,
                       const implanted_ring *of, double angle) {
    double ratio = of->aspect > 0.0 ? of->aspect : 1.0;
    char line[192];
    (void)snprintf(line, sizeof line, "%zu,%.17g,%s,%.17g,%.17g\n", frame,
                   position_mm, kind, of->x_mm + radius * ratio * cos(angle),
                   radius * sin(angle));
    feed(study, line);
}

/* About as large as the ring. */
static void feed_eight(bl_study *study, size_t frame, double position_mm,
                       const char *kind, double radius, int points) {
    for (int k = 0; k < points; k++) {
        double angle = 2.0 * PI * k / points;
        char line[192];
        (void)snprintf(line, sizeof line, "%zu,%.17g,%s,%.17g,%.17g\n", frame,
                       position_mm, kind, radius * cos(angle),
                       radius * sin(2.0 * angle));
        feed(study, line);
    }
}

/* A flank of the bump is radial: two points in one direction. */
static void feed_ring(bl_study *study, size_t frame, double position_mm,
                      const char *kind, const implanted_ring *of, int points) {
    if (!(of->area_mm2 > 0.0)) {
        return;
    }
    double unit = 0.5 * points * sin(2.0 * PI / points);
    double aspect = of->aspect > 0.0 ? of->aspect : 1.0;
    double minor = sqrt(of->area_mm2 / unit / aspect);
    if (of->crosses) {
        feed_eight(study, frame, position_mm, kind, minor, points);
        return;
    }
    int half = (int)lround(of->bump_deg / 4.0); /* points are 2 degrees apart */
    for (int k = -points / 2; k < points / 2; k++) {
        double angle = 2.0 * PI * k / points;
        bool bumped = of->bump_mm > 0.0 && k >= -half && k <= half;
        if (bumped && k == -half) {
            feed_point(study, frame, position_mm, kind, minor, of, angle);
        }
        feed_point(study, frame, position_mm, kind,
                   minor + (bumped ? of->bump_mm : 0.0), of, angle);
        if (bumped && k == half) {
            feed_point(study, frame, position_mm, kind, minor, of, angle);
        }
    }
}

bl_study *implanted_study(const implanted *of) {
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS, .appose = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    feed(study, of->notes);
    feed(study, "frame,position_mm,kind,x_mm,y_mm\n");
    for (size_t i = 0; i < of->count; i++) {
        const implanted_frame *at = &of->frames[i];
        feed_ring(study, i, at->position_mm, "lumen", &at->lumen, of->points);
        feed_ring(study, i, at->position_mm, "device", &at->device, of->points);
        feed_ring(study, i, at->position_mm, "vessel", &at->vessel, of->points);
    }
    if (bl_study_finish(study) != BL_OK) {
        fail_msg("%s", bl_study_message(study)->text);
    }
    return study;
}

void implanted_straight(implanted *out, double length_mm, double step_mm,
                        double area_mm2) {
    memset(out, 0, sizeof *out);
    out->notes = "";
    out->points = 180;
    for (size_t i = 0; (double)i * step_mm <= length_mm + 1e-9; i++) {
        assert_true(i < IMPLANTED_FRAMES);
        out->frames[out->count++] =
            (implanted_frame){.position_mm = (double)i * step_mm,
                              .lumen = {.area_mm2 = area_mm2}};
    }
}

bl_assessment *implanted_assess(const bl_study *study, double smooth_mm) {
    bl_assess_options options = bl_assess_defaults();
    options.smooth_mm = smooth_mm;
    if (bl_study_pullback(study)->reference_count == 0) {
        options.reference = BL_REFERENCE_NONE;
    }
    bl_assessment *out = NULL;
    bl_message message;
    if (bl_assess(study, &options, &out, &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
    return out;
}

compared_pair implanted_compare_smoothed(const implanted *before,
                                         const implanted *after,
                                         const bl_compare_options *options,
                                         double smooth_mm) {
    const implanted *tables[] = {before, after};
    compared_pair out = {.of = NULL};
    for (int i = 0; i < 2; i++) {
        out.studies[i] = implanted_study(tables[i]);
        out.assessments[i] = implanted_assess(out.studies[i], smooth_mm);
    }
    out.status =
        bl_comparison_new(out.studies[0], out.assessments[0], out.studies[1],
                          out.assessments[1], options, &out.of, &out.message);
    return out;
}

compared_pair implanted_compare(const implanted *before, const implanted *after,
                                const bl_compare_options *options) {
    compared_pair out = implanted_compare_smoothed(before, after, options, 0.0);
    if (out.status != BL_OK) {
        fail_msg("%s", out.message.text);
    }
    return out;
}

void compared_pair_free(compared_pair *of) {
    bl_comparison_free(of->of);
    for (int i = 0; i < 2; i++) {
        bl_assessment_free(of->assessments[i]);
        bl_study_free(of->studies[i]);
    }
}

bool implanted_says(const char *const *sentences, size_t count,
                    const char *words) {
    for (size_t i = 0; i < count; i++) {
        if (strstr(sentences[i], words) != NULL) {
            return true;
        }
    }
    return false;
}

/* Narrow vein is flat: what changes at once and keeps its shape is taken for
 * another scale. */
static void make_untreated(implanted *out) {
    implanted_straight(out, 200.0, 1.0, 200.0);
    out->notes = "# reference = 10..30\n# reference = 170..190\n";
    for (size_t i = 80; i <= 120; i++) {
        out->frames[i].lumen.area_mm2 = 60.0;
        out->frames[i].lumen.aspect = 1.5;
    }
}

static void make_treated(implanted *out) {
    implanted_straight(out, 200.0, 1.0, 190.0);
    out->notes = "# stage = after\n# reference = 10..30\n"
                 "# reference = 170..190\n";
    for (size_t i = 70; i <= 130; i++) {
        out->frames[i].lumen.area_mm2 = 170.0;
        out->frames[i].device.area_mm2 = 170.0;
        out->frames[i].vessel.area_mm2 = 170.0;
    }
    out->frames[100].lumen.area_mm2 = 160.0;
    out->frames[100].device.area_mm2 = 160.0;
    out->frames[100].vessel.area_mm2 = 160.0;
}

implanted_pair *implanted_pair_new(void) {
    implanted_pair *made = malloc(sizeof *made);
    assert_non_null(made);
    make_untreated(&made->before);
    make_treated(&made->after);
    return made;
}

double implanted_disc_mm2(double diameter_mm) {
    return PI / 4.0 * diameter_mm * diameter_mm;
}

bl_compare_options implanted_unshifted(void) {
    bl_compare_options options = bl_compare_defaults();
    options.shift_mm = 0.0;
    return options;
}

compared_pair implanted_sized(const implanted_pair *tables,
                              const bl_nominal sizes[2]) {
    bl_compare_options options = implanted_unshifted();
    options.nominals = sizes;
    options.nominal_count = 2;
    return implanted_compare(&tables->before, &tables->after, &options);
}

bool implanted_leads(const implanted_pair *tables, const char *words) {
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    bool out =
        implanted_says(pair.of->foremost, pair.of->foremost_count, words);
    compared_pair_free(&pair);
    return out;
}
