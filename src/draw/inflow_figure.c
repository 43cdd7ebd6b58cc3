/*
 * inflow_figure.c - the picture of inflow veins.
 *
 * Columns first: half the page for the strips, and right of them a column for
 * each measure that has room. Then rows from the top (title, names of columns)
 * and from the bottom (caption, axis); the veins share what is left.
 */
#include "draw/figure.h"
#include "draw/inflow_page.h"

#include "draw/utf8.h"

#include <math.h>

#define STRIPS_SHARE 0.48
#define NUMBERS_EM 3.0
#define NAMES_EM 3.0
#define HEADING_EM 1.9
#define COLUMN_LEAST_EM 6.5
#define FACTS_MOST ((size_t)7)
#define SOURCES_MOST ((size_t)2)
#define CAUTION_MOST ((size_t)3)
#define CAPTION_SHARE 0.34
/* A row holds a figure above its interval, and from the next height on a curve
 * too. */
#define ROW_LEAST_EM 2.0
#define CURVE_LEAST_EM 3.4

double inflow_row_y(const inflow_page *in, size_t candidate) {
    return in->rows_y + (double)candidate * in->row_height;
}

/* ----------------------------------------------------------------- caption */

static const char *title_of(page *on, const bl_inflow *of) {
    text words = {0};
    text_add(&words, "Inflow: the last ");
    text_short(&words, of->within_mm, 2);
    text_add(&words, " mm of each pullback, at its caudal end");
    return page_keep(on, &words);
}

static const char *sources_of(page *on, const bl_inflow *of) {
    text words = {0};
    for (size_t i = 0; i < of->candidate_count; i++) {
        const bl_source *source = of->candidates[i].input.source;
        text_format(&words, "%s%c ", i > 0 ? ", " : "",
                    of->candidates[i].letter);
        utf8_clean(&words, page_file_name(source->file));
        text_format(&words, " (crc32 %08x)", (unsigned)source->crc32);
    }
    return page_keep(on, &words);
}

/* In order of worth: what has no room is cut from the end. */
static const char *facts_of(page *on, const inflow_page *in) {
    const bl_inflow *of = in->of;
    text words = {0};
    utf8_clean(&words, of->why);
    if (!words.failed && words.bytes[0] == 'n') {
        words.bytes[0] = 'N';
    }
    text_add(&words, ". No advice to treat. ");
    text_add(&words, in->has_curves
                         ? "Black: area, mm\xC2\xB2, and where it is least; "
                           "dashed: reference; hatched: narrowed. "
                         : "");
    text_add(&words, "The flow index is a teaching aid, never a pressure "
                     "gradient. Bars: 95 % intervals; bold and tinted: the "
                     "best by each measure; what reaches into the tint is not "
                     "told apart from it. ");
    size_t notes = of->warning_count;
    for (size_t i = 0; i < of->candidate_count; i++) {
        notes += of->candidates[i].note_count;
    }
    if (notes > 0) {
        text_format(&words, "%zu %s in the report. ", notes,
                    notes == 1 ? "note" : "notes");
    }
    return page_keep(on, &words);
}

/* "No room here for flow index, curves of area and 3 more veins. " */
static void add_hidden(page *on, text *out, const inflow_page *in) {
    size_t veins = in->of->candidate_count - in->rows;
    const char *what[BL_INFLOW_MEASURES + 2];
    size_t count = 0;
    text more = {0};
    for (unsigned i = in->measures; i < BL_INFLOW_MEASURES; i++) {
        what[count++] = bl_inflow_measure_name(i);
    }
    if (!in->has_curves) {
        what[count++] = "curves of area";
    }
    if (veins > 0) {
        text_format(&more, "%zu more %s", veins, veins == 1 ? "vein" : "veins");
        what[count++] = page_keep(on, &more);
    }
    for (size_t i = 0; i < count && !on->failed; i++) {
        text_add(out, i == 0           ? "No room here for "
                      : i + 1 == count ? " and "
                                       : ", ");
        text_add(out, what[i]);
    }
    text_add(out, count > 0 ? ". " : "");
}

/* Sources, what is not shown, and caution have lines of their own, which no
 * facts push out. */
static void plan_caption(inflow_page *in) {
    page *on = &in->page;
    const char *facts = facts_of(on, in);
    text all = {0};
    add_hidden(on, &all, in);
    text_format(&all, "boreline %s; %s.", bl_version(), sources_of(on, in->of));
    const char *from = page_keep(on, &all);
    text_format(&all, "%s%s %s", facts, from, bl_caution());
    in->words = page_keep(on, &all);
    const char *last[SOURCES_MOST + CAUTION_MOST];
    size_t count = caption_wrap(on, from, last, SOURCES_MOST);
    count += caption_wrap(on, bl_caution(), last + count, CAUTION_MOST);
    double fit = floor(CAPTION_SHARE * on->height / (LINE_EM * on->em));
    double most = fmin((double)FACTS_MOST, fit - (double)count);
    on->caption = page_alloc(on, FACTS_MOST + SOURCES_MOST + CAUTION_MOST,
                             sizeof *on->caption);
    if (on->failed) {
        return;
    }
    on->caption_count =
        caption_wrap(on, facts, on->caption, (size_t)fmax(most, 1.0));
    for (size_t i = 0; i < count; i++) {
        on->caption[on->caption_count++] = last[i];
    }
}

