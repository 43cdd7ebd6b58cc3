/*
 * trace.c - one kind of contour of one table along the vessel.
 *
 * A lumen's nodes are those of its assessment; a device's are smoothed by the
 * same running median within the same gaps, so that the two never differ by how
 * they were smoothed.
 */
#include "compare/trace.h"

#include "base/circle.h"
#include "base/constants.h"
#include "base/sum.h"
#include "profile/median.h"

#include <math.h>

/* Frames that stand further apart than a gap are no gaps each; one that is
 * missing among them is. */
#define GAP_STEPS 1.5

bl_status trace_pace_of(const bl_study *study, double turn, arena *owner,
                        trace_pace *out) {
    const bl_row *rows = bl_study_rows(study);
    size_t row_count = bl_study_row_count(study);
    double *steps = arena_alloc(owner, row_count, sizeof *steps);
    if (steps == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t count = 0;
    for (size_t i = 1; i < row_count; i++) {
        double step = rows[i].position_mm - rows[i - 1].position_mm;
        if (step > EDGE_MM) {
            steps[count++] = step;
        }
    }
    double step = count == 0 ? 0.0 : median_of(steps, count);
    *out = (trace_pace){step, fmax(GAP_MM, GAP_STEPS * step), turn};
    return BL_OK;
}

static void turn_around(trace *of) {
    for (size_t i = 0; i < of->count / 2; i++) {
        trace_node *a = &of->nodes[i];
        trace_node *b = &of->nodes[of->count - 1 - i];
        trace_node kept = *a;
        *a = *b;
        *b = kept;
    }
}

/* Sets where nodes are compared, until they are placed, and their gaps. */
static void settle(trace *of, const trace_pace *pace) {
    if (pace->turn < 0.0) {
        turn_around(of);
    }
    for (size_t i = 0; i < of->count; i++) {
        trace_node *node = &of->nodes[i];
        node->at_mm = pace->turn * node->own_mm;
        node->starts = i == 0 || node->at_mm - node[-1].at_mm > pace->gap_mm;
    }
}

bl_status trace_of_lumen(const bl_study *study, const bl_assessment *of,
                         const trace_pace *pace, arena *owner, trace *out) {
    const bl_row *rows = bl_study_rows(study);
    trace made = {
        .nodes = arena_alloc(owner, of->profile_count, sizeof *made.nodes)};
    if (made.nodes == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < of->profile_count; i++) {
        const bl_profile_point *point = &of->profile[i];
        made.nodes[made.count++] = (trace_node){
            .own_mm = point->position_mm,
            .raw_mm2 = point->raw_area_mm2,
            .area_mm2 = point->area_mm2,
            .diameter_mm = point->equivalent_diameter_mm,
            .min_mm = point->min_diameter_mm,
            .max_mm = point->max_diameter_mm,
            .reference_mm2 = point->reference_area_mm2,
            .frame = rows[point->row].frame,
            .row = point->row,
        };
    }
    settle(&made, pace);
    *out = made;
    return BL_OK;
}

static bool is_usable_device(const bl_row *row) {
    return row->kind == BL_KIND_DEVICE &&
           (row->measures.flags & BL_FLAGS_LEFT_OUT) == 0;
}

static bl_status take_devices(const bl_study *study, arena *owner, trace *out) {
    const bl_row *rows = bl_study_rows(study);
    size_t row_count = bl_study_row_count(study);
    size_t count = 0;
    for (size_t i = 0; i < row_count; i++) {
        count += is_usable_device(&rows[i]);
    }
    out->nodes = arena_alloc(owner, count, sizeof *out->nodes);
    if (out->nodes == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < row_count; i++) {
        if (is_usable_device(&rows[i])) {
            const bl_measures *of = &rows[i].measures;
            out->nodes[out->count++] = (trace_node){
                .own_mm = rows[i].position_mm,
                .raw_mm2 = of->area_mm2,
                .area_mm2 = of->area_mm2,
                .min_mm = of->min_diameter_mm,
                .max_mm = of->max_diameter_mm,
                .reference_mm2 = UNKNOWN,
                .frame = rows[i].frame,
                .row = i,
            };
        }
    }
    return BL_OK;
}

/* ---------------------------------------------------------------- smoothing */

bl_status trace_room_open(const trace *of, arena *owner, trace_room *out) {
    *out = (trace_room){
        .places = arena_alloc(owner, of->count, sizeof *out->places),
        .slots = arena_alloc(owner, of->count, sizeof *out->slots),
    };
    return out->places == NULL || out->slots == NULL ? BL_ERR_MEMORY : BL_OK;
}

void trace_smooth(const trace *of, const trace_room *with, const double *values,
                  double width_mm, double *out) {
    for (size_t first = 0; first < of->count;) {
        size_t end = first;
        do {
            with->places[end] = of->nodes[end].at_mm;
            end++;
        } while (end < of->count && !of->nodes[end].starts);
        median_running(with->places + first, values + first, end - first,
                       width_mm, with->slots, out + first);
        first = end;
    }
}

typedef double *(*node_number)(trace_node *of);

static double *node_area(trace_node *of) {
    return &of->area_mm2;
}

static double *node_min(trace_node *of) {
    return &of->min_mm;
}

static double *node_max(trace_node *of) {
    return &of->max_mm;
}

static bl_status smooth_all(trace *of, double width_mm, arena *owner) {
    const node_number numbers[] = {node_area, node_min, node_max};
    trace_room room;
    double *values = arena_alloc(owner, of->count, sizeof *values);
    double *smooth = arena_alloc(owner, of->count, sizeof *smooth);
    if (values == NULL || smooth == NULL ||
        trace_room_open(of, owner, &room) != BL_OK) {
        return BL_ERR_MEMORY;
    }
    for (size_t n = 0; n < sizeof numbers / sizeof numbers[0]; n++) {
        for (size_t i = 0; i < of->count; i++) {
            values[i] = *numbers[n](&of->nodes[i]);
        }
        trace_smooth(of, &room, values, width_mm, smooth);
        for (size_t i = 0; i < of->count; i++) {
            *numbers[n](&of->nodes[i]) = smooth[i];
        }
    }
    return BL_OK;
}

bl_status trace_of_device(const bl_study *study, double smooth_mm,
                          const trace_pace *pace, arena *owner, trace *out) {
    trace made = {0};
    bl_status status = take_devices(study, owner, &made);
    if (status != BL_OK) {
        return status;
    }
    settle(&made, pace);
    status = smooth_all(&made, smooth_mm, owner);
    for (size_t i = 0; i < made.count; i++) {
        trace_node *node = &made.nodes[i];
        node->diameter_mm = circle_diameter_mm(node->area_mm2);
    }
    if (status == BL_OK) {
        *out = made;
    }
    return status;
}

void trace_place(trace *of, const bl_alignment *by) {
    for (size_t i = 0; i < of->count; i++) {
        of->nodes[i].at_mm = bl_alignment_before_mm(by, of->nodes[i].own_mm);
    }
}

/* --------------------------------------------------------------- questions */

size_t trace_bound(const trace *of, double at_mm, bool past) {
    size_t low = 0;
    size_t high = of->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        double here = of->nodes[middle].at_mm;
        if (past ? here <= at_mm : here < at_mm) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

trace_run trace_within(const trace *of, bl_span span) {
    size_t first = trace_bound(of, span.from_mm - EDGE_MM, false);
    size_t end = trace_bound(of, span.to_mm + EDGE_MM, true);
    return (trace_run){first, end < first ? first : end};
}

double trace_area_mm2(const trace *of, double at_mm) {
    size_t next = trace_bound(of, at_mm, false);
    if (next < of->count && of->nodes[next].at_mm <= at_mm) {
        return of->nodes[next].area_mm2;
    }
    if (next == 0 || next == of->count || of->nodes[next].starts) {
        return UNKNOWN;
    }
    const trace_node *a = &of->nodes[next - 1];
    const trace_node *b = &of->nodes[next];
    double part = (at_mm - a->at_mm) / (b->at_mm - a->at_mm);
    return circle_area_mm2(a->diameter_mm +
                           part * (b->diameter_mm - a->diameter_mm));
}

bl_span trace_extent(const trace *of) {
    return of->count == 0
               ? (bl_span){UNKNOWN, UNKNOWN}
               : (bl_span){of->nodes[0].at_mm, of->nodes[of->count - 1].at_mm};
}

static bool is_known(const double *values, size_t i) {
    return !isnan(values[i]);
}

/* The plain mean, of nodes that stand for no length. */
static double mean_of_nodes(trace_run run, const double *values) {
    sum all = {0};
    size_t count = 0;
    for (size_t i = run.first; i < run.end; i++) {
        if (is_known(values, i)) {
            sum_add(&all, values[i]);
            count++;
        }
    }
    return count == 0 ? UNKNOWN : sum_value(&all) / (double)count;
}

double trace_mean(const trace *of, trace_run run, const double *values,
                  double *known_mm) {
    sum area = {0};
    sum length = {0};
    for (size_t i = run.first + 1; i < run.end; i++) {
        const trace_node *node = &of->nodes[i];
        if (node->starts || !is_known(values, i) || !is_known(values, i - 1)) {
            continue;
        }
        double step = node->at_mm - node[-1].at_mm;
        sum_add(&length, step);
        sum_add(&area, 0.5 * step * (values[i] + values[i - 1]));
    }
    double known = sum_value(&length);
    if (known_mm != NULL) {
        *known_mm = known;
    }
    return known > 0.0 ? sum_value(&area) / known : mean_of_nodes(run, values);
}

double trace_length_mm(const trace *of, trace_run run) {
    sum length = {0};
    for (size_t i = run.first + 1; i < run.end; i++) {
        if (!of->nodes[i].starts) {
            sum_add(&length, of->nodes[i].at_mm - of->nodes[i - 1].at_mm);
        }
    }
    return sum_value(&length);
}
