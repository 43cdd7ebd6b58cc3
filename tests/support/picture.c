/*
 * picture.c - what the tests of picture files share.
 */
#include "support/picture.h"

#include "support/check.h"

#include <cairo.h>
#include <fontconfig/fontconfig.h>
#include <stdlib.h>

bl_figure *picture_small(double width_mm, double height_mm) {
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

bl_status picture_keep(void *context, const char *bytes, size_t size) {
    text_bytes(context, bytes, size);
    return BL_OK;
}

int picture_release(void **state) {
    (void)state;
    cairo_debug_reset_static_data();
    FcFini();
    return 0;
}
