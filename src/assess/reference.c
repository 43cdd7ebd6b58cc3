/*
 * reference.c - stretches of healthy vein and the calibre they imply.
 *
 * Taper: the equivalent diameter is linear between the segments' middles and
 * constant beyond them (DICOM PS3.17 Annex T, "interpolated"); perimeter and
 * flatness go the same way. The other rules are constant along the vessel.
 *
 * Links say between which two segments a position lies. Where a known border
 * lies between them, a taper changes in the wall of the confluence, the link's
 * ramp, and any other rule steps at the border, which is the caudal vein's, as
 * everywhere. What is expected of a vein is constant within it.
 */
#include "assess/reference.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/sum.h"
#include "profile/profile.h"

#include <math.h>

static bool inside(const bl_profile_point *point, bl_span span) {
    return point->position_mm >= span.from_mm - EDGE_MM &&
           point->position_mm <= span.to_mm + EDGE_MM;
}

/* The length a frame stands for within the span; one lone frame, or frames at
 * one position, stand for themselves. */
static double weight_in(const bl_profile_point *points, size_t count, size_t i,
                        bl_span span) {
    double weight = 0.0;
    if (!points[i].after_gap && inside(&points[i - 1], span)) {
        weight += points[i].position_mm - points[i - 1].position_mm;
    }
    if (i + 1 < count && !points[i + 1].after_gap &&
        inside(&points[i + 1], span)) {
        weight += points[i + 1].position_mm - points[i].position_mm;
    }
    return 0.5 * weight;
}

typedef struct means {
    sum weight;
    sum area;
    sum perimeter;
    sum flatness_weight;
    sum flatness;
    size_t frames;
} means;

static void means_take(means *into, const bl_profile_point *point,
                       double weight) {
    sum_add(&into->weight, weight);
    sum_add(&into->area, weight * point->raw_area_mm2);
    sum_add(&into->perimeter, weight * point->perimeter_mm);
    double flatness = profile_flatness(point);
    if (!isnan(flatness)) {
        sum_add(&into->flatness_weight, weight);
        sum_add(&into->flatness, weight * flatness);
    }
    into->frames++;
}

static means means_of(const bl_profile_point *points, size_t count,
                      bl_span span, bool by_length) {
    means found = {0};
    for (size_t i = 0; i < count; i++) {
        if (inside(&points[i], span)) {
            double weight = by_length ? weight_in(points, count, i, span) : 1.0;
            means_take(&found, &points[i], weight);
        }
    }
    return found;
}

static double area_cv_pct(const bl_profile_point *points, size_t count,
                          bl_span span, double mean) {
    sum squares = {0};
    size_t frames = 0;
    for (size_t i = 0; i < count; i++) {
        if (inside(&points[i], span)) {
            double off = points[i].raw_area_mm2 - mean;
            sum_add(&squares, off * off);
            frames++;
        }
    }
    if (frames < 2) {
        return UNKNOWN;
    }
    return 100.0 * sqrt(sum_value(&squares) / (double)(frames - 1)) / mean;
}

bl_status reference_segment(const bl_profile_point *points, size_t count,
                            bl_span span, bl_segment *out) {
    means found = means_of(points, count, span, true);
    if (found.frames == 0) {
        return BL_ERR_REFERENCE;
    }
    if (!(sum_value(&found.weight) > 0.0)) {
        found = means_of(points, count, span, false);
    }
    double weight = sum_value(&found.weight);
    double area = sum_value(&found.area) / weight;
    *out = (bl_segment){
        .span = span,
        .frames = found.frames,
        .area_mm2 = area,
        .equivalent_diameter_mm = circle_diameter_mm(area),
        .perimeter_mm = sum_value(&found.perimeter) / weight,
        .flatness =
            sum_value(&found.flatness) / sum_value(&found.flatness_weight),
        .area_cv_pct = area_cv_pct(points, count, span, area),
        .where = BL_END_CRANIAL,
    };
    return BL_OK;
}

void reference_measure(reference *of, const profile *in) {
    for (size_t i = 0; i < of->count; i++) {
        bl_segment was = of->segments[i];
        /* It has the same frames, so it finds some. */
        (void)reference_segment(in->points, in->count, was.span,
                                &of->segments[i]);
        of->segments[i].where = was.where;
    }
}

static bl_end end_before(const reference *of) {
    return of->travel == BL_END_CAUDAL ? BL_END_CRANIAL : BL_END_CAUDAL;
}

