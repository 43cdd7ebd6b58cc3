/*
 * sheet_panels.c - areas before and after, what they are held against, and how
 * far a device stands off the wall.
 *
 * The first table is drawn from its own profile, the second from the series,
 * which has its frames on the positions of the first. Every line has a style of
 * its own, so that grey print tells them apart.
 */
#include "draw/axes.h"
#include "draw/curves.h"
#include "draw/sheet.h"

#include "base/constants.h"
#include "base/stages.h"

#include <math.h>

/* The widest line. */
#define AFTER_EM 0.22

static const bl_compared *at(const page *on, size_t index) {
    return &sheet_of(on)->of->series[index];
}

static double lumen(const page *on, size_t index) {
    return at(on, index)->lumen_area_mm2;
}

static double device(const page *on, size_t index) {
    return at(on, index)->device_area_mm2;
}

static double nominal(const page *on, size_t index) {
    return at(on, index)->nominal_mm2;
}

static double reference_after(const page *on, size_t index) {
    return at(on, index)->after_reference_mm2;
}

static double gap(const page *on, size_t index) {
    return at(on, index)->gap_mm;
}

static double before_area(const page *on, size_t index) {
    return on->scene->assessment->profile[index].area_mm2;
}

static double same_area(const page *on, double area_mm2) {
    (void)on;
    return area_mm2;
}

/* Whether a place lies at an edge that lost more than the error of reading. */
static bool is_lost_edge(const page *on, size_t index) {
    const bl_comparison *of = sheet_of(on)->of;
    double here = at(on, index)->position_mm;
    bool lost = false;
    for (size_t i = 0; i < of->edge_count; i++) {
        const bl_edge *edge = &of->edges[i];
        lost = lost || (!edge->loss_within_error && edge->loss_pct > 0.0 &&
                        here >= edge->span.from_mm && here <= edge->span.to_mm);
    }
    return lost;
}

/* What was gained and lost is shaded where it was treated; without a treated
 * stretch everywhere. */
static bool is_shaded(const page *on, size_t index) {
    return sheet_of(on)->of->treated_from == BL_TREATED_NOWHERE ||
           at(on, index)->in_treated;
}

static double gain_low(const page *on, size_t index) {
    double before = at(on, index)->before_area_mm2;
    return is_shaded(on, index) && before <= lumen(on, index) ? before
                                                              : UNKNOWN;
}

static double loss_high(const page *on, size_t index) {
    double before = at(on, index)->before_area_mm2;
    bool shaded = is_shaded(on, index) || is_lost_edge(on, index);
    return shaded && before > lumen(on, index) ? before : UNKNOWN;
}

/* Less than the error of a contour is no tissue. */
static double tissue_high(const page *on, size_t index) {
    double share = 1.0 - lumen(on, index) / device(on, index);
    return share > sheet_of(on)->of->options.area_cv_pct / 100.0
               ? device(on, index)
               : UNKNOWN;
}

double sheet_greatest_area(const sheet *on) {
    double most = 0.0;
    const bl_assessment *before = on->before.assessment;
    for (size_t i = 0; i < before->profile_count; i++) {
        most = fmax(most, before->profile[i].area_mm2);
        most = fmax(most, before->profile[i].reference_area_mm2);
    }
    for (size_t i = 0; i < on->of->series_count; i++) {
        const bl_compared *one = &on->of->series[i];
        most = fmax(most, one->lumen_area_mm2);
        most = fmax(most, one->device_area_mm2);
        most = fmax(most, one->after_reference_mm2);
        most = fmax(most, one->nominal_mm2);
    }
    return most;
}

/* ------------------------------------------------------------------ shading */

/* What is shaded, and shows: named is no more than that. */
typedef struct shades {
    bool unseen;
    bool gain;
    bool loss;
    bool tissue;
} shades;

/* Whether what lies between two quantities shows beside the lines along them:
 * from one frame to the next by its mean thickness across their slope. */
