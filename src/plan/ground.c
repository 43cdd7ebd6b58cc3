/*
 * ground.c - the vein as a plan sees it.
 *
 * Frames are joined by straight lines in equivalent diameter, and so is the
 * reference; where it steps, two nodes stand at one place. The reference's
 * perimeter is not a part of an assessment's profile: its ratio to the area's
 * diameter is taken from the segments, linear in perimeter and in diameter
 * between their middles and constant beyond them, which is exact for a taper.
 */
#include "plan/ground.h"

#include "base/circle.h"
#include "plan/healthy.h"

#include <math.h>
#include <string.h>

#define BY_AREA BL_SIZE_BY_AREA
#define BY_PERIMETER BL_SIZE_BY_PERIMETER

double ground_at(const ground *of, double position_mm) {
    return of->turn * position_mm;
}

double ground_position(const ground *of, double at_mm) {
    return of->turn * at_mm;
}

bl_span ground_span(const ground *of, double from_mm, double to_mm) {
    return of->turn > 0.0 ? (bl_span){from_mm, to_mm}
                          : (bl_span){-to_mm, -from_mm};
}

/* --------------------------------------------------- the reference's shape */

static double between(double a, double b, double part) {
    return a + part * (b - a);
}

static double middle_mm(const bl_segment *segment) {
    return 0.5 * (segment->span.from_mm + segment->span.to_mm);
}

/* Whether the rule takes one segment of two, and which. */
static bool takes_one(const bl_assessment *of, size_t *which) {
    const bl_segment *a = of->segments;
    *which = 0;
    if (of->segment_count != 2) {
        return of->segment_count == 1;
    }
    switch (of->options.rule) {
    case BL_RULE_CRANIAL:
        *which = a[0].where == BL_END_CRANIAL ? 0 : 1;
        return true;
    case BL_RULE_CAUDAL:
        *which = a[0].where == BL_END_CAUDAL ? 0 : 1;
        return true;
    case BL_RULE_LARGEST:
        *which = a[0].area_mm2 >= a[1].area_mm2 ? 0 : 1;
        return true;
    case BL_RULE_TAPER:
    case BL_RULE_MEAN:
    default:
        return false;
    }
}

/* Perimeter diameter / equivalent diameter; NaN without segments. */
static double perimeter_ratio(const bl_assessment *of, double position_mm) {
    if (of->segment_count == 0) {
        return UNKNOWN;
    }
    size_t first = 0;
    size_t second = 0;
    if (takes_one(of, &first)) {
        second = first;
    } else {
        second = 1;
        while (second + 1 < of->segment_count &&
               position_mm > middle_mm(&of->segments[second])) {
            second++;
        }
        first = second - 1;
    }
    const bl_segment *a = &of->segments[first];
    const bl_segment *b = &of->segments[second];
    double length = middle_mm(b) - middle_mm(a);
    double part = length > 0.0 ? (position_mm - middle_mm(a)) / length : 0.0;
    part = fmin(fmax(part, 0.0), 1.0);
    double perimeter = between(a->perimeter_mm, b->perimeter_mm, part);
    double diameter =
        between(a->equivalent_diameter_mm, b->equivalent_diameter_mm, part);
    return perimeter / PI / diameter;
}

static void set_reference(ground_node *node, const bl_assessment *of,
                          double position_mm, double area_mm2) {
    double diameter = circle_diameter_mm(area_mm2);
    node->reference_mm[BY_AREA] = diameter;
    node->reference_mm[BY_PERIMETER] =
        diameter * perimeter_ratio(of, position_mm);
}

/* ------------------------------------------------------------------- nodes */

typedef struct builder {
    const bl_assessment *of;
    ground *into;
    ground_node *nodes;
    size_t count;
    size_t steps; /* taken */
} builder;

/* The number of the i-th of n in caudal order. */
static size_t turned(const ground *of, size_t i, size_t n) {
    return of->turn > 0.0 ? i : n - 1 - i;
}

static ground_node node_of_frame(const builder *in, size_t i) {
    const bl_assessment *of = in->of;
    size_t n = of->profile_count;
    size_t index = turned(in->into, i, n);
    const bl_profile_point *point = &of->profile[index];
    /* The line between two frames belongs to the one at the higher position. */
    const bl_profile_point *line = in->into->turn > 0.0 ? point : point + 1;
    ground_node out = {
        .at_mm = ground_at(in->into, point->position_mm),
        .diameter_mm = point->equivalent_diameter_mm,
        .aspect_ratio = point->max_diameter_mm / point->min_diameter_mm,
        .joined = i > 0 && !line->after_gap,
    };
    set_reference(&out, of, point->position_mm, point->reference_area_mm2);
    return out;
}

/* Both sides of a step between two frames; at a frame only the cranial side,
 * since the border is its caudal vein's. */
