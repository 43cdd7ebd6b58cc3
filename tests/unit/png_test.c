/*
 * png_test.c - what a PNG says beside its pixels, and its edge.
 */
#include "support/check.h"
#include "support/picture.h"

#include <cairo/cairo.h>
#include <stdlib.h>
#include <string.h>

static uint32_t big_endian(const char *at) {
    const unsigned char *bytes = (const unsigned char *)at;
    return (uint32_t)bytes[0] << 24 | (uint32_t)bytes[1] << 16 |
           (uint32_t)bytes[2] << 8 | bytes[3];
}

/* Walks the chunks (PNG specification, 5.3): those promised are there. */
static void test_png_chunks(void **state) {
    (void)state;
    text to = {0};
    bl_figure *figure = picture_small(180, 135);
    assert_int_equal(bl_figure_png(figure, 300.0, picture_keep, &to), BL_OK);
    bl_figure_free(figure);
    bool colour = false;
    bool resolution = false;
    size_t words = 0;
    size_t at = 8;
    while (at + 12 <= to.size) {
        const char *chunk = to.bytes + at;
        size_t size = big_endian(chunk);
        if (memcmp(chunk + 4, "IHDR", 4) == 0) {
            /* 180 and 135 mm at 300 dpi: 2125.98 and 1594.49 pixels. */
            assert_int_equal(big_endian(chunk + 8), 2126);
            assert_int_equal(big_endian(chunk + 12), 1594);
        } else if (memcmp(chunk + 4, "pHYs", 4) == 0) {
            /* 300 / 0.0254 = 11811.02 a metre; unit 1 is the metre. */
            assert_int_equal(big_endian(chunk + 8), 11811);
            assert_int_equal(big_endian(chunk + 12), 11811);
            assert_int_equal(chunk[16], 1);
            resolution = true;
        }
        colour = colour || memcmp(chunk + 4, "sRGB", 4) == 0;
        words += memcmp(chunk + 4, "iTXt", 4) == 0;
        assert_memory_not_equal(chunk + 4, "tIME", 4);
        at += size + 12;
    }
    assert_int_equal(at, to.size);
    assert_true(colour && resolution);
    assert_int_equal(words, 5);
    text_free(&to);
}

typedef struct byte_source {
    const text *all;
    size_t at;
} byte_source;

static cairo_status_t take_bytes(void *closure, unsigned char *out,
                                 unsigned size) {
    byte_source *from = closure;
    if (size > from->all->size - from->at) {
        return CAIRO_STATUS_READ_ERROR;
    }
    memcpy(out, from->all->bytes + from->at, size);
    from->at += size;
    return CAIRO_STATUS_SUCCESS;
}

/* 80 x 60 mm at 300 dpi are 944.88 x 708.66 pixels: the image's last column
 * and row reach past the page. Margins are white to the very edge. */
static void test_png_edge_is_white(void **state) {
    (void)state;
    text to = {0};
    bl_figure *figure = picture_small(80, 60);
    assert_int_equal(bl_figure_png(figure, 300.0, picture_keep, &to), BL_OK);
    bl_figure_free(figure);
    byte_source from = {&to, 0};
    cairo_surface_t *image =
        cairo_image_surface_create_from_png_stream(take_bytes, &from);
    int width = cairo_image_surface_get_width(image);
    int height = cairo_image_surface_get_height(image);
    assert_int_equal(width, 945);
    assert_int_equal(height, 709);
    const unsigned char *pixels = cairo_image_surface_get_data(image);
    size_t stride = (size_t)cairo_image_surface_get_stride(image);
    for (size_t y = 0; y < (size_t)height; y++) {
        for (size_t x = 0; x < (size_t)width; x++) {
            uint32_t pixel;
            memcpy(&pixel, pixels + y * stride + 4 * x, sizeof pixel);
            if (x + 1 == (size_t)width || y + 1 == (size_t)height) {
                assert_int_equal(pixel & 0xFFFFFFU, 0xFFFFFF);
            }
        }
    }
    cairo_surface_destroy(image);
    text_free(&to);
}

static void test_png_too_large(void **state) {
    (void)state;
    text to = {0};
    bl_figure *figure = picture_small(1000, 60);
    /* 1000 mm at 832 dpi are 32756 pixels, at 833 dpi 32795. */
    assert_int_equal(bl_figure_png(figure, 833.0, picture_keep, &to),
                     BL_ERR_ARGUMENT);
    assert_int_equal(to.size, 0);
    bl_figure_free(figure);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_png_chunks),
        cmocka_unit_test(test_png_edge_is_white),
        cmocka_unit_test(test_png_too_large),
    };
    return cmocka_run_group_tests(tests, NULL, picture_release);
}
