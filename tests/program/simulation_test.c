/*
 * simulation_test.c - a small fixed part of the simulation study
 * (docs/simulation.md), and the study's own judgement on vessels whose figures
 * are known without it.
 */
#include "support/check.h"

#include "study.h"

#include <math.h>
#include <stdio.h>

#define VESSELS ((size_t)40)
#define SEED 1

static verdict verdicts[VESSELS];

static void judge_one(const invented *of, verdict *out) {
    bl_assess_options options = bl_assess_defaults();
    assert_true(judge(of, &options, out));
}

/* 100 mm of 14 mm vein, round, quiet, a frame every half mm; from 40 to 60 mm
 * 40 % of its area are left, with edges of 5 mm beside. */
static void make_plain(invented *out) {
    *out = (invented){.disease = DISEASE_PLATEAU,
                      .veins = 1,
                      .spacing_mm = 0.5,
                      .vessel = {.length_mm = 100.0,
                                 .speed_mm_per_s = 1.0,
                                 .frame_rate_hz = 2.0,
                                 .breath_s = 4.0,
                                 .turn_mm = 80.0,
                                 .points = 64,
                                 .seed = 3,
                                 .calibres = {{0.0, 14.0, 1.0, 0.0}},
                                 .calibre_count = 1,
                                 .scars = {{.from_mm = 35.0,
                                            .to_mm = 65.0,
                                            .edge_mm = 5.0,
                                            .left_pct = 40.0,
                                            .every_mm = 20.0,
                                            .aspect = 1.0}},
                                 .scar_count = 1}};
    assert_true(vessel_ready(&out->vessel));
}

static void test_plain_vessel(void **state) {
    (void)state;
    invented of;
    verdict got;
    make_plain(&of);
    judge_one(&of, &got);
    check_close(got.truth.worst_loss_pct, 60.0, 1e-9, "%");
    /* 5 % of the area are lost where the cosine of 5 mm is at 1/12, 0.932 mm
     * inside: healthy is 0 to 35.5 mm and 64.5 to 100 mm. */
    check_close(got.truth.healthy_mm, 35.5, 1e-9, "mm");
    check_close(got.truth.own_mm, 35.5, 1e-9, "mm");
    /* 41 frames of even depth; half a mm beside them the cosine of 5 mm has
     * lost 2.4 % of the 60 %, 1.5 points. */
    check_close(got.truth.even_mm, 20.5, 1e-9, "mm");
    assert_int_equal(got.status, BL_OK);
    assert_int_equal(got.segments, 2);
    assert_true(got.segments_loss_pct < DISEASED_PCT);
    /* Coordinates have three decimals: 0.0005 mm of a radius of 7 mm, twice. */
    check_close(got.stenosis_pct, 60.0, 0.02, "%");
    assert_int_equal(got.narrowings, 1);
    assert_true(got.worst_mm >= 40.0 && got.worst_mm <= 60.0);
    check_close(got.away_mm, 0.0, 1e-9, "mm");
    /* A polygon of 64 points has 0.16 % less area than its circle. */
    check_close(got.reference_area_mm2 / got.healthy_area_mm2, 0.9984, 1e-4,
                "");
    for (size_t i = 0; i < SHARE_COUNT; i++) {
        assert_true(!SHARES[i].counts(&got) || SHARES[i].good(&got));
    }
    assert_true(SHARES[SHARE_HEALTHY].counts(&got));
    assert_true(SHARES[SHARE_PLACE].counts(&got));
    assert_false(SHARES[SHARE_NONE].counts(&got));
    assert_false(SHARES[SHARE_INVENTED].counts(&got));
}

/* Whoever is told part of the truth is right about a quiet vessel. */
static void test_observers(void **state) {
    (void)state;
    invented of;
    verdict got;
    make_plain(&of);
    judge_one(&of, &got);
    const observed *told = &got.observed;
    check_close(worst_away_mm(&got, told->calibre_told_mm), 0.0, 1e-9, "mm");
    for (size_t i = 0; i < OBSERVED_WIDTHS; i++) {
        check_close(worst_away_mm(&got, told->breath_told_mm[i]), 0.0, 1e-9,
                    "mm");
    }
    check_close(told->shape_told_mm, got.truth.worst_mm, 0.05, "mm");
    /* As above; where a frame is healthy up to 5 % of its area are lost, in
     * two of 144 frames no more than 1.5 mm from where nothing is. */
    check_close(told->mean_mm2 / got.healthy_area_mm2, 0.9984, 1e-3, "");
    check_close(told->line_mm2 / got.healthy_area_mm2, 0.9984, 1e-3, "");
    /* The first vein drawn is 18.4 mm wide, the smallest 12 mm. */
    double polygon = 64.0 / (2.0 * PI) * sin(2.0 * PI / 64.0);
    check_close(told->widest, polygon * pow(14.0 / 18.4, 2), 2e-4, "");
    check_close(told->widest_by_marks, polygon * pow(14.0 / 12.0, 2), 4e-4, "");
}

