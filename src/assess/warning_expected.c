/*
 * warning_expected.c - what is told of a reference that is the area expected of
 * a vein.
 */
#include "assess/warning.h"

#include <math.h>

/* What is known of the cava is no denominator: src/pullback/normals.c. */
static void add_median(warning_list *to, bl_vein vein) {
    double median =
        bl_published_of(vein, to->work->pullback->side).median_area_mm2;
    if (to->work->options.expected == NULL && !isnan(median)) {
        text_add(&to->draft, " (only a median of people without disease is "
                             "published, ");
        text_fixed(&to->draft, median, 1);
        text_add(&to->draft, " mm2)");
    }
}

/* Where the vein, or what to expect of it, is not known. */
static void warn_unexpected(warning_list *to) {
    const bl_assessment *of = to->into;
    const reference *now = &to->work->reference;
    double first = of->profile[0].position_mm;
    double last = of->profile[of->profile_count - 1].position_mm;
    for (size_t i = 0; i < now->piece_count; i++) {
        vein_piece piece = now->pieces[i].piece;
        bl_span traced = {fmax(piece.span.from_mm, first),
                          fmin(piece.span.to_mm, last)};
        if (!isnan(now->pieces[i].area_mm2) ||
            !(traced.to_mm > traced.from_mm)) {
            continue;
        }
        warning_add_span(to, traced);
        if (piece.vein == BL_VEIN_UNKNOWN) {
            text_add(&to->draft, ": marks do not tell the vein");
        } else {
            text_add(&to->draft, ", ");
            text_add(&to->draft, bl_vein_name(piece.vein));
            text_add(&to->draft,
                     to->work->options.expected == NULL
                         ? ": no area is expected of it"
                         : ": the table of expected areas has none of it");
            add_median(to, piece.vein);
        }
        text_add(&to->draft, ", so there is no reference and no percentage, "
                             "and nothing is called narrowed there");
        warning_finish(to);
    }
}

/* A table with rows by side says nothing where the side is not known. */
void warn_side(warning_list *to) {
    const bl_normals *table = to->work->options.expected;
    const bl_assessment *of = to->into;
    for (size_t i = 0; table != NULL && i < of->vein_count; i++) {
        bl_vein vein = of->veins[i].vein;
        bool by_side = normals_find(table, vein, "left") != NULL ||
                       normals_find(table, vein, "right") != NULL;
        if (by_side && to->work->pullback->side[0] == '\0') {
            text_add(&to->draft, "the table of expected areas has rows of one "
                                 "side for the ");
            text_add(&to->draft, bl_vein_name(vein));
            text_add(&to->draft, ", which are not used: the side is not known; "
                                 "give it with --side left or right");
            warning_finish(to);
        }
    }
}

void warn_expected(warning_list *to) {
    text_add(&to->draft, "the reference is what is expected of other people's "
                         "veins, not healthy vein of this person: a vein "
                         "small by nature reads as narrowed, a large one as "
                         "healthy");
    warning_finish(to);
    warn_unexpected(to);
}
