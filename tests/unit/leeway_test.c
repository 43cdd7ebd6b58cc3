/*
 * leeway_test.c - what a found reference may miss by, and the ripple of a
 * round, against closed forms.
 */
#include "support/check.h"

#include "assess/breathing.h"
#include "assess/leeway.h"
#include "base/constants.h"

#include <math.h>

/* One link with a stretch of 14 mm at 100 mm. */
static leeway one_stretch(double slope, double apart, double caudal) {
    return (leeway){.count = 1,
                    .caudal = caudal,
                    .next_best = {1.0},
                    .links = {{.stretches = 1,
                               .at_mm = {100.0, 0.0},
                               .diameter = {14.0, 0.0},
                               .slope = slope,
                               .scale = {1.0, 1.0},
                               .apart = apart}}};
}

/* Vein narrows caudally: 50 mm further on, at 0.02 mm a mm, 14 mm are 13; as
 * far back 15. Pulled the other way it is the other way. */
static void test_taper(void **state) {
    (void)state;
    leeway of = one_stretch(0.02, 0.0, 1.0);
    leeway_draw now = {.of = &of, .slope = {0.02}};
    check_close(leeway_factor(&now, 0, 150.0), 13.0 / 14.0, 1e-12, "");
    check_close(leeway_factor(&now, 0, 50.0), 15.0 / 14.0, 1e-12, "");
    check_close(leeway_factor(&now, 0, 100.0), 1.0, 0.0, "");
    of.caudal = -1.0;
    check_close(leeway_factor(&now, 0, 150.0), 15.0 / 14.0, 1e-12, "");
    /* No more than from cava to common femoral vein. */
    check_close(leeway_factor(&now, 0, 900.0), 1.35, 1e-12, "");
    check_close(leeway_factor(&now, 1, 150.0), 1.0, 0.0, "");
    /* A reference that falls by as much already is off by nothing more. */
    of = one_stretch(0.02, 0.0, 1.0);
    of.links[0].ramp = (bl_span){100.0, 150.0};
    of.links[0].scale[1] = 13.0 / 14.0;
    check_close(leeway_factor(&now, 0, 150.0), 1.0, 1e-12, "");
    check_close(leeway_factor(&now, 0, 125.0), 1.0, 1e-12, "");
    now.slope[0] = 0.0;
    check_close(leeway_factor(&now, 0, 150.0), 14.0 / 13.0, 1e-12, "");
    leeway_draw none = {.of = NULL};
    check_close(leeway_factor(&none, 0, 150.0), 1.0, 0.0, "");
}

/* Between 16 mm at 0 and 12 mm at 100 mm the line has 15 mm at 25 mm. A step at
 * 60 mm has 16 there; half a step 15.5. */
static void test_step(void **state) {
    (void)state;
    leeway of = {.count = 1,
                 .caudal = 1.0,
                 .links = {{.stretches = 2,
                            .at_mm = {0.0, 100.0},
                            .diameter = {16.0, 12.0},
                            .may_step = true}}};
    leeway_draw now = {.of = &of, .stepped = {1.0}, .step_mm = {60.0}};
    check_close(leeway_factor(&now, 0, 25.0), 16.0 / 15.0, 1e-12, "");
    check_close(leeway_factor(&now, 0, 75.0), 12.0 / 13.0, 1e-12, "");
    now.stepped[0] = 0.5;
    check_close(leeway_factor(&now, 0, 25.0), 15.5 / 15.0, 1e-12, "");
    of.links[0].may_step = false;
    check_close(leeway_factor(&now, 0, 25.0), 1.0, 0.0, "");
}

/* 16 mm at 0, 12 mm at 100 mm and a border at 60: by 0.02 mm a mm the first
 * vein has lost 1 mm at 50 mm, and the second is 0.6 mm wider at 70 than at 100
 * mm. With positions that grow cranially it is the other way round. */
static void test_border(void **state) {
    (void)state;
    leeway of = {.count = 1,
                 .caudal = 1.0,
                 .links = {{.stretches = 2,
                            .at_mm = {0.0, 100.0},
                            .diameter = {16.0, 12.0},
                            .bordered = true,
                            .border_mm = 60.0}}};
    leeway_draw now = {.of = &of, .slope = {0.02}};
    check_close(leeway_factor(&now, 0, 50.0), 15.0 / 16.0, 1e-12, "");
    check_close(leeway_factor(&now, 0, 70.0), 12.6 / 12.0, 1e-12, "");
    of.caudal = -1.0;
    check_close(leeway_factor(&now, 0, 50.0), 17.0 / 16.0, 1e-12, "");
    check_close(leeway_factor(&now, 0, 70.0), 11.4 / 12.0, 1e-12, "");
}

