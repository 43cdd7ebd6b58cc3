/*
 * implant_test.c - the device of a comparison: expansion, symmetry, overlap,
 * apposition and tissue, in closed forms.
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

static void test_device(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    bl_compare_options options = implanted_unshifted();
    options.nominals = &sixteen;
    options.nominal_count = 1;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    assert_int_equal(of->frames, 61);
    assert_int_equal(of->part_count, 1);
    check_close(of->minimum.area_mm2, 160.0, EXACT, "mm2");
    check_close(of->expansion_index, 160.0 / 200.0, EXACT, "");
    check_close(of->after_expansion_index, 160.0 / 190.0, EXACT, "");
    check_close(of->least_expansion, 160.0 / 200.0, EXACT, "");
    check_close(of->after_least_expansion, 160.0 / 190.0, EXACT, "");
    check_close(of->nominal_expansion_pct,
                100.0 * 160.0 / implanted_disc_mm2(16.0), EXACT, "%");
    check_close(of->nominal_expansion_position_mm, 100.0, EXACT, "mm");
    /* By trapezoid a single frame of 160 takes 10 mm3 of 60 * 170. */
    double mean = (60.0 * 170.0 - 10.0) / 60.0;
    check_close(of->mean_area_mm2, mean, EXACT, "mm2");
    check_close(of->mean_nominal_expansion_pct,
                100.0 * mean / implanted_disc_mm2(16.0), EXACT, "%");
    check_close(of->compressed_pct, 100.0 - of->nominal_expansion_pct, EXACT,
                "%");
    /* Round but for what a polygon's chords are. */
    check_close(of->symmetry_index, 0.0, 1e-3, "");
    check_close(of->tissue_inside_pct, 0.0, EXACT, "%");
    assert_int_equal(of->unapposed_count, 0);
    assert_int_equal(of->apposition_frames, 61);
    check_close(of->apposition_mm, 60.0, EXACT, "mm");
    compared_pair_free(&pair);
    free(tables);
}

/* The vein tapers from 200 to 100 mm2, linear in diameter between the middles
 * of its two stretches, at 20 and 180; the device opened to 1.1 of that but for
 * 100 mm, where it is at 0.97. Its least area is at 130 all the same. */
static void test_expansion_along(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    double wide = 2.0 * sqrt(200.0 / PI);
    double narrow = 2.0 * sqrt(100.0 / PI);
    for (size_t i = 0; i <= 200; i++) {
        implanted_frame *before = &tables->before.frames[i];
        implanted_frame *after = &tables->after.frames[i];
        double at = fmin(fmax(before->position_mm, 30.0), 170.0);
        double share = at <= 30.0 ? 0.0 : at >= 170.0 ? 1.0 : (at - 20.0) / 160;
        double mm2 = implanted_disc_mm2(wide + share * (narrow - wide));
        before->lumen.area_mm2 = mm2;
        after->lumen.area_mm2 = mm2;
        if (after->device.area_mm2 > 0.0) {
            after->device.area_mm2 = (i == 100 ? 0.97 : 1.1) * mm2;
            after->vessel.area_mm2 = after->device.area_mm2;
            after->lumen.area_mm2 = after->device.area_mm2;
        }
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    check_close(of->minimum.position_mm, 130.0, EXACT, "mm");
    check_close(of->expansion_index, 1.1, 1e-9, "");
    check_close(of->least_expansion, 0.97, 1e-9, "");
    check_close(of->least_expansion_position_mm, 100.0, EXACT, "mm");
    /* By trapezoid the one frame takes 0.13 mm of 60 * 1.1. */
    check_close(of->mean_expansion, (60.0 * 1.1 - 0.13) / 60.0, 1e-9, "");
    check_close(of->after_least_expansion, 0.97, 1e-9, "");
    compared_pair_free(&pair);
    free(tables);
}

static bool is_told(const implanted_pair *tables, const bl_nominal *sizes,
                    size_t count, const char *words) {
    bl_compare_options options = implanted_unshifted();
    options.nominals = sizes;
    options.nominal_count = count;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    bool out = implanted_says(pair.of->warnings, pair.of->warning_count, words);
    compared_pair_free(&pair);
    return out;
}

/* Ends that are 5 mm apart are told of no more than equal ones; 6 mm are. */
static void test_moved(void **state) {
    (void)state;
    static const char words[] = "the device moved or shortened";
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 75; i <= 130; i++) {
        tables->before.frames[i].device.area_mm2 = 50.0;
    }
    assert_false(is_told(tables, NULL, 0, words));
    tables->before.frames[75].device.area_mm2 = 0.0;
    assert_true(is_told(tables, NULL, 0, words));
    for (size_t i = 0; i <= 200; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    assert_true(is_told(tables, NULL, 0, "device contours and the second has"));
    free(tables);
}

/* 60 mm of device: two of 120 do not go into them, two of 60 do. */
static void test_too_long(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    const bl_nominal longer[] = {{16.0, 120.0}, {14.0, 120.0}};
    const bl_nominal fitting[] = {{16.0, 60.0}, {14.0, 60.0}};
    assert_true(is_told(tables, longer, 2, "The nominal lengths are"));
    assert_false(is_told(tables, fitting, 2, "The nominal lengths are"));
    free(tables);
}

/* The lumen 1.25 times as wide as the device all along it, and in a third. */
static void test_swapped(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 70; i <= 130; i++) {
        implanted_frame *frame = &tables->after.frames[i];
        frame->vessel.area_mm2 = 240.0;
        if (i < 90) {
            frame->lumen.area_mm2 = 1.25 * frame->device.area_mm2;
        }
    }
    assert_false(is_told(tables, NULL, 0, "are swapped"));
    for (size_t i = 70; i <= 130; i++) {
        implanted_frame *frame = &tables->after.frames[i];
        frame->lumen.area_mm2 = 1.25 * frame->device.area_mm2;
    }
    assert_true(is_told(tables, NULL, 0, "are swapped"));
    free(tables);
}

