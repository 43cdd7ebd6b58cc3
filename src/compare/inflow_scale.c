/*
 * inflow_scale.c - whether the tables of two inflow veins are of one scale.
 *
 * Sizes that no deep vein has tell it of one table alone. Of two tables the
 * vein that both share tells it: cranial of where the candidates part they were
 * pulled through one and the same vein. Its equivalent diameters are held
 * against each other at equal distances from there, by their medians, so that
 * neither a narrowing nor an error of speed weighs much. A wrong scale, another
 * filling and a reader's own habit all show as a difference that the veins
 * below it have too.
 */
#include "compare/inflow.h"

#include "base/circle.h"
#include "base/constants.h"
#include "profile/median.h"

#include <math.h>

/* Nearer to where they part the calibre changes. */
#define MOUTH_MM 5.0
#define SHARED_LEAST_MM 10.0
#define SAMPLES MEDIAN_FEW
/* Past this, in percent of the diameter, the shared vein is not the same in
 * both: our own measure. A cut at 34 degrees makes as much. */
#define UNLIKE_PCT 10.0

const bl_finding *inflow_scale_doubt(const bl_inflow_candidate *of) {
    const bl_finding *all = bl_study_findings(of->input.study);
    for (size_t i = 0; i < bl_study_finding_count(of->input.study); i++) {
        if (all[i].doubts_scale) {
            return &all[i];
        }
    }
    return NULL;
}

/* Where its own vein begins: the most cranial of such marks, so that all
 * cranial of it is shared. */
static const bl_mark *mouth_of(const bl_inflow_candidate *of) {
    const bl_pullback *from = bl_study_pullback(of->input.study);
    bool caudally = from->travel == BL_END_CAUDAL;
    const bl_mark *out = NULL;
    for (size_t i = 0; i < from->mark_count; i++) {
        const bl_mark *one = &from->marks[i];
        if (inflow_begins_own(one->name) &&
            (out == NULL ||
             (one->position_mm < out->position_mm) == caudally)) {
            out = one;
        }
    }
    return out;
}

/* Distances cranial of a mark become positions. */
typedef struct upstream {
    const bl_assessment *of;
    double mouth_mm;
    double sign; /* of positions, by distance */
} upstream;

static bool upstream_of(const bl_inflow_candidate *from, upstream *out) {
    const bl_mark *mark = mouth_of(from);
    bl_end travel = bl_study_pullback(from->input.study)->travel;
    if (mark != NULL) {
        *out = (upstream){from->input.assessment, mark->position_mm,
                          travel == BL_END_CAUDAL ? -1.0 : 1.0};
    }
    return mark != NULL && from->input.assessment->profile_count > 0;
}

static double length_of(const upstream *of) {
    const bl_profile_point *points = of->of->profile;
    double end_mm = of->sign < 0.0
                        ? points[0].position_mm
                        : points[of->of->profile_count - 1].position_mm;
    return of->sign * (end_mm - of->mouth_mm);
}

/* Equivalent diameter there, linear between frames; NaN beyond them and in a
 * gap. */
static double diameter_at(const upstream *of, double away_mm) {
    double at_mm = of->mouth_mm + of->sign * away_mm;
    const bl_profile_point *points = of->of->profile;
    size_t low = 0; /* the first at or past it is in low .. high */
    size_t high = of->of->profile_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (points[middle].position_mm < at_mm) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    if (low == of->of->profile_count || low == 0 || points[low].after_gap) {
        return UNKNOWN;
    }
    const bl_profile_point *a = &points[low - 1];
    const bl_profile_point *b = &points[low];
    double share = (at_mm - a->position_mm) / (b->position_mm - a->position_mm);
    double from_mm = circle_diameter_mm(a->area_mm2);
    return from_mm + share * (circle_diameter_mm(b->area_mm2) - from_mm);
}

static bool compare_common(const bl_inflow_candidate *a,
                           const bl_inflow_candidate *b, inflow_common *out) {
    upstream ways[2];
    if (!upstream_of(a, &ways[0]) || !upstream_of(b, &ways[1])) {
        return false;
    }
    double to_mm = fmin(length_of(&ways[0]), length_of(&ways[1]));
    double step_mm = (to_mm - MOUTH_MM) / (double)(SAMPLES + 1);
    if (!(to_mm - MOUTH_MM >= SHARED_LEAST_MM - EDGE_MM)) {
        return false;
    }
    double diameters[2][SAMPLES];
    size_t count = 0;
    for (size_t i = 1; i <= SAMPLES; i++) {
        double away_mm = MOUTH_MM + step_mm * (double)i;
        diameters[0][count] = diameter_at(&ways[0], away_mm);
        diameters[1][count] = diameter_at(&ways[1], away_mm);
        count += !isnan(diameters[0][count]) && !isnan(diameters[1][count]);
    }
    double first = median_of_few(diameters[0], count);
    double second = median_of_few(diameters[1], count);
    bool swap = second > first;
    *out = (inflow_common){.wider = swap ? b : a,
                           .narrower = swap ? a : b,
                           .wider_mm = fmax(first, second),
                           .narrower_mm = fmin(first, second),
                           .length_mm = to_mm - MOUTH_MM};
    return 2 * count >= SAMPLES;
}

static double unlike_pct(const inflow_common *of) {
    return 100.0 * (of->wider_mm / of->narrower_mm - 1.0);
}

static bool differs(const inflow_common *of) {
    return unlike_pct(of) > UNLIKE_PCT;
}

/* Whether the first is ahead by no more than its shared vein is larger. */
static bool decides(const inflow_common *of, const bl_inflow_candidate *first) {
    double times = of->wider_mm / of->narrower_mm;
    bl_interval own = inflow_figure(of->wider, BL_INFLOW_MIN_AREA)->interval;
    bl_interval other =
        inflow_figure(of->narrower, BL_INFLOW_MIN_AREA)->interval;
    return of->wider == first && own.low > other.high &&
           own.low <= other.high * times * times;
}

bool inflow_common_bars(const bl_inflow_candidate *first,
                        const bl_inflow_candidate *other, inflow_common *out) {
    return compare_common(first, other, out) &&
           (differs(out) || decides(out, first));
}

void inflow_common_words(text *out, const inflow_common *of,
                         const bl_inflow_candidate *first) {
    text_add(out, "the vein that both share, cranial of where they part, is ");
    text_fixed(out, unlike_pct(of), 1);
    text_add(out, " % wider in the table of ");
    text_bytes(out, &of->wider->letter, 1);
    text_add(out, " than in that of ");
    text_bytes(out, &of->narrower->letter, 1);
    text_add(out, " (equivalent diameter ");
    text_fixed(out, of->wider_mm, 2);
    text_add(out, " and ");
    text_fixed(out, of->narrower_mm, 2);
    text_add(out, " mm, medians over ");
    text_fixed(out, of->length_mm, 1);
    text_add(out, " mm)");
    text_add(out, differs(of)
                      ? ": the scale of one may be wrong, a mark misplaced or "
                        "the veins filled otherwise"
                      : "");
    if (decides(of, first)) {
        text_add(out, "; were ");
        text_bytes(out, &first->letter, 1);
        text_add(out, " smaller by as much, it would not stand apart");
    }
}