static void add_step(builder *in, const ground_node *next, double at_mm,
                     const bl_step *step) {
    const ground_node *last = &in->nodes[in->count - 1];
    double length = next->at_mm - last->at_mm;
    double part = length > 0.0 ? (at_mm - last->at_mm) / length : 1.0;
    ground_node side = *next;
    side.at_mm = at_mm;
    side.diameter_mm = next->joined
                           ? between(last->diameter_mm, next->diameter_mm, part)
                           : UNKNOWN;
    side.aspect_ratio =
        next->joined ? between(last->aspect_ratio, next->aspect_ratio, part)
                     : UNKNOWN;
    bool forward = in->into->turn > 0.0;
    double cranial = forward ? step->before_area_mm2 : step->after_area_mm2;
    double caudal = forward ? step->after_area_mm2 : step->before_area_mm2;
    set_reference(&side, in->of, step->position_mm, cranial);
    in->nodes[in->count++] = side;
    if (at_mm < next->at_mm) {
        set_reference(&side, in->of, step->position_mm, caudal);
        in->nodes[in->count++] = side;
    }
}

static void add_frame(builder *in, size_t i) {
    ground_node next = node_of_frame(in, i);
    while (i > 0 && in->steps < in->of->step_count) {
        const bl_step *step =
            &in->of->steps[turned(in->into, in->steps, in->of->step_count)];
        double at = ground_at(in->into, step->position_mm);
        if (at > next.at_mm) {
            break;
        }
        add_step(in, &next, at, step);
        in->steps++;
    }
    in->nodes[in->count++] = next;
}

/* ----------------------------------------------------------------- the sums */

static void sum_line(const ground_node *a, const ground_node *b, double to_mm,
                     ground_sum *into) {
    double whole = b->at_mm - a->at_mm;
    double part = whole > 0.0 ? (to_mm - a->at_mm) / whole : 0.0;
    if (isnan(a->reference_mm[BY_AREA]) || isnan(b->reference_mm[BY_AREA])) {
        return;
    }
    for (int by = 0; by < 2; by++) {
        double end = between(a->reference_mm[by], b->reference_mm[by], part);
        into->reference_mm2[by] +=
            0.5 * (a->reference_mm[by] + end) * part * whole;
    }
    into->known_mm += part * whole;
}

static bl_status sum_all(ground *out, arena *owner) {
    ground_sum *sums = arena_alloc(owner, out->count, sizeof *sums);
    if (sums == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 1; i < out->count; i++) {
        sums[i] = sums[i - 1];
        sum_line(&out->nodes[i - 1], &out->nodes[i], out->nodes[i].at_mm,
                 &sums[i]);
    }
    out->sums = sums;
    return BL_OK;
}

static void find_confluences(const bl_pullback *pullback, ground *out) {
    for (size_t i = 0; i < pullback->mark_count; i++) {
        const bl_mark *mark = &pullback->marks[i];
        if (out->confluence_count < 2 &&
            (strcmp(mark->name, GROUND_ILIOCAVAL) == 0 ||
             strcmp(mark->name, GROUND_FEMORAL) == 0)) {
            out->confluences[out->confluence_count++] =
                ground_at(out, mark->position_mm);
        }
    }
}

bl_status ground_build(const bl_study *study, const bl_assessment *assessment,
                       arena *owner, ground *out) {
    const bl_pullback *pullback = bl_study_pullback(study);
    ground made = {
        .turn = pullback->travel == BL_END_CAUDAL ? 1.0 : -1.0,
        .has_perimeter = assessment->segment_count > 0,
    };
    find_confluences(pullback, &made);
    builder in = {.of = assessment, .into = &made};
    in.nodes = arena_alloc(
        owner, assessment->profile_count + 2 * assessment->step_count,
        sizeof *in.nodes);
    if (in.nodes == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < assessment->profile_count; i++) {
        add_frame(&in, i);
    }
    made.nodes = in.nodes;
    made.count = in.count;
    bl_status status = sum_all(&made, owner);
    if (status == BL_OK) {
        status = healthy_find(study, assessment, owner, &made);
    }
    if (status == BL_OK) {
        *out = made;
    }
    return status;
}

/* --------------------------------------------------------------- questions */