/* 60 mm of device by two of 40: 20 mm overlap in the middle. */
static void test_overlap(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    const bl_nominal two[] = {{16.0, 40.0}, {14.0, 40.0}};
    bl_compare_options options = implanted_unshifted();
    options.nominals = two;
    options.nominal_count = 2;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    assert_int_equal(of->overlap_count, 1);
    check_close(of->overlaps[0].span.from_mm, 90.0, EXACT, "mm");
    check_close(of->overlaps[0].span.to_mm, 110.0, EXACT, "mm");
    assert_true(of->overlaps[0].exact);
    assert_int_equal(of->overlaps[0].first, 0);
    /* Its least area, at 100, is held against the smaller; the least share is
     * that of 170 against the larger, cranial of the overlap, or of the 160. */
    check_close(of->minimum.nominal_mm2, implanted_disc_mm2(14.0), EXACT,
                "mm2");
    check_close(of->nominal_expansion_pct,
                100.0 * 170.0 / implanted_disc_mm2(16.0), EXACT, "%");
    compared_pair_free(&pair);

    /* Where the catheter travels cranially the first size lies at the end. */
    tables->before.notes = "# travel = cranial\n# reference = 10..30\n"
                           "# reference = 170..190\n";
    tables->after.notes = "# travel = cranial\n";
    pair = implanted_compare(&tables->before, &tables->after, &options);
    /* 111..130 have the least share; of equals the cranial one counts. */
    check_close(pair.of->device.nominal_expansion_position_mm, 130.0, EXACT,
                "mm");
    assert_int_equal(pair.of->device.overlaps[0].first, 0);
    compared_pair_free(&pair);
    free(tables);
}

static void test_sizes_without_lengths(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    const bl_nominal two[] = {{16.0, (double)NAN}, {14.0, (double)NAN}};
    bl_compare_options options = implanted_unshifted();
    options.nominals = two;
    options.nominal_count = 2;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    check_unknown(pair.of->device.nominal_expansion_pct);
    check_unknown(pair.of->nominal_residual.area_stenosis_pct);
    assert_true(implanted_says(pair.of->cannot, pair.of->cannot_count,
                               "the length of each is needed"));
    compared_pair_free(&pair);
    const bl_nominal alike[] = {{14.0, (double)NAN}, {14.0, (double)NAN}};
    options.nominals = alike;
    pair = implanted_compare(&tables->before, &tables->after, &options);
    check_close(pair.of->device.nominal_expansion_pct,
                100.0 * 160.0 / implanted_disc_mm2(14.0), EXACT, "%");
    assert_int_equal(pair.of->device.overlap_count, 0);
    compared_pair_free(&pair);
    free(tables);
}

