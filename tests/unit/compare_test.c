/*
 * compare_test.c - before against after, on cylinders and cones whose figures
 * are closed forms.
 *
 * Contours are polygons with exact areas, and nothing is smoothed unless a test
 * says so: what is computed is exact but for rounding, and the tolerance, 1e-9
 * of areas of some 200 mm2, is that of sums of some hundred terms.
 */
#include "support/implanted.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846
#define EXACT 1e-9

static const bl_nominal sixteen = {.diameter_mm = 16.0, .length_mm = 60.0};

static void test_cylinders(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    bl_compare_options options = implanted_unshifted();
    options.nominals = &sixteen;
    options.nominal_count = 1;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_comparison *of = pair.of;
    assert_int_equal(of->treated_from, BL_TREATED_DEVICE);
    check_close(of->treated.from_mm, 70.0, EXACT, "mm");
    check_close(of->treated.to_mm, 130.0, EXACT, "mm");
    check_close(of->before.area_mm2, 60.0, EXACT, "mm2");
    check_close(of->before.before_reference_stenosis_pct, 70.0, EXACT, "%");
    check_close(of->after.area_mm2, 160.0, EXACT, "mm2");
    check_close(of->after.position_mm, 100.0, EXACT, "mm");
    check_close(of->gain_area_mm2, 100.0, EXACT, "mm2");
    check_close(of->gain_area_pct, 500.0 / 3.0, EXACT, "%");
    /* Chords of a polygon of 180 points: to 1e-3 of the diameter. */
    check_close(of->gain_min_diameter_mm,
                2.0 * (sqrt(160.0 / PI) - sqrt(60.0 / (1.5 * PI))), 2e-2, "mm");
    check_close(of->before_reference_residual.area_stenosis_pct, 20.0, EXACT,
                "%");
    check_close(of->before_reference_residual.denominator_mm2, 200.0, EXACT,
                "mm2");
    assert_int_equal(of->after_reference_from, BL_AFTER_REFERENCE_OWN);
    check_close(of->after_reference_residual.area_stenosis_pct,
                100.0 * 30.0 / 190.0, EXACT, "%");
    check_close(of->nominal_residual.area_stenosis_pct,
                100.0 * (1.0 - 160.0 / implanted_disc_mm2(16.0)), EXACT, "%");
    check_close(of->nominal_residual.position_mm, 100.0, EXACT, "mm");
    compared_pair_free(&pair);
    free(tables);
}

/* A cone: the reference tapers from 16 to 12 mm and the device with it, at 0.9
 * of its diameter: the residual is 1 - 0.81 everywhere, and exact between the
 * middles of the segments. */
static void test_cone(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 0; i <= 200; i++) {
        double d = 16.0 - 4.0 * (double)i / 200.0;
        bool inside = i >= 70 && i <= 130;
        tables->before.frames[i].lumen.area_mm2 =
            implanted_disc_mm2(inside ? 0.5 * d : d);
        tables->after.frames[i].lumen.area_mm2 =
            implanted_disc_mm2(inside ? 0.9 * d : d);
        tables->after.frames[i].device.area_mm2 =
            inside ? implanted_disc_mm2(0.9 * d) : 0.0;
        tables->after.frames[i].vessel.area_mm2 = 0.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    /* The mean area of a segment is that of a diameter larger by var(d) / 2d,
     * d^2 being convex: 20 mm taper by 0.4 mm, 0.0133 mm2 of d^2, 6e-5. */
    check_close(pair.of->before_reference_residual.area_stenosis_pct, 19.0,
                0.02, "%");
    check_close(pair.of->after_reference_residual.area_stenosis_pct, 19.0, 0.02,
                "%");
    check_close(pair.of->before.before_reference_stenosis_pct, 75.0, 0.02, "%");
    compared_pair_free(&pair);
    free(tables);
}

/* Without its own, AFTER's reference is that of BEFORE measured again: 200 mm2
 * became 180 cranially and 150 caudally; halfway between the middles (20 and
 * 180) the diameter is the mean of theirs. */
static void test_reference_measured_again(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->after.notes = "";
    for (size_t i = 0; i <= 200; i++) {
        if (i < 70 || i > 130) {
            tables->after.frames[i].lumen.area_mm2 = i < 70 ? 180.0 : 150.0;
        }
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->after_reference_from,
                     BL_AFTER_REFERENCE_MEASURED);
    double middle = 0.5 * (sqrt(180.0) + sqrt(150.0));
    check_close(pair.of->after.after_reference_mm2, middle * middle, EXACT,
                "mm2");
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "as the second table measures it"));
    compared_pair_free(&pair);
    free(tables);
}

