/*
 * scene.c - the profile figure, from plain structs to a display list.
 */
#include "draw/scene.h"

#include "draw/figure.h"
#include "draw/page.h"
#include "draw/utf8.h"

#include <stdlib.h>

bl_figure_options bl_figure_defaults(void) {
    return (bl_figure_options){180.0, 135.0};
}

void bl_figure_free(bl_figure *figure) {
    if (figure != NULL) {
        canvas_free(&figure->canvas);
        arena_free(&figure->memory);
        free(figure);
    }
}

static void draw_all(page *on) {
    plan_page(on);
    if (on->failed) {
        return;
    }
    canvas_rectangle(on->canvas, (canvas_box){0, 0, on->width, on->height},
                     WHITE, (canvas_pen){.colour = CANVAS_NONE});
    panels_shade(on);
    flags_draw(on);
    panels_draw(on);
    lanes_draw(on);
    devices_draw(on);
    sections_draw(on);
    caption_draw(on);
}

/* Words as every file format takes them: a name may hold any bytes. */
static const char *drawable(page *on, const char *words) {
    text clean = {0};
    utf8_clean(&clean, words);
    return page_keep(on, &clean);
}

static void add_source(text *to, const bl_source *of) {
    utf8_clean(to, of->file);
    text_format(to, ", %llu bytes, crc32 %08x", (unsigned long long)of->bytes,
                (unsigned)of->crc32);
}

void figure_describe(page *on, bl_figure *figure, const bl_source *first,
                     const bl_source *second) {
    text software = {0};
    text_add(&software, "boreline ");
    text_add(&software, bl_version());
    figure->software = page_keep(on, &software);
    text from = {0};
    add_source(&from, first);
    if (second != NULL) {
        text_add(&from, "; ");
        add_source(&from, second);
    }
    figure->source = page_keep(on, &from);
    bool given = first->options[0] != '\0';
    figure->options = drawable(on, given ? first->options : "none");
    text both = {0};
    text_format(&both, "%s; options: %s", figure->source, figure->options);
    figure->provenance = page_keep(on, &both);
    figure->title = drawable(on, caption_title(on));
}

void figure_tell(page *on, bl_figure *figure, const char *description) {
    figure->description = drawable(on, description);
}

bl_status figure_new(const bl_figure_options *options, bl_figure **out) {
    if (!(options->width_mm >= 80.0 && options->width_mm <= 1000.0 &&
          options->height_mm >= 60.0 && options->height_mm <= 1000.0)) {
        return BL_ERR_ARGUMENT;
    }
    bl_figure *figure = calloc(1, sizeof *figure);
    if (figure == NULL) {
        return BL_ERR_MEMORY;
    }
    figure->width_mm = options->width_mm;
    figure->height_mm = options->height_mm;
    *out = figure;
    return BL_OK;
}

bl_status scene_draw(const scene *of, const bl_figure_options *options,
                     bl_figure **out) {
    bl_figure *figure = NULL;
    bl_status status = figure_new(options, &figure);
    if (status != BL_OK) {
        return status;
    }
    page on = {
        .canvas = &figure->canvas,
        .memory = &figure->memory,
        .scene = of,
        .width = options->width_mm,
        .height = options->height_mm,
    };
    draw_all(&on);
    figure_describe(&on, figure, of->source, NULL);
    figure_tell(&on, figure, caption_whole(&on));
    if (on.failed || figure->canvas.failed) {
        bl_figure_free(figure);
        return BL_ERR_MEMORY;
    }
    *out = figure;
    return BL_OK;
}

static bl_contour study_contour(const void *context, size_t row) {
    return bl_study_contour(context, row);
}

static bl_status draw_study(const bl_study *study,
                            const bl_assessment *assessment,
                            const bl_plan *plan, const bl_source *source,
                            const bl_figure_options *options, bl_figure **out) {
    if (study == NULL || assessment == NULL || source == NULL ||
        options == NULL || out == NULL) {
        return BL_ERR_ARGUMENT;
    }
    scene of = {
        .pullback = bl_study_pullback(study),
        .rows = bl_study_rows(study),
        .row_count = bl_study_row_count(study),
        .assessment = assessment,
        .plan = plan,
        .source = source,
        .contour = study_contour,
        .contour_context = study,
    };
    return scene_draw(&of, options, out);
}

bl_status bl_figure_profile(const bl_study *study,
                            const bl_assessment *assessment,
                            const bl_source *source,
                            const bl_figure_options *options, bl_figure **out) {
    return draw_study(study, assessment, NULL, source, options, out);
}

bl_status bl_figure_plan(const bl_study *study, const bl_assessment *assessment,
                         const bl_plan *plan, const bl_source *source,
                         const bl_figure_options *options, bl_figure **out) {
    return plan == NULL
               ? BL_ERR_ARGUMENT
               : draw_study(study, assessment, plan, source, options, out);
}