static compared_pair sized(const implanted_pair *tables,
                           const bl_nominal sizes[2]) {
    bl_compare_options options = implanted_unshifted();
    options.nominals = sizes;
    options.nominal_count = 2;
    return implanted_compare(&tables->before, &tables->after, &options);
}

/* 60 mm of device. Two of 66 may have shortened by a tenth, and overlap no
 * further than its ends; two of 67 contradict it. */
static void test_sizes_beyond_ends(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    const bl_nominal shortened[] = {{16.0, 65.9}, {14.0, 65.9}};
    compared_pair pair = sized(tables, shortened);
    assert_int_equal(pair.of->device.overlap_count, 1);
    check_close(pair.of->device.overlaps[0].span.from_mm, 70.0, EXACT, "mm");
    check_close(pair.of->device.overlaps[0].span.to_mm, 130.0, EXACT, "mm");
    compared_pair_free(&pair);

    const bl_nominal longer[] = {{16.0, 66.1}, {14.0, 66.1}};
    pair = sized(tables, longer);
    assert_int_equal(pair.of->device.overlap_count, 0);
    check_unknown(pair.of->device.nominal_expansion_pct);
    assert_true(implanted_says(pair.of->cannot, pair.of->cannot_count,
                               "the nominal lengths contradict"));
    compared_pair_free(&pair);

    /* Of one diameter the nominal area is known wherever a device is. */
    const bl_nominal alike[] = {{14.0, 66.1}, {14.0, 66.1}};
    pair = sized(tables, alike);
    assert_int_equal(pair.of->device.overlap_count, 0);
    check_close(pair.of->device.nominal_expansion_pct,
                100.0 * 160.0 / implanted_disc_mm2(14.0), EXACT, "%");
    compared_pair_free(&pair);
    free(tables);
}

/* Contours of 70..95 and 107..130: two of 40 mm would overlap over 90..110,
 * across the hole; 40 and 24 overlap over 106..110, into it; 24 and 40 over
 * 90..94, where there are contours. */
static void test_sizes_across_hole(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 96; i <= 106; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    const struct {
        double lengths_mm[2];
        size_t overlaps;
    } all[] = {{{40.0, 40.0}, 0}, {{40.0, 24.0}, 0}, {{24.0, 40.0}, 1}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        const bl_nominal two[] = {{16.0, all[i].lengths_mm[0]},
                                  {14.0, all[i].lengths_mm[1]}};
        compared_pair pair = sized(tables, two);
        assert_int_equal(pair.of->device.overlap_count, all[i].overlaps);
        assert_true(isnan(pair.of->device.nominal_expansion_pct) ==
                    (all[i].overlaps == 0));
        compared_pair_free(&pair);
    }
    free(tables);
}

static bool is_foremost(const implanted_pair *tables, const char *words) {
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    bool out =
        implanted_says(pair.of->foremost, pair.of->foremost_count, words);
    compared_pair_free(&pair);
    return out;
}

/* 4 frames without a lumen leave 5 mm, which is bridged; 21 leave 22. */
static void test_foremost_lumen(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 90; i <= 93; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    assert_false(is_foremost(tables, ""));
    for (size_t i = 90; i <= 110; i++) {
        tables->after.frames[i].lumen.area_mm2 = 0.0;
    }
    assert_true(is_foremost(
        tables, "No lumen was traced after treatment over 22.0 mm"));
    free(tables);
}

static void test_foremost_device(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 96; i <= 106; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    assert_true(is_foremost(tables, "No device contours over 12.0 mm"));
    assert_true(is_foremost(tables, "no device lies there"));
    for (size_t i = 70; i <= 130; i++) {
        tables->before.frames[i].device.area_mm2 = 50.0;
    }
    assert_true(is_foremost(tables, "the device came apart"));
    assert_false(is_foremost(tables, "not where they were"));
    for (size_t i = 70; i <= 75; i++) {
        tables->before.frames[i].device.area_mm2 = 0.0;
    }
    assert_true(is_foremost(tables, "not where they were, 76.0..130.0 mm"));
    for (size_t i = 70; i <= 130; i++) {
        implanted_frame *frame = &tables->after.frames[i];
        frame->vessel.area_mm2 = 240.0;
        frame->lumen.area_mm2 = 1.25 * frame->device.area_mm2;
    }
    assert_true(is_foremost(tables, "may be swapped"));
    free(tables);
}

