/*
 * plan_limits_test.c - the limits of a plan's search (base/limits.h), at each
 * and one past it as far as a vein can be made for that. Past one the plan is
 * not exact and says so.
 */
#include "base/limits.h"
#include "support/check.h"
#include "support/shelved.h"

#include <stdio.h>
#include <string.h>

static made one;

static void check_stopped(const bl_plan *plan) {
    assert_false(plan->exact);
    made_says(plan, "the search was stopped at its bound");
}

/* Of the longest stock: 200 lines of "label,diameter,length,foreshortening". */
static char lines[32768];

/* 200 devices over 600 mm: of many diameters, with and without foreshortening.
 * Neither meets a bound on the work. */
static void test_largest_stock(void **state) {
    (void)state;
    made_vein(&one, 0.0, 640.0, 19.0, 11.0, "");
    made_narrow(&one, 20.0, 610.0);
    for (int shortens = 0; shortens < 2; shortens++) {
        size_t used = 0;
        for (int i = 0; i < 200; i++) {
            used += (size_t)snprintf(lines + used, sizeof lines - used,
                                     "d%d,%g,%d,%g\n", i, 10.0 + 0.5 * (i % 20),
                                     shortens ? 40 + i * 37 % 121
                                              : 40 + 10 * (i / 20),
                                     shortens ? 0.1 * (i * 7 % 100) : 0.0);
        }
        bl_stock *stock = shelved(lines);
        bl_plan_options options = shelved_options(stock);
        bl_plan *plan = made_plan(&one, &options);
        assert_true(plan->exact);
        const bl_chain *chain = &plan->stretches[0].chain;
        check_close(plan->stretches[0].cover_mm, 600.0, 1e-9, "mm");
        assert_in_range(chain->device_count, 5, 6);
        for (size_t i = 0; i < chain->device_count; i++) {
            assert_true(chain->devices[i].oversize_mm > -0.05);
        }
        bl_plan_free(plan);
        bl_stock_free(stock);
    }
    made_free(&one);
}

/* Short devices of 200 diameters and lengths, of which it takes 40: past the
 * bound, and told. */
