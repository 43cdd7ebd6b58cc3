/*
 * hole_test.c - what a comparison says of contours that are not there: frames
 * without a lumen, without a device, with one that cannot be measured, and
 * ends of a device that were not seen.
 *
 * Tables and tolerance as in implant_test.c; frames stand 1 mm apart, and
 * lengths are counted by hand.
 */
#include "support/implanted.h"

#include <math.h>
#include <stdlib.h>

#define EXACT 1e-9

/* 4 frames with a device and without a lumen are bridged, but told; without
 * either contour they are only bridged. 21 leave 22 mm, which is not bridged.
 */
static void test_foremost_lumen(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    bl_compare_options options = implanted_unshifted();
    for (size_t i = 90; i <= 93; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->foremost_count, 1);
    assert_string_equal(pair.of->foremost[0],
                        "4 frames inside the device (90.0..93.0 mm) have no "
                        "lumen: occluded or not traced; figures bridge them.");
    const bl_hole *hole = &pair.of->lumen_holes[0];
    assert_int_equal(pair.of->lumen_hole_count, 1);
    assert_int_equal(hole->frames, 4);
    check_close(hole->span.from_mm, 89.0, EXACT, "mm");
    check_close(hole->span.to_mm, 94.0, EXACT, "mm");
    assert_true(hole->bridged);
    assert_false(hole->gap);
    check_close(pair.of->after_traced_mm, 60.0, EXACT, "mm");
    compared_pair_free(&pair);
    for (size_t i = 90; i <= 93; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
        tables->after.frames[i].vessel.area_mm2 = 0.0;
    }
    assert_false(implanted_leads(tables, ""));
    for (size_t i = 90; i <= 110; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    assert_true(implanted_leads(
        tables, "No lumen was traced after treatment over 22.0 mm"));
    free(tables);
}

/* One frame, at an end: nothing beyond it bridges it. */
static void test_foremost_lumen_at_end(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->after.frames[70].lumen.area_mm2 = 0.0;
    assert_true(implanted_leads(tables,
                                "1 frame inside the device (70.0 mm) has "
                                "no lumen: occluded or not traced; "
                                "figures bridge it."));
    tables->after.notes = "# reference = 170..190\n";
    for (size_t i = 0; i <= 70; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    assert_true(implanted_leads(tables,
                                "(70.0 mm) has no lumen: occluded or not "
                                "traced; figures are of the rest."));
    free(tables);
}

/* A second table of positions 1.5 times as long: 6 mm without a lumen are a
 * gap of it that no figure bridges, though only 4 mm of the first. */
static void test_gap_of_other_speed(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->before.notes = "# stage = before\n# reference = 10..30\n"
                           "# mark = iliocaval_confluence @ 20\n"
                           "# mark = femoral_confluence @ 180\n";
    tables->after.notes = "# stage = after\n# reference = 15..45\n"
                          "# mark = iliocaval_confluence @ 30\n"
                          "# mark = femoral_confluence @ 270\n";
    for (size_t i = 0; i < tables->after.count; i++) {
        tables->after.frames[i].position_mm *= 1.5;
    }
    for (size_t i = 90; i <= 92; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    bl_compare_options options = implanted_unshifted();
    options.shift_mm = (double)NAN;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_hole *hole = &pair.of->lumen_holes[0];
    assert_int_equal(pair.of->lumen_hole_count, 1);
    check_close(hole->span.from_mm, 89.0, EXACT, "mm");
    check_close(hole->span.to_mm, 93.0, EXACT, "mm");
    assert_int_equal(hole->frames, 3);
    assert_false(hole->bridged);
    assert_true(hole->gap);
    assert_true(implanted_says(pair.of->foremost, pair.of->foremost_count,
                               "No lumen was traced after treatment over 4.0 "
                               "mm"));
    assert_false(implanted_says(pair.of->foremost, pair.of->foremost_count,
                                "inside the device"));
    compared_pair_free(&pair);
    free(tables);
}

/* A gap of 7 mm of which 1.5 mm are treated is none of the treated stretch. */
static void test_hole_cut_by_treated(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 96; i <= 101; i++) {
        implanted_frame *frame = &tables->after.frames[i];
        frame->lumen.area_mm2 = 0.0;
        frame->device.area_mm2 = 0.0;
        frame->vessel.area_mm2 = 0.0;
    }
    bl_compare_options options = implanted_unshifted();
    options.treated_given = true;
    options.treated = (bl_span){100.5, 130.0};
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->lumen_hole_count, 0);
    assert_false(
        implanted_says(pair.of->foremost, pair.of->foremost_count, "lumen"));
    assert_int_equal(pair.of->device.hole_count, 1);
    compared_pair_free(&pair);
    free(tables);
}

/* Wholly occluded: told before all that is not known. */
static void test_foremost_no_lumen(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 70; i <= 130; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->foremost_count, 1);
    assert_string_equal(pair.of->foremost[0],
                        "No lumen was traced after treatment in the treated "
                        "stretch, 70.0..130.0 mm: occluded or not traced; gain "
                        "and residual stenosis are not known.");
    check_unknown(pair.of->gain_area_mm2);
    compared_pair_free(&pair);
    free(tables);
}

