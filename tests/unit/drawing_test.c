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
    const drawing_names right = {"libcairo.so.2", "libfontconfig.so.1",
                                 "libpng16.so.16"};
    const char *const wrong[] = {"libcairo.so.none", "libz.so.1"};
    for (size_t i = 0; i < 6; i++) {
        drawing_names names = right;
        const char **const parts[] = {&names.cairo, &names.fontconfig,
                                      &names.png};
        *parts[i / 2] = wrong[i % 2]; /* not there, and another library */
        assert_int_equal(drawing_load_from(&names, &calls), BL_ERR_LIBRARY);
        assert_true(calls.cairo_create == NULL);
    }
    assert_int_equal(drawing_load_from(&right, &calls), BL_OK);
    assert_true(calls.cairo_create == drawing.cairo_create);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_loads),
        cmocka_unit_test(test_refused),
    };
    return cmocka_run_group_tests_name("drawing", tests, NULL, NULL);
}
