/*
 * chain_test.c - what a chain costs by dynamic programming against what the
 * depth-first search pays: where no count binds they are the same, and the
 * search walks straight to it.
 */
#include "plan/hunt.h"
#include "support/check.h"
#include "support/shelved.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define CASES 300

static made one;

static bl_stock *random_stock(dice *from) {
    char lines[2048] = "";
    size_t used = 0;
    size_t count = 2 + dice_next(from) % 20;
    for (size_t i = 0; i < count; i++) {
        used += (size_t)snprintf(lines + used, sizeof lines - used,
                                 "d%zu,%g,%g,%g\n", i,
                                 11.0 + 0.5 * (double)(dice_next(from) % 16),
                                 40.0 + 10.0 * (double)(dice_next(from) % 13),
                                 (double)(dice_next(from) % 5));
    }
    return shelved(lines);
}

/* Devices follow each other, so that only the last can lie over all of one. */
static void check_no_device_within(const chain_search *of,
                                   const hunt_chain *chain) {
    int32_t from = 0;
    for (size_t i = 0; i + 2 < chain->count; i++) {
        from += of->stock->kinds[chain->kinds[i]].covers - of->rules->overlap;
    }
    if (chain->count > 1) {
        assert_true(chain->last_from > from);
    }
}

/* More devices than it takes: then one before the last is soon in the way. */
static size_t check_longer(chain_search *search, size_t fewest, arena *owner) {
    size_t found = 0;
    for (size_t more = 1; more < 3; more++) {
        hunt_chain chain;
        hunt_result got = {0};
        chain_place begin = chain_begin(search);
        assert_int_equal(
            hunt_with(search, 1, fewest + more, owner, &chain, &got), BL_OK);
        assert_true(got.exact);
        if (got.found) {
            found++;
            assert_int_equal(got.value,
                             chain_value(search, fewest + more, &begin));
            check_no_device_within(search, &chain);
        }
    }
    return found;
}

static void test_value_is_paid(void **state) {
    (void)state;
    dice from = {31};
    size_t found = 0;
    size_t longer = 0;
    for (int i = 0; i < CASES; i++) {
        /* Wider caudally too: then sizes may go either way. */
        double wide = dice_between(&from, 12.0, 17.0);
        made_vein(&one, 0.0, 300.0, wide, wide + dice_between(&from, -4.0, 1.5),
                  "");
        bl_stock *stock = random_stock(&from);
        arena owner = {0};
        ground on;
        shelf held;
        assert_int_equal(ground_build(one.study, &one.of, &owner, &on), BL_OK);
        assert_int_equal(shelf_build(stock, &owner, &held), BL_OK);
        fitting_rules rules = {.overlap = 150,
                               .step_mm = 0.5 * (double)(i % 5),
                               .limit_pct = 100.0,
                               .by = BL_SIZE_BY_AREA};
        fitting_site site = {.at_mm = 20.0,
                             .factor = 1.0,
                             .cover = 2400,
                             .room_cranial = 200,
                             .room_caudal = 50 * (i % 7),
                             .tapers = one.wide_mm >= one.narrow_mm,
                             .first_mm = {0.0, HUGE_VAL},
                             .last_mm = {0.0, HUGE_VAL}};
        chain_search search;
        assert_int_equal(chain_build(&on, &held, &rules, &site, LETTING_NONE,
                                     i % 2 ? CHAIN_SHORT : CHAIN_SNUG, &owner,
                                     &search),
                         BL_OK);
        size_t fewest = 0;
        assert_int_equal(chain_fewest(&search, &fewest), BL_OK);
        hunt_chain chain;
        hunt_result got = {0};
        assert_int_equal(hunt_fewest(&search, 1, &owner, &chain, &got), BL_OK);
        assert_true(got.exact);
        assert_int_equal(got.found, fewest > 0);
        if (got.found) {
            found++;
            assert_int_equal(got.devices, fewest);
            assert_int_equal(chain.count, fewest);
            chain_place begin = chain_begin(&search);
            assert_int_equal(got.value, chain_value(&search, fewest, &begin));
            check_no_device_within(&search, &chain);
            longer += check_longer(&search, fewest, &owner);
            /* Two walks of so many devices, each looking at all kinds. */
            assert_in_range((size_t)got.tries, 0,
                            2 * (fewest + 1) * held.count);
        }
        arena_free(&owner);
        bl_stock_free(stock);
        made_free(&one);
    }
    assert_in_range(found, CASES / 3, CASES);
    assert_in_range(longer, CASES / 3, 2 * CASES);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_value_is_paid),
    };
    return cmocka_run_group_tests_name("chain", tests, NULL, NULL);
}