/* Of four places one sentence tells. */
static void test_foremost_folds(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 80; i <= 110; i += 10) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->foremost_count, 1);
    assert_string_equal(pair.of->foremost[0],
                        "4 frames inside the device, in 4 places, first at "
                        "80.0 mm, have no lumen: occluded or not traced; "
                        "figures bridge them.");
    compared_pair_free(&pair);
    free(tables);
}

/* Frames 6 mm apart are no gaps each; a lumen that is missing among them is
 * one, and of the device two are: over 2.5 times as much. */
static void test_coarse(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    size_t kept = 0;
    for (size_t i = 4; i <= 200; i += 6) {
        tables->after.frames[kept++] = tables->after.frames[i];
    }
    tables->after.count = kept;
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    check_close(pair.of->after_step_mm, 6.0, EXACT, "mm");
    assert_int_equal(pair.of->device.part_count, 1);
    assert_int_equal(pair.of->foremost_count, 1);
    assert_string_equal(pair.of->foremost[0],
                        "Frames of the second table stand 6.0 mm apart: what "
                        "lies between them was not seen, and figures bridge "
                        "it.");
    compared_pair_free(&pair);
    tables->after.frames[14].device.area_mm2 = 0.0;
    tables->after.frames[14].lumen.area_mm2 = 0.0;
    assert_true(implanted_leads(
        tables, "No lumen was traced after treatment over 12.0 mm"));
    assert_false(implanted_leads(tables, "No device contours"));
    tables->after.frames[15].device.area_mm2 = 0.0;
    assert_true(implanted_leads(tables, "No device contours over 18.0 mm"));
    free(tables);
}

/* Fewer frames than a gap without a device are told where it was. */
static void test_short_break(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 96; i <= 98; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    assert_false(implanted_leads(tables, "device"));
    for (size_t i = 70; i <= 130; i++) {
        tables->before.frames[i].device.area_mm2 = 50.0;
    }
    assert_true(implanted_leads(tables, "No device contours over 4.0 mm of the "
                                        "treated stretch, 95.0..99.0 mm, where "
                                        "the first table has them: the device "
                                        "came apart or was not traced; its "
                                        "figures bridge it."));
    free(tables);
}

/* Device contours `every` mm apart, so many of which are missing in a row. */
static compared_pair with_sparse(size_t every, size_t missing) {
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 70; i <= 130; i++) {
        tables->before.frames[i].device.area_mm2 = 50.0;
        size_t of_them = (i - 70) / every;
        bool is_passed = (i - 70) % every != 0;
        if (is_passed || (of_them >= 6 && of_them < 6 + missing)) {
            tables->after.frames[i].device.area_mm2 = 0.0;
        }
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    free(tables);
    return pair;
}

