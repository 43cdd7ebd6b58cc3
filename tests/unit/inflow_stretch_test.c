/*
 * inflow_stretch_test.c - the caudal end of a pullback as an inflow: closed
 * forms where nothing errs, and how often intervals hold what is true.
 */
#include "support/check.h"
#include "support/vein.h"

#include "base/chance.h"

#include <math.h>
#include <string.h>

static vein one;

/* Round vein of 200 mm2, falling straight to 80 mm2 from 80 to 90 mm. */
static double true_area_mm2(double x_mm) {
    double part = fmin(fmax((x_mm - 80.0) / 10.0, 0.0), 1.0);
    return 200.0 - 120.0 * part;
}

static void set_vein(double scatter, uint64_t seed) {
    chance by = chance_start(seed, 0);
    vein_straight(&one, 120.0, 0.5, 200.0);
    for (size_t i = 0; i < one.count; i++) {
        vein_frame *at = &one.frames[i];
        at->area_mm2 =
            true_area_mm2(at->position_mm) * (1.0 + scatter * chance_bell(&by));
    }
    one.notes = "# reference = 5..25\n# reference = 50..70\n";
}

/* The same drawn the other way. */
static void turn_vein(void) {
    for (size_t i = 0; i < one.count / 2; i++) {
        vein_frame swapped = one.frames[i];
        one.frames[i] = one.frames[one.count - 1 - i];
        one.frames[one.count - 1 - i] = swapped;
    }
    for (size_t i = 0; i < one.count; i++) {
        one.frames[i].position_mm = 0.5 * (double)i;
    }
    one.notes = "# travel = cranial\n# reference = 95..115\n"
                "# reference = 50..70\n";
}

static bl_assess_options options_of(double inflow_mm, double area_cv_pct) {
    bl_assess_options options = bl_assess_defaults();
    options.inflow_mm = inflow_mm;
    options.area_cv_pct = area_cv_pct;
    options.speed_cv_pct = 0.0;
    return options;
}

typedef struct assessed {
    bl_study *study;
    bl_assessment *of;
} assessed;

