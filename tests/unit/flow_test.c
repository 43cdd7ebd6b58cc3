/*
 * flow_test.c - the flow index against closed forms and a published value.
 *
 * Laminar flow in an elliptical duct: White, Viscous Fluid Flow; Shah and
 * London, Laminar Flow Forced Convection in Ducts, 1978 (both from memory);
 * the ratio 24/25 at an aspect of 4/3 against the circle of equal area is
 * published (docs/definitions.md, "Flow").
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846

/* The shortest chord of a test's polygon lies in an edge beside the minor
 * axis, whose slope is tan(1 degree) / aspect: so much shorter, the aspect is
 * that much more. */
static double traced_aspect(double aspect) {
    double slope = tan(PI / 180.0) / aspect;
    return aspect * sqrt(1.0 + slope * slope);
}

static double ellipse_factor(double aspect) {
    return 0.5 * (aspect + 1.0 / aspect);
}

/* Ellipses from `from_mm` to `to_mm`, round healthy vein around them. */
static void set_ellipses(vein *of, double from_mm, double to_mm,
                         double area_mm2, double aspect) {
    for (size_t i = 0; i < of->count; i++) {
        vein_frame *at = &of->frames[i];
        if (at->position_mm >= from_mm - 1e-9 &&
            at->position_mm <= to_mm + 1e-9) {
            at->area_mm2 = area_mm2;
            at->aspect = aspect;
        }
    }
}

typedef struct assessed {
    bl_study *study;
    bl_assessment *of;
} assessed;

static assessed assess(const vein *of) {
    assessed out = {vein_study(of), NULL};
    out.of = vein_assess(out.study, BL_RULE_TAPER, 0.0);
    return out;
}

static void give_back(assessed *of) {
    bl_assessment_free(of->of);
    bl_study_free(of->study);
}

static vein straight(double area_mm2, const char *notes) {
    static vein out;
    vein_straight(&out, 100.0, 1.0, area_mm2);
    out.notes = notes;
    return out;
}

/* Published: an ellipse of aspect 4/3 lets through 24/25 of what the circle of
 * its area does. Tolerance: the aspect of a polygon of 180 points stands off
 * by 9e-5, the ratio by a quarter of that. */
static void test_published_ratio(void **state) {
    (void)state;
    vein of = straight(150.0, "# reference = 0..20\n");
    set_ellipses(&of, 40.0, 60.0, 150.0, 4.0 / 3.0);
    assessed got = assess(&of);
    bl_flow flow = bl_assessment_flow(got.of, (bl_span){40.0, 60.0});
    assert_null(flow.why_not);
    check_close(1.0 / flow.index, 24.0 / 25.0, 3e-5, "");
    check_relative(flow.area_index, 1.0, 1e-12);
    give_back(&got);
}

/* White's own form, (a^2 + b^2) / (a b)^3 against 2 / c^4 of a circle of
 * radius c. Sums of 1/area^2 keep twelve digits. */
static void test_constant_ellipse(void **state) {
    (void)state;
    static const double areas[] = {40.0, 90.0, 220.0};
    static const double aspects[] = {1.5, 2.5, 5.0};
    for (size_t i = 0; i < 3; i++) {
        vein of = straight(200.0, "# reference = 0..20\n");
        set_ellipses(&of, 40.0, 60.0, areas[i], aspects[i]);
        assessed got = assess(&of);
        bl_flow flow = bl_assessment_flow(got.of, (bl_span){42.5, 57.25});
        double ratio = traced_aspect(aspects[i]);
        double b = sqrt(areas[i] / PI / ratio);
        double a = b * ratio;
        double c = sqrt(200.0 / PI);
        double expected =
            (a * a + b * b) / pow(a * b, 3.0) / (2.0 / pow(c, 4.0));
        check_relative(flow.index, expected, 1e-9);
        check_relative(flow.area_index, pow(200.0 / areas[i], 2.0), 1e-11);
        give_back(&got);
    }
}

/* Healthy vein is its own reference. The chords of a 180-gon through its
 * centre are from its diameter to cos(1 degree) of it. */
