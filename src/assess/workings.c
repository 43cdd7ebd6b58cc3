/*
 * workings.c - what the parts of an assessment share.
 */
#include "assess/workings.h"

#include "base/constants.h"
#include "profile/beside.h"

#include <float.h>
#include <math.h>

double workings_diameter_share(double area_stenosis_pct) {
    return sqrt(1.0 - area_stenosis_pct / 100.0);
}

double workings_shared_mm(bl_span a, bl_span b) {
    double length = fmin(a.to_mm, b.to_mm) - fmax(a.from_mm, b.from_mm);
    return fmax(length, 0.0);
}

/* One thing that is known along the vessel and in the reference. */
typedef struct quantity {
    double (*of_point)(const bl_profile_point *point);
    double (*of_shape)(const reference_shape *shape);
} quantity;

static double point_diameter(const bl_profile_point *point) {
    return point->equivalent_diameter_mm;
}

static double shape_diameter(const reference_shape *shape) {
    return shape->diameter_mm;
}

static double shape_flatness(const reference_shape *shape) {
    return shape->flatness;
}

static const quantity calibre = {point_diameter, shape_diameter};
static const quantity flatness = {profile_flatness, shape_flatness};

/* A course under way, and the last point in it. */
typedef struct builder {
    course *to;
    quantity what;
    reference_break breaks[REFERENCE_BREAKS];
    size_t break_count;
    bool broken; /* the next node starts a stretch */
    bool any;    /* there is a last point */
    double last_mm;
    double last_value;
} builder;

static void add_node(builder *in, double x_mm, double value, double level,
                     bool knot, size_t point) {
    if (isnan(level)) {
        in->broken = true;
        return;
    }
    in->to->nodes[in->to->count++] =
        (course_node){x_mm, value, level, in->broken, knot, point};
    in->broken = false;
}

/* The nodes of breaks from the last point to the next, that is `point`. A step
 * at one of the two adds what they leave open: a point itself is a node at the
 * level of the vein that it belongs to. */
static void add_breaks(builder *in, double x_mm, double value, size_t point) {
    double step = x_mm - in->last_mm;
    for (size_t i = 0; i < in->break_count; i++) {
        const reference_break *at = &in->breaks[i];
        bool behind = at->x_mm > in->last_mm;
        bool ahead = at->x_mm < x_mm;
        double part = (at->x_mm - in->last_mm) / step;
        double here = in->last_value * (1.0 - part) + value * part;
        bool first = at->steps ? behind && at->x_mm <= x_mm : behind && ahead;
        if (first) {
            add_node(in, at->x_mm, here, in->what.of_shape(&at->before), true,
                     point);
        }
        if (at->steps && ahead && at->x_mm >= in->last_mm) {
            add_node(in, at->x_mm, here, in->what.of_shape(&at->after), true,
                     point);
        }
    }
}

static void add_point(builder *in, const bl_profile_point *at,
                      const reference *of, size_t point) {
    double value = in->what.of_point(at);
    if (isnan(value)) {
        return;
    }
    if (!in->any || at->position_mm - in->last_mm > GAP_MM) {
        in->broken = true;
    } else {
        add_breaks(in, at->position_mm, value, point);
    }
    reference_shape healthy = reference_shape_at(of, at->position_mm);
    add_node(in, at->position_mm, value, in->what.of_shape(&healthy), false,
             point);
    in->any = true;
    in->last_mm = at->position_mm;
    in->last_value = value;
}

static bl_status build_course(const workings *work, const reference *of,
                              quantity what, arena *owner, course *out) {
    const profile *along = &work->profile;
    course built = {arena_alloc(owner, along->count + REFERENCE_BREAKS * 2,
                                sizeof *built.nodes),
                    0};
    if (built.nodes == NULL) {
        return BL_ERR_MEMORY;
    }
    builder in = {.to = &built, .what = what};
    in.break_count = reference_breaks(of, in.breaks);
    for (size_t i = 0; i < along->count; i++) {
        add_point(&in, &along->points[i], of, i);
    }
    *out = built;
    return BL_OK;
}

bl_status workings_calibre_course(const workings *work, const reference *of,
                                  arena *owner, course *out) {
    return build_course(work, of, calibre, owner, out);
}

bl_status workings_flatness_course(const workings *work, const reference *of,
                                   arena *owner, course *out) {
    return build_course(work, of, flatness, owner, out);
}