static assessed assess(const bl_assess_options *options) {
    assessed out = {vein_study(&one), NULL};
    bl_message message;
    if (bl_assess(out.study, options, &out.of, &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
    return out;
}

static void give_back(assessed *of) {
    bl_assessment_free(of->of);
    bl_study_free(of->study);
}

static double value_of(const assessed *of, bl_inflow_measure measure) {
    return of->of->inflow.figures[measure].value;
}

/* Integral of 1 / area^2 over the last 50 mm against healthy vein: 10 mm of 1,
 * 10 mm of a ramp, for which it is 200^2 / (80 * 200), and 30 mm of (200/80)^2.
 */
#define TRUE_FLOW ((10.0 + 10.0 * 2.5 + 30.0 * 6.25) / 50.0)
#define TRUE_MEAN ((10.0 * 200.0 + 10.0 * 140.0 + 30.0 * 80.0) / 50.0)
/* The ramp reaches 100 mm2, half, 25/3 mm from its start. */
#define TRUE_NARROWED (40.0 - 25.0 / 3.0)

/* Without smoothing. The mean of straight pieces is exact; the flow index is by
 * trapezoids of 0.5 mm over the ramp, high by h^2 / 12 times the difference of
 * the integrand's slopes at its ends, 2 * 12 * 200^2 * (80^-3 - 200^-3), over
 * 50 mm: 7.3e-4. A diameter runs straight between frames where the area does:
 * off by no more than an eighth of the square of a frame's step in area over
 * the area and the slope, 4e-3 mm. */
static void check_values(const assessed *got) {
    check_close(value_of(got, BL_INFLOW_MIN_AREA), 80.0, 1e-9, "mm2");
    check_close(value_of(got, BL_INFLOW_MEAN_AREA), TRUE_MEAN, 1e-9, "mm2");
    check_close(value_of(got, BL_INFLOW_NARROWED), TRUE_NARROWED, 4e-3, "mm");
    double high = 0.25 / 12.0 * 24.0 * 4e4 * (pow(80.0, -3) - pow(200.0, -3));
    /* The polygons' own aspect adds 1.2e-8. */
    check_close(value_of(got, BL_INFLOW_FLOW), TRUE_FLOW + high / 50.0, 3e-5,
                "");
}

static void test_closed_forms(void **state) {
    (void)state;
    bl_assess_options options = options_of(50.0, 0.0);
    options.smooth_mm = 0.0;
    set_vein(0.0, 1);
    assessed got = assess(&options);
    check_close(got.of->inflow.span.from_mm, 70.0, 1e-9, "mm");
    check_close(got.of->inflow.span.to_mm, 120.0, 1e-9, "mm");
    assert_false(got.of->inflow.is_shorter);
    assert_int_equal(got.of->inflow.frames, 101);
    assert_int_equal(got.of->inflow.left_out, 0);
    check_values(&got);
    give_back(&got);
}

static void test_caudal_end_is_first(void **state) {
    (void)state;
    bl_assess_options options = options_of(50.0, 0.0);
    options.smooth_mm = 0.0;
    set_vein(0.0, 1);
    turn_vein();
    assessed got = assess(&options);
    check_close(got.of->inflow.span.from_mm, 0.0, 1e-9, "mm");
    check_close(got.of->inflow.span.to_mm, 50.0, 1e-9, "mm");
    check_values(&got);
    give_back(&got);
}

/* Aspect counts in the index alone: 3 makes it (3 + 1/3) / 2 times as much.
 * The 180-gon's own aspect is 1.7e-5 more (see flow_test.c). */
static void test_shape_counts_in_flow(void **state) {
    (void)state;
    bl_assess_options options = options_of(30.0, 0.0);
    options.smooth_mm = 0.0;
    set_vein(0.0, 1);
    for (size_t i = 0; i < one.count; i++) {
        one.frames[i].aspect = i >= 180 ? 3.0 : 1.0;
    }
    assessed got = assess(&options);
    const bl_inflow_figure *flow = &got.of->inflow.figures[BL_INFLOW_FLOW];
    check_close(flow->value, 6.25 * (3.0 + 1.0 / 3.0) / 2.0, 6.25 * 3e-5, "");
    /* Calm vein is told to 0.1 mm2 where nothing errs. */
    check_relative(flow->interval.low, flow->value, 4e-3);
    check_relative(flow->interval.high, flow->value, 4e-3);
    give_back(&got);
}

/* With the usual smoothing, where nothing errs: parabolas fitted across the
 * corners of the ramp dip below it, by 0.5 mm2 of 80 as measured. */
static void test_nothing_errs(void **state) {
    (void)state;
    bl_assess_options options = options_of(50.0, 0.0);
    set_vein(0.0, 1);
    assessed got = assess(&options);
    static const double truth[] = {80.0, TRUE_MEAN, TRUE_NARROWED, TRUE_FLOW};
    for (size_t i = 0; i < BL_INFLOW_MEASURES; i++) {
        bl_interval held = got.of->inflow.figures[i].interval;
        check_relative(held.low, truth[i], 1e-2);
        check_relative(held.high, truth[i], 1e-2);
        assert_true(held.low <= held.high);
    }
    give_back(&got);
}

static void test_all_there_is(void **state) {
    (void)state;
    bl_assess_options options = options_of(500.0, 0.0);
    set_vein(0.0, 1);
    assessed got = assess(&options);
    check_close(got.of->inflow.span.from_mm, 0.0, 1e-9, "mm");
    assert_true(got.of->inflow.is_shorter);
    assert_int_equal(got.of->inflow.frames, one.count);
    give_back(&got);
}

static void check_has_interval(const assessed *of, bl_inflow_measure measure) {
    bl_interval held = of->of->inflow.figures[measure].interval;
    assert_true(held.low <= held.high);
}

static void check_not_known(const assessed *of, bl_inflow_measure measure,
                            const char *why) {
    const bl_inflow_figure *figure = &of->of->inflow.figures[measure];
    check_unknown(figure->value);
    check_unknown(figure->interval.low);
    check_unknown(figure->interval.high);
    assert_string_equal(figure->why_not, why);
}

/* The least of what was traced is still the least of that. */
static void test_not_across_a_gap(void **state) {
    (void)state;
    bl_assess_options options = options_of(50.0, 5.0);
    set_vein(0.0, 1);
    memmove(&one.frames[200], &one.frames[212],
            (one.count - 212) * sizeof one.frames[0]);
    one.count -= 12;
    assessed got = assess(&options);
    const char *gap = "a gap without usable frames lies in it";
    check_has_interval(&got, BL_INFLOW_MIN_AREA);
    check_not_known(&got, BL_INFLOW_MEAN_AREA, gap);
    check_not_known(&got, BL_INFLOW_NARROWED, gap);
    check_not_known(&got, BL_INFLOW_FLOW, gap);
    give_back(&got);
}

static void test_without_reference(void **state) {
    (void)state;
    bl_assess_options options = options_of(50.0, 5.0);
    options.reference = BL_REFERENCE_NONE;
    set_vein(0.0, 1);
    assessed got = assess(&options);
    check_has_interval(&got, BL_INFLOW_MIN_AREA);
    check_has_interval(&got, BL_INFLOW_MEAN_AREA);
    check_not_known(&got, BL_INFLOW_NARROWED, "there is no reference");
    check_not_known(&got, BL_INFLOW_FLOW, "there is no reference");
    give_back(&got);
}

/* No intervals over a median of more than 5 mm; values stay. */
static void test_smoothed_away(void **state) {
    (void)state;
    bl_assess_options options = options_of(50.0, 5.0);
    options.smooth_mm = 6.0;
    set_vein(0.0, 1);
    assessed got = assess(&options);
    for (size_t i = 0; i < BL_INFLOW_MEASURES; i++) {
        assert_true(got.of->inflow.figures[i].value > 0.0);
        check_unknown(got.of->inflow.figures[i].interval.low);
    }
    give_back(&got);
}

/* Nothing is narrowed in healthy vein, and hardly may be. */
static void test_nothing_narrowed(void **state) {
    (void)state;
    bl_assess_options options = options_of(50.0, 5.0);
    vein_straight(&one, 120.0, 0.5, 200.0);
    one.notes = "# reference = 5..25\n";
    assessed got = assess(&options);
    const bl_inflow_figure *figure =
        &got.of->inflow.figures[BL_INFLOW_NARROWED];
    check_close(figure->value, 0.0, 0.0, "mm");
    check_close(figure->interval.low, 0.0, 0.0, "mm");
    check_close(figure->interval.high, 0.0, 0.0, "mm");
    give_back(&got);
}

static void test_not_asked_for(void **state) {
    (void)state;
    bl_assess_options options = options_of(0.0, 5.0);
    set_vein(0.0, 1);
    assessed got = assess(&options);
    check_unknown(got.of->inflow.span.from_mm);
    give_back(&got);
}

static void test_length_out_of_range(void **state) {
    (void)state;
    static const double wrong[] = {-1.0, 4.999, 500.1, (double)NAN};
    static const double right[] = {0.0, 5.0, 500.0};
    set_vein(0.0, 1);
    bl_study *study = vein_study(&one);
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        bl_assess_options options = options_of(wrong[i], 5.0);
        bl_assessment *out = NULL;
        assert_int_equal(bl_assess(study, &options, &out, NULL),
                         BL_ERR_ARGUMENT);
        assert_null(out);
    }
    for (size_t i = 0; i < sizeof right / sizeof right[0]; i++) {
        bl_assess_options options = options_of(right[i], 5.0);
        bl_assessment *out = NULL;
        assert_int_equal(bl_assess(study, &options, &out, NULL), BL_OK);
        bl_assessment_free(out);
    }
    bl_study_free(study);
}

/* Frames that scatter by 5 %: of 100 veins the intervals hold what is true in
 * 87 or more for each measure. 95 in 100 are promised; fewer than 87 of a
 * hundred come of that in one of 500 (binomial), here of a fixed set. */
static void test_intervals_hold(void **state) {
    (void)state;
    enum { VEINS = 100, HELD_LEAST = 87 };
    static const double truth[] = {80.0, TRUE_MEAN, TRUE_NARROWED, TRUE_FLOW};
    size_t held[BL_INFLOW_MEASURES] = {0};
    for (uint64_t seed = 1; seed <= VEINS; seed++) {
        bl_assess_options options = options_of(50.0, (double)NAN);
        set_vein(0.05, seed);
        assessed got = assess(&options);
        for (size_t i = 0; i < BL_INFLOW_MEASURES; i++) {
            bl_interval of = got.of->inflow.figures[i].interval;
            held[i] += of.low <= truth[i] && truth[i] <= of.high;
        }
        give_back(&got);
    }
    for (size_t i = 0; i < BL_INFLOW_MEASURES; i++) {
        print_message("%s: %zu of %d\n", bl_inflow_measure_name((unsigned)i),
                      held[i], VEINS);
        assert_true(held[i] >= HELD_LEAST);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_closed_forms),
        cmocka_unit_test(test_caudal_end_is_first),
        cmocka_unit_test(test_shape_counts_in_flow),
        cmocka_unit_test(test_nothing_errs),
        cmocka_unit_test(test_all_there_is),
        cmocka_unit_test(test_not_across_a_gap),
        cmocka_unit_test(test_without_reference),
        cmocka_unit_test(test_smoothed_away),
        cmocka_unit_test(test_nothing_narrowed),
        cmocka_unit_test(test_not_asked_for),
        cmocka_unit_test(test_length_out_of_range),
        cmocka_unit_test(test_intervals_hold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
