/*
 * warning_given.c - what is told of a reference that was given.
 */
#include "assess/warning.h"

#include "base/constants.h"

#include <math.h>

/* A reference is narrower than the widest 10 mm on both sides of it by so much
 * of their diameter, and by what breath makes of it: where calibre steps by
 * that, the search sees a step. */
#define WIDER_SHARE 0.08

static bool overlap(bl_span a, bl_span b) {
    return a.from_mm < b.to_mm && b.from_mm < a.to_mm;
}

/* A given stretch may reach out of the traced vein. */
static void warn_given_place(warning_list *to, const bl_segment *segment) {
    const bl_assessment *of = to->into;
    double first = of->profile[0].position_mm;
    double last = of->profile[of->profile_count - 1].position_mm;
    if (segment->span.from_mm < first - EDGE_MM ||
        segment->span.to_mm > last + EDGE_MM) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, " reaches beyond the traced vein, ");
        warning_add_span(to, (bl_span){first, last});
        warning_finish(to);
    }
}

/* The cava is larger than any vein below it. */
static void warn_cava(warning_list *to, const bl_segment *segment) {
    if (segment->vein == BL_VEIN_CAVA) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, " lies in the inferior vena cava, which is too "
                             "large for an iliac vein: trust no narrowing "
                             "outside the cava");
        warning_finish(to);
    }
}

static void warn_given_segment(warning_list *to, const bl_segment *segment) {
    const bl_assessment *of = to->into;
    warn_given_place(to, segment);
    if (segment->span.to_mm - segment->span.from_mm < REFERENCE_MM) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, " is shorter than 10 mm");
        warning_finish(to);
    }
    size_t touched = 0;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        bool touches = overlap(segment->span, of->narrowings[i].shoulders);
        touched += touches;
        if (touches && touched <= NAMED_MOST) {
            text_add(&to->draft, "reference ");
            warning_add_span(to, segment->span);
            text_add(&to->draft, " reaches into the narrowing at ");
            warning_add_span(to, of->narrowings[i].span);
            text_add(&to->draft, " or its shoulders");
            warning_finish(to);
        }
    }
    if (touched > NAMED_MOST) {
        text_format(&to->draft, "it reaches into %zu more narrowings",
                    touched - NAMED_MOST);
        warning_finish(to);
    }
    for (size_t i = 0; i < of->compression_count; i++) {
        if (overlap(segment->span, of->compressions[i].span)) {
            text_add(&to->draft, "reference ");
            warning_add_span(to, segment->span);
            text_add(&to->draft, " holds a compression point");
            warning_finish(to);
            break;
        }
    }
}

/* The widest calibre on either side of the stretch, in the same vein as far as
 * marks tell; 0 where there is none. Within half a window of an end or a gap
 * it would be that of few frames. */
static void widest_beside(const warning_list *to, const bl_segment *segment,
                          const double *calibre, double widest[2]) {
    const profile *along = &to->work->profile;
    const bl_profile_point *points = along->points;
    double from = 0.0;
    double end = 0.0;
    for (size_t i = 0; i < along->count; i++) {
        double x = points[i].position_mm;
        if (points[i].after_gap) {
            size_t last = profile_stretch_end(points, along->count, i) - 1;
            from = x + 0.5 * REFERENCE_MM - EDGE_MM;
            end = points[last].position_mm - 0.5 * REFERENCE_MM + EDGE_MM;
        }
        bool before = x < segment->span.from_mm;
        bool beside = before || x > segment->span.to_mm;
        if (beside && x >= from && x <= end &&
            bl_pullback_vein_at(to->work->pullback, x) == segment->vein) {
            widest[!before] = fmax(widest[!before], calibre[i]);
        }
    }
}

/* Healthy vein has no wider vein on both sides: the search passes over such. */
static void warn_wider_beside(warning_list *to, const bl_segment *segment) {
    const workings *work = to->work;
    double widest[2] = {0.0, 0.0};
    double *calibre =
        arena_alloc(work->owner, work->profile.count, sizeof *calibre);
    if (calibre == NULL ||
        workings_calibre(work, REFERENCE_MM, calibre) != BL_OK) {
        to->failed = true;
        return;
    }
    widest_beside(to, segment, calibre, widest);
    const bl_ripple *ripple = &to->into->ripple;
    double share = WIDER_SHARE + (ripple->found && !ripple->removed
                                      ? ripple->share_of_diameter_pct / 100.0
                                      : 0.0);
    double least = fmin(widest[0], widest[1]);
    double own = segment->equivalent_diameter_mm;
    if (own < (1.0 - share) * least) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, ", ");
        text_fixed(&to->draft, own, 1);
        text_add(&to->draft, " mm wide, has wider vein on both sides, up to ");
        text_fixed(&to->draft, widest[0], 1);
        text_add(&to->draft, " mm before it and ");
        text_fixed(&to->draft, widest[1], 1);
        text_add(&to->draft, " mm behind it: it may itself be narrowed, and "
                             "every percentage then reads low");
        warning_finish(to);
    }
}

void warn_given(warning_list *to, const bl_segment *segment) {
    warn_given_segment(to, segment);
    warn_wider_beside(to, segment);
    warn_cava(to, segment);
}
