/*
 * difference_test.c - what changed between two tables, against errors that are
 * known.
 */
#include "support/implanted.h"

#include <math.h>
#include <stdlib.h>

typedef struct two_tables {
    implanted first;
    implanted second;
} two_tables;

static double noisy(dice *by, double cv) {
    double z = 0.0;
    for (int i = 0; i < 12; i++) {
        z += dice_between(by, 0.0, 1.0);
    }
    return 1.0 + cv * (z - 6.0);
}

/* Devices from 20 to 60 in 80 mm of vein, all frames scattering by cv. */
static void make(implanted *out, double area_mm2, double device_mm2, double cv,
                 dice *by) {
    implanted_straight(out, 80.0, 0.5, 200.0);
    out->points = 36;
    for (size_t i = 0; i < out->count; i++) {
        implanted_frame *frame = &out->frames[i];
        bool inside = i >= 40 && i <= 120;
        frame->lumen.area_mm2 = (inside ? area_mm2 : 200.0) * noisy(by, cv);
        frame->device.area_mm2 = inside ? device_mm2 * noisy(by, cv) : 0.0;
    }
}

static two_tables *make_two(double first_mm2, double second_mm2, double cv,
                            uint64_t seed) {
    two_tables *out = malloc(sizeof *out);
    assert_non_null(out);
    dice by = {seed};
    make(&out->first, first_mm2, 180.0, cv, &by);
    make(&out->second, second_mm2, 180.0, cv, &by);
    out->first.notes = "# stage = after\n";
    out->second.notes = "# stage = follow-up\n";
    return out;
}

static compared_pair compare(const two_tables *of, uint64_t seed) {
    bl_compare_options options = bl_compare_defaults();
    options.shift_mm = 0.0;
    options.seed = seed;
    compared_pair out =
        implanted_compare_smoothed(&of->first, &of->second, &options, 1.0);
    assert_int_equal(out.status, BL_OK);
    return out;
}

/* Nothing scatters, so that the error, 5 %, is shared by all contours of a
 * table: the change of 170 mm2 scatters by 170 * 0.05 * sqrt(2), 12.02 mm2, and
 * 95 % of a normal distribution lie within 1.959964 of that. From 1,000 rounds
 * a 2.5 % quantile scatters by sqrt(0.025 * 0.975 / 1000) / 0.0584, 0.085
 * deviations; allowed is four times that, and what 1/(1 + e) makes of e. */
static void test_shared_error(void **state) {
    (void)state;
    two_tables *tables = make_two(170.0, 170.0, 0.0, 1);
    compared_pair pair = compare(tables, 1);
    const bl_change *mean = &pair.of->lumen_mean;
    const double sd = 170.0 * 0.05 * sqrt(2.0);
    check_close(mean->change_mm2, 0.0, 1e-9, "mm2");
    check_close(mean->interval_mm2.low, -1.959964 * sd, 0.4 * sd, "mm2");
    check_close(mean->interval_mm2.high, 1.959964 * sd, 0.4 * sd, "mm2");
    check_close(mean->interval_pct.high, 100.0 * 1.959964 * sd / 170.0,
                40.0 * sd / 170.0 + 1.0, "%");
    assert_true(mean->within_error);
    /* Nothing makes the least read low: it is corrected by nothing. */
    check_close(pair.of->lumen_least.interval_mm2.low,
                -pair.of->lumen_least.interval_mm2.high, 0.4 * sd, "mm2");
    assert_true(pair.of->follow_up);
    assert_true(pair.of->since_after);
    compared_pair_free(&pair);
    free(tables);
}

static void test_calls(void **state) {
    (void)state;
    two_tables *tables = make_two(170.0, 160.0, 0.0, 1);
    compared_pair pair = compare(tables, 1);
    check_close(pair.of->lumen_least.change_mm2, -10.0, 1e-9, "mm2");
    check_close(pair.of->lumen_least.change_pct, -1000.0 / 170.0, 1e-9, "%");
    assert_true(pair.of->lumen_least.within_error);
    assert_true(pair.of->device_least.within_error);
    check_close(pair.of->device_mean.first_mm2, 180.0, 1e-9, "mm2");
    compared_pair_free(&pair);
    free(tables);
    tables = make_two(170.0, 110.0, 0.0, 1);
    pair = compare(tables, 1);
    assert_false(pair.of->lumen_least.within_error);
    assert_false(pair.of->lumen_mean.within_error);
    assert_true(pair.of->lumen_least.interval_mm2.high < 0.0);
    compared_pair_free(&pair);
    free(tables);
}

/* Contours scatter by 5 % each, by themselves: the least of 80 reads low, the
 * change of the truth, -20 mm2, is held in 95 % of intervals all the same. Of
 * 40 fewer than 34 hold it once in a hundred (binomial). */
static void test_known_change(void **state) {
    (void)state;
    int held = 0;
    int mean_held = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        two_tables *tables = make_two(170.0, 150.0, 0.05, seed);
        compared_pair pair = compare(tables, seed);
        bl_interval least = pair.of->lumen_least.interval_mm2;
        bl_interval mean = pair.of->lumen_mean.interval_mm2;
        held += least.low <= -20.0 && least.high >= -20.0;
        mean_held += mean.low <= -20.0 && mean.high >= -20.0;
        compared_pair_free(&pair);
        free(tables);
    }
    assert_true(held >= 34);
    assert_true(mean_held >= 34);
}

static void test_same_seed(void **state) {
    (void)state;
    two_tables *tables = make_two(170.0, 150.0, 0.05, 1);
    compared_pair a = compare(tables, 5);
    compared_pair b = compare(tables, 5);
    compared_pair c = compare(tables, 6);
    double first = a.of->lumen_least.interval_mm2.low;
    double again = b.of->lumen_least.interval_mm2.low;
    double other = c.of->lumen_least.interval_mm2.low;
    assert_memory_equal(&first, &again, sizeof first);
    assert_memory_not_equal(&first, &other, sizeof first);
    compared_pair_free(&a);
    compared_pair_free(&b);
    compared_pair_free(&c);
    free(tables);
}

/* The first table without a device: its change is unknown, and said to be. */
static void test_device_once(void **state) {
    (void)state;
    two_tables *tables = make_two(170.0, 150.0, 0.0, 1);
    for (size_t i = 0; i < tables->first.count; i++) {
        tables->first.frames[i].device.area_mm2 = 0.0;
    }
    compared_pair pair = compare(tables, 1);
    check_unknown(pair.of->device_least.change_mm2);
    check_unknown(pair.of->device_least.interval_mm2.low);
    check_unknown(pair.of->device_mean.interval_pct.high);
    check_close(pair.of->device_mean.second_mm2, 180.0, 1e-9, "mm2");
    assert_true(pair.of->since_after); /* its stage says so */
    assert_true(implanted_says(pair.of->cannot, pair.of->cannot_count,
                               "The change of the device"));
    compared_pair_free(&pair);
    free(tables);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_shared_error), cmocka_unit_test(test_calls),
        cmocka_unit_test(test_known_change), cmocka_unit_test(test_same_seed),
        cmocka_unit_test(test_device_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
