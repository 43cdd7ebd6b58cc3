/*
 * reference.c - stretches of healthy vein and the calibre they imply.
 *
 * Taper: the equivalent diameter is linear between the segments' middles and
 * constant beyond them (DICOM PS3.17 Annex T, "interpolated"); perimeter and
 * flatness go the same way. The other rules are constant along the vessel.
 *
 * A piece knows its own segments only: between two pieces the reference steps,
 * and the border itself is the caudal piece's, as everywhere. What is expected
 * of a vein is constant within it.
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

void reference_whole(reference *of, bl_end travel) {
    of->travel = travel;
    of->piece_count = of->count > 0;
    of->pieces[0] = (reference_piece){
        .piece = {{-HUGE_VAL, HUGE_VAL}, BL_VEIN_UNKNOWN},
        .segments = {0, 1},
        .count = of->count,
        .area_mm2 = UNKNOWN,
    };
    reference_ends(of, UNKNOWN);
}

/* ------------------------------------------------------------ one position */

/* Two segments of a piece and the rule that joins them. */
typedef struct pair {
    const bl_segment *first;
    const bl_segment *second;
    bl_rule rule;
} pair;

static double middle_mm(const bl_segment *segment) {
    return 0.5 * (segment->span.from_mm + segment->span.to_mm);
}

/* first where the segments lie at or before their middles, second after. */
static double taper(const pair *of, double position_mm, double first,
                    double second) {
    double from = middle_mm(of->first);
    double to = middle_mm(of->second);
    if (position_mm <= from) {
        return first;
    }
    if (position_mm >= to) {
        return second;
    }
    double part = (position_mm - from) / (to - from);
    return first + part * (second - first);
}

/* The segment that a one-sided rule takes. */
static const bl_segment *segment_of_rule(const pair *of) {
    const bl_segment *a = of->first;
    const bl_segment *b = of->second;
    switch (of->rule) {
    case BL_RULE_CRANIAL:
        return a->where == BL_END_CRANIAL ? a : b;
    case BL_RULE_CAUDAL:
        return a->where == BL_END_CAUDAL ? a : b;
    case BL_RULE_LARGEST:
        return a->area_mm2 >= b->area_mm2 ? a : b;
    case BL_RULE_TAPER:
    case BL_RULE_MEAN:
    default:
        return a; /* not reached: these take both segments */
    }
}

static double by_rule(const pair *of, double position_mm, double first,
                      double second) {
    if (of->rule == BL_RULE_TAPER) {
        return taper(of, position_mm, first, second);
    }
    if (of->rule == BL_RULE_MEAN) {
        return 0.5 * (first + second);
    }
    return segment_of_rule(of) == of->first ? first : second;
}

/* The mean is one of areas, and the diameter follows. */
static double diameter_by_rule(const pair *of, double position_mm) {
    const bl_segment *a = of->first;
    const bl_segment *b = of->second;
    if (of->rule == BL_RULE_MEAN) {
        return circle_diameter_mm(0.5 * (a->area_mm2 + b->area_mm2));
    }
    return by_rule(of, position_mm, a->equivalent_diameter_mm,
                   b->equivalent_diameter_mm);
}

static reference_shape shape_of_pair(const pair *of, double position_mm) {
    const bl_segment *a = of->first;
    const bl_segment *b = of->second;
    double diameter = diameter_by_rule(of, position_mm);
    return (reference_shape){
        circle_area_mm2(diameter),
        diameter,
        by_rule(of, position_mm, a->perimeter_mm, b->perimeter_mm),
        by_rule(of, position_mm, a->flatness, b->flatness),
    };
}

static reference_shape shape_of_segment(const bl_segment *of) {
    double diameter = of->equivalent_diameter_mm;
    return (reference_shape){circle_area_mm2(diameter), diameter,
                             of->perimeter_mm, of->flatness};
}

static reference_shape shape_of_area(double area_mm2) {
    double diameter = circle_diameter_mm(area_mm2);
    return (reference_shape){area_mm2, diameter, PI * diameter,
                             isnan(diameter) ? UNKNOWN : 1.0};
}

static pair pair_of(const reference *of, const reference_piece *piece) {
    return (pair){&of->segments[piece->segments[0]],
                  &of->segments[piece->segments[1]], of->rule};
}

static reference_shape shape_in(const reference *of,
                                const reference_piece *piece,
                                double position_mm) {
    if (piece->count == 0) {
        return shape_of_area(piece->area_mm2);
    }
    if (piece->count == 1) {
        return shape_of_segment(&of->segments[piece->segments[0]]);
    }
    pair both = pair_of(of, piece);
    return shape_of_pair(&both, position_mm);
}

bool reference_exists(const reference *of) {
    return of->piece_count > 0;
}

const reference_piece *reference_piece_at(const reference *of,
                                          double position_mm) {
    if (!reference_exists(of)) {
        return NULL;
    }
    size_t i = 0;
    while (i + 1 < of->piece_count &&
           !vein_piece_holds(&of->pieces[i].piece, of->travel, position_mm)) {
        i++;
    }
    return &of->pieces[i];
}

reference_shape reference_shape_at(const reference *of, double position_mm) {
    if (!reference_exists(of)) {
        return (reference_shape){UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN};
    }
    return shape_in(of, reference_piece_at(of, position_mm), position_mm);
}

double reference_diameter_mm(const reference *of, double position_mm) {
    return reference_shape_at(of, position_mm).diameter_mm;
}

/* ------------------------------------------------------------------ breaks */

/* A taper bends at the middles of its segments, as far as they lie inside. */
static size_t add_knots(const reference *of, const reference_piece *piece,
                        reference_break *breaks) {
    size_t added = 0;
    for (size_t i = 0; i < piece->count; i++) {
        double x = middle_mm(&of->segments[piece->segments[i]]);
        if (piece->count == 2 && of->rule == BL_RULE_TAPER &&
            x > piece->piece.span.from_mm && x < piece->piece.span.to_mm) {
            reference_shape here = shape_in(of, piece, x);
            breaks[added++] = (reference_break){
                .x_mm = x, .steps = false, .before = here, .after = here};
        }
    }
    return added;
}

size_t reference_breaks(const reference *of,
                        reference_break breaks[REFERENCE_BREAKS]) {
    size_t count = 0;
    for (size_t i = 0; i < of->piece_count; i++) {
        const reference_piece *piece = &of->pieces[i];
        count += add_knots(of, piece, &breaks[count]);
        if (i + 1 < of->piece_count) {
            double x = piece->piece.span.to_mm;
            breaks[count++] = (reference_break){
                .x_mm = x,
                .steps = true,
                .before = shape_in(of, piece, x),
                .after = shape_in(of, piece + 1, x),
            };
        }
    }
    return count;
}
