/*
 * scene.h - what there is to draw, as plain structs.
 */
#ifndef DRAW_SCENE_H
#define DRAW_SCENE_H

#include "boreline.h"

/* The points of row `row`; count 0 when they were not kept. */
typedef bl_contour (*scene_contour)(const void *context, size_t row);

typedef struct scene {
    const bl_pullback *pullback;
    const bl_row *rows;
    size_t row_count;
    const bl_assessment *assessment;
    const bl_plan *plan; /* NULL: none */
    const bl_source *source;
    scene_contour contour;
    const void *contour_context;
} scene;

/* Draws the profile; bl_figure_profile over plain structs. */
bl_status scene_draw(const scene *of, const bl_figure_options *options,
                     bl_figure **out);

#endif
