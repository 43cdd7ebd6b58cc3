/*
 * png.c - a figure as PNG, with its resolution, colour space and provenance.
 *
 * cairo draws, libpng encodes (cairo's own writer keeps none of the three).
 * libpng reports errors by longjmp: everything that must be freed lives in
 * one struct whose address does not change across it.
 */
#include "native/paint.h"

#include "native/drawing.h"

#include <math.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#define MM_PER_INCH 25.4
#define TEXTS 5
/* The longest side of an image that cairo makes. */
#define PIXELS_MOST 32767.0

typedef struct encoder {
    bl_sink sink;
    void *context;
    bl_status status;
    cairo_surface_t *image;
    png_structp png;
    png_infop info;
    png_bytep line;
} encoder;

static void write_bytes(png_structp png, png_bytep bytes, size_t size) {
    encoder *to = drawing.png_get_io_ptr(png);
    if (size > 0) {
        to->status = to->sink(to->context, (const char *)bytes, size);
    }
    if (to->status != BL_OK) {
        drawing.png_error(png, "sink");
    }
}

static void flush_nothing(png_structp png) {
    (void)png;
}

static void on_error(png_structp png, png_const_charp words) {
    (void)words;
    drawing.png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp words) {
    (void)png;
    (void)words;
}

static void set_texts(encoder *to, const bl_figure *figure) {
    const char *const keys[TEXTS] = {"Title", "Software", "Source", "Comment",
                                     "Description"};
    const char *const values[TEXTS] = {figure->title, figure->software,
                                       figure->source, figure->options,
                                       figure->description};
    png_text texts[TEXTS];
    memset(texts, 0, sizeof texts);
    for (size_t i = 0; i < TEXTS; i++) {
        texts[i].compression = PNG_ITXT_COMPRESSION_NONE;
        texts[i].key = (png_charp)(uintptr_t)keys[i];
        texts[i].text = (png_charp)(uintptr_t)values[i];
        texts[i].itxt_length = strlen(values[i]);
    }
    drawing.png_set_text(to->png, to->info, texts, TEXTS);
}

static void set_head(encoder *to, const bl_figure *figure, double dpi) {
    int width = drawing.cairo_image_surface_get_width(to->image);
    int height = drawing.cairo_image_surface_get_height(to->image);
    png_uint_32 per_metre =
        (png_uint_32)floor(dpi / MM_PER_INCH * 1000.0 + 0.5);
    drawing.png_set_IHDR(to->png, to->info, (png_uint_32)width,
                         (png_uint_32)height, 8, PNG_COLOR_TYPE_RGB,
                         PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
                         PNG_FILTER_TYPE_DEFAULT);
    drawing.png_set_sRGB_gAMA_and_cHRM(to->png, to->info,
                                       PNG_sRGB_INTENT_PERCEPTUAL);
    drawing.png_set_pHYs(to->png, to->info, per_metre, per_metre,
                         PNG_RESOLUTION_METER);
    set_texts(to, figure);
}

static void write_lines(encoder *to) {
    int width = drawing.cairo_image_surface_get_width(to->image);
    int height = drawing.cairo_image_surface_get_height(to->image);
    int stride = drawing.cairo_image_surface_get_stride(to->image);
    const unsigned char *data = drawing.cairo_image_surface_get_data(to->image);
    for (int y = 0; y < height; y++) {
        const unsigned char *row = data + (size_t)y * (size_t)stride;
        for (int x = 0; x < width; x++) {
            uint32_t pixel;
            memcpy(&pixel, row + 4 * (size_t)x, sizeof pixel);
            png_bytep out = to->line + 3 * (size_t)x;
            out[0] = (png_byte)(pixel >> 16);
            out[1] = (png_byte)(pixel >> 8);
            out[2] = (png_byte)pixel;
        }
        drawing.png_write_row(to->png, to->line);
    }
}

static bl_status encode(encoder *to, const bl_figure *figure, double dpi) {
    to->png = drawing.png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL,
                                              on_error, on_warning);
    to->info = to->png == NULL ? NULL : drawing.png_create_info_struct(to->png);
    to->line =
        malloc(3 * (size_t)drawing.cairo_image_surface_get_width(to->image));
    if (to->info == NULL || to->line == NULL) {
        return BL_ERR_MEMORY;
    }
    if (setjmp(*drawing.png_set_longjmp_fn(to->png, longjmp,
                                           sizeof(jmp_buf))) != 0) {
        return to->status != BL_OK ? to->status : BL_ERR_MEMORY;
    }
    drawing.png_set_write_fn(to->png, to, write_bytes, flush_nothing);
    set_head(to, figure, dpi);
    drawing.png_write_info(to->png, to->info);
    write_lines(to);
    drawing.png_write_end(to->png, to->info);
    return BL_OK;
}

static bl_status paint(encoder *to, const bl_figure *figure, double dpi) {
    double scale = dpi / MM_PER_INCH;
    to->image = drawing.cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, (int)floor(figure->width_mm * scale + 0.5),
        (int)floor(figure->height_mm * scale + 0.5));
    cairo_t *on = drawing.cairo_create(to->image);
    /* Whole pixels may reach past the page: no black edge shines through. */
    drawing.cairo_set_source_rgb(on, 1.0, 1.0, 1.0);
    drawing.cairo_paint(on);
    bl_status status = paint_figure(figure, on, scale);
    drawing.cairo_destroy(on);
    drawing.cairo_surface_flush(to->image);
    return status;
}

bl_status bl_figure_png(const bl_figure *figure, double dpi, bl_sink sink,
                        void *context) {
    if (figure == NULL || sink == NULL || !(dpi >= 50.0 && dpi <= 1200.0)) {
        return BL_ERR_ARGUMENT;
    }
    double longest = fmax(figure->width_mm, figure->height_mm);
    if (longest * dpi / MM_PER_INCH > PIXELS_MOST) {
        return BL_ERR_ARGUMENT;
    }
    bl_status status = drawing_load();
    if (status != BL_OK) {
        return status;
    }
    encoder to = {.sink = sink, .context = context, .status = BL_OK};
    status = paint(&to, figure, dpi);
    if (status == BL_OK) {
        status = encode(&to, figure, dpi);
    }
    if (to.png != NULL) {
        drawing.png_destroy_write_struct(&to.png, &to.info);
    }
    free(to.line);
    drawing.cairo_surface_destroy(to.image);
    return status;
}
