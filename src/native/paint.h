/*
 * paint.h - a display list drawn by cairo.
 */
#ifndef NATIVE_PAINT_H
#define NATIVE_PAINT_H

#include "boreline.h"
#include "draw/figure.h"

#include <cairo.h>

/* Draws every item; `units_per_mm` of the surface. BL_ERR_FONT when no font
 * is installed: cairo would draw a stroke font without saying so. */
bl_status paint_figure(const bl_figure *figure, cairo_t *on,
                       double units_per_mm);

/* Cairo's word for it as ours. */
bl_status paint_status(cairo_status_t status);

#endif