void reference_ends(reference *of, double worst_mm) {
    for (size_t i = 0; i < of->piece_count; i++) {
        const reference_piece *piece = &of->pieces[i];
        bl_segment *first = &of->segments[piece->segments[0]];
        if (piece->count == 2) {
            first->where = end_before(of);
            of->segments[piece->segments[1]].where = of->travel;
        } else if (piece->count == 1) {
            bool before = first->span.to_mm <= worst_mm;
            first->where = before ? end_before(of) : of->travel;
        }
    }
}

double reference_middle_mm(const bl_segment *segment) {
    return 0.5 * (segment->span.from_mm + segment->span.to_mm);
}

void reference_link_pieces(reference *of) {
    of->link_count = of->piece_count;
    for (size_t i = 0; i < of->piece_count; i++) {
        const reference_piece *piece = &of->pieces[i];
        reference_link *link = &of->links[i];
        *link = (reference_link){
            .span = piece->piece.span,
            .border_mm = UNKNOWN,
            .segments = {piece->segments[0], piece->segments[1]},
            .count = piece->count,
            .scale = {1.0, 1.0},
            .area_mm2 = piece->area_mm2,
        };
        if (piece->count == 2) {
            link->ramp = (bl_span){
                reference_middle_mm(&of->segments[piece->segments[0]]),
                reference_middle_mm(&of->segments[piece->segments[1]])};
        }
    }
}

void reference_whole(reference *of, bl_end travel) {
    of->travel = travel;
    of->piece_count = of->count > 0;
    of->pieces[0] = (reference_piece){
        .piece = {{-HUGE_VAL, HUGE_VAL}, BL_VEIN_UNKNOWN},
        .segments = {0, 1},
        .count = of->count,
        .area_mm2 = UNKNOWN,
    };
    reference_link_pieces(of);
    reference_ends(of, UNKNOWN);
}

/* ------------------------------------------------------------ one position */

/* What two segments say, where one passes into the other, and the rule. */
typedef struct pair {
    reference_shape first;
    reference_shape second;
    bl_span ramp;
    double border_mm;
    bl_rule rule;
    bl_end travel;
} pair;

static reference_shape shape_of_segment(const bl_segment *of, double scale) {
    double diameter = scale * of->equivalent_diameter_mm;
    return (reference_shape){circle_area_mm2(diameter), diameter,
                             scale * of->perimeter_mm, of->flatness};
}

static reference_shape shape_of_area(double area_mm2) {
    double diameter = circle_diameter_mm(area_mm2);
    return (reference_shape){area_mm2, diameter, PI * diameter,
                             isnan(diameter) ? UNKNOWN : 1.0};
}

/* a at part 0, b at part 1; the diameter is linear, and the area follows. */
static reference_shape mixed(const reference_shape *a, const reference_shape *b,
                             double part) {
    double diameter = a->diameter_mm + part * (b->diameter_mm - a->diameter_mm);
    return (reference_shape){circle_area_mm2(diameter), diameter,
                             a->perimeter_mm +
                                 part * (b->perimeter_mm - a->perimeter_mm),
                             a->flatness + part * (b->flatness - a->flatness)};
}

/* The first up to the ramp, the second from its end on. */
static reference_shape taper(const pair *of, double position_mm) {
    if (position_mm <= of->ramp.from_mm) {
        return of->first;
    }
    if (position_mm >= of->ramp.to_mm) {
        return of->second;
    }
    return mixed(&of->first, &of->second,
                 (position_mm - of->ramp.from_mm) /
                     (of->ramp.to_mm - of->ramp.from_mm));
}

/* The mean is one of areas, and the diameter follows. */
static reference_shape mean(const pair *of) {
    const reference_shape *a = &of->first;
    const reference_shape *b = &of->second;
    double area = 0.5 * (a->area_mm2 + b->area_mm2);
    return (reference_shape){area, circle_diameter_mm(area),
                             0.5 * (a->perimeter_mm + b->perimeter_mm),
                             0.5 * (a->flatness + b->flatness)};
}

/* A border is the caudal vein's. */
static bool is_before_border(const pair *of, double position_mm) {
    return of->travel == BL_END_CAUDAL ? position_mm < of->border_mm
                                       : position_mm <= of->border_mm;
}

/* By any rule but taper each of two veins is held against its own, and by that
 * as well where one passes into the other at once. */
static bool steps_at(bl_rule rule, double border_mm, bl_span ramp) {
    return !isnan(border_mm) &&
           (rule != BL_RULE_TAPER || !(ramp.to_mm > ramp.from_mm));
}