/* Over 2.5 times as far as contours stand apart, and over 2 mm, is a break. */
static void test_sparse_device(void **state) {
    (void)state;
    const struct {
        size_t every;
        size_t missing;
        const char *leads; /* or not */
        const char *warns;
    } cases[] = {
        {1, 0, NULL, NULL},
        {1, 1, NULL,
         "In 1 frame between its ends the device was not traced, over 2.5 mm "
         "or less at a time: its contours stand 1.0 mm apart (median), so that "
         "no break is taken from that and none is ruled out."},
        {1, 2, "No device contours over 3.0 mm", NULL},
        {2, 0, NULL, "In 30 frames between its ends"},
        {2, 1, NULL, "over 5.0 mm or less at a time"},
        {2, 2, "No device contours over 6.0 mm", "In 27 frames"},
        {6, 0, NULL, "over 15.0 mm or less at a time"},
        {6, 2, "No device contours over 18.0 mm", "In 35 frames"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        compared_pair pair = with_sparse(cases[i].every, cases[i].missing);
        const bl_comparison *of = pair.of;
        bool leads = cases[i].leads != NULL;
        assert_int_equal(of->device.hole_count, leads);
        assert_int_equal(of->foremost_count, leads);
        assert_true(!leads || implanted_says(of->foremost, 1, cases[i].leads));
        assert_int_equal(implanted_says(of->warnings, of->warning_count,
                                        cases[i].warns == NULL
                                            ? "between its ends"
                                            : cases[i].warns),
                         cases[i].warns != NULL);
        compared_pair_free(&pair);
    }
}

/* ------------------------------------- a wall and no lumen, outside it */

/* Takes away lumens where a wall stays. */
static void leave_wall(implanted *table, size_t from, size_t to) {
    for (size_t i = from; i <= to; i++) {
        table->frames[i].lumen.area_mm2 = 0.0;
        table->frames[i].vessel.area_mm2 = 200.0;
    }
}

/* From the device on, 8 frames are 9 mm up to the next lumen, and of 10 mm of
 * edge 1 mm is left. */
static void test_wall_only_at_device(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    leave_wall(&tables->after, 131, 138);
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->foremost_count, 1);
    assert_string_equal(pair.of->foremost[0],
                        "The second table has no lumen over 9.0 mm outside the "
                        "treated stretch, 130.0..139.0 mm, where the vessel "
                        "wall was traced: occluded or not traced; edges and "
                        "what was left there are not known.");
    const bl_hole *hole = &pair.of->outside_holes[0];
    assert_int_equal(pair.of->outside_hole_count, 1);
    assert_int_equal(hole->frames, 8);
    check_close(hole->within.from_mm, 131.0, EXACT, "mm");
    check_close(hole->within.to_mm, 138.0, EXACT, "mm");
    assert_true(hole->gap);
    assert_true(hole->was_there);
    assert_int_equal(pair.of->lumen_hole_count, 0);
    check_close(pair.of->edges[1].traced_mm, 1.0, EXACT, "mm");
    compared_pair_free(&pair);
    free(tables);
}

/* One frame between lumens, which figures bridge; and to the end of the
 * pullback, with lumens that cannot be measured. */
static void test_wall_only_elsewhere(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    leave_wall(&tables->after, 40, 40);
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_true(implanted_says(pair.of->foremost, pair.of->foremost_count,
                               "no lumen over 2.0 mm outside the treated "
                               "stretch, 39.0..41.0 mm, where"));
    assert_true(pair.of->outside_holes[0].bridged);
    compared_pair_free(&pair);
    leave_wall(&tables->after, 195, 200);
    for (size_t i = 195; i <= 200; i++) {
        tables->after.frames[i].lumen =
            (implanted_ring){.area_mm2 = 190.0, .crosses = true};
        tables->after.frames[i].vessel.crosses = true;
    }
    assert_true(implanted_leads(tables, "no lumen that can be measured over "
                                        "6.0 mm outside the treated stretch, "
                                        "194.0..200.0 mm, where the vessel "
                                        "wall was traced: edges and"));
    free(tables);
}

/* Nor is it one where the wall is not traced either, or the lumen is, or within
 * the device. Walls over 5 mm away from all else stand for themselves. */
static void test_wall_only_is_none(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 150; i <= 169; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    for (size_t i = 20; i <= 40; i++) {
        tables->after.frames[i].vessel.area_mm2 = 200.0;
    }
    leave_wall(&tables->after, 90, 93);
    assert_false(implanted_leads(tables, "wall"));
    tables->after.frames[155].vessel.area_mm2 = 200.0;
    assert_true(implanted_leads(tables, "no lumen in 1 frame outside the "
                                        "treated stretch, 155.0 mm, where"));
    tables->after.frames[154].vessel.area_mm2 = 200.0;
    assert_true(implanted_leads(tables, "no lumen over 6.0 mm outside the "
                                        "treated stretch, 149.0..155.0 mm"));
    free(tables);
}

