/*
 * curves.h - a quantity along the vessel as a line or a band in a panel.
 */
#ifndef DRAW_CURVES_H
#define DRAW_CURVES_H

#include "draw/page.h"

/* The quantity at profile point `index`; NaN leaves the line open. */
typedef double (*curve_value)(const page *on, size_t index);

/* A line, open at gaps and where the quantity is unknown. */
void curves_line(page *on, const page_panel *in, curve_value value,
                 canvas_pen pen);

/* What a reference area is as a quantity of the panel. */
typedef double (*curve_area)(const page *on, double area_mm2);

/* The line of the reference: like curves_line of its areas, but it steps where
 * the reference does, at that very place. */
void curves_reference(page *on, const page_panel *in, curve_area quantity,
                      canvas_pen pen);

/* A line of a quantity that is constant within each vein: it steps where one
 * vein ends, and is open where the quantity is unknown. */
void curves_steps(page *on, const page_panel *in, curve_value value,
                  canvas_pen pen);

/* The area between two quantities. */
void curves_band(page *on, const page_panel *in, curve_value low,
                 curve_value high, uint32_t fill, canvas_pen pen);

#endif
