/*
 * page.h - where everything on the page is, and how a millimetre of vein
 * becomes a millimetre of paper.
 *
 * All lengths on the page are multiples of `em`, the font size, so that a
 * small page is a small picture and not a crowded large one.
 */
#ifndef DRAW_PAGE_H
#define DRAW_PAGE_H

#include "base/arena.h"
#include "draw/canvas.h"
#include "draw/scene.h"

/* The colour-blind-safe set of Okabe and Ito (2008), and tints and greys that
 * stay apart in grey printing. Nothing is told by colour alone. */
#define INK 0x1A1A1AU
#define GREY 0x6B6B6BU
#define PALE 0xC8C8C8U
#define WHITE 0xFFFFFFU
#define BLUE 0x0072B2U
#define GREEN 0x009E73U
#define VERMILLION 0xD55E00U
#define PURPLE 0xCC79A7U
#define ORANGE 0xE69F00U
#define BAND_TINT 0xCFE5F3U
#define BAND_EDGE 0x7FB2D6U
#define NARROW_TINT 0xFAE0CFU
#define NARROW_HATCH 0xE8A87CU
#define NARROW_BAR 0xEFA781U
#define SHOULDER_TINT 0xFDF3ECU
#define HEALTHY_TINT 0xE3F3EEU
#define HEALTHY_BAR 0x8FD3BFU
#define UNJUDGED_TINT 0xF0F0F0U
#define DEVICE_TINT 0xD9D9D9U
#define PLANNED_TINT 0xE3E3EFU
#define GAIN_TINT BAND_TINT
#define LOSS_INK 0xA0522DU
#define TISSUE_TINT 0xE3C6D8U
/* As traced, behind the lines of what was made of it; lines of the axes. */
#define TRACED_AREA 0x9DB8CBU
#define TRACED_RIPPLE 0x8C8C8CU
#define GRID 0xE6E6E6U

/* A line of text, feet to feet. */
#define LINE_EM 1.32
/* The title, and the axis of positions with its numbers and ends. */
#define TITLE_EM 1.9
#define AXIS_EM 3.15

/* A value axis: 0 at y1 of the box, `top` at y0. */
typedef struct page_panel {
    canvas_box box;
    double top;
    double step; /* between ticks */
} page_panel;

/* The labels above the panels that name the marks. */
typedef struct page_flag {
    const char *name;
    double position_mm;
    double x;      /* of its line */
    double text_x; /* where its text starts, or its centre when numbered */
    double width;
    unsigned row;        /* counted up from the panel */
    size_t first_number; /* when numbered: it stands for first .. last */
    size_t last_number;
} page_flag;

/* What is nearer to each other on paper than this, mm, cannot be told apart. */
#define HAIR_MM 0.05

/* One of the stretches of an assessment, which stand in position order. */
struct page;
typedef bl_span (*page_span)(const struct page *on, size_t index);

bl_span page_narrowing(const struct page *on, size_t index);

/* Whether a stretch of the runner-up is another than those of the reference. */
bool page_is_next_best(const bl_assessment *of, const bl_segment *next);

struct label; /* labels.h */

/* A row of labels, placed. */
typedef struct page_lane {
    struct label *labels;
    size_t count;
    size_t left_out;
    double leader; /* height for lines from marker to label; 0: none needed */
} page_lane;

/* A stretch of one vein, known or not, between two marks or ends. */
typedef struct page_vein {
    double from_mm;
    double to_mm;
    bl_vein vein;
} page_vein;

#define PAGE_SECTIONS 3

/* A cross-section to draw. */
typedef struct page_section {
    size_t row;
    char letter;
    bool is_reference;
    double reference_area_mm2; /* of the worst place; else NaN */
} page_section;

typedef struct page {
    canvas *canvas;
    arena *memory;
    const scene *scene;
    bool failed; /* memory ran out */

    double width;
    double height;
    double em;
    bool is_low; /* so few lines high that lanes give way to the panels */
    double margin;

    double from_mm; /* the vein's stretch along x */
    double to_mm;
    double x0; /* and its place on paper */
    double x1;
    double names_x; /* the column right of the panels that names things */
    double names_x1;
    canvas_box sections_box;
    page_section sections[PAGE_SECTIONS];
    size_t section_count;
    bool has_contours;

    page_flag *flags;
    size_t flag_count;
    size_t marks_outside;
    unsigned flag_rows;
    bool flags_numbered;

    page_vein *veins; /* they cover from_mm to to_mm */
    size_t vein_count;

    bl_span *unjudged; /* stretches of traced vein without a reference */
    size_t unjudged_count;

    const char **caption;
    size_t caption_count;

    page_lane points;  /* compression points */
    page_lane bars;    /* reference stretches and narrowings */
    page_lane devices; /* of a plan, with its landing points */
    page_lane wishes;  /* devices that a user wants checked */

    double flags_foot; /* y where the mark lines begin */
    page_panel diameter;
    double points_y; /* lane of compression points; its height follows */
    double points_height;
    double bars_y;
    double bars_height;
    double devices_y;
    double devices_height;
    double wishes_y;
    double wishes_height;
    double veins_y;
    double veins_height;
    double ripple_y;
    double ripple_height;
    page_panel area;
    double left_out_y;
    double left_out_height;
    double axis_y;
} page;