static void test_healthy_is_one(void **state) {
    (void)state;
    vein of = straight(180.0, "# reference = 0..20\n# reference = 80..100\n");
    assessed got = assess(&of);
    bl_flow flow = bl_assessment_flow(got.of, (bl_span){0.0, 100.0});
    check_relative(flow.index, ellipse_factor(1.0 / cos(PI / 180.0)), 1e-12);
    check_relative(flow.area_index, 1.0, 1e-12);
    give_back(&got);
}

/* A cone: the integral of d^-4 from d0 to d1 is (d0^-3 - d1^-3) / (3 slope).
 * The reference runs level at d0. A trapezoid of step h reads high by h^2 / 12
 * times the difference of the slopes of the integrand at its ends. */
static void test_cone(void **state) {
    (void)state;
    static vein of;
    const double step = 0.1;
    const double d0 = 16.0;
    const double slope = -0.1; /* mm a mm, from 20 mm on */
    vein_straight(&of, 80.0, step, PI / 4.0 * d0 * d0);
    of.notes = "# reference = 0..20\n";
    for (size_t i = 0; i < of.count; i++) {
        double x = of.frames[i].position_mm;
        double d = x <= 20.0 ? d0 : d0 + slope * (x - 20.0);
        of.frames[i].area_mm2 = PI / 4.0 * d * d;
    }
    assessed got = assess(&of);
    bl_flow flow = bl_assessment_flow(got.of, (bl_span){20.0, 80.0});
    double d1 = d0 + slope * 60.0;
    double integral = (pow(d0, -3.0) - pow(d1, -3.0)) / (3.0 * slope);
    double expected = integral / 60.0 * pow(d0, 4.0);
    double steeper = -4.0 * slope * (pow(d1, -5.0) - pow(d0, -5.0));
    double reads_high = step * step / 12.0 * steeper / 60.0 * pow(d0, 4.0);
    check_close(flow.area_index - expected, reads_high, 1e-3 * reads_high, "");
    give_back(&got);
}

/* Resistances in series add. */
static void test_series(void **state) {
    (void)state;
    vein of = straight(200.0, "# reference = 0..20\n");
    set_ellipses(&of, 40.0, 50.0, 100.0, 2.0);
    set_ellipses(&of, 51.0, 60.0, 60.0, 3.0);
    assessed got = assess(&of);
    bl_span a = {30.3, 45.7};
    bl_span b = {45.7, 71.2};
    double both = bl_assessment_flow(got.of, (bl_span){30.3, 71.2}).index;
    double sum = bl_assessment_flow(got.of, a).index * (a.to_mm - a.from_mm) +
                 bl_assessment_flow(got.of, b).index * (b.to_mm - b.from_mm);
    check_relative(both * (b.to_mm - a.from_mm), sum, 1e-12);
    give_back(&got);
}

static void check_not_known(const bl_assessment *of, bl_span span,
                            const char *why) {
    bl_flow flow = bl_assessment_flow(of, span);
    check_unknown(flow.index);
    check_unknown(flow.area_index);
    assert_non_null(flow.why_not);
    assert_string_equal(flow.why_not, why);
}

static void test_not_across_a_gap(void **state) {
    (void)state;
    vein of = straight(200.0, "# reference = 0..20\n");
    of.count = 0;
    for (int x = 0; x <= 100; x++) {
        if (x <= 50 || x >= 60) {
            of.frames[of.count++] = (vein_frame){x, x > 70 ? 80.0 : 200.0, 1.0};
        }
    }
    assessed got = assess(&of);
    const char *gap = "a gap without usable frames lies in it";
    check_not_known(got.of, (bl_span){40.0, 70.0}, gap);
    check_not_known(got.of, (bl_span){52.0, 58.0}, gap);
    check_not_known(got.of, (bl_span){59.5, 70.0}, gap);
    assert_null(bl_assessment_flow(got.of, (bl_span){30.0, 50.0}).why_not);
    assert_null(bl_assessment_flow(got.of, (bl_span){60.0, 70.0}).why_not);
    give_back(&got);
}

