/*
 * sections.c - cross-sections at the reference and at the worst place, all to
 * one scale, with a scale bar.
 */
#include "draw/page.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/place.h"

#include <math.h>

#define CIRCLE_POINTS 72
#define LINES_MOST 4

/* The usable frame nearest to a position. */
static size_t nearest_row(const page *on, double position_mm) {
    const bl_assessment *of = on->scene->assessment;
    size_t best = 0;
    for (size_t i = 1; i < of->profile_count; i++) {
        if (fabs(of->profile[i].position_mm - position_mm) <
            fabs(of->profile[best].position_mm - position_mm)) {
            best = i;
        }
    }
    return of->profile[best].row;
}

static bl_contour contour_of(const page *on, const page_section *section) {
    return on->scene->contour(on->scene->contour_context, section->row);
}

static void add_section(page *on, size_t row, bool is_reference,
                        double reference_area_mm2) {
    on->sections[on->section_count] = (page_section){
        .row = row,
        .letter = (char)('A' + on->section_count),
        .is_reference = is_reference,
        .reference_area_mm2 = reference_area_mm2,
    };
    on->section_count++;
}

/* In the order of position, so that letters rise along the vessel; of the
 * reference what counts at the worst place, two at most. */
void sections_plan(page *on) {
    const bl_assessment *of = on->scene->assessment;
    const bl_place *worst = page_has_reference(on) ? &of->worst : &of->minimum;
    bool worst_placed = false;
    for (size_t i = 0; i < of->segment_count; i++) {
        if (!of->segments[i].serves_worst) {
            continue;
        }
        double middle =
            0.5 * (of->segments[i].span.from_mm + of->segments[i].span.to_mm);
        if (!worst_placed && worst->position_mm < middle) {
            add_section(on, worst->row, false, worst->reference_area_mm2);
            worst_placed = true;
        }
        add_section(on, nearest_row(on, middle), true, UNKNOWN);
    }
    if (!worst_placed) {
        add_section(on, worst->row, false, worst->reference_area_mm2);
    }
    on->has_contours = true;
    for (size_t i = 0; i < on->section_count; i++) {
        on->has_contours =
            on->has_contours && contour_of(on, &on->sections[i]).count > 0;
    }
}

static canvas_box bounds_of(bl_contour of) {
    canvas_box box = {of.x_mm[0], of.y_mm[0], of.x_mm[0], of.y_mm[0]};
    for (size_t i = 1; i < of.count; i++) {
        box.x0 = fmin(box.x0, of.x_mm[i]);
        box.x1 = fmax(box.x1, of.x_mm[i]);
        box.y0 = fmin(box.y0, of.y_mm[i]);
        box.y1 = fmax(box.y1, of.y_mm[i]);
    }
    return box;
}

static double section_width_mm(const page *on, const page_section *section) {
    canvas_box box = bounds_of(contour_of(on, section));
    double circle = isnan(section->reference_area_mm2)
                        ? 0.0
                        : circle_diameter_mm(section->reference_area_mm2);
    return fmax(box.x1 - box.x0, circle);
}

static double section_height_mm(const page *on, const page_section *section) {
    canvas_box box = bounds_of(contour_of(on, section));
    double circle = isnan(section->reference_area_mm2)
                        ? 0.0
                        : circle_diameter_mm(section->reference_area_mm2);
    return fmax(box.y1 - box.y0, circle);
}

/* Without a reference nothing can be called worst. */
static const char *section_name(const page *on, const page_section *of) {
    if (of->is_reference) {
        return "reference";
    }
    return page_has_reference(on) ? place_worst_name(on->scene->assessment)
                                  : "least area";
}

static bool is_doubted(const page *on, const page_section *of) {
    const bl_assessment *all = on->scene->assessment;
    return !of->is_reference &&
           place_is_doubted(page_has_reference(on) ? &all->worst
                                                   : &all->minimum);
}

static uint32_t section_tint(const page *on, const page_section *of) {
    if (of->is_reference) {
        return HEALTHY_TINT;
    }
    if (!page_has_reference(on)) {
        return WHITE; /* as the band of what was not judged */
    }
    return on->scene->assessment->narrowing_count > 0 ? NARROW_TINT : BAND_TINT;
}

static void draw_circle(page *on, double x, double y, double radius) {
    canvas_begin(on->canvas, CANVAS_CLOSED, CANVAS_NONE,
                 page_pen(on, GREEN, 0.12, CANVAS_DASHED));
    for (int i = 0; i < CIRCLE_POINTS; i++) {
        double angle = 2.0 * PI * i / CIRCLE_POINTS;
        canvas_to(on->canvas, x + radius * cos(angle), y + radius * sin(angle));
    }
}