static void test_missing_device(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 0; i <= 200; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    tables->after.frames[20].lumen.area_mm2 = 50.0;
    tables->after.frames[100].lumen.area_mm2 = 40.0;
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_comparison *of = pair.of;
    assert_int_equal(of->treated_from, BL_TREATED_NOWHERE);
    check_unknown(of->treated.from_mm);
    check_close(of->before.area_mm2, 60.0, EXACT, "mm2");
    check_close(of->after.area_mm2, 40.0, EXACT, "mm2");
    /* The two least areas are of two places. */
    check_unknown(of->gain_area_mm2);
    check_unknown(of->gain_area_pct);
    check_unknown(of->gain_min_diameter_mm);
    assert_false(of->device.traced);
    check_unknown(of->device.expansion_index);
    check_unknown(of->device.symmetry_index);
    check_unknown(of->device_least.change_mm2);
    assert_int_equal(of->edge_count, 0);
    assert_int_equal(of->untreated_count, 0);
    assert_true(implanted_says(of->cannot, of->cannot_count,
                               "Expansion, symmetry, tissue inside the device "
                               "and apposition"));
    assert_true(
        implanted_says(of->cannot, of->cannot_count, "What was treated"));
    compared_pair_free(&pair);

    options.treated_given = true;
    options.treated = (bl_span){75.0, 125.0};
    pair = implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->treated_from, BL_TREATED_GIVEN);
    assert_int_equal(pair.of->edge_count, 2);
    assert_int_equal(pair.of->untreated_count, 1);
    compared_pair_free(&pair);
    free(tables);
}

/* Cranially 150 mm2 beside the device where it was 200; caudally as before. */
static void test_edges(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->after.frames[65].lumen.area_mm2 = 150.0;
    tables->after.frames[59].lumen.area_mm2 = 20.0; /* beyond 10 mm */
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_edge *cranial = &pair.of->edges[0];
    assert_int_equal(pair.of->edge_count, 2);
    assert_int_equal(cranial->where, BL_END_CRANIAL);
    check_close(cranial->span.from_mm, 60.0, EXACT, "mm");
    check_close(cranial->span.to_mm, 70.0, EXACT, "mm");
    check_close(cranial->traced_mm, 10.0, EXACT, "mm");
    check_close(cranial->worst.position_mm, 65.0, EXACT, "mm");
    check_close(cranial->worst.before_reference_stenosis_pct, 25.0, EXACT, "%");
    check_close(cranial->before_area_mm2, 200.0, EXACT, "mm2");
    check_close(cranial->loss_pct, 25.0, EXACT, "%");
    check_close(pair.of->edges[1].loss_pct, 5.0, EXACT, "%");
    check_close(pair.of->edges[1].worst.after_reference_stenosis_pct, 0.0,
                EXACT, "%");
    compared_pair_free(&pair);
    free(tables);
}

/* 80 mm2 of 200 at 150..156, and 90 at 160: less than 5 mm apart, with the
 * threshold, 100, crossed between frames. */
static void test_untreated(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 150; i <= 156; i++) {
        tables->after.frames[i].lumen.area_mm2 = 80.0;
        tables->before.frames[i].lumen.area_mm2 = 90.0;
    }
    tables->after.frames[160].lumen.area_mm2 = 90.0;
    tables->after.frames[50].lumen.area_mm2 = 99.0;
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->untreated_count, 2);
    const bl_untreated *one = &pair.of->untreated[1];
    /* From 190 to 80 in a millimetre: 100 at 90/110 of it. */
    check_close(one->span.from_mm, 149.0 + 90.0 / 110.0, EXACT, "mm");
    /* And from 90 back to 190: at a tenth. */
    check_close(one->span.to_mm, 160.1, EXACT, "mm");
    check_close(one->worst.before_reference_stenosis_pct, 60.0, EXACT, "%");
    assert_true(one->was_there);
    assert_true(one->by_before);
    assert_false(pair.of->untreated[0].was_there);
    assert_true(pair.of->untreated[0].was_seen);
    compared_pair_free(&pair);
    /* Of what was not traced before nobody knows whether it is new. */
    for (size_t i = 145; i <= 165; i++) {
        tables->before.frames[i].lumen.area_mm2 = 0.0;
    }
    pair = implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->untreated_count, 2);
    assert_false(pair.of->untreated[1].was_seen);
    assert_false(pair.of->untreated[1].was_there);
    compared_pair_free(&pair);
    free(tables);
}

