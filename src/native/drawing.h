/*
 * drawing.h - cairo, fontconfig and libpng, loaded when the first picture is
 * painted.
 *
 * They bring some twenty libraries along, which takes longer than all else that
 * a program without a picture does at its start.
 */
#ifndef NATIVE_DRAWING_H
#define NATIVE_DRAWING_H

#include "boreline.h"

#include <cairo-pdf.h>
#include <fontconfig/fontconfig.h>
#include <png.h>

#define DRAWING_CAIRO(call)                                                              \
    call(cairo_close_path) call(cairo_create) call(cairo_destroy) call(                  \
        cairo_fill_preserve) call(cairo_font_options_create)                             \
        call(cairo_font_options_destroy) call(cairo_font_options_set_antialias) call(    \
            cairo_font_options_set_hint_metrics) call(cairo_font_options_set_hint_style) \
            call(cairo_image_surface_create) call(                                       \
                cairo_image_surface_get_data) call(cairo_image_surface_get_height)       \
                call(cairo_image_surface_get_stride) call(                               \
                    cairo_image_surface_get_width) call(cairo_line_to)                   \
                    call(cairo_move_to) call(cairo_new_path) call(                       \
                        cairo_paint) call(cairo_pdf_surface_create_for_stream)           \
                        call(cairo_pdf_surface_set_metadata) call(                       \
                            cairo_restore) call(cairo_rotate) call(cairo_save)           \
                            call(cairo_scale) call(cairo_select_font_face) call(         \
                                cairo_set_dash) call(cairo_set_font_options)             \
                                call(cairo_set_font_size) call(                          \
                                    cairo_set_line_cap)                                  \
                                    call(cairo_set_line_join) call(                      \
                                        cairo_set_line_width)                            \
                                        call(cairo_set_source_rgb) call(                 \
                                            cairo_show_text) call(cairo_status)          \
                                            call(cairo_stroke_preserve) call(            \
                                                cairo_surface_destroy)                   \
                                                call(cairo_surface_finish) call(         \
                                                    cairo_surface_flush)                 \
                                                    call(cairo_surface_status)           \
                                                        call(                            \
                                                            cairo_text_extents)          \
                                                            call(                        \
                                                                cairo_translate)

#define DRAWING_FONTCONFIG(call)                                               \
    call(FcFontList) call(FcFontSetDestroy) call(FcObjectSetBuild)             \
        call(FcObjectSetDestroy) call(FcPatternCreate) call(FcPatternDestroy)

#define DRAWING_PNG(call)                                                      \
    call(png_create_info_struct) call(png_create_write_struct)                 \
        call(png_destroy_write_struct) call(png_error) call(png_get_io_ptr)    \
            call(png_longjmp) call(png_set_IHDR) call(png_set_longjmp_fn)      \
                call(png_set_pHYs) call(png_set_sRGB_gAMA_and_cHRM)            \
                    call(png_set_text) call(png_set_write_fn)                  \
                        call(png_write_end) call(png_write_info)               \
                            call(png_write_row)

#define DRAWING_MEMBER(name) __typeof__ (&(name))(name);

/* Functions by their own names, of the types that the headers give them. */
typedef struct drawing_calls {
    DRAWING_CAIRO(DRAWING_MEMBER)
    DRAWING_FONTCONFIG(DRAWING_MEMBER)
    DRAWING_PNG(DRAWING_MEMBER)
} drawing_calls;

/* To be called once drawing_load has returned BL_OK. */
extern drawing_calls drawing;

/* From any thread, again and again. BL_ERR_LIBRARY. */
bl_status drawing_load(void);

/* Names of shared libraries. */
typedef struct drawing_names {
    const char *cairo;
    const char *fontconfig;
    const char *png;
} drawing_names;

/* From libraries of these names. BL_ERR_LIBRARY when one is not found or lacks
 * a function. */
bl_status drawing_load_from(const drawing_names *names, drawing_calls *out);

#endif
