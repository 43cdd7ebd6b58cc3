/*
 * healthy.c - where a vein is healthy.
 *
 * Line by line between nodes: of each the part that is healthy, and why the
 * rest is not; parts that touch are one stretch. A line on which a frame was
 * left out, or in which a flattened stretch lies, has no healthy part.
 */
#include "plan/healthy.h"

#include "base/constants.h"

#include <math.h>

typedef struct healthy_scan {
    const bl_assessment *of;
    ground *into;
    const double *left_out; /* places of left-out frames, rising */
    size_t left_out_count;
    double share; /* of the reference's diameter at the shoulder level */
    ground_healthy *list;
    size_t count;
    bool open;      /* the last of the list goes on */
    bl_border last; /* what was met last */
} healthy_scan;

/* The healthy part of a line; none where to < from. */
typedef struct line_part {
    double from_mm;
    double to_mm;
    bl_border why; /* the rest is not */
} line_part;

static bool left_out_in(const healthy_scan *in, double from_mm, double to_mm) {
    size_t low = 0;
    size_t high = in->left_out_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (in->left_out[middle] < from_mm - EDGE_MM) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low < in->left_out_count && in->left_out[low] <= to_mm + EDGE_MM;
}

static bool flattened_in(const healthy_scan *in, double from_mm, double to_mm) {
    for (size_t i = 0; i < in->of->compression_count; i++) {
        const bl_compression *one = &in->of->compressions[i];
        bl_span span =
            ground_span(in->into, one->span.from_mm, one->span.to_mm);
        bl_span line = {from_mm, to_mm};
        /* ground_span turns positions into places as well as back. */
        if (span.from_mm < line.to_mm - EDGE_MM &&
            span.to_mm > line.from_mm + EDGE_MM) {
            return true;
        }
        double at = ground_at(in->into, one->place.position_mm);
        if (at >= from_mm - EDGE_MM && at <= to_mm + EDGE_MM) {
            return true;
        }
    }
    return false;
}

/* How much wider than the shoulder level; 0 is healthy. */
static double spare_mm(const healthy_scan *in, const ground_node *node) {
    double spare =
        node->diameter_mm - in->share * node->reference_mm[BL_SIZE_BY_AREA];
    return fabs(spare) <= EDGE_MM ? 0.0 : spare;
}

static line_part part_of(const healthy_scan *in, size_t i) {
    const ground_node *a = &in->into->nodes[i - 1];
    const ground_node *b = &in->into->nodes[i];
    line_part none = {HUGE_VAL, -HUGE_VAL, BL_BORDER_SHOULDER};
    double first = spare_mm(in, a);
    double last = spare_mm(in, b);
    if (!b->joined) {
        none.why = BL_BORDER_GAP;
    } else if (isnan(first) || isnan(last)) {
        none.why = BL_BORDER_REFERENCE;
    } else if (left_out_in(in, a->at_mm, b->at_mm)) {
        none.why = BL_BORDER_LEFT_OUT;
    } else if (flattened_in(in, a->at_mm, b->at_mm)) {
        none.why = BL_BORDER_COMPRESSION;
    } else if (first >= 0.0 || last >= 0.0) {
        bool whole = first >= 0.0 && last >= 0.0;
        double part = whole ? 1.0 : first / (first - last);
        double at = whole ? b->at_mm : a->at_mm + part * (b->at_mm - a->at_mm);
        return (line_part){first >= 0.0 ? a->at_mm : at,
                           first >= 0.0 ? at : b->at_mm, BL_BORDER_SHOULDER};
    }
    return none;
}

static void end_stretch(healthy_scan *in, double at_mm, bl_border why) {
    ground_healthy *one = &in->list[in->count];
    one->to_mm = at_mm;
    one->after = why;
    in->open = false;
    in->last = why;
    in->count += one->to_mm - one->from_mm > EDGE_MM;
}