static bool is_seen(const page *on, const page_panel *in, curve_value low,
                    curve_value high) {
    double hidden = AFTER_EM * on->em + HAIR_MM;
    for (size_t i = 1; i < sheet_of(on)->of->series_count; i++) {
        double lows[] = {low(on, i - 1), low(on, i)};
        double highs[] = {high(on, i - 1), high(on, i)};
        double rises[] = {page_y(in, lows[0]) - page_y(in, highs[0]),
                          page_y(in, lows[1]) - page_y(in, highs[1])};
        double along = page_x(on, at(on, i)->position_mm) -
                       page_x(on, at(on, i - 1)->position_mm);
        double slope = fmax(fabs(page_y(in, lows[1]) - page_y(in, lows[0])),
                            fabs(page_y(in, highs[1]) - page_y(in, highs[0])));
        /* Unknown, this is not more than anything. */
        double filled = 0.5 * (rises[0] + rises[1]) * along;
        if (!on->scene->assessment->profile[i].after_gap &&
            filled > hidden * sqrt(along * along + slope * slope)) {
            return true;
        }
    }
    return false;
}

/* Upright lines from the second area up to the first, evenly spaced on paper:
 * of the frames in one space the last. */
static void hatch_loss(page *on, const page_panel *in) {
    canvas_pen pen = page_pen(on, LOSS_INK, 0.08, CANVAS_SOLID);
    double next = -HUGE_VAL;
    canvas_begin(on->canvas, CANVAS_SEGMENTS, CANVAS_NONE, pen);
    for (size_t i = 0; i < sheet_of(on)->of->series_count; i++) {
        double x = page_x(on, at(on, i)->position_mm);
        double high = loss_high(on, i);
        if (!isnan(high) && x >= next) {
            canvas_to(on->canvas, x, page_y(in, lumen(on, i)));
            canvas_to(on->canvas, x, page_y(in, high));
            next = x + 0.55 * on->em;
        }
    }
}

static void shade_gain(page *on, canvas_box box) {
    canvas_rectangle(on->canvas, box, GAIN_TINT,
                     (canvas_pen){.colour = CANVAS_NONE});
}

static void shade_loss(page *on, canvas_box box) {
    canvas_upright(on->canvas, box, 0.55 * on->em,
                   page_pen(on, LOSS_INK, 0.08, CANVAS_SOLID));
}

static void shade_tissue(page *on, canvas_box box) {
    canvas_rectangle(on->canvas, box, TISSUE_TINT,
                     (canvas_pen){.colour = CANVAS_NONE});
}

/* What is not there must not look as if it were healthy. */
static bool shade_unseen(sheet *on, const page_panel *in) {
    page *paper = &on->page;
    for (size_t i = 0; i < on->of->lumen_hole_count; i++) {
        bl_span unseen = on->of->lumen_holes[i].span;
        canvas_box box = {page_x(paper, unseen.from_mm), in->box.y0,
                          page_x(paper, unseen.to_mm), in->box.y1};
        panels_shade_gap(paper, box);
    }
    return on->of->lumen_hole_count > 0;
}

/* ---------------------------------------------------------------- residuals */

/* From the area left to what it is held against, between caps, and down to the
 * row of labels. */
static void draw_bracket(page *on, const page_panel *in, double x,
                         const bl_residual *of) {
    canvas_pen pen = page_pen(on, VERMILLION, 0.14, CANVAS_SOLID);
    canvas_pen thin = page_pen(on, GREY, 0.06, CANVAS_DOTTED);
    double low = page_y(in, of->area_mm2);
    double high = page_y(in, of->denominator_mm2);
    double cap = 0.3 * on->em;
    canvas_line(on->canvas, x, fmax(low, high), x, in->box.y1, thin);
    canvas_line(on->canvas, x, low, x, high, pen);
    canvas_line(on->canvas, x - cap, low, x + cap, low, pen);
    canvas_line(on->canvas, x - cap, high, x + cap, high, pen);
}

static void draw_treated(page *on, const page_panel *in) {
    const bl_comparison *of = sheet_of(on)->of;
    if (of->treated_from != BL_TREATED_NOWHERE) {
        canvas_pen pen = page_pen(on, INK, 0.09, CANVAS_DOTTED);
        double ends[] = {of->treated.from_mm, of->treated.to_mm};
        for (size_t i = 0; i < 2; i++) {
            double x = page_x(on, ends[i]);
            canvas_line(on->canvas, x, in->box.y0, x, in->box.y1, pen);
        }
    }
}