bl_status workings_calibre(const workings *work, double width_mm, double *out) {
    const profile *along = &work->profile;
    median_slot *slots = arena_alloc(work->owner, along->count, sizeof *slots);
    double *x = arena_alloc(work->owner, along->count, sizeof *x);
    double *d = arena_alloc(work->owner, along->count, sizeof *d);
    if (slots == NULL || x == NULL || d == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < along->count; i++) {
        x[i] = along->points[i].position_mm;
        d[i] = along->points[i].equivalent_diameter_mm;
    }
    for (size_t i = 0; i < along->count;) {
        size_t end = profile_stretch_end(along->points, along->count, i);
        median_running(x + i, d + i, end - i, width_mm, slots, out + i);
        i = end;
    }
    return BL_OK;
}

double workings_normal_area_mm2(const workings *work, bl_vein vein) {
    return bl_normals_area_mm2(work->options.expected, vein,
                               work->pullback->side);
}

bl_vein workings_least_normal(const workings *work, size_t above) {
    bl_vein out = BL_VEIN_UNKNOWN;
    double passed = 0.0;
    for (size_t k = 0; k <= above; k++) {
        double least = HUGE_VAL;
        for (unsigned i = BL_VEIN_CAVA; i <= BL_VEIN_FEMORAL; i++) {
            double area = workings_normal_area_mm2(work, (bl_vein)i);
            /* Comparisons with what is unknown, NaN, are false. */
            if (area > passed && area < least) {
                least = area;
                out = (bl_vein)i;
            }
        }
        passed = fmin(least, DBL_MAX);
    }
    return out;
}

void workings_share_segment(const workings *work, bl_segment *segment) {
    double middle = 0.5 * (segment->span.from_mm + segment->span.to_mm);
    segment->vein = vein_line_at(&work->veins, middle);
    segment->normal_area_mm2 = workings_normal_area_mm2(work, segment->vein);
    segment->share_of_normal_pct =
        100.0 * segment->area_mm2 / segment->normal_area_mm2;
}

static bool serves(const workings *work, size_t segment, double position_mm) {
    const reference_link *link =
        reference_link_at(&work->reference, position_mm);
    bool found = false;
    for (size_t i = 0; link != NULL && i < link->count; i++) {
        found = found || link->segments[i] == segment;
    }
    return found;
}

bl_status workings_segments(const workings *work, double worst_mm,
                            const bl_segment **out) {
    size_t count = work->reference.count;
    bl_segment *segments = arena_alloc(work->owner, count, sizeof *segments);
    if (segments == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        segments[i] = work->reference.segments[i];
        workings_share_segment(work, &segments[i]);
        segments[i].serves_worst = serves(work, i, worst_mm);
    }
    *out = segments;
    return BL_OK;
}

static double stenosis_pct(double healthy, double value) {
    return 100.0 * (healthy - value) / healthy;
}

static bl_doubt doubt_of(const workings *work, size_t row) {
    const bl_row *rows = work->rows;
    size_t count = work->row_count;
    bl_doubt out = {
        .jump = (rows[row].measures.flags & BL_FLAG_JUMP) != 0,
        .tracing = (rows[row].measures.flags & BL_FLAG_DOUBTED) != 0,
        .left_out = beside_left_out(rows, count, row),
    };
    if (beside_is_cut(rows, count, row)) {
        out.points_few = rows[row].points;
        out.points_beside = beside_points(rows, count, row);
    }
    return out;
}

bl_place workings_place(const workings *work, size_t index) {
    const bl_profile_point *point = &work->profile.points[index];
    reference_shape healthy =
        reference_shape_at(&work->reference, point->position_mm);
    double diameter = healthy.diameter_mm;
    double area = healthy.area_mm2;
    bl_vein vein = vein_line_at(&work->veins, point->position_mm);
    double normal = workings_normal_area_mm2(work, vein);
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
        .normal_area_mm2 = normal,
        .share_of_normal_pct = 100.0 * point->area_mm2 / normal,
        .doubt = doubt_of(work, point->row),
    };
}

size_t workings_least_of(const profile *along) {
    size_t best = 0;
    for (size_t i = 1; i < along->count; i++) {
        if (along->points[i].area_mm2 < along->points[best].area_mm2) {
            best = i;
        }
    }
    return best;
}

size_t workings_worst_of(const workings *work, course_points among) {
    const profile *along = &work->profile;
    size_t best = among.first;
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