static void test_series(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    bl_compare_options options = bl_compare_defaults();
    options.shift_mm = 2.5;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->series_count, 201);
    const bl_compared *at = &pair.of->series[70];
    check_close(at->position_mm, 72.5, EXACT, "mm");
    check_close(at->own_position_mm, 70.0, EXACT, "mm");
    assert_true(at->in_treated);
    assert_true(at->device_after_gap);
    assert_false(at->lumen_after_gap);
    check_close(at->device_area_mm2, 170.0, EXACT, "mm2");
    check_close(at->vessel_area_mm2, 170.0, EXACT, "mm2");
    check_close(at->gap_mm, 0.0, EXACT, "mm");
    check_unknown(pair.of->series[69].device_area_mm2);
    /* Between 79 (200) and 80 (60), linear in diameter. */
    double d = 0.5 * (sqrt(200.0) + sqrt(60.0));
    check_close(pair.of->series[77].before_area_mm2, d * d, EXACT, "mm2");
    compared_pair_free(&pair);
    free(tables);
}

static void check_refused(const bl_compare_options *options,
                          const implanted_pair *tables, bl_status status,
                          const char *words) {
    compared_pair pair = implanted_compare_smoothed(
        &tables->before, &tables->after, options, 0.0);
    assert_int_equal(pair.status, status);
    if (strstr(pair.message.text, words) == NULL) {
        fail_msg("'%s' lacks '%s'", pair.message.text, words);
    }
    assert_null(pair.of);
    compared_pair_free(&pair);
}

static void test_bad_options(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    bl_compare_options options = implanted_unshifted();
    options.edge_mm = 51.0;
    check_refused(&options, tables, BL_ERR_ARGUMENT, "beyond the ends");
    options = implanted_unshifted();
    options.area_cv_pct = 50.5;
    check_refused(&options, tables, BL_ERR_ARGUMENT, "error of an area");
    options = implanted_unshifted();
    options.shift_mm = (double)INFINITY;
    check_refused(&options, tables, BL_ERR_ARGUMENT, "the shift");
    options = implanted_unshifted();
    options.treated_given = true;
    options.treated = (bl_span){5.0, 5.0};
    check_refused(&options, tables, BL_ERR_ARGUMENT, "has no length");
    options.treated = (bl_span){500.0, 510.0};
    check_refused(&options, tables, BL_ERR_ARGUMENT, "not within");
    options = implanted_unshifted();
    bl_nominal many[17];
    for (size_t i = 0; i < 17; i++) {
        many[i] = sixteen;
    }
    options.nominals = many;
    options.nominal_count = 17;
    check_refused(&options, tables, BL_ERR_ARGUMENT, "more than 16");
    options.nominal_count = 16;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    compared_pair_free(&pair);
    many[1].diameter_mm = 41.0;
    check_refused(&options, tables, BL_ERR_ARGUMENT, "nominal size 2");
    many[1] = (bl_nominal){16.0, 9.0};
    check_refused(&options, tables, BL_ERR_ARGUMENT, "nominal size 2");
    free(tables);
}

static void test_two_sides(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->before.notes = "# side = left\n# reference = 10..30\n";
    tables->after.notes = "# side = right\n";
    bl_compare_options options = implanted_unshifted();
    check_refused(&options, tables, BL_ERR_INPUT, "two veins");
    tables->after.notes = "# side = left\n# case = other\n# stage = before\n";
    tables->before.notes = "# case = one\n# reference = 10..30\n";
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "two cases, one and other"));
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "wrong order"));
    compared_pair_free(&pair);
    free(tables);
}

/* Reports name one threshold for both tables. */
static void test_unlike_thresholds(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    bl_compare_options options = implanted_unshifted();
    bl_assess_options assess = bl_assess_defaults();
    bl_study *before = implanted_study(&tables->before);
    bl_study *after = implanted_study(&tables->after);
    bl_assessment *first = implanted_assess(before, 0.0);
    assess.reference = BL_REFERENCE_NONE;
    for (int i = 0; i < 2; i++) {
        bl_assessment *second = NULL;
        bl_comparison *made = NULL;
        bl_message message;
        assess.threshold_pct = i == 0 ? 60.0 : 50.0;
        assess.shoulder_pct = i == 0 ? 20.0 : 25.0;
        assert_int_equal(bl_assess(after, &assess, &second, &message), BL_OK);
        assert_int_equal(bl_comparison_new(before, first, after, second,
                                           &options, &made, &message),
                         BL_ERR_ARGUMENT);
        assert_null(made);
        assert_non_null(strstr(message.text, "assess both with the same"));
        bl_assessment_free(second);
    }
    bl_assessment_free(first);
    bl_study_free(after);
    bl_study_free(before);
    free(tables);
}

/* A device of one area throughout, of which the reference after, the lumen
 * beside it, is 180 cranially and 220 caudally. Of equal areas the one that
 * lacks most counts, whichever way BEFORE was traced. */
