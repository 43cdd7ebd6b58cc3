/*
 * axes.h - the axes of panels, and the names of their curves.
 */
#ifndef DRAW_AXES_H
#define DRAW_AXES_H

#include "draw/page.h"

/* A number on an axis with so large a step. */
const char *axes_number(page *on, double value, double step);

/* Ticks and numbers of a panel's values. */
void axes_ticks(page *on, const page_panel *in);

/* The same with a title; the unit alone where the title has no room. */
void axes_value(page *on, const page_panel *in, const char *title,
                const char *unit);

/* The two lines that bound a panel. */
void axes_frame(page *on, const page_panel *in);

/* The common axis of positions, at the page's axis_y. */
void axes_position(page *on);

#define NAMES_MAX 10

typedef struct axes_name {
    const char *name;
    double y; /* where its curve ends; NaN: it is not there */
    canvas_pen pen;
    uint32_t fill; /* of a band; CANVAS_NONE for a line */
    void (*shade)(page *on, canvas_box box); /* instead of a line, or NULL */
} axes_name;

/* How long a name may be. */
double axes_name_room(const page *on);

/* From the most needed name to the least, which is left out first where not
 * all have room. Names with an unknown place, those of curves that are not
 * there, are passed over. Names may stand as high as `top`. */
void axes_names(page *on, const page_panel *in, double top, axes_name *names,
                size_t count);

#endif
