/*
 * sheet.h - the figure of a comparison: a page with both tables on the
 * positions of the first.
 *
 * The page's upper panel (`diameter`) holds areas here, its lower one (`area`)
 * the gap between device and wall, where that is known and there is room.
 */
#ifndef DRAW_SHEET_H
#define DRAW_SHEET_H

#include "draw/page.h"

/* By the reference before, by that after, by the nominal area. */
#define SHEET_RESIDUALS 3

typedef struct sheet {
    page page; /* first: what draws a page draws a sheet */
    const bl_comparison *of;
    const bl_compared_table *tables[2];
    bl_pullback shown;    /* the first, with another stage */
    scene before;         /* curves of the first table */
    scene after;          /* curves of the series, in its stead */
    bl_assessment series; /* no more than a profile of places and gaps */
    bool has_gaps;        /* the lower panel is drawn */

    page_lane residuals;
    double residual_x[SHEET_RESIDUALS]; /* of its bracket; NaN: unknown */
    page_lane devices;
    bl_span *traced; /* runs of frames with a device */
    size_t traced_count;
    page_lane wall;   /* where the device stands off */
    page_lane beyond; /* edges, and what was left untreated */
    double residuals_y;
    double residuals_height;
    double devices_y;
    double devices_height;
    double wall_y;
    double wall_height;
    double beyond_y;
    double beyond_height;
} sheet;

/* The sheet of a page that is the first member of one. */
const sheet *sheet_of(const page *on);

/* A signed number with a minus sign. */
void sheet_signed(text *to, double value, unsigned decimals);

/* Residual `index`, and the word for its denominator. */
const bl_residual *sheet_residual(const sheet *on, size_t index);
const char *sheet_denominator(const sheet *on, size_t index);
const char *sheet_denominator_short(const sheet *on, size_t index);

void sheet_plan_caption(sheet *on);          /* sheet_caption.c */
const char *sheet_whole_caption(sheet *on);  /* sheet_caption.c */
void sheet_plan_lanes(sheet *on);            /* sheet_lanes.c */
void sheet_draw_lanes(sheet *on);            /* sheet_lanes.c */
double sheet_greatest_area(const sheet *on); /* sheet_panels.c */
void sheet_draw_panels(sheet *on);           /* sheet_panels.c */

#endif
