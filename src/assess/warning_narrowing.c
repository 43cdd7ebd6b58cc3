/*
 * warning_narrowing.c - what is told of narrowings and compression points of
 * which not all was seen.
 */
#include "assess/warning.h"

#include "base/place.h"

/* What a narrowing, or only its shoulder, runs into. */
static void open_words(warning_list *to, const bl_narrowing *one) {
    bool itself = one->span_open_from || one->span_open_to;
    text_add(&to->draft,
             itself ? "the narrowing at " : "a shoulder of the narrowing at ");
    warning_add_span(to, one->span);
    text_add(&to->draft,
             to->work->reference.piece_count > 1
                 ? " runs into a gap, a vein without reference or the end of "
                   "the pullback: "
                 : " runs into a gap or the end of the pullback: ");
    text_add(&to->draft, itself ? "it is at least that long, and may be longer "
                                  "and tighter"
                                : "the length of the narrowing is known, but "
                                  "where the vein recovers was not seen");
}

/* The first few by place, the others by number: a table broken in many places
 * must not crowd out the other notes. */
void warn_open_shoulders(warning_list *to) {
    const bl_assessment *of = to->into;
    size_t open = 0;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        open += one->open_from || one->open_to;
        if ((one->open_from || one->open_to) && open <= NAMED_MOST) {
            open_words(to, one);
            warning_finish(to);
        }
    }
    if (open > NAMED_MOST) {
        text_format(&to->draft,
                    "%zu more narrowings, or their shoulders, run into such",
                    open - NAMED_MOST);
        warning_finish(to);
    }
}

/* Whether the vein beside a gap is narrower than shoulders end. */
static bool is_narrow_beside(const warning_list *to, bl_span gap) {
    const profile *along = &to->work->profile;
    size_t after = profile_lower_bound(along, gap.to_mm);
    size_t before = profile_lower_bound(along, gap.from_mm);
    double shoulder = to->work->options.shoulder_pct;
    return workings_place(to->work, before).area_stenosis_pct > shoulder ||
           workings_place(to->work, after).area_stenosis_pct > shoulder;
}

/* A narrowing may lie where nothing was traced. */
void warn_narrow_gaps(warning_list *to) {
    const bl_assessment *of = to->into;
    size_t narrow = 0;
    for (size_t i = 0; i < of->gap_count; i++) {
        if (is_narrow_beside(to, of->gaps[i]) && ++narrow <= NAMED_MOST) {
            text_add(&to->draft, "the vein is narrow where the gap ");
            warning_add_span(to, of->gaps[i]);
            text_add(&to->draft, " begins or ends: what lies in it may be "
                                 "tighter than anything that was traced, and "
                                 "no interval contains that");
            warning_finish(to);
        }
    }
    if (narrow > NAMED_MOST) {
        text_format(&to->draft, "so it is beside %zu more gaps",
                    narrow - NAMED_MOST);
        warning_finish(to);
    }
}

void warn_perimeters(warning_list *to) {
    const bl_assessment *of = to->into;
    size_t longer = 0;
    for (size_t i = 0; i < of->compression_count; i++) {
        const bl_compression *one = &of->compressions[i];
        bool is_long = place_perimeter_is_long(one);
        longer += is_long;
        if (is_long && longer <= NAMED_MOST) {
            text_add(&to->draft, "the perimeter at the compression point at ");
            text_fixed(&to->draft, one->place.position_mm, 1);
            text_add(&to->draft, " mm, ");
            text_fixed(&to->draft, one->perimeter_kept_pct, 0);
            text_add(&to->draft, " %, is ");
            place_perimeter_words(&to->draft, of);
            warning_finish(to);
        }
    }
    if (longer > NAMED_MOST) {
        text_format(&to->draft, "so it is at %zu more compression points",
                    longer - NAMED_MOST);
        warning_finish(to);
    }
}
