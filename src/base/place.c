/*
 * place.c - what a place on the profile is called and what speaks against it.
 */
#include "base/place.h"

#include <math.h>

/* Pressing flat keeps a wall's length; tracing may add so much. Our own
 * measure. */
#define PERIMETER_MOST_PCT 110.0

bool place_judged_in_part(const bl_assessment *of) {
    return of->traced_mm - of->judged_mm >= PRINTED_LEAST;
}

void place_judged_words(text *out, const bl_assessment *of) {
    text_add(out, "the ");
    text_fixed(out, of->judged_mm, 1);
    text_add(out, " mm judged, ");
    text_fixed(out, 100.0 * of->judged_mm / of->traced_mm, 0);
    text_add(out, " % of the ");
    text_fixed(out, of->traced_mm, 1);
    text_add(out, " mm traced");
}

bool place_exceeds(const bl_place *of) {
    return place_is_above(of->area_stenosis_pct);
}

void place_above_words(text *out, double stenosis_pct, const char *against) {
    text_add(out, " (");
    text_fixed(out, -stenosis_pct, 1);
    text_add(out, " % above ");
    text_add(out, against);
    text_add(out, ")");
}

const char *place_worst_name(const bl_assessment *of) {
    if (of->narrowing_count > 0) {
        return place_judged_in_part(of) ? "worst judged" : "worst place";
    }
    return place_exceeds(&of->worst) ? "least excess" : "greatest loss";
}

const bl_mark *place_nearest_mark(const bl_pullback *pullback, double x_mm) {
    const bl_mark *nearest = NULL;
    for (size_t i = 0; i < pullback->mark_count; i++) {
        const bl_mark *mark = &pullback->marks[i];
        if (nearest == NULL || fabs(mark->position_mm - x_mm) <
                                   fabs(nearest->position_mm - x_mm)) {
            nearest = mark;
        }
    }
    return nearest;
}

bool place_is_doubted(const bl_place *of) {
    const bl_doubt *why = &of->doubt;
    return why->points_beside > 0 || why->jump || why->tracing ||
           why->left_out > 0;
}

void place_doubt_words(text *out, const bl_place *of) {
    const bl_doubt *why = &of->doubt;
    long long frame = of->frame;
    const char *between = "";
    if (why->points_beside > 0) {
        text_format(out,
                    "frame %lld has %u points where contours beside it have "
                    "%u or more: a part of it may be missing",
                    frame, why->points_few, why->points_beside);
        between = "; ";
    }
    if (why->jump) {
        text_format(out,
                    "%sthe area of frame %lld is unlike that of the frames "
                    "around it",
                    between, frame);
        between = "; ";
    }
    if (why->tracing) {
        text_format(out,
                    "%sthe contour of frame %lld is hardly what was traced, "
                    "'boreline check FILE' says why",
                    between, frame);
        between = "; ";
    }
    if (why->left_out > 0) {
        text_format(out, "%s%zu %s directly beside frame %lld %s left out",
                    between, why->left_out,
                    why->left_out == 1 ? "frame" : "frames", frame,
                    why->left_out == 1 ? "was" : "were");
    }
}

bool place_perimeter_is_long(const bl_compression *of) {
    return of->perimeter_kept_pct > PERIMETER_MOST_PCT;
}

void place_perimeter_words(text *out, const bl_assessment *in) {
    text_add(out, in->reference_from == BL_FROM_EXPECTED
                      ? "longer than the circle of the expected area: a stray "
                        "point, or a vein larger than expected?"
                      : "longer than the reference's, which pressing flat does "
                        "not make it: a stray point, or a wrong reference?");
}