static void test_not_beyond_or_without_length(void **state) {
    (void)state;
    vein of = straight(200.0, "# reference = 0..20\n");
    assessed got = assess(&of);
    const char *beyond = "it reaches beyond what was traced";
    check_not_known(got.of, (bl_span){-0.5, 20.0}, beyond);
    check_not_known(got.of, (bl_span){90.0, 100.5}, beyond);
    check_not_known(got.of, (bl_span){(double)NAN, 20.0}, beyond);
    check_not_known(got.of, (bl_span){20.0, 20.0}, "it has no length");
    give_back(&got);
}

static void test_not_without_reference(void **state) {
    (void)state;
    vein of = straight(200.0, "");
    bl_study *study = vein_study(&of);
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_NONE;
    bl_assessment *got = NULL;
    assert_int_equal(bl_assess(study, &options, &got, NULL), BL_OK);
    check_not_known(got, (bl_span){0.0, 100.0}, "there is no reference");
    bl_assessment_free(got);
    bl_study_free(study);
}

/* Marks tell the common iliac vein from 20 to 60 mm only: what is caudal of it
 * has no expected area. */
static void test_not_where_a_part_has_none(void **state) {
    (void)state;
    vein of = straight(100.0, "# mark = iliocaval_confluence @ 20\n"
                              "# mark = internal_iliac_confluence @ 60\n");
    bl_study *study = vein_study(&of);
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_EXPECTED;
    bl_assessment *got = NULL;
    assert_int_equal(bl_assess(study, &options, &got, NULL), BL_OK);
    check_not_known(got, (bl_span){30.0, 90.0},
                    "a part of it has no reference");
    /* 200 mm2 are expected of a common iliac vein. */
    check_relative(bl_assessment_flow(got, (bl_span){30.0, 50.0}).area_index,
                   4.0, 1e-11);
    bl_assessment_free(got);
    bl_study_free(study);
}

/* A crescent whose centre lies outside it has no diameters: its shape counts
 * for nothing, its area still does. */
static void test_not_of_a_crescent(void **state) {
    (void)state;
    static const char table[] =
        "# reference = 0..2\n"
        "frame,position_mm,x_mm,y_mm\n"
        "0,0,0,0\n0,0,12,0\n0,0,12,12\n0,0,0,12\n"
        "1,1,0,0\n1,1,12,0\n1,1,12,12\n1,1,0,12\n"
        "2,2,0,0\n2,2,12,0\n2,2,12,12\n2,2,0,12\n"
        "3,3,0,0\n3,3,12,0\n3,3,12,12\n3,3,11,12\n3,3,11,1\n3,3,0,1\n"
        "4,4,0,0\n4,4,12,0\n4,4,12,12\n4,4,0,12\n";
    bl_study *study = vein_study_of_text(table);
    bl_assessment *got = vein_assess(study, BL_RULE_TAPER, 0.0);
    bl_flow flow = bl_assessment_flow(got, (bl_span){2.0, 4.0});
    check_unknown(flow.index);
    assert_string_equal(flow.why_not,
                        "the diameters of a contour in it are not known");
    /* An L of 12 + 11 mm2 between squares of 144: (1 + (144/23)^2) / 2. */
    check_relative(flow.area_index, 0.5 * (1.0 + pow(144.0 / 23.0, 2.0)),
                   1e-12);
    bl_assessment_free(got);
    bl_study_free(study);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_published_ratio),
        cmocka_unit_test(test_constant_ellipse),
        cmocka_unit_test(test_healthy_is_one),
        cmocka_unit_test(test_cone),
        cmocka_unit_test(test_series),
        cmocka_unit_test(test_not_across_a_gap),
        cmocka_unit_test(test_not_beyond_or_without_length),
        cmocka_unit_test(test_not_without_reference),
        cmocka_unit_test(test_not_where_a_part_has_none),
        cmocka_unit_test(test_not_of_a_crescent),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