/* A device of 70..130: marks within it are crossed, by either travel; one at
 * its end, or in the other order, is not. */
static void check_crossed(const char *before, const char *after, size_t count,
                          const char *mark, double past_mm) {
    implanted_pair *tables = implanted_pair_new();
    tables->before.notes = before;
    tables->after.notes = after;
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    assert_int_equal(of->crossed_count, count);
    if (count > 0) {
        assert_string_equal(of->crossed[0].mark, mark);
        check_close(of->crossed[0].past_mm, past_mm, EXACT, "mm");
    }
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "end of the device lies") == (count > 0));
    compared_pair_free(&pair);
    free(tables);
}

static void test_crossed(void **state) {
    (void)state;
    check_crossed("# mark = iliocaval_confluence @ 83\n", "", 1,
                  "iliocaval_confluence", 13.0);
    check_crossed("", "# mark = femoral_confluence @ 118\n", 1,
                  "femoral_confluence", 12.0);
    check_crossed("# mark = iliocaval_confluence @ 83\n"
                  "# mark = femoral_confluence @ 118\n",
                  "", 2, "iliocaval_confluence", 13.0);
    check_crossed("# mark = iliocaval_confluence @ 70\n"
                  "# mark = femoral_confluence @ 140\n",
                  "", 0, "", 0.0);
    check_crossed("# travel = cranial\n# mark = iliocaval_confluence @ 118\n",
                  "# travel = cranial\n", 1, "iliocaval_confluence", 12.0);
}

/* Lumens of constant area: the ratio of diameters is the root of that of areas.
 * Told where it is over 5 % on both sides. */
static void check_calibre(double low_mm2, double high_mm2, bool told) {
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 0; i <= 200; i++) {
        if (i < 70 || i > 130) {
            tables->after.frames[i].lumen.area_mm2 =
                i < 70 ? low_mm2 : high_mm2;
        }
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_alignment *of = &pair.of->alignment;
    check_close(of->calibre_ratio[0], sqrt(low_mm2 / 200.0), EXACT, "");
    check_close(of->calibre_ratio[1], sqrt(high_mm2 / 200.0), EXACT, "");
    assert_true(implanted_says(pair.of->foremost, pair.of->foremost_count,
                               "On both sides of the treated") == told);
    compared_pair_free(&pair);
    free(tables);
}

static void test_calibre(void **state) {
    (void)state;
    check_calibre(200.0 * 1.15 * 1.15, 200.0 * 1.15 * 1.15, true);
    check_calibre(200.0 * 0.9 * 0.9, 200.0 * 0.94 * 0.94, true);
    check_calibre(200.0 * 1.15 * 1.15, 200.0 * 1.04 * 1.04, false);
    check_calibre(200.0, 200.0, false);
}

/* Two short sizes do not reach over 60 mm. */
static void test_sizes_too_short(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    const bl_nominal two[] = {{16.0, 20.0}, {16.0, 20.0}};
    bl_compare_options options = implanted_unshifted();
    options.nominals = two;
    options.nominal_count = 2;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->device.overlap_count, 0);
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "together 40.0 mm, and the device contours "
                               "reach over 60.0 mm"));
    compared_pair_free(&pair);
    free(tables);
}

/* Over 72 degrees the vessel stands 0.9 mm off a round device, its flanks
 * radial: a point at an angle p from a flank is 2 r sin(p/2) from its corner,
 * so that the gap passes 0.3 mm where sin(p/2) = 0.3 / 2r. */
