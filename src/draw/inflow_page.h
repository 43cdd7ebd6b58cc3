/*
 * inflow_page.h - where everything is on a page of inflow veins: a strip each,
 * one below the other in their order, and beside the strips a column for each
 * measure that has room.
 */
#ifndef DRAW_INFLOW_PAGE_H
#define DRAW_INFLOW_PAGE_H

#include "draw/page.h"

typedef struct inflow_page {
    page page; /* its scene is set for one strip at a time */
    const bl_inflow *of;
    const char *title;
    const char *words; /* all of the caption */
    size_t rows;       /* candidates that have room */
    bool has_curves;   /* rows are high enough for them */
    double rows_y;     /* upper edge of the first row */
    double row_height;
    double axis_y;
    page_panel area; /* of the first row */
    unsigned measures;
    double columns_x; /* left edge of the first column */
    double column_width;
} inflow_page;

/* The heading of a candidate and, where it has room, the area along its
 * stretch. */
void inflow_strip_draw(inflow_page *on, size_t candidate);

/* The names of area and position, and the common axis below the strips. */
void inflow_axis_draw(inflow_page *on);

/* The column of a measure: figures and intervals of all candidates. */
void inflow_column_draw(inflow_page *on, unsigned measure);

/* The upper edge of a candidate's row. */
double inflow_row_y(const inflow_page *on, size_t candidate);

#endif
