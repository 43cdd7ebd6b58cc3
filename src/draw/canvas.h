/*
 * canvas.h - a display list: what a figure consists of, before any file format.
 *
 * Millimetres, x to the right, y down, origin at the page's upper left. Later
 * items cover earlier ones. There is no clipping, no transparency and no
 * state: every item carries all that its drawing needs.
 */
#ifndef DRAW_CANVAS_H
#define DRAW_CANVAS_H

#include "base/text.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* 0xRRGGBB, or this. */
#define CANVAS_NONE UINT32_MAX

typedef enum canvas_mode {
    CANVAS_OPEN,     /* one line through the points */
    CANVAS_CLOSED,   /* the same, closed */
    CANVAS_SEGMENTS, /* a line from each even point to the next */
    CANVAS_DOTS,     /* a round dot at each point, as wide as the pen */
    CANVAS_TEXT      /* one point: where the anchor of the baseline is */
} canvas_mode;

typedef enum canvas_dash {
    CANVAS_SOLID,
    CANVAS_DASHED,
    CANVAS_LONG_DASHED,
    CANVAS_DOTTED
} canvas_dash;

typedef enum canvas_anchor {
    CANVAS_START,
    CANVAS_MIDDLE,
    CANVAS_END
} canvas_anchor;

typedef struct canvas_pen {
    uint32_t colour; /* CANVAS_NONE: no line */
    double width_mm;
    canvas_dash dash;
} canvas_pen;

typedef struct canvas_style {
    uint32_t colour;
    double size_mm;
    canvas_anchor anchor;
    bool bold;
    bool upwards; /* turned a quarter, to be read from below upwards */
} canvas_style;

typedef struct canvas_point {
    double x;
    double y;
} canvas_point;

typedef struct canvas_box {
    double x0;
    double y0;
    double x1;
    double y1;
} canvas_box;

typedef struct canvas_item {
    canvas_mode mode;
    uint32_t fill;
    canvas_pen pen;     /* not for text */
    canvas_style style; /* text only */
    size_t first;       /* index of its first point */
    size_t count;       /* points */
    size_t text_at;     /* index of its first byte, NUL-terminated */
    double advance_mm;  /* width of the text as laid out */
} canvas_item;

/* Zero-initialised is empty and ready. An allocation that fails sets `failed`,
 * after which nothing is added: check once at the end. */
typedef struct canvas {
    canvas_item *items;
    size_t item_count;
    size_t item_capacity;
    canvas_point *points;
    size_t point_count;
    size_t point_capacity;
    text words;
    bool failed;
} canvas;

void canvas_free(canvas *on);

/* Starts a path; canvas_to then adds its points, which must be finite. */
void canvas_begin(canvas *on, canvas_mode mode, uint32_t fill, canvas_pen pen);
void canvas_to(canvas *on, double x, double y);

void canvas_line(canvas *on, double x0, double y0, double x1, double y1,
                 canvas_pen pen);
void canvas_rectangle(canvas *on, canvas_box box, uint32_t fill,
                      canvas_pen pen);
/* Parallel lines over the box, 45 degrees, rising to the right or, with
 * `falling`, to the left; `step` apart along x. Neighbouring boxes continue
 * each other's lines. */
void canvas_hatch(canvas *on, canvas_box box, double step, bool falling,
                  canvas_pen pen);
/* Upright lines over the box, `step` apart. */
void canvas_upright(canvas *on, canvas_box box, double step, canvas_pen pen);
/* Empty text adds nothing. Anything that is not drawable is replaced. */
void canvas_text(canvas *on, double x, double y, canvas_style style,
                 const char *string);

const char *canvas_words(const canvas *on, const canvas_item *item);
/* What a text may cover: its advance by the font's ascent and descent. */
canvas_box canvas_text_box(const canvas *on, const canvas_item *item);

/* The dash of a pen as lengths of line and space in turn; the count, 0 for a
 * solid line, is returned. */
size_t canvas_dash_lengths(canvas_pen pen, double lengths[2]);

#endif