/* A calibre lent by another vein, off by 4 % besides what normals differ by. */
static void test_person(void **state) {
    (void)state;
    leeway of = one_stretch(0.0, 0.0, 1.0);
    leeway_draw now = {.of = &of, .apart = {-0.10}, .either = {0.04}};
    check_close(leeway_factor(&now, 0, of.links[0].at_mm[0]), 0.94, 1e-12, "");
}

/* Draws are even: from 0 to the slope; from a quarter before none to a quarter
 * beyond all of what is lent; between chosen and next best, and 2.5 % of the
 * diameter to either side; a reference that was not found is taken as it is.
 * Means of 4,000 are known to 0.0046 of the width (1 / the root of 12 * 4,000).
 */
static void test_draws(void **state) {
    (void)state;
    leeway of = one_stretch(0.05, -0.12, 1.0);
    of.next_best[0] = 0.9;
    double slope = 0.0;
    double apart = 0.0;
    double chosen = 0.0;
    for (uint64_t i = 0; i < 4000; i++) {
        chance by = chance_start(7, i);
        leeway_draw now = leeway_take(&of, &by);
        assert_true(now.slope[0] >= 0.0 && now.slope[0] <= 0.05);
        assert_true(now.apart[0] >= -0.15 && now.apart[0] <= 0.03);
        assert_true(now.chosen[0] >= 0.9 * 0.975 * 0.975 &&
                    now.chosen[0] <= 1.025 * 1.025);
        slope += now.slope[0] / 4000.0;
        apart += now.apart[0] / 4000.0;
        chosen += now.chosen[0] / 4000.0;
    }
    check_close(slope, 0.025, 4.0 * 0.0046 * 0.05, "");
    check_close(apart, -0.06, 4.0 * 0.0046 * 0.18, "");
    /* Two such draws, over 0.1 and, of the area, over 0.1 of 0.95. */
    check_close(chosen, 0.95 * (1.0 + 0.025 * 0.025 / 3.0),
                4.0 * 0.0046 * 0.1 * sqrt(2.0), "");
    of.count = 0;
    chance by = chance_start(7, 0);
    leeway_draw none = leeway_take(&of, &by);
    check_close(none.chosen[0], 1.0, 0.0, "");
}

/* A sine of 10 % peak to trough every 4 s: it is back after 4 s, turned after 2
 * s, and nothing in the mean of a whole breath; of half a breath from its crest
 * to its trough nothing either, and 2 / pi of it around its crest. An angle of
 * the table is 1 / 1024 of a turn. */
static void test_ripple_of_a_round(void **state) {
    (void)state;
    breath_table table = {.count = 1, .periods = {4.0}, .swings = {0.1}};
    for (size_t i = 0; i < BREATH_ANGLES; i++) {
        table.cosines[i] = cos(2.0 * PI * (double)i / BREATH_ANGLES);
    }
    breath_draw now = {.of = &table,
                       .seen = 0.025,
                       .unseen = 0.05,
                       .rate = BREATH_ANGLES / 4.0};
    check_close(breathing_at(&now, false, 0.0), 0.05, 1e-12, "");
    check_close(breathing_at(&now, false, 4.0), 0.05, 1e-12, "");
    check_close(breathing_at(&now, false, -2.0), -0.05, 1e-12, "");
    check_close(breathing_at(&now, true, 2.0), -0.025, 1e-12, "");
    check_close(breathing_mean(&now, false, 1.3, 5.3), 0.0, 1e-12, "");
    check_close(breathing_mean(&now, false, 0.0, 2.0), 0.0, 1e-12, "");
    check_close(breathing_mean(&now, false, -1.0, 1.0), 0.05 * 2.0 / PI, 1e-12,
                "");
    check_close(breathing_mean(&now, true, 3.0, 3.0),
                breathing_at(&now, true, 3.0), 0.0, "");
    check_close(breathing_most(&table), 0.1, 0.0, "");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_taper),  cmocka_unit_test(test_step),
        cmocka_unit_test(test_border), cmocka_unit_test(test_person),
        cmocka_unit_test(test_draws),  cmocka_unit_test(test_ripple_of_a_round),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
