/*
 * drawing_test.c - libraries that are not there, or are others, are refused.
 */
#include "native/drawing.h"
#include "support/check.h"

static drawing_calls calls;

static void test_loads(void **state) {
    (void)state;
    assert_int_equal(drawing_load(), BL_OK);
    assert_int_equal(drawing_load(), BL_OK);
    assert_true(drawing.cairo_create != NULL);
    assert_true(drawing.FcPatternDestroy != NULL);
}

static void test_refused(void **state) {
    (void)state;
    const char *const wrong[][2] = {
        {"libcairo.so.none", "libfontconfig.so.1"},
        {"libcairo.so.2", "libfontconfig.so.none"},
        /* Libraries, but not those. */
        {"libz.so.1", "libfontconfig.so.1"},
        {"libcairo.so.2", "libz.so.1"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        bl_status status = drawing_load_from(wrong[i][0], wrong[i][1], &calls);
        assert_int_equal(status, BL_ERR_LIBRARY);
        assert_true(calls.cairo_create == NULL);
    }
    assert_int_equal(
        drawing_load_from("libcairo.so.2", "libfontconfig.so.1", &calls),
        BL_OK);
    assert_true(calls.cairo_create == drawing.cairo_create);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_loads),
        cmocka_unit_test(test_refused),
    };
    return cmocka_run_group_tests_name("drawing", tests, NULL, NULL);
}
