/*
 * drawn.h - an invented profile to draw, crowded or not, and what must hold of
 * its picture on every page.
 */
#ifndef SUPPORT_DRAWN_H
#define SUPPORT_DRAWN_H

#include "draw/scene.h"

#define DRAWN_FRAMES 400
#define DRAWN_MARKS_MOST 256
#define DRAWN_CORNERS 24

typedef struct drawn {
    bl_pullback pullback;
    bl_row rows[DRAWN_FRAMES];
    bl_profile_point points[DRAWN_FRAMES];
    bl_assessment assessment;
    bl_source source;
    bl_mark marks[DRAWN_MARKS_MOST];
    bl_narrowing narrowings[8];
    bl_compression compressions[6];
    bl_span gaps[3];
    bl_span ripples[2];
    size_t left_out[20];
    double x_mm[DRAWN_CORNERS];
    double y_mm[DRAWN_CORNERS];
    bool has_contours;
    bl_segment segments[2];
    bl_plan plan;
    bl_stretch stretches[2];
    bl_device devices[8];
    double overlaps[8];
    bool has_plan;
} drawn;

/* What is drawn; a case may change it between filling and drawing. */
extern drawn drawn_one;

/* Names of marks: usual ones, and such as no page has room for. */
#define DRAWN_PLAIN 4
#define DRAWN_LONG 5
extern const char *const drawn_plain_names[DRAWN_PLAIN];
extern const char *const drawn_long_names[DRAWN_LONG];

/* A vein with so many reference stretches, 0 to 2. */
void drawn_fill(double length_mm, bool crowded, size_t segments);

/* Ripple over two stretches, taken off or not. */
void drawn_add_ripple(double length_mm, bool removed);

/* Marks from `from` on, `step` apart, both as shares of the length. */
void drawn_add_marks(const char *const *names, size_t name_count, size_t count,
                     double from, double step);

/* Two stretches of `each` devices, perhaps a chain to be checked. */
void drawn_add_plan(double length_mm, size_t each, bool wish);

/* The same vein where positions do not start at 0. */
void drawn_shift(double by_mm);

scene drawn_scene(void);
bl_status drawn_figure(double width, double height, bl_figure **out);

/* Draws it on all pages; says what goes wrong on them, and how much. */
size_t drawn_check_pages(const char *what);

#endif
