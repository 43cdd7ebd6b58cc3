/*
 * warning_frame.c - what is told of single frames, and of where there is none.
 */
#include "assess/warning.h"

#include "base/constants.h"
#include "base/place.h"

/* A single frame this much below the smoothed minimum is worth a look. */
#define LOWEST_SHARE 0.9

static size_t frames_below(const workings *work, double area_mm2) {
    size_t below = 0;
    for (size_t i = 0; i < work->profile.count; i++) {
        size_t row = work->profile.points[i].row;
        below += work->rows[row].measures.area_mm2 < area_mm2;
    }
    return below;
}

/* Held against what is smoothed of the profile as traced. */
void warn_minimum(warning_list *to) {
    const bl_assessment *of = to->into;
    double smooth = of->ripple.removed ? of->ripple.with.minimum.area_mm2
                                       : of->minimum.area_mm2;
    if (of->lowest_frame.area_mm2 < LOWEST_SHARE * smooth) {
        size_t below = frames_below(to->work, LOWEST_SHARE * smooth);
        if (below == 1) {
            text_add(&to->draft, "one frame reads ");
        } else {
            text_format(&to->draft, "%zu frames read far less, down to ",
                        below);
        }
        text_fixed(&to->draft, of->lowest_frame.area_mm2, 1);
        text_add(&to->draft, " mm2 where the smoothed minimum is ");
        text_fixed(&to->draft, smooth, 1);
        text_format(&to->draft, " mm2; look at frame %lld",
                    (long long)of->lowest_frame.frame);
        warning_finish(to);
    }
}

static void warn_doubted_place(warning_list *to, const char *name,
                               const bl_place *place) {
    text_add(&to->draft, name);
    text_add(&to->draft, ", at ");
    text_fixed(&to->draft, place->position_mm, 1);
    text_add(&to->draft, " mm, is doubtful: ");
    place_doubt_words(&to->draft, place);
    warning_finish(to);
}

/* The places that headline, where their own contours are doubted; the worst of
 * the first few other narrowings. */
void warn_doubted(warning_list *to) {
    const bl_assessment *of = to->into;
    bool any = reference_exists(&to->work->reference);
    if (any && place_is_doubted(&of->worst)) {
        text words = {0};
        text_add(&words, "the ");
        text_add(&words, place_worst_name(of));
        warn_doubted_place(to, text_c(&words), &of->worst);
        to->failed = to->failed || words.failed;
        text_free(&words);
    }
    if ((!any || of->minimum.row != of->worst.row) &&
        place_is_doubted(&of->minimum)) {
        warn_doubted_place(to, "the least area", &of->minimum);
    }
    size_t said = 0;
    for (size_t i = 0; i < of->narrowing_count && said < NAMED_MOST; i++) {
        const bl_place *place = &of->narrowings[i].worst;
        if (place->row != of->worst.row && place->row != of->minimum.row &&
            place_is_doubted(place)) {
            warn_doubted_place(to, "the worst of a narrowing", place);
            said++;
        }
    }
}

void warn_gaps(warning_list *to) {
    const bl_assessment *of = to->into;
    if (of->gap_count == 0) {
        return;
    }
    text_format(&to->draft, "%zu %s over 5 mm without a usable frame (",
                of->gap_count, of->gap_count == 1 ? "stretch" : "stretches");
    for (size_t i = 0; i < of->gap_count && i < 3; i++) {
        text_add(&to->draft, i == 0 ? "" : ", ");
        warning_add_span(to, of->gaps[i]);
    }
    text_add(&to->draft, of->gap_count > 3 ? ", ...): nothing is known there"
                                           : "): nothing is known there");
    warning_finish(to);
}

void warn_left_out(warning_list *to) {
    const bl_assessment *of = to->into;
    if (of->left_out_count > 0) {
        text_format(&to->draft,
                    "%zu of %zu frames could not be measured and %s left out; "
                    "'boreline check FILE' lists %s",
                    of->left_out_count, of->frames,
                    of->left_out_count == 1 ? "is" : "are",
                    of->left_out_count == 1 ? "it" : "them");
        warning_finish(to);
    }
}

void warn_jumps(warning_list *to) {
    size_t jumps = 0;
    for (size_t i = 0; i < to->into->profile_count; i++) {
        const bl_row *row = &to->work->rows[to->into->profile[i].row];
        jumps += (row->measures.flags & BL_FLAG_JUMP) != 0;
    }
    if (jumps > 0) {
        text_format(&to->draft,
                    jumps == 1 ? "%zu frame has an area unlike its neighbours' "
                                 "(flag jump); it was used, look at its contour"
                               : "%zu frames have an area unlike their "
                                 "neighbours' (flag jump); they were used, "
                                 "look at their contours",
                    jumps);
        warning_finish(to);
    }
}

void warn_few_points(warning_list *to) {
    size_t few = 0;
    for (size_t i = 0; i < to->into->profile_count; i++) {
        const bl_row *row = &to->work->rows[to->into->profile[i].row];
        few += row->points < FEW_TRACED_POINTS;
    }
    if (few > 0) {
        text_format(&to->draft,
                    "%zu %s fewer than %d points; %s area reads low (a circle "
                    "by 10 %% at 8 points, 2.55 %% at 16)",
                    few, few == 1 ? "frame has" : "frames have",
                    FEW_TRACED_POINTS, few == 1 ? "its" : "their");
        warning_finish(to);
    }
}
