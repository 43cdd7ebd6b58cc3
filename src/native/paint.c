/*
 * paint.c - a display list drawn by cairo.
 *
 * Every text is scaled along its line to the width it was laid out with, so
 * that labels keep clear of each other whatever font fontconfig finds.
 */
#include "native/paint.h"

#include "native/drawing.h"

bl_status paint_status(cairo_status_t status) {
    if (status == CAIRO_STATUS_SUCCESS) {
        return BL_OK;
    }
    return status == CAIRO_STATUS_WRITE_ERROR ? BL_ERR_FILE : BL_ERR_MEMORY;
}

static bool any_font(void) {
    FcPattern *all = drawing.FcPatternCreate();
    FcObjectSet *wanted = drawing.FcObjectSetBuild(FC_FAMILY, (char *)NULL);
    FcFontSet *found = all != NULL && wanted != NULL
                           ? drawing.FcFontList(NULL, all, wanted)
                           : NULL;
    bool any = found != NULL && found->nfont > 0;
    if (found != NULL) {
        drawing.FcFontSetDestroy(found);
    }
    if (wanted != NULL) {
        drawing.FcObjectSetDestroy(wanted);
    }
    if (all != NULL) {
        drawing.FcPatternDestroy(all);
    }
    return any;
}

static void set_colour(cairo_t *on, uint32_t colour) {
    drawing.cairo_set_source_rgb(on, ((colour >> 16) & 255U) / 255.0,
                                 ((colour >> 8) & 255U) / 255.0,
                                 (colour & 255U) / 255.0);
}

static void trace(cairo_t *on, const canvas *of, const canvas_item *item) {
    drawing.cairo_new_path(on);
    for (size_t i = 0; i < item->count; i++) {
        canvas_point at = of->points[item->first + i];
        bool jump = i == 0 || item->mode == CANVAS_DOTS ||
                    (item->mode == CANVAS_SEGMENTS && i % 2 == 0);
        if (jump) {
            drawing.cairo_move_to(on, at.x, at.y);
        } else {
            drawing.cairo_line_to(on, at.x, at.y);
        }
        if (item->mode == CANVAS_DOTS) {
            drawing.cairo_line_to(on, at.x, at.y);
        }
    }
    if (item->mode == CANVAS_CLOSED) {
        drawing.cairo_close_path(on);
    }
}

static void paint_path(cairo_t *on, const canvas *of, const canvas_item *item) {
    trace(on, of, item);
    if (item->fill != CANVAS_NONE) {
        set_colour(on, item->fill);
        drawing.cairo_fill_preserve(on);
    }
    if (item->pen.colour != CANVAS_NONE) {
        double lengths[2];
        size_t count = canvas_dash_lengths(item->pen, lengths);
        bool round =
            item->mode == CANVAS_DOTS || item->pen.dash == CANVAS_DOTTED;
        drawing.cairo_set_dash(on, lengths, (int)count, 0.0);
        drawing.cairo_set_line_cap(on, round ? CAIRO_LINE_CAP_ROUND
                                             : CAIRO_LINE_CAP_BUTT);
        drawing.cairo_set_line_width(on, item->pen.width_mm);
        set_colour(on, item->pen.colour);
        drawing.cairo_stroke_preserve(on);
    }
    drawing.cairo_new_path(on);
}

static void paint_text(cairo_t *on, const canvas *of, const canvas_item *item) {
    const canvas_style *style = &item->style;
    const char *words = canvas_words(of, item);
    canvas_point at = of->points[item->first];
    cairo_text_extents_t extents;
    drawing.cairo_save(on);
    drawing.cairo_translate(on, at.x, at.y);
    if (style->upwards) {
        drawing.cairo_rotate(on, -1.57079632679489661923);
    }
    drawing.cairo_select_font_face(on, FIGURE_FAMILY, CAIRO_FONT_SLANT_NORMAL,
                                   style->bold ? CAIRO_FONT_WEIGHT_BOLD
                                               : CAIRO_FONT_WEIGHT_NORMAL);
    drawing.cairo_set_font_size(on, style->size_mm);
    drawing.cairo_text_extents(on, words, &extents);
    double share = style->anchor == CANVAS_START    ? 0.0
                   : style->anchor == CANVAS_MIDDLE ? 0.5
                                                    : 1.0;
    drawing.cairo_translate(on, -share * item->advance_mm, 0.0);
    if (extents.x_advance > 0.0) {
        drawing.cairo_scale(on, item->advance_mm / extents.x_advance, 1.0);
    }
    set_colour(on, style->colour);
    drawing.cairo_move_to(on, 0.0, 0.0);
    drawing.cairo_show_text(on, words);
    drawing.cairo_restore(on);
}

bl_status paint_figure(const bl_figure *figure, cairo_t *on,
                       double units_per_mm) {
    if (!any_font()) {
        return BL_ERR_FONT;
    }
    const canvas *of = &figure->canvas;
    cairo_font_options_t *exact = drawing.cairo_font_options_create();
    drawing.cairo_font_options_set_hint_style(exact, CAIRO_HINT_STYLE_NONE);
    drawing.cairo_font_options_set_hint_metrics(exact, CAIRO_HINT_METRICS_OFF);
    drawing.cairo_font_options_set_antialias(exact, CAIRO_ANTIALIAS_GRAY);
    drawing.cairo_set_font_options(on, exact);
    drawing.cairo_font_options_destroy(exact);
    drawing.cairo_scale(on, units_per_mm, units_per_mm);
    drawing.cairo_set_line_join(on, CAIRO_LINE_JOIN_ROUND);
    for (size_t i = 0; i < of->item_count; i++) {
        const canvas_item *item = &of->items[i];
        if (item->mode == CANVAS_TEXT) {
            paint_text(on, of, item);
        } else {
            paint_path(on, of, item);
        }
    }
    return paint_status(drawing.cairo_status(on));
}
