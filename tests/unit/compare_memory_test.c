/*
 * compare_memory_test.c - a comparison while memory runs out: the n-th
 * allocation and every later one fails, for every n. It says so, gives nothing
 * back and keeps nothing (the leak sanitizer looks on).
 *
 * Linked with --wrap, as tests/faults/allocation.c is into the program.
 */
#include "faults/failing.h"
#include "support/implanted.h"

#include <math.h>
#include <stdlib.h>

static double hill(double x_mm, double at_mm) {
    double z = (x_mm - at_mm) / 5.0;
    return exp(-0.5 * z * z);
}

/* A vein with shape on both sides of a device, every 2 mm. */
static void make(implanted *out, bool has_device, double vessel_mm2) {
    implanted_straight(out, 200.0, 2.0, 150.0);
    out->points = 12;
    for (size_t i = 0; i < out->count; i++) {
        implanted_frame *at = &out->frames[i];
        double x = at->position_mm;
        bool inside = has_device && x >= 60.0 && x <= 140.0;
        at->lumen.area_mm2 =
            150.0 + 60.0 * hill(x, 30.0) + 50.0 * hill(x, 170.0) + 0.1 * x;
        at->device.area_mm2 = inside ? 140.0 : 0.0;
        at->vessel.area_mm2 = inside ? vessel_mm2 : 0.0;
    }
}

/* The number of allocations until it ends well, or as `expected`. */
static size_t run_out(const implanted *before, const implanted *after,
                      const bl_compare_options *options, bl_status expected) {
    compared_pair pair =
        implanted_compare_smoothed(before, after, options, 1.0);
    assert_int_equal(pair.status, expected);
    bl_comparison_free(pair.of);
    size_t n = 0;
    do {
        pair.of = NULL;
        failing_made = 0;
        failing_from = ++n;
        pair.status = bl_comparison_new(pair.studies[0], pair.assessments[0],
                                        pair.studies[1], pair.assessments[1],
                                        options, &pair.of, &pair.message);
        failing_from = 0;
        if (pair.status != expected) {
            assert_int_equal(pair.status, BL_ERR_MEMORY);
            assert_int_equal(pair.message.status, BL_ERR_MEMORY);
            assert_null(pair.of);
        }
    } while (pair.status == BL_ERR_MEMORY);
    compared_pair_free(&pair);
    return n - 1;
}

static void test_every_allocation(void **state) {
    (void)state;
    implanted *tables = malloc(2 * sizeof *tables);
    assert_non_null(tables);
    const bl_nominal two[] = {{16.0, 50.0}, {14.0, 50.0}};
    bl_compare_options options = bl_compare_defaults();
    options.nominals = two;
    options.nominal_count = 2;
    make(&tables[0], true, 170.0);
    make(&tables[1], true, 170.0);
    tables[1].notes = "# stage = follow-up\n";
    assert_true(run_out(&tables[0], &tables[1], &options, BL_OK) > 20);
    /* By marks, from before; and refused. */
    make(&tables[0], false, 0.0);
    tables[0].notes = "# mark = a @ 10\n# mark = b @ 190\n"
                      "# reference = 10..20\n";
    tables[1].notes = "# mark = a @ 10\n# mark = b @ 170\n";
    assert_true(run_out(&tables[0], &tables[1], &options, BL_OK) > 20);
    tables[0].notes = "# mark = a @ 10\n# mark = b @ 190\n";
    tables[1].notes = "# mark = b @ 10\n# mark = a @ 170\n";
    assert_true(run_out(&tables[0], &tables[1], &options, BL_ERR_INPUT) > 3);
    tables[0].notes = "";
    tables[1].notes = "";
    for (size_t i = 0; i < tables[1].count; i++) {
        tables[1].frames[i].vessel.area_mm2 *= 0.5;
    }
    assert_true(run_out(&tables[0], &tables[1], &options, BL_ERR_INPUT) > 3);
    free(tables);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
