/*
 * svg.c - a figure as SVG 1.1.
 *
 * One user unit is a millimetre. Coordinates have three decimals, a thousandth
 * of a millimetre. Every text carries the length it was laid out with, so that
 * it keeps clear of its neighbours where another font stands in.
 */
#include "draw/figure.h"
#include "draw/utf8.h"

/* Flushed in pieces, so that a large figure takes no second copy. */
#define PIECE_BYTES 32768

static void svg_escaped(text *out, const char *string) {
    for (const char *at = string; *at != '\0';) {
        uint32_t code = utf8_next(&at);
        if (code == '&') {
            text_add(out, "&amp;");
        } else if (code == '<') {
            text_add(out, "&lt;");
        } else if (code == '>') {
            text_add(out, "&gt;");
        } else if (code == '"') {
            text_add(out, "&quot;");
        } else {
            utf8_add(out, code);
        }
    }
}

static void svg_number(text *out, const char *before, double value,
                       const char *after) {
    text_add(out, before);
    text_fixed(out, value, 3);
    text_add(out, after);
}

static void svg_colour(text *out, const char *name, uint32_t colour) {
    if (colour == CANVAS_NONE) {
        text_format(out, " %s=\"none\"", name);
    } else {
        text_format(out, " %s=\"#%06x\"", name, (unsigned)colour);
    }
}

static void svg_pen(text *out, canvas_pen pen, bool round) {
    svg_colour(out, "stroke", pen.colour);
    if (pen.colour == CANVAS_NONE) {
        return;
    }
    svg_number(out, " stroke-width=\"", pen.width_mm, "\"");
    if (round || pen.dash == CANVAS_DOTTED) {
        text_add(out, " stroke-linecap=\"round\"");
    }
    double lengths[2];
    if (canvas_dash_lengths(pen, lengths) != 0) {
        svg_number(out, " stroke-dasharray=\"", lengths[0], "");
        svg_number(out, " ", lengths[1], "\"");
    }
}

static void svg_points(text *out, const canvas *of, const canvas_item *item) {
    for (size_t i = 0; i < item->count; i++) {
        canvas_point at = of->points[item->first + i];
        bool jump = i == 0 || item->mode == CANVAS_DOTS ||
                    (item->mode == CANVAS_SEGMENTS && i % 2 == 0);
        svg_number(out, jump ? "M" : "L", at.x, " ");
        svg_number(out, "", at.y, "");
        if (item->mode == CANVAS_DOTS) {
            text_add(out, "h0");
        }
    }
    if (item->mode == CANVAS_CLOSED) {
        text_add(out, "Z");
    }
}

static void svg_path(text *out, const canvas *of, const canvas_item *item) {
    text_add(out, "<path");
    svg_colour(out, "fill", item->fill);
    svg_pen(out, item->pen, item->mode == CANVAS_DOTS);
    text_add(out, " d=\"");
    svg_points(out, of, item);
    text_add(out, "\"/>\n");
}

static void svg_text(text *out, const canvas *of, const canvas_item *item) {
    static const char *const anchors[] = {"start", "middle", "end"};
    const canvas_style *style = &item->style;
    canvas_point at = of->points[item->first];
    svg_number(out, "<text x=\"", at.x, "\"");
    svg_number(out, " y=\"", at.y, "\"");
    svg_number(out, " font-size=\"", style->size_mm, "\"");
    svg_number(out, " textLength=\"", item->advance_mm, "\"");
    text_add(out, " lengthAdjust=\"spacingAndGlyphs\"");
    if (style->anchor != CANVAS_START) {
        text_format(out, " text-anchor=\"%s\"", anchors[style->anchor]);
    }
    if (style->bold) {
        text_add(out, " font-weight=\"bold\"");
    }
    if (style->upwards) {
        svg_number(out, " transform=\"rotate(-90 ", at.x, " ");
        svg_number(out, "", at.y, ")\"");
    }
    svg_colour(out, "fill", style->colour);
    text_add(out, ">");
    svg_escaped(out, canvas_words(of, item));
    text_add(out, "</text>\n");
}

static void svg_head(text *out, const bl_figure *of) {
    text_add(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                  "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\"");
    svg_number(out, " width=\"", of->width_mm, "mm\"");
    svg_number(out, " height=\"", of->height_mm, "mm\"");
    svg_number(out, " viewBox=\"0 0 ", of->width_mm, " ");
    svg_number(out, "", of->height_mm, "\"");
    text_add(out, " font-family=\"'" FIGURE_FAMILY
                  "', Verdana, sans-serif\" xml:space=\"preserve\">\n<title>");
    svg_escaped(out, of->title);
    text_add(out, "</title>\n<desc>");
    svg_escaped(out, of->description);
    text_add(out, " Made by ");
    svg_escaped(out, of->software);
    text_add(out, " from ");
    svg_escaped(out, of->provenance);
    text_add(out, "</desc>\n");
}

bl_status bl_figure_svg(const bl_figure *figure, bl_sink sink, void *context) {
    if (figure == NULL || sink == NULL) {
        return BL_ERR_ARGUMENT;
    }
    text out = {0};
    svg_head(&out, figure);
    bl_status status = BL_OK;
    for (size_t i = 0; i < figure->canvas.item_count && status == BL_OK; i++) {
        const canvas_item *item = &figure->canvas.items[i];
        if (item->mode == CANVAS_TEXT) {
            svg_text(&out, &figure->canvas, item);
        } else {
            svg_path(&out, &figure->canvas, item);
        }
        if (out.size >= PIECE_BYTES || out.failed) {
            status = text_flush(&out, sink, context);
        }
    }
    if (status == BL_OK) {
        text_add(&out, "</svg>\n");
        status = text_flush(&out, sink, context);
    }
    text_free(&out);
    return status;
}