/* Of four places one sentence tells; the other way round the same. */
static void test_wall_only_folds(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 20; i <= 50; i += 10) {
        leave_wall(&tables->after, i, i);
    }
    const char *all = "no lumen over 8.0 mm outside the treated stretch, in 4 "
                      "places, first at 19.0..21.0 mm, where";
    assert_true(implanted_leads(tables, all));
    implanted *after = &tables->after;
    after->notes = "# stage = after\n# travel = cranial\n"
                   "# reference = 10..30\n# reference = 170..190\n";
    for (size_t i = 0; i < after->count / 2; i++) {
        implanted_frame kept = after->frames[i];
        after->frames[i] = after->frames[after->count - 1 - i];
        after->frames[after->count - 1 - i] = kept;
    }
    for (size_t i = 0; i < after->count; i++) {
        after->frames[i].position_mm = 200.0 - after->frames[i].position_mm;
    }
    bl_compare_options options = implanted_unshifted();
    options.shift_mm = 200.0;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_true(
        implanted_says(pair.of->foremost, pair.of->foremost_count, all));
    check_close(pair.of->outside_holes[3].span.to_mm, 51.0, EXACT, "mm");
    compared_pair_free(&pair);
    free(tables);
}

/* With nothing treated, everywhere. */
static void test_wall_only_untreated(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 70; i <= 130; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    leave_wall(&tables->after, 96, 104);
    assert_true(implanted_leads(tables,
                                "The second table has no lumen over 10.0 mm, "
                                "95.0..105.0 mm, where the vessel wall was "
                                "traced: occluded or not traced; what is "
                                "narrow there is not known."));
    free(tables);
}

/* --------------------------------------------- contours that are left out */

static void cross(implanted *table, size_t from, size_t to) {
    for (size_t i = from; i <= to; i++) {
        table->frames[i].device.crosses = true;
    }
}

/* Past an end they hide where the device lies. */
static void test_left_out_at_end(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    const bl_nominal two[] = {{16.0, 40.0}, {14.5, 40.0}};
    cross(&tables->after, 121, 130);
    bl_compare_options options = implanted_unshifted();
    options.nominals = two;
    options.nominal_count = 2;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_comparison *of = pair.of;
    assert_string_equal(of->foremost[0],
                        "10 device contours beyond 120.0 mm, 121.0..130.0 mm, "
                        "cannot be measured (flag crossing) and are left out: "
                        "the treated stretch and all figures end before.");
    assert_string_equal(of->foremost[1],
                        "Where the device ends caudally was not seen: overlap "
                        "and nominal figures are not known.");
    assert_true(implanted_says(of->warnings, of->warning_count,
                               "In 10 frames of the second table (121, 122, "
                               "123, 124, 125, ...) the device contour cannot "
                               "be measured (flag crossing)"));
    assert_int_equal(of->left_out_count, 10);
    assert_int_equal(of->left_out[9].frame, 130);
    check_close(of->left_out[9].position_mm, 130.0, EXACT, "mm");
    assert_int_equal(of->left_out[0].flags, BL_FLAG_CROSSING);
    assert_false(of->device.end_unseen[0]);
    assert_true(of->device.end_unseen[1]);
    check_unknown(of->nominal_residual.area_stenosis_pct);
    compared_pair_free(&pair);
    free(tables);
}

/* In the middle they are a hole of their own. */
static void test_left_out_within(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    cross(&tables->after, 96, 106);
    assert_true(implanted_leads(tables,
                                "No device contours that can be measured "
                                "over 12.0 mm of the treated stretch, "
                                "95.0..107.0 mm: 11 are left out (flag "
                                "crossing); its figures are of the rest."));
    cross(&tables->before, 0, 200);
    for (size_t i = 70; i <= 130; i++) {
        tables->before.frames[i].device.area_mm2 = 50.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "In 61 frames of the first table"));
    compared_pair_free(&pair);
    free(tables);
}

static void test_all_left_out(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    cross(&tables->after, 70, 130);
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_comparison *of = pair.of;
    assert_string_equal(of->foremost[0],
                        "None of the device contours of the second table can "
                        "be measured (flag crossing): what was treated is not "
                        "known.");
    assert_false(of->device.traced);
    assert_true(implanted_says(of->cannot, of->cannot_count,
                               "the second table has no device contours that "
                               "can be measured and no stretch was named"));
    assert_true(implanted_says(of->cannot, of->cannot_count,
                               "the second table has no device contours that "
                               "can be measured."));
    compared_pair_free(&pair);
    free(tables);
}