static void test_unapposed(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 100; i <= 104; i++) {
        tables->after.frames[i] = tables->after.frames[99];
        tables->after.frames[i].position_mm = (double)i;
        tables->after.frames[i].vessel.bump_mm = 0.9;
        tables->after.frames[i].vessel.bump_deg = i == 102 ? 72.0 : 48.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    assert_int_equal(of->unapposed_count, 1);
    const bl_unapposed *one = &of->unapposed[0];
    assert_int_equal(one->frames, 5);
    check_close(one->span.from_mm, 100.0, EXACT, "mm");
    check_close(one->span.to_mm, 104.0, EXACT, "mm");
    double r = sqrt(170.0 / PI);
    double off = 2.0 * asin(0.3 / (2.0 * r));
    /* Edges of 2 degrees lie up to r (1 - cos 1 deg), 1e-3 mm, inside. */
    check_close(one->widest_arc_deg, 72.0 - 2.0 * off * 180.0 / PI, 0.02,
                "deg");
    check_close(one->widest_arc_position_mm, 102.0, EXACT, "mm");
    check_close(one->max_gap_mm, 0.9, 2e-3, "mm");
    /* The sector ring that the arc sees: chords make it 1e-3 smaller. */
    double sector = (72.0 * PI / 180.0 - 2.0 * off) * 0.9 * (r + 0.45);
    check_relative(one->max_area_between_mm2, sector, 1e-3);
    double narrow = (48.0 * PI / 180.0 - 2.0 * off) * 0.9 * (r + 0.45);
    check_relative(one->volume_between_mm3, 3.0 * narrow + sector, 1e-3);
    compared_pair_free(&pair);
    free(tables);
}

/* Two stretches, apart by a frame that is apposed. */
static void test_unapposed_stretches(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    const size_t apart[] = {80, 81, 83};
    for (size_t i = 0; i < 3; i++) {
        tables->after.frames[apart[i]].vessel.area_mm2 = 210.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->device.unapposed_count, 2);
    check_close(pair.of->device.unapposed[0].span.to_mm, 81.0, EXACT, "mm");
    check_close(pair.of->device.unapposed[1].span.from_mm, 83.0, EXACT, "mm");
    check_close(pair.of->device.unapposed[0].widest_arc_deg, 360.0, EXACT,
                "deg");
    compared_pair_free(&pair);
    free(tables);
}

/* Frames 4.5 mm apart in AFTER and, by the marks, 5.4 mm on the axis of BEFORE:
 * a gap counts on AFTER's own, so that 18 steps all round off the wall are one
 * stretch, 40 mm2 over 97.2 mm. */
static void test_unapposed_at_another_pace(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    implanted *after = &tables->after;
    implanted_straight(after, 166.5, 4.5, 190.0);
    for (size_t i = 12; i <= 30; i++) {
        after->frames[i].lumen.area_mm2 = 170.0;
        after->frames[i].device.area_mm2 = 170.0;
        after->frames[i].vessel.area_mm2 = 210.0;
    }
    tables->before.notes = "# mark = a @ 12\n# mark = b @ 192\n";
    after->notes = "# mark = a @ 10\n# mark = b @ 160\n";
    bl_compare_options options = bl_compare_defaults();
    compared_pair pair = implanted_compare(&tables->before, after, &options);
    const bl_device_state *of = &pair.of->device;
    check_close(pair.of->alignment.paces[0].ratio, 1.2, EXACT, "");
    assert_int_equal(of->part_count, 1);
    check_close(of->apposition_mm, 97.2, EXACT, "mm");
    assert_int_equal(of->unapposed_count, 1);
    assert_int_equal(of->unapposed[0].frames, 19);
    check_close(of->unapposed[0].span.to_mm - of->unapposed[0].span.from_mm,
                97.2, EXACT, "mm");
    check_relative(of->unapposed[0].volume_between_mm3, 40.0 * 97.2, EXACT);
    compared_pair_free(&pair);
    free(tables);
}

static void test_device_outside_vessel(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->after.frames[90].vessel.area_mm2 = 130.0;
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->device.outside_count, 1);
    assert_int_equal(pair.of->device.outside_frames[0], 90);
    assert_int_equal(pair.of->device.apposition_frames, 60);
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "In 1 frame the device lies outside the vessel "
                               "(90)"));
    compared_pair_free(&pair);
    /* 12 of 61 are left out, 13 are over 20 %. */
    for (size_t i = 80; i < 92; i++) {
        tables->after.frames[i].vessel.area_mm2 = 130.0;
    }
    pair = implanted_compare(&tables->before, &tables->after, &options);
    assert_int_equal(pair.of->device.outside_count, 12);
    compared_pair_free(&pair);
    tables->after.frames[92].vessel.area_mm2 = 130.0;
    pair = implanted_compare_smoothed(&tables->before, &tables->after, &options,
                                      0.0);
    assert_int_equal(pair.status, BL_ERR_INPUT);
    assert_non_null(strstr(pair.message.text, "in 13 of 61 frames"));
    compared_pair_free(&pair);
    free(tables);
}