/* The scar goes on beyond both ends: nothing is healthy, and 40 % of 154 mm2
 * are less than 60 % of any normal area. */
static void test_scar_throughout(void **state) {
    (void)state;
    invented of;
    verdict got;
    make_plain(&of);
    of.disease = DISEASE_THROUGHOUT;
    of.vessel.scars[0].from_mm = -50.0;
    of.vessel.scars[0].to_mm = 150.0;
    judge_one(&of, &got);
    check_close(got.truth.healthy_mm, 0.0, 0.0, "mm");
    assert_int_equal(got.status, BL_ERR_REFERENCE);
    assert_true(SHARES[SHARE_NONE].counts(&got));
    assert_true(SHARES[SHARE_NONE].good(&got));
    assert_false(SHARES[SHARE_HEALTHY].counts(&got));
}

/* Newcombe, Stat Med 1998;17:857-72 (from memory), table I. */
static void test_wilson(void **state) {
    (void)state;
    static const struct {
        tally of;
        double low;
        double high;
    } published[] = {{{81, 263}, 25.53, 36.62},
                     {{15, 148}, 6.24, 16.05},
                     {{0, 20}, 0.0, 16.11},
                     {{1, 29}, 0.61, 17.18}};
    for (size_t i = 0; i < sizeof published / sizeof published[0]; i++) {
        interval got = share_interval(published[i].of);
        check_close(got.low, published[i].low, 0.005, "%");
        check_close(got.high, published[i].high, 0.005, "%");
    }
}

/* Exactly what comes of the first 40 vessels of the study. Who changes the
 * search, smoothing or what is drawn runs `make study` before and after, and
 * puts the new counts here when the whole of it says that they are better. */
static void test_fixed_part(void **state) {
    (void)state;
    static const tally held[SHARE_COUNT] = {
        [SHARE_HEALTHY] = {30, 35},
        [SHARE_AREA_MEDIAN] = {24, 31},
        [SHARE_AREA_95] = {28, 31},
        [SHARE_PLACE] = {12, 15},
        [SHARE_NONE] = {5, 5},
        [SHARE_INVENTED] = {8, 8},
        [SHARE_OWN_5] = {16, 20},
        [SHARE_OWN_10] = {19, 20},
        [SHARE_WARNED] = {5, 5},
        [SHARE_HOLDS_AREA] = {15, 15},
        [SHARE_HOLDS_STENOSIS] = {15, 15},
        [SHARE_HOLDS_CALM_AREA] = {1, 1},
        [SHARE_HOLDS_CALM_STENOSIS] = {1, 1},
        [SHARE_HOLDS_PLACE] = {15, 15},
    };
    for (size_t i = 0; i < VESSELS; i++) {
        invented of;
        invent(SEED, i, &of);
        judge_one(&of, &verdicts[i]);
    }
    for (size_t i = 0; i < SHARE_COUNT; i++) {
        tally got = share_tally(&SHARES[i], verdicts, VESSELS);
        if (got.good != held[i].good || got.all != held[i].all) {
            fail_msg("%zu of %zu, not %zu of %zu: %s", got.good, got.all,
                     held[i].good, held[i].all, SHARES[i].words);
        }
    }
    bias off = bias_of(verdicts, VESSELS, false);
    assert_int_equal(off.count, 15);
    check_close(off.mean, 3.352, 0.0005, "points");
    check_close(bias_of(verdicts, VESSELS, true).mean, 0.606, 0.0005, "points");
    widths wide = widths_of(verdicts, VESSELS);
    assert_int_equal(wide.count, 15);
    check_close(wide.area_pct, 22.15, 0.005, "%");
    check_close(wide.stenosis, 11.627, 0.0005, "points");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plain_vessel),
        cmocka_unit_test(test_observers),
        cmocka_unit_test(test_scar_throughout),
        cmocka_unit_test(test_wilson),
        cmocka_unit_test(test_fixed_part),
    };
    return cmocka_run_group_tests_name("simulation", tests, NULL, NULL);
}