/* ------------------------------------------------------------------- panels */

typedef struct pens {
    canvas_pen before;
    canvas_pen after;
    canvas_pen device;
    canvas_pen reference;
    canvas_pen later_reference;
    canvas_pen nominal;
} pens;

static pens pens_of(const page *on) {
    return (pens){
        .before = page_pen(on, GREY, 0.14, CANVAS_SOLID),
        .after = page_pen(on, BLUE, AFTER_EM, CANVAS_SOLID),
        .device = page_pen(on, INK, 0.15, CANVAS_DOTTED),
        .reference = page_pen(on, GREEN, 0.15, CANVAS_LONG_DASHED),
        .later_reference = page_pen(on, GREEN, 0.15, CANVAS_DOTTED),
        .nominal = page_pen(on, INK, 0.10, CANVAS_DASHED),
    };
}

/* The last known value of a curve, and any place for what is shaded. */
static double last_of(const page *on, size_t count, curve_value of) {
    for (size_t i = count; i-- > 0;) {
        double value = of(on, i);
        if (!isnan(value)) {
            return value;
        }
    }
    return UNKNOWN;
}

static double last_reference(const sheet *on) {
    const bl_assessment *of = on->before.assessment;
    for (size_t i = of->profile_count; i-- > 0;) {
        if (!isnan(of->profile[i].reference_area_mm2)) {
            return of->profile[i].reference_area_mm2;
        }
    }
    return UNKNOWN;
}

static double last_before(const sheet *on) {
    const bl_assessment *of = on->before.assessment;
    return of->profile_count > 0 ? of->profile[of->profile_count - 1].area_mm2
                                 : UNKNOWN;
}

static const char *reference_name(page *on, const char *table) {
    text words = {0};
    text_add(&words, "ref. ");
    text_add(&words, table);
    return page_keep(on, &words);
}

/* The page's scene is that of the series here. */
static void draw_names(sheet *on, const pens *with, const shades *of) {
    page *paper = &on->page;
    size_t count = on->of->series_count;
    canvas_pen frame = page_pen(paper, GREY, 0.05, CANVAS_SOLID);
    /* What there is more of is named first. */
    bool worse = on->of->gain_area_mm2 < 0.0;
    double first = (worse ? of->loss : of->gain) ? 0.0 : UNKNOWN;
    double other = (worse ? of->gain : of->loss) ? 0.0 : UNKNOWN;
    axes_name names[] = {
        {stages_second_short(on->of), last_of(paper, count, lumen), with->after,
         CANVAS_NONE, NULL},
        {stages_first_short(on->of), last_before(on), with->before, CANVAS_NONE,
         NULL},
        {reference_name(paper, stages_first_short(on->of)), last_reference(on),
         with->reference, CANVAS_NONE, NULL},
        {"device", last_of(paper, count, device), with->device, CANVAS_NONE,
         NULL},
        {"nominal", last_of(paper, count, nominal), with->nominal, CANVAS_NONE,
         NULL},
        {"no lumen", of->unseen ? 0.0 : UNKNOWN, frame, CANVAS_NONE,
         panels_shade_gap},
        {on->of->follow_up || on->of->since_after ? "tissue" : "not lumen",
         of->tissue ? 0.0 : UNKNOWN, frame, CANVAS_NONE, shade_tissue},
        {worse ? "loss" : "gain", first, frame, CANVAS_NONE,
         worse ? shade_loss : shade_gain},
        {worse ? "gain" : "loss", other, frame, CANVAS_NONE,
         worse ? shade_gain : shade_loss},
        {reference_name(paper, stages_second_short(on->of)),
         last_of(paper, count, reference_after), with->later_reference,
         CANVAS_NONE, NULL},
    };
    axes_names(paper, &paper->diameter, paper->diameter.box.y0, names,
               sizeof names / sizeof names[0]);
}

