/*
 * pdf_test.c - what a PDF says of its origin, and that it needs no font of the
 * reader's.
 */
#include "support/check.h"

#include "draw/figure.h"

#include <cairo/cairo.h>
#include <fontconfig/fontconfig.h>
#include <stdlib.h>
#include <string.h>

/* A figure of a line and two words; what is in it does not matter here. */
static bl_figure *small_figure(double width_mm, double height_mm) {
    bl_figure *of = calloc(1, sizeof *of);
    assert_non_null(of);
    of->width_mm = width_mm;
    of->height_mm = height_mm;
    of->title = "invented";
    of->software = "boreline " BL_VERSION;
    of->source = "case.csv, 7 bytes, crc32 9ae0daaf";
    of->options = "--smooth 2";
    of->provenance = "case.csv, 7 bytes, crc32 9ae0daaf; options: --smooth 2";
    of->description = "Invented.";
    canvas_pen ink = {0x1A1A1A, 0.3, CANVAS_DASHED};
    canvas_style words = {.colour = 0x1A1A1A, .size_mm = 2.5};
    canvas_box whole = {0.0, 0.0, width_mm, height_mm};
    canvas_rectangle(&of->canvas, whole, 0xFFFFFF,
                     (canvas_pen){.colour = CANVAS_NONE});
    canvas_line(&of->canvas, 5.0, 5.0, 50.0, 40.0, ink);
    canvas_text(&of->canvas, 20.0, 20.0, words, "invented");
    words.bold = true;
    canvas_text(&of->canvas, 20.0, 30.0, words, "Gef\xC3\xA4\xC3\x9F");
    assert_false(of->canvas.failed);
    return of;
}

static bl_status sink_keep(void *context, const char *bytes, size_t size) {
    text_bytes(context, bytes, size);
    return BL_OK;
}

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
    bl_figure *figure = small_figure(180, 135);
    assert_int_equal(bl_figure_pdf(figure, sink_keep, &to), BL_OK);
    bl_figure_free(figure);
    assert_true(holds(&to, "/CreationDate (20000101000000Z"));
    assert_true(holds(&to, "/ModDate (20000101000000Z"));
    assert_true(holds(&to, "case.csv, 7 bytes, crc32 9ae0daaf"));
    assert_true(holds(&to, "options: --smooth 2"));
    assert_true(holds(&to, "/Creator (boreline " BL_VERSION ")"));
    assert_true(holds(&to, "/FontFile"));
    text_free(&to);
}

/* The libraries keep fonts for the whole process. Given back here, so that a
 * leak checker sees what this project forgot and nothing else. */
static int release_caches(void **state) {
    (void)state;
    cairo_debug_reset_static_data();
    FcFini();
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pdf_origin_and_fonts),
    };
    return cmocka_run_group_tests(tests, NULL, release_caches);
}
