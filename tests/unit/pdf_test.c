/*
 * pdf_test.c - what a PDF says of its origin, and that it needs no font of the
 * reader's.
 */
#include "support/check.h"
#include "support/picture.h"

#include "draw/figure.h"

#include <stdlib.h>
#include <string.h>

static bool holds(const text *in, const char *words) {
    size_t size = strlen(words);
    for (size_t i = 0; i + size <= in->size; i++) {
        if (memcmp(in->bytes + i, words, size) == 0) {
            return true;
        }
    }
    return false;
}

/* Two files made within a second would agree even with the present time in
 * them: the dates are looked at. The keys are those of ISO 32000-1, 14.3.3 and
 * 9.9; cairo writes them uncompressed. */
static void test_pdf_origin_and_fonts(void **state) {
    (void)state;
    text to = {0};
    bl_figure *figure = picture_small(180, 135);
    assert_int_equal(bl_figure_pdf(figure, picture_keep, &to), BL_OK);
    bl_figure_free(figure);
    assert_true(holds(&to, "/CreationDate (20000101000000Z"));
    assert_true(holds(&to, "/ModDate (20000101000000Z"));
    assert_true(holds(&to, "case.csv, 7 bytes, crc32 9ae0daaf"));
    assert_true(holds(&to, "options: --smooth 2"));
    assert_true(holds(&to, "/Creator (boreline " BL_VERSION ")"));
    assert_true(holds(&to, "/FontFile"));
    text_free(&to);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pdf_origin_and_fonts),
    };
    return cmocka_run_group_tests(tests, NULL, picture_release);
}
