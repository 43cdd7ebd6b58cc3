/*
 * pdf.c - a figure as PDF.
 *
 * The file carries no time: the same input gives the same bytes, and the date
 * of a record is the record's business.
 */
#include "native/paint.h"

#include "native/drawing.h"

#include <stdlib.h>

#define POINTS_PER_MM (72.0 / 25.4)
/* A fixed date, since cairo writes the present time when none is set. */
#define FIXED_DATE "2000-01-01T00:00:00Z"

typedef struct stream {
    bl_sink sink;
    void *context;
    bl_status status;
} stream;

static cairo_status_t stream_write(void *closure, const unsigned char *bytes,
                                   unsigned size) {
    stream *to = closure;
    if (size > 0 && to->status == BL_OK) {
        to->status = to->sink(to->context, (const char *)bytes, size);
    }
    return to->status == BL_OK ? CAIRO_STATUS_SUCCESS
                               : CAIRO_STATUS_WRITE_ERROR;
}

static void set_metadata(cairo_surface_t *page, const bl_figure *figure) {
    const struct {
        cairo_pdf_metadata_t key;
        const char *value;
    } entries[] = {
        {CAIRO_PDF_METADATA_TITLE, figure->title},
        {CAIRO_PDF_METADATA_SUBJECT, figure->description},
        {CAIRO_PDF_METADATA_KEYWORDS, figure->provenance},
        {CAIRO_PDF_METADATA_CREATOR, figure->software},
        {CAIRO_PDF_METADATA_CREATE_DATE, FIXED_DATE},
        {CAIRO_PDF_METADATA_MOD_DATE, FIXED_DATE},
    };
    for (size_t i = 0; i < sizeof entries / sizeof entries[0]; i++) {
        drawing.cairo_pdf_surface_set_metadata(page, entries[i].key,
                                               entries[i].value);
    }
}

bl_status bl_figure_pdf(const bl_figure *figure, bl_sink sink, void *context) {
    if (figure == NULL || sink == NULL) {
        return BL_ERR_ARGUMENT;
    }
    bl_status status = drawing_load();
    if (status != BL_OK) {
        return status;
    }
    stream to = {sink, context, BL_OK};
    cairo_surface_t *page = drawing.cairo_pdf_surface_create_for_stream(
        stream_write, &to, figure->width_mm * POINTS_PER_MM,
        figure->height_mm * POINTS_PER_MM);
    cairo_t *on = drawing.cairo_create(page);
    set_metadata(page, figure);
    status = paint_figure(figure, on, POINTS_PER_MM);
    drawing.cairo_destroy(on);
    drawing.cairo_surface_finish(page);
    if (status == BL_OK) {
        status = paint_status(drawing.cairo_surface_status(page));
    }
    drawing.cairo_surface_destroy(page);
    return to.status != BL_OK ? to.status : status;
}