/* The last node at or before a place; the first where there is none. */
static size_t node_before(const ground *of, double at_mm) {
    size_t low = 0;
    size_t high = of->count;
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (of->nodes[middle].at_mm <= at_mm) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

ground_sum ground_sum_at(const ground *of, double at_mm) {
    size_t i = node_before(of, at_mm);
    ground_sum out = of->sums[i];
    if (i + 1 < of->count && at_mm > of->nodes[i].at_mm) {
        sum_line(&of->nodes[i], &of->nodes[i + 1], at_mm, &out);
    }
    return out;
}

ground_mean ground_mean_of(ground_sum from, ground_sum to) {
    ground_mean out = {.known_mm = to.known_mm - from.known_mm};
    for (int by = 0; by < 2; by++) {
        out.reference_mm[by] =
            out.known_mm > GROUND_SAME_MM
                ? (to.reference_mm2[by] - from.reference_mm2[by]) / out.known_mm
                : UNKNOWN;
    }
    return out;
}

ground_mean ground_mean_over(const ground *of, double from_mm, double to_mm) {
    return ground_mean_of(ground_sum_at(of, from_mm), ground_sum_at(of, to_mm));
}

ground_node ground_node_at(const ground *of, double at_mm) {
    const ground_node nothing = {
        at_mm, UNKNOWN, UNKNOWN, {UNKNOWN, UNKNOWN}, false};
    size_t i = node_before(of, at_mm);
    const ground_node *a = &of->nodes[i];
    const ground_node *b = i + 1 < of->count ? a + 1 : a;
    if (at_mm < a->at_mm - GROUND_SAME_MM ||
        at_mm > b->at_mm + GROUND_SAME_MM) {
        return nothing;
    }
    double whole = b->at_mm - a->at_mm;
    double part = whole > 0.0 ? (at_mm - a->at_mm) / whole : 0.0;
    part = fmin(fmax(part, 0.0), 1.0);
    if (!(part > 0.0)) {
        return *a;
    }
    ground_node out = nothing;
    for (int by = 0; by < 2; by++) {
        out.reference_mm[by] =
            between(a->reference_mm[by], b->reference_mm[by], part);
    }
    if (b->joined) {
        out.diameter_mm = between(a->diameter_mm, b->diameter_mm, part);
        out.aspect_ratio = between(a->aspect_ratio, b->aspect_ratio, part);
    }
    return out;
}

/* Whether frames follow each other, with a reference, from node i - 1 to i. */
static bool is_known(const ground *of, size_t i) {
    const ground_node *a = &of->nodes[i - 1];
    const ground_node *b = &of->nodes[i];
    return b->joined && !isnan(a->reference_mm[BY_AREA]) &&
           !isnan(b->reference_mm[BY_AREA]);
}

double ground_known_to(const ground *of, double at_mm, bool caudally) {
    size_t i = node_before(of, at_mm + (caudally ? GROUND_SAME_MM : 0.0));
    if (caudally) {
        while (i + 1 < of->count && is_known(of, i + 1)) {
            i++;
        }
        return fmax(at_mm, of->nodes[i].at_mm);
    }
    /* The first node at or after the place. */
    while (i + 1 < of->count && of->nodes[i].at_mm < at_mm - GROUND_SAME_MM) {
        i++;
    }
    while (i > 0 && is_known(of, i)) {
        i--;
    }
    return fmin(at_mm, of->nodes[i].at_mm);
}

void ground_add_healthy(const ground *of, double from_mm, double to_mm,
                        ground_part *to) {
    for (size_t i = 0; i < of->healthy_count; i++) {
        double first = fmax(of->healthy[i].from_mm, from_mm);
        double last = fmin(of->healthy[i].to_mm, to_mm);
        if (last - first > GROUND_SAME_MM) {
            to->length_mm += last - first;
            to->from_mm = fmin(to->from_mm, first); /* passes over NaN */
            to->to_mm = fmax(to->to_mm, last);
        }
    }
}

double ground_unseen_mm(const ground *of, double from_mm, double to_mm) {
    double seen = 0.0;
    for (size_t i = 1; i < of->count; i++) {
        double length = fmin(of->nodes[i].at_mm, to_mm) -
                        fmax(of->nodes[i - 1].at_mm, from_mm);
        seen += of->nodes[i].joined ? fmax(length, 0.0) : 0.0;
    }
    return fmax(to_mm - from_mm - seen, 0.0);
}

bool ground_is_unjudged(const ground *of, size_t i) {
    return of->nodes[i].joined &&
           (isnan(of->nodes[i - 1].reference_mm[BY_AREA]) ||
            isnan(of->nodes[i].reference_mm[BY_AREA]));
}

double ground_unjudged_mm(const ground *of, double from_mm, double to_mm) {
    double sum = 0.0;
    for (size_t i = 1; i < of->count; i++) {
        double length = fmin(of->nodes[i].at_mm, to_mm) -
                        fmax(of->nodes[i - 1].at_mm, from_mm);
        sum += ground_is_unjudged(of, i) ? fmax(length, 0.0) : 0.0;
    }
    return sum;
}

const ground_healthy *ground_healthy_at(const ground *of, double at_mm) {
    for (size_t i = 0; i < of->healthy_count; i++) {
        if (at_mm >= of->healthy[i].from_mm - GROUND_PRINTED_MM &&
            at_mm <= of->healthy[i].to_mm + GROUND_PRINTED_MM) {
            return &of->healthy[i];
        }
    }
    return NULL;
}