static void draw_outline(page *on, const page_section *section, double x,
                         double y, double scale) {
    bl_contour of = contour_of(on, section);
    canvas_box box = bounds_of(of);
    double cx = 0.5 * (box.x0 + box.x1);
    double cy = 0.5 * (box.y0 + box.y1);
    canvas_begin(on->canvas, CANVAS_CLOSED, section_tint(on, section),
                 page_pen(on, INK, 0.12, CANVAS_SOLID));
    for (size_t i = 0; i < of.count; i++) {
        canvas_to(on->canvas, x + (of.x_mm[i] - cx) * scale,
                  y - (of.y_mm[i] - cy) * scale);
    }
    if (!isnan(section->reference_area_mm2)) {
        draw_circle(on, x, y,
                    0.5 * circle_diameter_mm(section->reference_area_mm2) *
                        scale);
    }
}

/* What is written under a section, most needed first. */
static size_t section_lines(page *on, const page_section *section,
                            const char *lines[LINES_MOST]) {
    const bl_row *row = &on->scene->rows[section->row];
    text head = {0};
    if (page_has_reference(on)) {
        text_bytes(&head, &section->letter, 1);
        text_add(&head, "  ");
    }
    text_add(&head, section_name(on, section));
    text area = {0};
    text_fixed(&area, row->measures.area_mm2, 1);
    text_add(&area, " mm\xC2\xB2");
    text size = {0};
    text_fixed(&size, row->measures.min_diameter_mm, 1);
    text_add(&size, " \xC3\x97 ");
    text_fixed(&size, row->measures.max_diameter_mm, 1);
    text_add(&size, " mm");
    text place = {0};
    text_add(&place, "at ");
    text_fixed(&place, row->position_mm, 1);
    text_add(&place, " mm");
    size_t count = 0;
    lines[count++] = page_keep(on, &head);
    if (is_doubted(on, section)) {
        lines[count++] = "doubtful: see below";
    }
    lines[count++] = page_keep(on, &area);
    const char *rest[] = {page_keep(on, &size), page_keep(on, &place)};
    bool known = !isnan(row->measures.min_diameter_mm);
    for (size_t i = 0; known && i < 2 && count < LINES_MOST; i++) {
        lines[count++] = rest[i];
    }
    return count;
}

static void draw_scale_bar(page *on, double y, double scale) {
    canvas_pen pen = page_pen(on, INK, 0.22, CANVAS_SOLID);
    double room = on->sections_box.x1 - on->sections_box.x0;
    double length = page_nice_step(0.9 * room / scale, 2.0);
    if (length * scale > room) {
        length /= 2.0;
    }
    double x0 =
        0.5 * (on->sections_box.x0 + on->sections_box.x1 - length * scale);
    canvas_line(on->canvas, x0, y, x0 + length * scale, y, pen);
    text words = {0};
    text_fixed(&words, length, length < 1.0);
    text_add(&words, " mm");
    canvas_text(on->canvas, x0 + 0.5 * length * scale, y + 1.25 * on->em,
                page_style(on, INK, CANVAS_MIDDLE), page_keep(on, &words));
}

void sections_draw(page *on) {
    if (!on->has_contours) {
        return;
    }
    double bar = 2.2 * on->em;
    double height = (on->sections_box.y1 - on->sections_box.y0 - bar) /
                    (double)on->section_count;
    double width = on->sections_box.x1 - on->sections_box.x0;
    size_t lines = LINES_MOST;
    while (lines > 1 && height - LINE_EM * on->em * (double)lines <
                            fmax(4.0 * on->em, 0.35 * height)) {
        lines--;
    }
    double words = LINE_EM * on->em * (double)lines + 0.8 * on->em;
    double scale = HUGE_VAL;
    for (size_t i = 0; i < on->section_count; i++) {
        const page_section *one = &on->sections[i];
        scale = fmin(scale, width / section_width_mm(on, one));
        scale = fmin(scale, (height - words) / section_height_mm(on, one));
    }
    double middle = 0.5 * (on->sections_box.x0 + on->sections_box.x1);
    for (size_t i = 0; i < on->section_count; i++) {
        const char *said[LINES_MOST];
        double top = on->sections_box.y0 + height * (double)i;
        size_t count = section_lines(on, &on->sections[i], said);
        double centre = top + 0.5 * (height - words);
        double under =
            centre + 0.5 * scale * section_height_mm(on, &on->sections[i]);
        draw_outline(on, &on->sections[i], middle, centre, scale);
        for (size_t k = 0; k < count && k < lines; k++) {
            canvas_style style = page_style(on, INK, CANVAS_MIDDLE);
            style.bold = k == 0;
            canvas_text(on->canvas, middle,
                        under + LINE_EM * on->em * ((double)k + 1.0), style,
                        page_fit(on, said[k], width, style.bold));
        }
    }
    draw_scale_bar(on, on->sections_box.y1 - bar + 0.4 * on->em, scale);
}