/* ------------------------------------------------------------------ layout */

static void lay_columns(inflow_page *in) {
    page *on = &in->page;
    double right = on->width - on->margin;
    on->x0 = on->margin + NUMBERS_EM * on->em;
    on->x1 = on->x0 + STRIPS_SHARE * (right - on->x0);
    in->columns_x = on->x1 + on->em;
    double room = floor((right - in->columns_x) / (COLUMN_LEAST_EM * on->em));
    in->measures = (unsigned)fmin((double)BL_INFLOW_MEASURES, fmax(1.0, room));
    in->column_width = (right - in->columns_x) / in->measures;
    on->from_mm = -in->of->within_mm;
    on->to_mm = 0.0;
}

static double greatest_area_mm2(const bl_inflow *of) {
    double most = 0.0;
    for (size_t i = 0; i < of->candidate_count; i++) {
        const bl_assessment *one = of->candidates[i].input.assessment;
        for (size_t k = 0; k < one->profile_count; k++) {
            const bl_profile_point *at = &one->profile[k];
            if (at->position_mm >= one->inflow.span.from_mm &&
                at->position_mm <= one->inflow.span.to_mm) {
                most = fmax(most, fmax(at->area_mm2, at->reference_area_mm2));
            }
        }
    }
    return most;
}

/* Rows between title and caption: as many as have room. */
static void plan_rows(inflow_page *in) {
    page *on = &in->page;
    double foot = on->height - on->margin -
                  LINE_EM * on->em * (double)on->caption_count - 0.6 * on->em;
    in->rows_y = on->margin + (TITLE_EM + NAMES_EM) * on->em;
    in->axis_y = foot - AXIS_EM * on->em;
    double room = in->axis_y - in->rows_y;
    double most = fmax(1.0, floor(room / (ROW_LEAST_EM * on->em)));
    in->rows = (size_t)fmin((double)in->of->candidate_count, most);
    in->row_height = room / (double)in->rows;
    in->has_curves = in->row_height >= CURVE_LEAST_EM * on->em;
    in->area.box = (canvas_box){on->x0, in->rows_y + HEADING_EM * on->em,
                                on->x1, in->rows_y + in->row_height};
    plan_scale(&in->area, greatest_area_mm2(in->of), on->em);
}

/* The caption says what has no room, which depends on its height: once more
 * where that is so. */
static void plan_whole(inflow_page *in) {
    page *on = &in->page;
    plan_paper(on);
    in->title = title_of(on, in->of);
    in->rows = in->of->candidate_count;
    in->has_curves = true;
    lay_columns(in);
    plan_caption(in);
    plan_rows(in);
    if (in->rows < in->of->candidate_count || !in->has_curves) {
        plan_caption(in);
        plan_rows(in);
    }
}

static void draw_whole(inflow_page *in) {
    page *on = &in->page;
    plan_whole(in);
    if (on->failed) {
        return;
    }
    canvas_rectangle(on->canvas, (canvas_box){0, 0, on->width, on->height},
                     WHITE, (canvas_pen){.colour = CANVAS_NONE});
    for (unsigned i = 0; i < in->measures; i++) {
        inflow_column_draw(in, i);
    }
    for (size_t i = 0; i < in->rows; i++) {
        inflow_strip_draw(in, i);
    }
    if (in->has_curves) {
        inflow_axis_draw(in);
    }
    caption_put(on, in->title);
}

static const char *drawable_text(page *on, const char *words) {
    text clean = {0};
    utf8_clean(&clean, words);
    return page_keep(on, &clean);
}

/* What the file formats say of the figure's origin. */
static void describe_origin(inflow_page *in, bl_figure *figure) {
    page *on = &in->page;
    const char *options = in->of->candidates[0].input.source->options;
    text words = {0};
    text_format(&words, "boreline %s", bl_version());
    figure->software = page_keep(on, &words);
    figure->source = sources_of(on, in->of);
    figure->options = drawable_text(on, options[0] != '\0' ? options : "none");
    text both = {0};
    text_format(&both, "%s; options: %s", figure->source, figure->options);
    figure->provenance = page_keep(on, &both);
    figure->title = in->title;
    figure->description = drawable_text(on, in->words);
}

bl_status bl_figure_inflow(const bl_inflow *inflow,
                           const bl_figure_options *options, bl_figure **out) {
    bl_figure *figure = NULL;
    if (inflow == NULL || options == NULL || out == NULL) {
        return BL_ERR_ARGUMENT;
    }
    bl_status status = figure_new(options, &figure);
    if (status != BL_OK) {
        return status;
    }
    inflow_page in = {
        .page = {.canvas = &figure->canvas,
                 .memory = &figure->memory,
                 .width = options->width_mm,
                 .height = options->height_mm},
        .of = inflow,
    };
    draw_whole(&in);
    if (!in.page.failed) {
        describe_origin(&in, figure);
    }
    if (in.page.failed || figure->canvas.failed) {
        bl_figure_free(figure);
        return BL_ERR_MEMORY;
    }
    *out = figure;
    return BL_OK;
}