/* Where things go, in millimetres of paper. */
double page_x(const page *on, double position_mm);
double page_y(const page_panel *in, double value);

/* The vein at a position within from_mm .. to_mm, and its number among
 * `veins`. */
bl_vein page_vein_at(const page *on, double position_mm);
size_t page_vein_number(const page *on, double position_mm);

bool page_has_reference(const page *on);

/* How much wider than drawn a profile point was traced: 1 unless its ripple
 * was taken off. */
double page_widened(const page *on, const bl_profile_point *point);

/* Whether a profile point is held against no reference. */
bool page_is_unjudged(const page *on, size_t point);

/* The next run of stretches that lie less than a hair apart, as one, from
 * *index on, which moves past it; false when there is none. So what is drawn
 * is bounded by the paper, not by the number of stretches. */
bool page_next_run(const page *on, page_span stretch, size_t count,
                   size_t *index, bl_span *out);

canvas_pen page_pen(const page *on, uint32_t colour, double width_em,
                    canvas_dash dash);
canvas_style page_style(const page *on, uint32_t colour, canvas_anchor anchor);
double page_advance(const page *on, const char *string);

/* Moves a composed text to the page's memory and frees it. Never NULL. */
const char *page_keep(page *on, text *words);
/* The string itself when it is at most `room` wide, else a copy cut short that
 * ends in an ellipsis; "" when not even that has room. */
const char *page_fit(page *on, const char *string, double room, bool bold);
/* `count` zeroed elements, or NULL and `failed`. */
void *page_alloc(page *on, size_t count, size_t size);

/* The last part of a path. */
const char *page_file_name(const char *path);

/* A name as it is read: names are often written as one word. */
const char *page_readable(page *on, const char *name);

/* A step of 1, 2 or 5 times a power of ten that divides `range` into at most
 * `most` pieces. */
double page_nice_step(double range, double most);

/* scene.c: an empty figure, BL_ERR_ARGUMENT for a size out of range; what the
 * file formats say of its origin, second NULL for one table; and of what is in
 * it. */
struct bl_figure;
bl_status figure_new(const bl_figure_options *options, struct bl_figure **out);
void figure_describe(page *on, struct bl_figure *figure, const bl_source *first,
                     const bl_source *second);
void figure_tell(page *on, struct bl_figure *figure, const char *description);

/* The parts, in drawing order; each in a file of its own. */
void plan_page(page *on); /* plan.c: fills the geometry above */
/* plan.c, for other figures: font and margin; the columns, where has_contours
 * is known; a panel's axis up to whole steps over `greatest`. */
void plan_paper(page *on);
void plan_columns(page *on);
void plan_scale(page_panel *panel, double greatest, double em);
void flags_plan(page *on);   /* flags.c: marks, before the caption */
void flags_draw(page *on);   /* flags.c */
void caption_plan(page *on); /* caption.c */
void caption_draw(page *on); /* caption.c */
/* caption_lines.c: a title at the top, the caption's lines at the foot. */
void caption_put(page *on, const char *title);
const char *caption_title(page *on);
/* caption_lines.c: breaks words into at most `most` lines of the page's width;
 * those that have no room end with a clause and "... see the report". Returns
 * how many lines. */
size_t caption_wrap(page *on, const char *words, const char **lines,
                    size_t most);
/* caption_lines.c: fills the caption with facts, the key of numbered marks,
 * where the numbers come from and the caution; crowded: on a low page with much
 * else. */
void caption_lay(page *on, const char *facts, const char *source, bool crowded);
/* "34.5-134.5 mm". */
void caption_span(text *to, bl_span span);
/* Composed words, kept, with units on the line of their number. */
const char *caption_keep(page *on, text *words);
/* A path; one longer than `room` gives way to its last part, and that is cut
 * short. */
const char *caption_file(page *on, const char *file, double room);
/* What numbered marks are, each name at most so wide; "" where marks have their
 * names. */
const char *caption_marks(page *on, double longest);
const char *caption_whole(page *on); /* every sentence, uncut */
void panels_shade(page *on);         /* panels.c: what lies behind the curves */
/* How a gap looks, where nothing was seen. */
void panels_shade_gap(page *on, canvas_box box);
void panels_draw(page *on); /* panels.c: curves and axes */
void lanes_plan(page *on);  /* lanes.c: veins, how high lanes are */
void lanes_draw(page *on);  /* lanes.c: points, bars, veins, left out */
/* devices.c, for pages with a plan: how high its lanes are, after lanes_plan;
 * the stretch of the axis with the devices in it; the widest of them; the pen
 * of their diameters in the panel. */
void devices_plan(page *on);
void devices_draw(page *on);
size_t devices_count(page *on);
bl_span devices_span(const page *on);
double devices_diameter_mm(const page *on);
canvas_pen devices_pen(const page *on);
/* Of the user's chain: "what if: 2 findings", the shortest where none has room,
 * since a chain that breaks rules must not look as if it kept them; its pen;
 * the widest of it, NaN without one. */
const char *devices_wish_name(page *on, double room);
canvas_pen devices_wish_pen(const page *on);
double devices_wish_mm(const page *on);
void sections_plan(page *on); /* sections.c: which, and if there are any */
void sections_draw(page *on); /* sections.c */

#endif
