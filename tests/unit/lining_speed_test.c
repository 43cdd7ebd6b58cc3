/*
 * lining_speed_test.c - many pairs of invented veins of chance shape, of which
 * the second was pulled at another real speed than its positions say: how often
 * the ends of the treated stretch come to lie elsewhere than they were made to
 * lie, and whether the answer says so.
 *
 * The truth is the map that made the second table.
 */
#include "support/implanted.h"

#include <math.h>
#include <stdlib.h>

#define PI 3.14159265358979323846
#define LENGTH_MM 240.0
#define STEP_MM 0.5
#define DEVICE_FROM_MM 80.0 /* on the axis of BEFORE */
#define DEVICE_TO_MM 170.0
#define PAIRS 20
#define HILLS 8
#define NOISE 0.04 /* of areas, standard deviation as a share */
#define OFF_MM 3.0

/* AFTER's real way for a millimetre of its positions. */
typedef struct speed_case {
    const char *name;
    double beside;
    double inside;
    bool one_sided; /* no hill beyond the device */
} speed_case;

static double truth_mm(const speed_case *of, double after_mm) {
    double u = after_mm - 7.3;
    double from = DEVICE_FROM_MM / of->beside;
    double length = (DEVICE_TO_MM - DEVICE_FROM_MM) / of->inside;
    if (u < from) {
        return of->beside * u;
    }
    return u < from + length ? DEVICE_FROM_MM + of->inside * (u - from)
                             : DEVICE_TO_MM + of->beside * (u - from - length);
}

typedef struct chance_vein {
    double at_mm[HILLS];
    double wide_mm[HILLS];
    double high_mm[HILLS];
} chance_vein;

static chance_vein any_vein(dice *by, bool one_sided) {
    chance_vein out;
    double most = one_sided ? DEVICE_FROM_MM - 15.0 : LENGTH_MM;
    for (int i = 0; i < HILLS; i++) {
        out.at_mm[i] = dice_between(by, 0.0, most);
        out.wide_mm[i] = dice_between(by, 4.0, 15.0);
        out.high_mm[i] = dice_between(by, -3.0, 4.0);
    }
    return out;
}

static double vein_mm2(const chance_vein *of, double x_mm) {
    double diameter = 14.0 - 2.0 * x_mm / LENGTH_MM;
    for (int i = 0; i < HILLS; i++) {
        double z = (x_mm - of->at_mm[i]) / of->wide_mm[i];
        diameter += of->high_mm[i] * exp(-0.5 * z * z);
    }
    diameter = fmax(diameter, 4.0);
    return PI / 4.0 * diameter * diameter;
}

static void fill_tables(implanted *before, implanted *after,
                        const speed_case *of, uint64_t seed) {
    dice by = {seed};
    chance_vein vein = any_vein(&by, of->one_sided);
    implanted_straight(before, LENGTH_MM, STEP_MM, 1.0);
    implanted_straight(after, LENGTH_MM, STEP_MM, 1.0);
    before->points = 36;
    after->points = 36;
    for (size_t i = 0; i < before->count; i++) {
        implanted_frame *frame = &before->frames[i];
        frame->lumen.area_mm2 =
            vein_mm2(&vein, frame->position_mm) * dice_about_one(&by, NOISE);
    }
    size_t kept = 0;
    for (size_t i = 0; i < after->count; i++) {
        implanted_frame frame = after->frames[i];
        double x = truth_mm(of, frame.position_mm);
        bool inside = x >= DEVICE_FROM_MM && x <= DEVICE_TO_MM;
        if (x < 0.0 || x > LENGTH_MM) {
            continue;
        }
        double area = inside ? 180.0 : vein_mm2(&vein, x);
        frame.lumen.area_mm2 = area * dice_about_one(&by, NOISE);
        frame.device.area_mm2 =
            inside ? 180.0 * dice_about_one(&by, NOISE) : 0.0;
        after->frames[kept++] = frame;
    }
    after->count = kept;
}

typedef struct tally {
    int refused;
    int right;
    int said;
    int silent;
    int checked;
    int outside; /* of two intervals each */
} tally;

static void device_ends(const implanted *of, double out[2]) {
    out[0] = (double)NAN;
    for (size_t i = 0; i < of->count; i++) {
        if (of->frames[i].device.area_mm2 > 0.0) {
            out[0] = isnan(out[0]) ? of->frames[i].position_mm : out[0];
            out[1] = of->frames[i].position_mm;
        }
    }
}

/* Said: the interval there holds the truth, or the speed is said not to be
 * known. */
static void count_one(const bl_comparison *of, const speed_case *as,
                      const double ends[2], tally *to) {
    const bl_alignment *by = &of->alignment;
    bool off = false;
    bool said = true;
    for (int i = 0; i < 2; i++) {
        double truth = truth_mm(as, ends[i]);
        bl_interval interval = by->end_interval_mm[i];
        bool outside = truth < interval.low || truth > interval.high;
        bool away = fabs(bl_alignment_before_mm(by, ends[i]) - truth) > OFF_MM;
        off = off || away;
        said = said && !(away && outside && by->pace_checked);
        to->outside += outside;
    }
    assert_true(
        by->pace_checked ||
        implanted_says(of->warnings, of->warning_count, "cannot be told"));
    to->checked += by->pace_checked;
    to->right += !off;
    to->said += off && said;
    to->silent += off && !said;
}

static tally count_pairs(const speed_case *of) {
    tally out = {0};
    implanted *tables = malloc(2 * sizeof *tables);
    assert_non_null(tables);
    for (uint64_t seed = 1; seed <= PAIRS; seed++) {
        fill_tables(&tables[0], &tables[1], of, seed);
        bl_compare_options options = bl_compare_defaults();
        compared_pair pair =
            implanted_compare_smoothed(&tables[0], &tables[1], &options, 1.0);
        double ends[2];
        device_ends(&tables[1], ends);
        if (pair.status == BL_OK) {
            count_one(pair.of, of, ends, &out);
        } else {
            assert_int_equal(pair.status, BL_ERR_INPUT);
            out.refused++;
        }
        compared_pair_free(&pair);
    }
    free(tables);
    return out;
}

static void test_speeds(void **state) {
    (void)state;
    static const speed_case cases[] = {
        {"no error of speed", 1.0, 1.0, false},
        {"10 % throughout", 1.1, 1.1, false},
        {"10 % in the device", 1.0, 1.1, false},
        {"-15 % in the device", 1.0, 0.85, false},
        {"one side, 10 % in the device", 1.0, 1.1, true},
    };
    int lined_up = 0;
    int silent = 0;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        tally of = count_pairs(&cases[i]);
        lined_up += PAIRS - of.refused;
        silent += of.silent;
        print_message("%-30s refused %3d, right %3d, off but said %3d, off in "
                      "silence %3d; speed checked %3d; ends outside %3d\n",
                      cases[i].name, of.refused, of.right, of.said, of.silent,
                      of.checked, of.outside);
    }
    /* At most 2.5 % of those that were lined up: of five times 100 pairs they
     * were 3 of 486 when this was written. */
    assert_true(40 * silent <= lined_up);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_speeds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