static void test_vessels_left_out(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 70; i <= 130; i++) {
        tables->after.frames[i].vessel.crosses = true;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_comparison *of = pair.of;
    assert_int_equal(of->foremost_count, 0);
    assert_int_equal(of->device.vessels_left_out, 61);
    assert_true(implanted_says(of->cannot, of->cannot_count,
                               "no frame of the second table has a vessel "
                               "contour that can be measured, and"));
    assert_true(implanted_says(of->warnings, of->warning_count,
                               "the vessel contour cannot be measured"));
    compared_pair_free(&pair);
    free(tables);
}

/* --------------------------------------------- an end that was not seen */

/* The pullback begins inside the device: with one size, or two of one
 * diameter, nominal figures stay what they are; with two nothing is laid. */
static void test_end_unseen(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->after.count = 131;
    tables->after.notes = "# stage = after\n# reference = 10..30\n";
    const bl_nominal two[] = {{16.0, 40.0}, {14.5, 40.0}};
    compared_pair pair = implanted_sized(tables, two);
    assert_int_equal(pair.of->foremost_count, 1);
    assert_true(implanted_says(pair.of->foremost, 1,
                               "Where the device ends caudally was not seen: "
                               "overlap and nominal figures are not known."));
    assert_true(implanted_says(pair.of->cannot, pair.of->cannot_count,
                               "an end of the device was not seen"));
    assert_int_equal(pair.of->device.overlap_count, 0);
    check_unknown(pair.of->device.nominal_expansion_pct);
    compared_pair_free(&pair);

    const bl_nominal alike[] = {{14.5, 40.0}, {14.5, 40.0}};
    pair = implanted_sized(tables, alike);
    assert_int_equal(pair.of->foremost_count, 0);
    assert_int_equal(pair.of->device.overlap_count, 0);
    check_close(pair.of->device.nominal_expansion_pct,
                100.0 * 160.0 / implanted_disc_mm2(14.5), EXACT, "%");
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "its length and overlap are not known"));
    compared_pair_free(&pair);

    /* One lumen beyond shows that it ends; what is left of a longer device
     * has not moved where its end was not seen. */
    tables->after.count = 132;
    pair = implanted_sized(tables, two);
    assert_int_equal(pair.of->foremost_count, 0);
    assert_int_equal(pair.of->device.overlap_count, 1);
    compared_pair_free(&pair);
    for (size_t i = 70; i <= 150; i++) {
        tables->before.frames[i].device.area_mm2 = 50.0;
    }
    assert_true(implanted_leads(tables, "not where they were"));
    tables->after.count = 131;
    assert_false(implanted_leads(tables, "not where they were"));
    free(tables);
}

/* 60 mm of device: a lumen within 6 mm of its end, a tenth, shows that it ended
 * there; one 7 mm off does not. */
static void test_end_seen_from_afar(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 131; i <= 135; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_false(pair.of->device.end_unseen[1]);
    compared_pair_free(&pair);
    tables->after.frames[136].lumen.area_mm2 = 0.0;
    pair = implanted_compare(&tables->before, &tables->after, &options);
    assert_false(pair.of->device.end_unseen[0]);
    assert_true(pair.of->device.end_unseen[1]);
    compared_pair_free(&pair);
    free(tables);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_foremost_lumen),
        cmocka_unit_test(test_foremost_lumen_at_end),
        cmocka_unit_test(test_foremost_no_lumen),
        cmocka_unit_test(test_gap_of_other_speed),
        cmocka_unit_test(test_hole_cut_by_treated),
        cmocka_unit_test(test_foremost_folds),
        cmocka_unit_test(test_coarse),
        cmocka_unit_test(test_short_break),
        cmocka_unit_test(test_sparse_device),
        cmocka_unit_test(test_wall_only_at_device),
        cmocka_unit_test(test_wall_only_elsewhere),
        cmocka_unit_test(test_wall_only_is_none),
        cmocka_unit_test(test_wall_only_folds),
        cmocka_unit_test(test_wall_only_untreated),
        cmocka_unit_test(test_left_out_at_end),
        cmocka_unit_test(test_left_out_within),
        cmocka_unit_test(test_all_left_out),
        cmocka_unit_test(test_vessels_left_out),
        cmocka_unit_test(test_end_unseen),
        cmocka_unit_test(test_end_seen_from_afar),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
