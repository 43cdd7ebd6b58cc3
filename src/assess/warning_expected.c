/*
 * warning_expected.c - what is told of a reference that is the area expected of
 * a vein.
 */
#include "assess/warning.h"

#include "base/circle.h"
#include "base/constants.h"

#include <math.h>

/* A user's area below or above these shares of the published is doubted, and
 * one that would be a plausible diameter may be one: our own measures. */
#define DOUBT_BELOW 0.5
#define DOUBT_ABOVE 2.0
/* Of a vein of which nothing is published, equivalent diameters in mm. */
#define DOUBT_LEAST_MM 6.0
#define DOUBT_MOST_MM 25.0

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

/* What is published of that vein and side: the least area that is normal, else
 * a median. */
static double published_mm2(const normals_row *row) {
    bl_published of = bl_published_of(row->vein, row->side);
    return isnan(of.minimal_area_mm2) ? of.median_area_mm2
                                      : of.minimal_area_mm2;
}

static bool is_doubted(const normals_row *row) {
    double share = row->area_mm2 / published_mm2(row);
    double diameter = circle_diameter_mm(row->area_mm2);
    return isnan(share) ? diameter < DOUBT_LEAST_MM || diameter > DOUBT_MOST_MM
                        : share < DOUBT_BELOW || share > DOUBT_ABOVE;
}

/* "line 3 of own.csv: 19 mm2 of the common iliac vein is ..." */
static void doubt_row(warning_list *to, const normals_row *row) {
    double published = published_mm2(row);
    text_format(&to->draft, "line %llu of ", (unsigned long long)row->line);
    text_add(&to->draft, to->work->options.expected->name);
    text_add(&to->draft, ": ");
    text_short(&to->draft, row->area_mm2, 2);
    text_add(&to->draft, " mm2 of the ");
    text_add(&to->draft, bl_vein_name(row->vein));
    text_add(&to->draft, " is ");
    if (isnan(published)) {
        text_add(&to->draft, "an equivalent diameter of ");
        text_fixed(&to->draft, circle_diameter_mm(row->area_mm2), 1);
        text_add(&to->draft, " mm");
    } else {
        text_fixed(&to->draft, 100.0 * row->area_mm2 / published, 0);
        text_add(&to->draft, " % of the published ");
        text_short(&to->draft, published, 1);
        text_add(&to->draft, " mm2");
    }
    text_add(&to->draft, row->area_mm2 <= PLAUSIBLE_MOST_MM
                             ? "; is it a diameter, or is a digit missing?"
                             : "; is it in mm2, and meant so?");
    warning_finish(to);
}

void warn_table(warning_list *to) {
    const bl_normals *table = to->work->options.expected;
    size_t doubted = 0;
    for (size_t i = 0; table != NULL && i < table->count; i++) {
        if (is_doubted(&table->rows[i]) && ++doubted <= NAMED_MOST) {
            doubt_row(to, &table->rows[i]);
        }
    }
    if (doubted > NAMED_MOST) {
        text_format(&to->draft, "so it is with %zu more of its rows",
                    doubted - NAMED_MOST);
        warning_finish(to);
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