static reference_shape shape_of_pair(const pair *of, double position_mm) {
    bool caudally = of->travel == BL_END_CAUDAL;
    if (steps_at(of->rule, of->border_mm, of->ramp)) {
        return is_before_border(of, position_mm) ? of->first : of->second;
    }
    switch (of->rule) {
    case BL_RULE_MEAN:
        return mean(of);
    case BL_RULE_CRANIAL:
        return caudally ? of->first : of->second;
    case BL_RULE_CAUDAL:
        return caudally ? of->second : of->first;
    case BL_RULE_LARGEST:
        return of->first.area_mm2 >= of->second.area_mm2 ? of->first
                                                         : of->second;
    case BL_RULE_TAPER:
    default:
        return taper(of, position_mm);
    }
}

/* What one segment says of both ends of a link changes under a taper only. */
static reference_shape shape_in(const reference *of, const reference_link *link,
                                double position_mm) {
    if (link->count == 0) {
        return shape_of_area(link->area_mm2);
    }
    const bl_segment *first = &of->segments[link->segments[0]];
    if (link->count == 1) {
        return shape_of_segment(first, link->scale[0]);
    }
    if (of->rule != BL_RULE_TAPER && isnan(link->border_mm) &&
        link->segments[0] == link->segments[1]) {
        return shape_of_segment(first, 1.0);
    }
    const bl_segment *second = &of->segments[link->segments[1]];
    pair both = {shape_of_segment(first, link->scale[0]),
                 shape_of_segment(second, link->scale[1]),
                 link->ramp,
                 link->border_mm,
                 of->rule,
                 of->travel};
    return shape_of_pair(&both, position_mm);
}

bool reference_exists(const reference *of) {
    return of->piece_count > 0;
}

const reference_link *reference_link_at(const reference *of,
                                        double position_mm) {
    if (!reference_exists(of)) {
        return NULL;
    }
    bool caudally = of->travel == BL_END_CAUDAL;
    size_t i = 0;
    while (i + 1 < of->link_count &&
           (caudally ? position_mm >= of->links[i].span.to_mm
                     : position_mm > of->links[i].span.to_mm)) {
        i++;
    }
    return &of->links[i];
}

reference_shape reference_shape_at(const reference *of, double position_mm) {
    if (!reference_exists(of)) {
        return (reference_shape){UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN};
    }
    return shape_in(of, reference_link_at(of, position_mm), position_mm);
}

double reference_diameter_mm(const reference *of, double position_mm) {
    return reference_shape_at(of, position_mm).diameter_mm;
}

/* ------------------------------------------------------------------ breaks */

static void add_break(reference_break *breaks, size_t *count, double x_mm,
                      bool steps, reference_shape before,
                      reference_shape after) {
    breaks[(*count)++] = (reference_break){
        .x_mm = x_mm, .steps = steps, .before = before, .after = after};
}

/* A taper bends at the ends of its ramp, as far as they lie inside; any other
 * rule steps at a border. */
static void add_inside(const reference *of, const reference_link *link,
                       reference_break *breaks, size_t *count) {
    if (link->count < 2) {
        return;
    }
    if (steps_at(of->rule, link->border_mm, link->ramp)) {
        const size_t *both = link->segments;
        add_break(breaks, count, link->border_mm, true,
                  shape_of_segment(&of->segments[both[0]], link->scale[0]),
                  shape_of_segment(&of->segments[both[1]], link->scale[1]));
        return;
    }
    const double ends[2] = {link->ramp.from_mm, link->ramp.to_mm};
    for (size_t i = 0; of->rule == BL_RULE_TAPER && i < 2; i++) {
        if (ends[i] > link->span.from_mm && ends[i] < link->span.to_mm) {
            reference_shape here = shape_in(of, link, ends[i]);
            add_break(breaks, count, ends[i], false, here, here);
        }
    }
}

/* Two links that meet in one segment under a taper meet in its calibre. */
static bool meet(const reference *of, const reference_link *a,
                 const reference_link *b) {
    return of->rule == BL_RULE_TAPER && a->count == 2 && b->count == 2 &&
           a->segments[1] == b->segments[0];
}

size_t reference_breaks(const reference *of,
                        reference_break breaks[REFERENCE_BREAKS]) {
    size_t count = 0;
    for (size_t i = 0; i < of->link_count; i++) {
        const reference_link *link = &of->links[i];
        size_t first = count;
        add_inside(of, link, breaks, &count);
        if (i + 1 < of->link_count) {
            double x = link->span.to_mm;
            add_break(breaks, &count, x, !meet(of, link, link + 1),
                      shape_in(of, link, x), shape_in(of, link + 1, x));
        }
        for (size_t k = first; k < count; k++) {
            breaks[k].link = i;
        }
    }
    return count;
}
