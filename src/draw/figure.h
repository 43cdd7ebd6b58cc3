/*
 * figure.h - a drawn figure: its display list and what it says of itself.
 */
#ifndef DRAW_FIGURE_H
#define DRAW_FIGURE_H

#include "base/arena.h"
#include "boreline.h"
#include "draw/canvas.h"

/* Texts are never NULL, live in `memory` and are drawable UTF-8. */
struct bl_figure {
    double width_mm;
    double height_mm;
    canvas canvas;
    arena memory;
    const char *title;
    const char *software; /* "boreline 0.1.0" */
    const char *source;   /* the file's name, size and checksum */
    const char *options;
    const char *provenance;  /* source and options in one */
    const char *description; /* all of the caption */
};

/* The family that text is laid out and drawn in. */
#define FIGURE_FAMILY "DejaVu Sans"

#endif
