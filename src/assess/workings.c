/*
 * workings.c - what the parts of an assessment share.
 */
#include "assess/workings.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

double workings_diameter_share(double area_stenosis_pct) {
    return sqrt(1.0 - area_stenosis_pct / 100.0);
}

/* The smoothed diameter between points i and i + 1. */
static double diameter_between(const bl_profile_point *points, size_t i,
                               double x_mm) {
    double step = points[i + 1].position_mm - points[i].position_mm;
    double part = (x_mm - points[i].position_mm) / step;
    return points[i].equivalent_diameter_mm * (1.0 - part) +
           points[i + 1].equivalent_diameter_mm * part;
}

static void add_node(course *to, double x_mm, double value, double level,
                     bool starts, size_t point) {
    to->nodes[to->count++] = (course_node){x_mm, value, level, starts, point};
}

bl_status workings_calibre_course(const workings *work, const reference *of,
                                  course *out) {
    const profile *along = &work->profile;
    double knots[2];
    size_t knot_count = reference_knots_mm(of, knots);
    course built = {arena_alloc(work->owner, along->count + knot_count,
                                sizeof *built.nodes),
                    0};
    if (built.nodes == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t knot = 0;
    for (size_t i = 0; i < along->count; i++) {
        const bl_profile_point *point = &along->points[i];
        add_node(&built, point->position_mm, point->equivalent_diameter_mm,
                 reference_diameter_mm(of, point->position_mm),
                 point->after_gap, i);
        if (i + 1 == along->count) {
            break;
        }
        double next = along->points[i + 1].position_mm;
        for (; knot < knot_count && knots[knot] < next; knot++) {
            if (knots[knot] > point->position_mm && !point[1].after_gap) {
                add_node(&built, knots[knot],
                         diameter_between(along->points, i, knots[knot]),
                         reference_diameter_mm(of, knots[knot]), false, i + 1);
            }
        }
    }
    *out = built;
    return BL_OK;
}

bl_status workings_flatness_course(const workings *work, const reference *of,
                                   course *out) {
    const profile *along = &work->profile;
    course built = {arena_alloc(work->owner, along->count, sizeof *built.nodes),
                    0};
    if (built.nodes == NULL) {
        return BL_ERR_MEMORY;
    }
    double last_mm = -HUGE_VAL;
    for (size_t i = 0; i < along->count; i++) {
        const bl_profile_point *point = &along->points[i];
        double flatness = profile_flatness(point);
        if (isnan(flatness)) {
            continue;
        }
        add_node(&built, point->position_mm, flatness,
                 reference_flatness(of, point->position_mm),
                 point->position_mm - last_mm > GAP_MM, i);
        last_mm = point->position_mm;
    }
    *out = built;
    return BL_OK;
}

static double stenosis_pct(double healthy, double value) {
    return 100.0 * (healthy - value) / healthy;
}

bl_place workings_place(const workings *work, size_t index) {
    const bl_profile_point *point = &work->profile.points[index];
    double diameter =
        reference_diameter_mm(&work->reference, point->position_mm);
    double area = circle_area_mm2(diameter);
    bl_vein vein = vein_line_at(&work->veins, point->position_mm);
    return (bl_place){
        .frame = work->rows[point->row].frame,
        .row = point->row,
        .position_mm = point->position_mm,
        .area_mm2 = point->area_mm2,
        .equivalent_diameter_mm = point->equivalent_diameter_mm,
        .min_diameter_mm = point->min_diameter_mm,
        .max_diameter_mm = point->max_diameter_mm,
        .reference_area_mm2 = area,
        .area_stenosis_pct = stenosis_pct(area, point->area_mm2),
        .diameter_stenosis_pct =
            stenosis_pct(diameter, point->equivalent_diameter_mm),
        .min_diameter_stenosis_pct =
            stenosis_pct(diameter, point->min_diameter_mm),
        .vein = vein,
        .share_of_normal_pct =
            100.0 * point->area_mm2 / bl_vein_normal_area_mm2(vein),
    };
}

size_t workings_worst_of(const workings *work, course_points among) {
    const profile *along = &work->profile;
    size_t best = among.first < along->count ? among.first : along->count - 1;
    double best_ratio = HUGE_VAL;
    for (size_t i = among.first; i < among.end; i++) {
        const bl_profile_point *point = &along->points[i];
        double ratio =
            point->equivalent_diameter_mm /
            reference_diameter_mm(&work->reference, point->position_mm);
        if (ratio < best_ratio) {
            best = i;
            best_ratio = ratio;
        }
    }
    return best;
}