/* It steps from one device to the next and is open where it is unknown. */
static void draw_nominal(sheet *on, const page_panel *in, canvas_pen pen) {
    page *paper = &on->page;
    double last_x = 0.0;
    double last = UNKNOWN;
    for (size_t i = 0; i < on->of->series_count; i++) {
        double x = page_x(paper, at(paper, i)->position_mm);
        double value = nominal(paper, i);
        double middle = 0.5 * (last_x + x);
        if (!isnan(value) && isnan(last)) {
            canvas_begin(paper->canvas, CANVAS_OPEN, CANVAS_NONE, pen);
            canvas_to(paper->canvas, x, page_y(in, value));
        } else if (!isnan(value) && (value < last || value > last)) {
            canvas_to(paper->canvas, middle, page_y(in, last));
            canvas_to(paper->canvas, middle, page_y(in, value));
        } else if (isnan(value) && !isnan(last)) {
            canvas_to(paper->canvas, last_x, page_y(in, last));
        }
        last_x = x;
        last = value;
    }
    if (!isnan(last)) {
        canvas_to(paper->canvas, last_x, page_y(in, last));
    }
}

static void draw_areas(sheet *on) {
    page *paper = &on->page;
    const page_panel *in = &paper->diameter;
    pens with = pens_of(paper);
    canvas_pen none = {.colour = CANVAS_NONE};
    bool unseen = shade_unseen(on, in);
    paper->scene = &on->after;
    shades of = {unseen, is_seen(paper, in, gain_low, lumen),
                 is_seen(paper, in, lumen, loss_high),
                 is_seen(paper, in, lumen, tissue_high)};
    curves_band(paper, in, gain_low, lumen, GAIN_TINT, none);
    curves_band(paper, in, lumen, tissue_high, TISSUE_TINT, none);
    hatch_loss(paper, in);
    draw_treated(paper, in);
    draw_nominal(on, in, with.nominal);
    curves_line(paper, in, reference_after, with.later_reference);
    paper->scene = &on->before;
    curves_reference(paper, in, same_area, with.reference);
    curves_line(paper, in, before_area, with.before);
    paper->scene = &on->after;
    curves_line(paper, in, lumen, with.after);
    curves_line(paper, in, device, with.device);
    draw_names(on, &with, &of);
    paper->scene = &on->before;
    for (size_t i = 0; i < SHEET_RESIDUALS; i++) {
        if (!isnan(on->residual_x[i])) {
            draw_bracket(paper, in, on->residual_x[i], sheet_residual(on, i));
        }
    }
}

static void draw_gaps(sheet *on) {
    page *paper = &on->page;
    const page_panel *in = &paper->area;
    double tolerance = on->of->device.gap_tolerance_mm;
    canvas_pen limit = page_pen(paper, VERMILLION, 0.13, CANVAS_DOTTED);
    canvas_pen line = page_pen(paper, BLUE, 0.17, CANVAS_SOLID);
    axes_value(paper, in, "gap, mm", "mm");
    canvas_line(paper->canvas, in->box.x0, page_y(in, tolerance), in->box.x1,
                page_y(in, tolerance), limit);
    paper->scene = &on->after;
    curves_line(paper, in, gap, line);
    axes_name names[] = {
        {"largest gap", last_of(paper, on->of->series_count, gap), line,
         CANVAS_NONE, NULL},
        {"tolerance", tolerance, limit, CANVAS_NONE, NULL},
    };
    axes_names(paper, in, in->box.y0 - 0.4 * paper->em, names,
               sizeof names / sizeof names[0]);
    paper->scene = &on->before;
    axes_frame(paper, in);
}

void sheet_draw_panels(sheet *on) {
    page *paper = &on->page;
    axes_value(paper, &paper->diameter, "area, mm\xC2\xB2", "mm\xC2\xB2");
    draw_areas(on);
    axes_frame(paper, &paper->diameter);
    if (on->has_gaps) {
        draw_gaps(on);
    } else {
        canvas_line(paper->canvas, paper->x0, paper->axis_y, paper->x1,
                    paper->axis_y, page_pen(paper, INK, 0.07, CANVAS_SOLID));
    }
    axes_position(paper);
}
