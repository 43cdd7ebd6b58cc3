/*
 * picture.c - what the tests of picture files share.
 */
#include "support/picture.h"

#include "support/check.h"

#include <cairo.h>
#include <fontconfig/fontconfig.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

/* Texts may touch, by what a thousandth of a millimetre of SVG rounds. */
#define TOUCH_MM 1e-3

static bool boxes_meet(canvas_box a, canvas_box b) {
    return a.x0 < b.x1 - TOUCH_MM && b.x0 < a.x1 - TOUCH_MM &&
           a.y0 < b.y1 - TOUCH_MM && b.y0 < a.y1 - TOUCH_MM;
}

size_t picture_texts(const bl_figure *of, const char *what) {
    const canvas *on = &of->canvas;
    size_t wrong = 0;
    for (size_t i = 0; i < on->item_count; i++) {
        const canvas_item *item = &on->items[i];
        if (item->mode != CANVAS_TEXT) {
            continue;
        }
        canvas_box box = canvas_text_box(on, item);
        if (box.x0 < 0 || box.y0 < 0 || box.x1 > of->width_mm ||
            box.y1 > of->height_mm) {
            print_error("%s: '%s' leaves the page\n", what,
                        canvas_words(on, item));
            wrong++;
        }
        for (size_t k = i + 1; k < on->item_count; k++) {
            const canvas_item *other = &on->items[k];
            if (other->mode == CANVAS_TEXT &&
                boxes_meet(box, canvas_text_box(on, other))) {
                print_error("%s: '%s' meets '%s'\n", what,
                            canvas_words(on, item), canvas_words(on, other));
                wrong++;
            }
        }
    }
    return wrong;
}

bool picture_says(const bl_figure *of, const char *words) {
    char all[16384] = "";
    size_t used = 0;
    for (size_t i = 0; i < of->canvas.item_count; i++) {
        const canvas_item *item = &of->canvas.items[i];
        if (item->mode == CANVAS_TEXT) {
            int size = snprintf(all + used, sizeof all - used, "%s ",
                                canvas_words(&of->canvas, item));
            used += size > 0 ? (size_t)size : 0;
            assert_true(used < sizeof all);
        }
    }
    return strstr(all, words) != NULL;
}

const double picture_pages[PICTURE_PAGES][2] = {
    {180, 135}, {80, 60},  {100, 75}, {120, 90},   {420, 297},
    {297, 420}, {80, 200}, {300, 60}, {1000, 1000}};