static void test_ties(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    implanted *before = &tables->before;
    for (size_t i = 0; i <= 200; i++) {
        implanted_frame *at = &tables->after.frames[i];
        at->lumen.area_mm2 = i < 70 ? 180.0 : i > 130 ? 220.0 : 170.0;
        at->device.area_mm2 = i < 70 || i > 130 ? 0.0 : 170.0;
    }
    before->notes = "# mark = a @ 20\n# mark = b @ 180\n";
    tables->after.notes = "# mark = a @ 20\n# mark = b @ 180\n"
                          "# reference = 10..30\n# reference = 170..190\n";
    bl_compare_options options = bl_compare_defaults();
    compared_pair ahead = implanted_compare(before, &tables->after, &options);
    for (size_t i = 0; i < 100; i++) {
        implanted_frame kept = before->frames[i];
        before->frames[i] = before->frames[200 - i];
        before->frames[200 - i] = kept;
    }
    for (size_t i = 0; i <= 200; i++) {
        before->frames[i].position_mm = (double)i;
    }
    before->notes = "# travel = cranial\n# mark = a @ 180\n"
                    "# mark = b @ 20\n";
    compared_pair back = implanted_compare(before, &tables->after, &options);
    assert_true(back.of->alignment.turned);
    const bl_device_state *a = &ahead.of->device;
    const bl_device_state *b = &back.of->device;
    /* By the line from 180 at 20 to 220 at 180, at the caudal end. */
    check_close(a->minimum.position_mm, 130.0, EXACT, "mm");
    check_close(b->minimum.position_mm, 70.0, EXACT, "mm");
    check_close(a->after_expansion_index,
                170.0 / a->minimum.after_reference_mm2, EXACT, "");
    check_close(b->after_expansion_index, a->after_expansion_index, EXACT, "");
    /* All of one symmetry: of full ties the cranial one. */
    check_close(a->symmetry_position_mm + b->symmetry_position_mm, 200.0, EXACT,
                "mm");
    check_close(ahead.of->after.position_mm, 130.0, EXACT, "mm");
    check_close(back.of->after.position_mm, 70.0, EXACT, "mm");
    check_close(ahead.of->before.own_position_mm, 120.0, EXACT, "mm");
    check_close(back.of->before.own_position_mm, 80.0, EXACT, "mm");
    compared_pair_free(&back);
    compared_pair_free(&ahead);
    free(tables);
}

/* Without any reference: areas are known, stenoses are not. */
static void test_no_reference(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->before.notes = "";
    tables->after.notes = "";
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    check_close(pair.of->gain_area_mm2, 100.0, EXACT, "mm2");
    check_unknown(pair.of->before_reference_residual.area_stenosis_pct);
    check_unknown(pair.of->after_reference_residual.area_stenosis_pct);
    assert_int_equal(pair.of->after_reference_from, BL_AFTER_REFERENCE_NONE);
    check_close(pair.of->edges[0].worst.area_mm2, 190.0, EXACT, "mm2");
    assert_int_equal(pair.of->untreated_count, 0);
    check_close(pair.of->outside_mm, 138.0, EXACT, "mm");
    check_unknown(pair.of->outside_judged_mm);
    compared_pair_free(&pair);
    free(tables);
}

/* The first table's reference and the device that it has itself. */
static void test_reference_in_old_device(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    static const char *const says = "stretch that has a device already";
    bl_compare_options options = implanted_unshifted();
    for (size_t i = 10; i <= 30; i++) {
        tables->before.frames[i].device.area_mm2 = 180.0;
    }
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_true(
        implanted_says(pair.of->warnings, pair.of->warning_count, says));
    compared_pair_free(&pair);
    tables->before.notes = "# reference = 71..79\n";
    for (size_t i = 10; i <= 30; i++) {
        tables->before.frames[i].device.area_mm2 = i < 15 ? 180.0 : 0.0;
    }
    pair = implanted_compare(&tables->before, &tables->after, &options);
    assert_false(
        implanted_says(pair.of->warnings, pair.of->warning_count, says));
    compared_pair_free(&pair);
    tables->before.notes = "# reference = 71..79\n# stage = after\n";
    for (size_t i = 10; i <= 15; i++) {
        tables->before.frames[i].device.area_mm2 = 0.0;
    }
    pair = implanted_compare(&tables->before, &tables->after, &options);
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "The first table is of after treatment"));
    compared_pair_free(&pair);
    free(tables);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cylinders),
        cmocka_unit_test(test_cone),
        cmocka_unit_test(test_reference_measured_again),
        cmocka_unit_test(test_missing_device),
        cmocka_unit_test(test_edges),
        cmocka_unit_test(test_untreated),
        cmocka_unit_test(test_series),
        cmocka_unit_test(test_bad_options),
        cmocka_unit_test(test_two_sides),
        cmocka_unit_test(test_unlike_thresholds),
        cmocka_unit_test(test_ties),
        cmocka_unit_test(test_no_reference),
        cmocka_unit_test(test_reference_in_old_device),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