static void test_bound_on_the_work(void **state) {
    (void)state;
    size_t used = 0;
    for (int i = 0; i < 200; i++) {
        used += (size_t)snprintf(lines + used, sizeof lines - used,
                                 "d%d,%g,%d,%g\n", i, 10.0 + 0.05 * i,
                                 30 + i % 3, 0.1 * (i * 7 % 50));
    }
    made_vein(&one, 0.0, 640.0, 19.0, 11.0, "");
    made_narrow(&one, 20.0, 610.0);
    bl_stock *stock = shelved(lines);
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    assert_false(plan->exact);
    made_says(plan, "the search was stopped at its bound");
    assert_int_equal(plan->stretches[0].chain.device_count, 0);
    assert_string_equal(plan->stretches[0].missing,
                        "the search was stopped before anything was found");
    assert_true(plan->stretches[0].stopped);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* Devices of 31 mm that overlap by 15: 64 cover 15 + 64 * 16 = 1039 mm. */
static void test_devices_of_a_chain(void **state) {
    (void)state;
    for (size_t more = 0; more < 2; more++) {
        double length = 15.0 + 16.0 * (double)LIMIT_CHAIN + 0.5 * (double)more;
        made_vein(&one, 0.0, length + 60.0, 15.5, 15.5, "");
        made_narrow(&one, 25.0, 15.0 + length);
        bl_stock *stock = shelved("a,16,31,0\n");
        bl_plan_options options = shelved_options(stock);
        bl_plan *plan = made_plan(&one, &options);
        check_close(plan->stretches[0].cover_mm, length, 1e-9, "mm");
        if (more) {
            check_stopped(plan);
            assert_int_equal(plan->stretches[0].chain.device_count, 0);
        } else {
            assert_true(plan->exact);
            assert_int_equal(plan->stretches[0].chain.device_count,
                             LIMIT_CHAIN);
        }
        bl_plan_free(plan);
        bl_stock_free(stock);
        made_free(&one);
    }
}

/* Narrowings of 20 mm, 60 mm apart: 30 mm to cover, and too few devices of 30
 * mm for all, so that one gets another than it would. */
static void test_narrowings_parted(void **state) {
    (void)state;
    for (size_t more = 0; more < 2; more++) {
        size_t count = LIMIT_PARTED + more;
        made_vein(&one, 0.0, 80.0 * (double)count + 60.0, 15.5, 15.5, "");
        for (size_t i = 0; i < count; i++) {
            made_narrow(&one, 40.0 + 80.0 * (double)i, 60.0 + 80.0 * (double)i);
        }
        char list[64];
        (void)snprintf(list, sizeof list, "a,16,30,0,%zu\nb,16,40,0,9\n",
                       count - 1);
        bl_stock *stock = shelved(list);
        bl_plan_options options = shelved_options(stock);
        bl_plan *plan = made_plan(&one, &options);
        assert_int_equal(plan->stretch_count, count);
        if (more) {
            check_stopped(plan);
        } else {
            assert_true(plan->exact);
        }
        bl_plan_free(plan);
        bl_stock_free(stock);
        made_free(&one);
    }
}

/* 40, 30 and 120 mm to cover, at 95, 220 and 290 mm. Three devices either way:
 * apart 150 + 35 + 150 = 335 mm; the first two together 150 + 35 - 15 = 170 mm,
 * 320 in all, but from 265 to 290 mm vein lies bare; the last two 285, 435 in
 * all; all of them 3 * 150 - 30 = 420 mm. */
static void test_bare_vein_parted(void **state) {
    (void)state;
    made_vein(&one, 0.0, 520.0, 15.5, 15.5, "");
    made_narrow(&one, 100.0, 130.0);
    made_narrow(&one, 225.0, 245.0);
    made_narrow(&one, 295.0, 405.0);
    bl_stock *stock = shelved("a,16,35,0\nb,16,150,0\n");
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    assert_true(plan->exact);
    assert_int_equal(plan->stretch_count, 3);
    static const char *const labels[] = {"b", "a", "b"};
    /* The first goes half the way to the next landing point, then back. */
    static const bl_span spans[] = {
        {27.5, 177.5}, {220.0, 255.0}, {290.0, 440.0}};
    for (size_t i = 0; i < 3; i++) {
        const bl_chain *chain = &plan->stretches[i].chain;
        assert_int_equal(chain->device_count, 1);
        check_label(&chain->devices[0], labels[i]);
        check_span(chain->devices[0].span, spans[i].from_mm, spans[i].to_mm);
    }
    assert_int_equal(plan->warning_count, 0);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* Narrowings of 20 mm, 40 mm apart: a device of 40 mm each leaves 20 mm bare to
 * the next, and any two together take three. */
static void test_bare_vein_of_many(void **state) {
    (void)state;
    bl_stock *stock = shelved("a,16,40,0\n");
    bl_plan_options options = shelved_options(stock);
    for (size_t more = 0; more < 2; more++) {
        size_t count = LIMIT_PARTED + more;
        made_vein(&one, 0.0, 60.0 * (double)count + 80.0, 15.5, 15.5, "");
        for (size_t i = 0; i < count; i++) {
            made_narrow(&one, 40.0 + 60.0 * (double)i, 60.0 + 60.0 * (double)i);
        }
        bl_plan *plan = made_plan(&one, &options);
        assert_int_equal(plan->stretch_count, count);
        made_says(plan, "20.0 mm of vein lie bare between devices");
        if (more) {
            check_stopped(plan);
        } else {
            assert_true(plan->exact);
        }
        bl_plan_free(plan);
        made_free(&one);
    }
    bl_stock_free(stock);
}

/* Many narrowings and a list of many lengths: each run of them would be
 * searched. */
static void test_fits_of_runs(void **state) {
    (void)state;
    size_t used = 0;
    for (int i = 0; i < 200; i++) {
        used += (size_t)snprintf(lines + used, sizeof lines - used,
                                 "d%d,%g,%d,%g\n", i, 15.5 + 0.02 * (i % 10),
                                 40 + i % 160, 0.1 * (i * 7 % 50));
    }
    made_vein(&one, 0.0, 3900.0, 15.5, 15.5, "");
    for (size_t i = 0; i < MADE_NARROWINGS; i++) {
        made_narrow(&one, 40.0 + 160.0 * (double)i, 120.0 + 160.0 * (double)i);
    }
    bl_stock *stock = shelved(lines);
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    check_stopped(plan);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* One each of many short devices: which of them reach is tried out. */
static void test_tries(void **state) {
    (void)state;
    size_t used = 0;
    for (int i = 0; i < 200; i++) {
        used += (size_t)snprintf(lines + used, sizeof lines - used,
                                 "d%d,%g,%d,0,1\n", i, 10.0 + 0.5 * (i % 20),
                                 20 + 7 * i % 31);
    }
    made_vein(&one, 0.0, 600.0, 16.0, 16.0, "");
    made_narrow(&one, 50.0, 550.0);
    bl_stock *stock = shelved(lines);
    bl_plan_options options = shelved_options(stock);
    bl_plan *plan = made_plan(&one, &options);
    check_stopped(plan);
    bl_plan_free(plan);
    bl_stock_free(stock);
    made_free(&one);
}

/* As many devices as a chain to be checked may have, and one more. */
static void test_wishes(void **state) {
    (void)state;
    bl_device_wish wishes[BL_WISHES_MOST + 1];
    for (size_t i = 0; i <= BL_WISHES_MOST; i++) {
        wishes[i] = (bl_device_wish){16.0, 40.0, 20.0 * (double)i};
    }
    made_vein(&one, 0.0, 400.0, 15.5, 15.5, "");
    made_narrow(&one, 40.0, 100.0);
    bl_plan_options options = shelved_options(NULL);
    options.wishes = wishes;
    options.wish_count = BL_WISHES_MOST;
    bl_plan *plan = made_plan(&one, &options);
    assert_int_equal(plan->wish.device_count, BL_WISHES_MOST);
    bl_plan_free(plan);
    options.wish_count = BL_WISHES_MOST + 1;
    plan = NULL;
    bl_message message;
    assert_int_equal(bl_plan_new(one.study, &one.of, &options, &plan, &message),
                     BL_ERR_LIMIT);
    assert_null(plan);
    assert_string_equal(message.text,
                        "more than 16 devices to check; give one chain");
    made_free(&one);
}

/* At each bound of a size, and a tenth past it. */
static void test_sizes(void **state) {
    (void)state;
    static const struct {
        bl_device_wish wish;
        bool taken;
    } cases[] = {
        {{BL_DEVICE_DIAMETER_LEAST_MM, 80.0, 40.0}, true},
        {{BL_DEVICE_DIAMETER_LEAST_MM - 0.1, 80.0, 40.0}, false},
        {{BL_DEVICE_DIAMETER_MOST_MM, 80.0, 40.0}, true},
        {{BL_DEVICE_DIAMETER_MOST_MM + 0.1, 80.0, 40.0}, false},
        {{16.0, BL_DEVICE_LENGTH_LEAST_MM, 40.0}, true},
        {{16.0, BL_DEVICE_LENGTH_LEAST_MM - 0.1, 40.0}, false},
        {{16.0, BL_DEVICE_LENGTH_MOST_MM, 40.0}, true},
        {{16.0, BL_DEVICE_LENGTH_MOST_MM + 0.1, 40.0}, false},
    };
    made_vein(&one, 0.0, 200.0, 15.5, 15.5, "");
    made_narrow(&one, 40.0, 100.0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        bl_plan_options options = shelved_options(NULL);
        options.wishes = &cases[i].wish;
        options.wish_count = 1;
        bl_plan *plan = NULL;
        assert_int_equal(bl_plan_new(one.study, &one.of, &options, &plan, NULL),
                         cases[i].taken ? BL_OK : BL_ERR_ARGUMENT);
        bl_plan_free(plan);
    }
    made_free(&one);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_largest_stock),
        cmocka_unit_test(test_bound_on_the_work),
        cmocka_unit_test(test_devices_of_a_chain),
        cmocka_unit_test(test_narrowings_parted),
        cmocka_unit_test(test_bare_vein_parted),
        cmocka_unit_test(test_bare_vein_of_many),
        cmocka_unit_test(test_fits_of_runs),
        cmocka_unit_test(test_tries),
        cmocka_unit_test(test_wishes),
        cmocka_unit_test(test_sizes),
    };
    return cmocka_run_group_tests_name("plan limits", tests, NULL, NULL);
}
