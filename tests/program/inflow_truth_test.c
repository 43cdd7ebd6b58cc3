/*
 * inflow_truth_test.c - the two inflow samples, whose truth is known, through
 * the whole library.
 *
 * The truth is worked out here from the numbers of the descriptions beside the
 * samples: a scar keeps a share of the area but for raised-cosine edges, which
 * lie within it (samples/README.md). Tolerances: walls carry noise of 0.04 mm
 * at each of 48 points, smooth, so that a frame's mean radius of 2.8 to 4.5 mm
 * stands off by some 0.01 mm, 0.7 % in area, and two of these at the least of
 * 51 frames; a 48-gon reads 0.29 % low; a median of 1 mm over frames 1 mm apart
 * fills nothing. So areas are held to 1.5 %, mean areas, where noise averages
 * out, to 0.5 %, lengths to half the distance of frames, the flow index to 2 %,
 * twice what mean areas are and 1 % for the trapezoids over edges of 8 mm. The
 * 95 % intervals hold every true value.
 */
#include "support/check.h"

#include "boreline.h"

#include <math.h>
#include <stdio.h>

#define PI 3.14159265358979323846

/* What the description says of the caudal 50 mm. */
typedef struct described {
    const char *path;
    double diameter_mm;
    double aspect;
    double scar_from_mm;
    double scar_to_mm;
    double left; /* share of the area */
} described;

#define EDGE 8.0 /* of both scars, mm */
#define FROM 40.0
#define TO 90.0

static const described femoral = {
    "samples/inflow-femoral.csv", 9.0, 1.06, 46.0, 79.0, 0.40};
static const described deep = {
    "samples/inflow-deep-femoral.csv", 8.0, 1.10, 60.0, 76.0, 0.80};

/* Share of healthy area at a position. */
static double share_at(const described *of, double x_mm) {
    double inside = fmin(x_mm - of->scar_from_mm, of->scar_to_mm - x_mm);
    double depth = inside <= 0.0    ? 0.0
                   : inside >= EDGE ? 1.0
                                    : 0.5 * (1.0 - cos(PI * inside / EDGE));
    return 1.0 - (1.0 - of->left) * depth;
}

typedef struct truths {
    double values[BL_INFLOW_MEASURES];
} truths;

/* By midpoints of 0.001 mm. */
static truths truth_of(const described *of) {
    double healthy = PI / 4.0 * of->diameter_mm * of->diameter_mm;
    double least = 1.0;
    double mean = 0.0;
    double narrowed = 0.0;
    double resistance = 0.0;
    const double step = 0.001;
    for (double x = FROM + 0.5 * step; x < TO; x += step) {
        double share = share_at(of, x);
        least = fmin(least, share);
        mean += share * step / (TO - FROM);
        narrowed += share <= 0.5 ? step : 0.0;
        resistance += step / (share * share) / (TO - FROM);
    }
    double shape = 0.5 * (of->aspect + 1.0 / of->aspect);
    return (truths){
        {least * healthy, mean * healthy, narrowed, shape * resistance}};
}

typedef struct assessed {
    bl_study *study;
    bl_source source;
    bl_assessment *of;
} assessed;

static assessed assess(const char *path) {
    assessed out = {NULL, {0}, NULL};
    bl_study_options how = {.columns = BL_COLUMNS_ASSESS};
    bl_assess_options options = bl_assess_defaults();
    options.inflow_mm = TO - FROM;
    bl_message message;
    assert_int_equal(bl_study_new(&how, &out.study), BL_OK);
    if (bl_study_read(out.study, path, NULL, &out.source, &message) != BL_OK ||
        bl_assess(out.study, &options, &out.of, &message) != BL_OK) {
        fail_msg("%s: %s", path, message.text);
    }
    return out;
}

static void give_back(assessed *of) {
    bl_assessment_free(of->of);
    bl_study_free(of->study);
}

static void check_truth(const described *of) {
    truths truth = truth_of(of);
    const double tolerances[] = {0.015 * truth.values[0],
                                 0.005 * truth.values[1], 0.5,
                                 0.02 * truth.values[3]};
    assessed got = assess(of->path);
    check_close(got.of->inflow.span.from_mm, FROM, 1e-9, "mm");
    check_close(got.of->inflow.span.to_mm, TO, 1e-9, "mm");
    for (unsigned m = 0; m < BL_INFLOW_MEASURES; m++) {
        const bl_inflow_figure *figure = &got.of->inflow.figures[m];
        check_close(figure->value, truth.values[m], tolerances[m],
                    bl_inflow_measure_name(m));
        assert_true(figure->interval.low <= truth.values[m] &&
                    truth.values[m] <= figure->interval.high);
    }
    give_back(&got);
}

static void test_femoral(void **state) {
    (void)state;
    check_truth(&femoral);
}

static void test_deep_femoral(void **state) {
    (void)state;
    check_truth(&deep);
}

/* The deep femoral vein is truly larger by every measure, and named whichever
 * comes first. */
static void test_deep_femoral_is_named(void **state) {
    (void)state;
    assessed a = assess(femoral.path);
    assessed b = assess(deep.path);
    const bl_inflow_input both[] = {{a.study, a.of, &a.source, NULL},
                                    {b.study, b.of, &b.source, NULL},
                                    {a.study, a.of, &a.source, NULL}};
    for (size_t i = 0; i < 2; i++) {
        bl_inflow *of = NULL;
        assert_int_equal(bl_inflow_new(both + i, 2, &of, NULL), BL_OK);
        assert_true(of->named);
        assert_ptr_equal(of->candidates[0].input.assessment, b.of);
        for (unsigned m = 0; m < BL_INFLOW_MEASURES; m++) {
            assert_true(of->verdicts[m].told_apart);
            assert_int_equal(of->verdicts[m].best, 0);
        }
        bl_inflow_free(of);
    }
    give_back(&a);
    give_back(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_femoral),
        cmocka_unit_test(test_deep_femoral),
        cmocka_unit_test(test_deep_femoral_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
