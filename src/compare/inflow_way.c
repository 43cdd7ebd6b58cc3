/*
 * inflow_way.c - what lies in the way of an inflow: its own vein between its
 * stretch and the vein that candidates share.
 *
 * All that comes through the stretch has to pass there. Where no mark tells of
 * shared vein, the way is all that was traced cranial of the stretch.
 */
#include "compare/inflow.h"

#include "base/constants.h"

#include <math.h>

/* At least so long, to be more than the stretch's own end. */
static bool is_in(bl_span span, bl_span way) {
    return fmin(span.to_mm, way.to_mm) - fmax(span.from_mm, way.from_mm) >
           EDGE_MM;
}

/* Its length is 0 or less where there is none. */
static bl_span way_span(const bl_inflow_candidate *of, const bl_mark *border) {
    const bl_assessment *all = of->input.assessment;
    bl_span own = all->inflow.span;
    bool caudally = bl_study_pullback(of->input.study)->travel == BL_END_CAUDAL;
    if (all->profile_count == 0) {
        return (bl_span){own.from_mm, own.from_mm};
    }
    double first = all->profile[0].position_mm;
    double last = all->profile[all->profile_count - 1].position_mm;
    if (border != NULL) {
        first = fmax(first, border->position_mm);
        last = fmin(last, border->position_mm);
    }
    return caudally ? (bl_span){first, own.from_mm}
                    : (bl_span){own.to_mm, last};
}

static const bl_span *gap_in(const bl_assessment *of, bl_span way) {
    for (size_t i = 0; i < of->gap_count; i++) {
        if (is_in(of->gaps[i], way)) {
            return &of->gaps[i];
        }
    }
    return NULL;
}

/* The most severe of those whose worst place lies there: one that is worst in
 * the stretch is in the stretch's own figures. */
static const bl_narrowing *narrowing_in(const bl_assessment *of, bl_span way) {
    const bl_narrowing *out = NULL;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        double at = one->worst.position_mm;
        if (at >= way.from_mm && at <= way.to_mm && is_in(one->span, way) &&
            (out == NULL ||
             one->worst.area_stenosis_pct > out->worst.area_stenosis_pct)) {
            out = one;
        }
    }
    return out;
}

static const bl_profile_point *least_in(const bl_assessment *of, bl_span way) {
    const bl_profile_point *out = NULL;
    for (size_t i = 0; i < of->profile_count; i++) {
        const bl_profile_point *at = &of->profile[i];
        if (at->position_mm >= way.from_mm && at->position_mm <= way.to_mm &&
            (out == NULL || at->area_mm2 < out->area_mm2)) {
            out = at;
        }
    }
    return out;
}

/* Below this an area there is smaller than the stretch's least: by more than
 * the interval of that is wide, as both have their error, or so much that the
 * vein no longer stands apart from one that its stretch stands apart from.
 * Nothing is below it where no interval is known. */
static double limit_mm2(const inflow *all, const bl_inflow_candidate *of) {
    const bl_inflow_figure *own = inflow_figure(of, BL_INFLOW_MIN_AREA);
    double limit = own->value - (own->interval.high - own->interval.low);
    if (isnan(limit)) {
        return 0.0;
    }
    for (size_t i = 0; i < all->public.candidate_count; i++) {
        double high = inflow_figure(&all->candidates[i], BL_INFLOW_MIN_AREA)
                          ->interval.high;
        if (high < own->interval.low && high > limit) {
            limit = high;
        }
    }
    return fmin(limit, own->value);
}

inflow_way inflow_way_of(const inflow *all, const bl_inflow_candidate *of) {
    const bl_assessment *from = of->input.assessment;
    const bl_mark *border = inflow_next_border(of);
    bl_span way = way_span(of, border);
    inflow_way out = {.is_bordered = border != NULL};
    if (inflow_border_of(of).mark != NULL ||
        !(way.to_mm - way.from_mm > EDGE_MM)) {
        return out;
    }
    out.gap = gap_in(from, way);
    out.narrowing = narrowing_in(from, way);
    const bl_profile_point *least = least_in(from, way);
    if (least != NULL && least->area_mm2 < limit_mm2(all, of)) {
        out.smaller = least;
    }
    return out;
}

bool inflow_way_is_barred(const inflow_way *of) {
    return of->gap != NULL || of->narrowing != NULL || of->smaller != NULL;
}

static void narrowing_words(text *out, const bl_place *worst) {
    text_add(out, "narrowed by ");
    text_fixed(out, worst->area_stenosis_pct, 0);
    text_add(out, " % of area, to ");
    text_fixed(out, worst->area_mm2, 1);
    text_add(out, " mm2, at ");
    text_fixed(out, worst->position_mm, 1);
    text_add(out, " mm");
}

static void smaller_words(text *out, const bl_profile_point *least) {
    text_add(out, "smaller than in it: ");
    text_fixed(out, least->area_mm2, 1);
    text_add(out, " mm2 at ");
    text_fixed(out, least->position_mm, 1);
    text_add(out, " mm");
}

void inflow_way_words(text *out, const inflow_way *of) {
    bool is_small = of->narrowing != NULL || of->smaller != NULL;
    text_add(out, is_small ? "is " : "");
    if (of->narrowing != NULL) {
        narrowing_words(out, &of->narrowing->worst);
    } else if (of->smaller != NULL) {
        smaller_words(out, of->smaller);
    }
    if (of->gap != NULL) {
        text_add(out, is_small ? " and has" : "has");
        text_add(out, " no usable frame over ");
        text_span(out, *of->gap);
        text_add(out, ", occluded or not traced");
    }
    text_add(out, "; what comes through its stretch has to pass there");
    text_add(out, of->is_bordered
                      ? ""
                      : ", unless that is vein that candidates share: no mark "
                        "tells where its own begins");
}
