/*
 * lane.h - what all lanes share: a name in the column beside the panels, bars,
 * and labels with lines to their markers.
 */
#ifndef DRAW_LANE_H
#define DRAW_LANE_H

#include "draw/labels.h"
#include "draw/page.h"

#define LABEL_EM 1.35
#define BAR_EM 0.6

/* The name of a lane in the column right of the panels. */
void lane_name(page *on, double y, const char *name);

/* Places the labels; when one no longer stands by its marker, all get lines. */
void lane_place(page *on, page_lane *lane);

/* Feet of the labels at y, markers down to `from_y`. */
void lane_labels(page *on, const page_lane *lane, double from_y, double y);

/* What of the span is on the page, as a bar whose upper edge is y; a line where
 * that is nothing. */
canvas_box lane_bar(const page *on, bl_span span, double y);
void lane_draw_bar(page *on, canvas_box box, uint32_t fill, bool hatched);

#endif