/* A lumen of 136 in a device of 170 is 20 % of tissue; over a third of it. */
static void test_tissue(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    tables->after.notes = "# stage = follow-up\n";
    tables->after.frames[100] = tables->after.frames[99];
    tables->after.frames[100].position_mm = 100.0;
    for (size_t i = 90; i <= 110; i++) {
        tables->after.frames[i].lumen.area_mm2 = 136.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    assert_true(pair.of->follow_up);
    check_close(of->tissue_greatest_pct, 20.0, 1e-7, "%");
    /* Trapezoid: 20 mm of 34, and half of either step. */
    check_close(of->tissue_inside_pct, 100.0 * 21.0 * 34.0 / (60.0 * 170.0),
                1e-7, "%");
    check_close(of->tissue_mm, 60.0, EXACT, "mm");
    assert_true(implanted_says(pair.of->cannot, pair.of->cannot_count,
                               "The change since the after-state"));
    compared_pair_free(&pair);
    free(tables);
}

/* A device of one frame has no length, and is what that frame is. */
static void test_one_device_frame(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 70; i <= 130; i++) {
        if (i != 100) {
            tables->after.frames[i].device.area_mm2 = 0.0;
        }
    }
    bl_compare_options options = implanted_unshifted();
    options.nominals = &sixteen;
    options.nominal_count = 1;
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    check_close(of->span.to_mm - of->span.from_mm, 0.0, EXACT, "mm");
    check_close(of->mean_area_mm2, 160.0, EXACT, "mm2");
    check_close(of->mean_nominal_expansion_pct,
                100.0 * 160.0 / implanted_disc_mm2(16.0), EXACT, "%");
    check_close(pair.of->after.area_mm2, 160.0, EXACT, "mm2");
    check_close(of->tissue_mm, 0.0, EXACT, "mm");
    check_close(pair.of->lumen_mean.second_mm2, 160.0, EXACT, "mm2");
    assert_true(pair.of->lumen_mean.interval_mm2.low <
                pair.of->lumen_mean.interval_mm2.high);
    compared_pair_free(&pair);
    free(tables);
}

/* Device contours in two pieces, 20 mm apart: a gap, that counts as treated. */
static void test_device_in_parts(void **state) {
    (void)state;
    implanted_pair *tables = implanted_pair_new();
    for (size_t i = 91; i <= 109; i++) {
        tables->after.frames[i].device.area_mm2 = 0.0;
    }
    bl_compare_options options = implanted_unshifted();
    compared_pair pair =
        implanted_compare(&tables->before, &tables->after, &options);
    const bl_device_state *of = &pair.of->device;
    assert_int_equal(of->part_count, 2);
    check_close(of->parts[0].to_mm, 90.0, EXACT, "mm");
    check_close(of->parts[1].from_mm, 110.0, EXACT, "mm");
    check_close(of->mean_area_mm2, 170.0, EXACT, "mm2");
    check_close(of->apposition_mm, 40.0, EXACT, "mm");
    check_close(pair.of->after.area_mm2, 160.0, EXACT, "mm2");
    assert_true(implanted_says(pair.of->warnings, pair.of->warning_count,
                               "no device contours between 90.0..110.0 mm"));
    compared_pair_free(&pair);
    free(tables);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_device),
        cmocka_unit_test(test_expansion_along),
        cmocka_unit_test(test_moved),
        cmocka_unit_test(test_too_long),
        cmocka_unit_test(test_swapped),
        cmocka_unit_test(test_overlap),
        cmocka_unit_test(test_sizes_without_lengths),
        cmocka_unit_test(test_crossed),
        cmocka_unit_test(test_calibre),
        cmocka_unit_test(test_sizes_beyond_ends),
        cmocka_unit_test(test_sizes_across_hole),
        cmocka_unit_test(test_foremost_lumen),
        cmocka_unit_test(test_foremost_device),
        cmocka_unit_test(test_sizes_too_short),
        cmocka_unit_test(test_unapposed),
        cmocka_unit_test(test_unapposed_stretches),
        cmocka_unit_test(test_unapposed_at_another_pace),
        cmocka_unit_test(test_device_outside_vessel),
        cmocka_unit_test(test_tissue),
        cmocka_unit_test(test_one_device_frame),
        cmocka_unit_test(test_device_in_parts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