static void take_line(healthy_scan *in, size_t i) {
    double from = in->into->nodes[i - 1].at_mm;
    double to = in->into->nodes[i].at_mm;
    line_part part = part_of(in, i);
    if (in->open && (part.from_mm > from || part.to_mm < part.from_mm)) {
        end_stretch(in, from, part.why);
    }
    if (part.to_mm < part.from_mm) {
        in->last = part.why;
        return;
    }
    if (!in->open) {
        in->list[in->count] = (ground_healthy){
            .from_mm = part.from_mm,
            .before = part.from_mm > from ? part.why : in->last,
        };
        in->open = true;
    }
    if (part.to_mm < to) {
        end_stretch(in, part.to_mm, part.why);
    }
}

/* Beyond the first or last usable frame there may be one that was left out. */
static bl_border border_beyond(const healthy_scan *in, bool caudally) {
    double end = in->into->nodes[caudally ? in->into->count - 1 : 0].at_mm;
    size_t n = in->left_out_count;
    bool more = n > 0 && (caudally ? in->left_out[n - 1] >= end - EDGE_MM
                                   : in->left_out[0] <= end + EDGE_MM);
    return more ? BL_BORDER_LEFT_OUT : BL_BORDER_PULLBACK;
}

static bl_status places_of_left_out(const bl_study *study, arena *owner,
                                    healthy_scan *in) {
    size_t count = in->of->left_out_count;
    double *places = arena_alloc(owner, count, sizeof *places);
    if (places == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        size_t index = in->into->turn > 0.0 ? i : count - 1 - i;
        const bl_row *row = &bl_study_rows(study)[in->of->left_out[index]];
        places[i] = ground_at(in->into, row->position_mm);
    }
    in->left_out = places;
    in->left_out_count = count;
    return BL_OK;
}

/* Vein without a reference may begin at the confluence itself. */
static void end_at(bl_border *border, double edge_mm, double at_mm) {
    if (*border == BL_BORDER_REFERENCE && fabs(at_mm - edge_mm) <= EDGE_MM) {
        *border = BL_BORDER_CONFLUENCE;
    }
}

/* A device across a confluence would lie in another vein. */
static void part_at(healthy_scan *in, double at_mm) {
    for (size_t i = 0; i < in->count; i++) {
        ground_healthy *one = &in->list[i];
        if (at_mm > one->from_mm + EDGE_MM && at_mm < one->to_mm - EDGE_MM) {
            for (size_t k = in->count++; k > i; k--) {
                in->list[k] = in->list[k - 1];
            }
            one->to_mm = at_mm;
            one->after = BL_BORDER_CONFLUENCE;
            one[1].from_mm = at_mm;
            one[1].before = BL_BORDER_CONFLUENCE;
            break;
        }
        end_at(&one->before, one->from_mm, at_mm);
        end_at(&one->after, one->to_mm, at_mm);
    }
}

bl_status healthy_find(const bl_study *study, const bl_assessment *assessment,
                       arena *owner, ground *into) {
    healthy_scan in = {
        .of = assessment,
        .into = into,
        .share = sqrt(1.0 - assessment->options.shoulder_pct / 100.0),
    };
    bl_status status = places_of_left_out(study, owner, &in);
    in.list = arena_alloc(owner, into->count + 1 + into->confluence_count,
                          sizeof *in.list);
    if (status != BL_OK || in.list == NULL) {
        return BL_ERR_MEMORY;
    }
    in.last = border_beyond(&in, false);
    for (size_t i = 1; i < into->count; i++) {
        take_line(&in, i);
    }
    if (in.open) {
        end_stretch(&in, into->nodes[into->count - 1].at_mm,
                    border_beyond(&in, true));
    }
    for (size_t i = 0; i < into->confluence_count; i++) {
        part_at(&in, into->confluences[i]);
    }
    into->left_out = in.left_out;
    into->left_out_count = in.left_out_count;
    into->healthy = in.list;
    into->healthy_count = in.count;
    return BL_OK;
}
