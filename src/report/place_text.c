/*
 * place_text.c - places of an assessment, and what is said of more than one of
 * them.
 */
#include "report/assessment_text.h"

#include "base/place.h"
#include "report/prose.h"
#include "report/source.h"

#include <math.h>

/* "36 % of normal (common iliac vein, 200 mm2)". */
void place_text_share(text *out, bl_vein vein, double share_pct,
                      double normal_mm2) {
    text_fixed(out, share_pct, 0);
    text_add(out, " % of normal (");
    text_add(out, bl_vein_name(vein));
    text_add(out, ", ");
    text_short(out, normal_mm2, 2);
    text_add(out, " mm2)");
}

void place_text_stenosis(text *out, const char *kind, double pct) {
    if (place_is_above(pct)) {
        text_add(out, "no ");
        text_add(out, kind);
        place_above_words(out, pct, "the reference");
    } else {
        text_add(out, kind);
        text_add(out, " ");
        prose_number(out, pct, 1, " %");
    }
}

static void stenosis_lines(text *out, const bl_place *place) {
    prose_next_line(out);
    place_text_stenosis(out, "area stenosis", place->area_stenosis_pct);
    text_add(out, ",");
    if (place_exceeds(place)) {
        prose_next_line(out);
    } else {
        text_add(out, " ");
    }
    place_text_stenosis(out, "diameter stenosis", place->diameter_stenosis_pct);
    prose_next_line(out);
    place_text_stenosis(out, "minimum-diameter stenosis",
                        place->min_diameter_stenosis_pct);
}

/* What speaks against a contour, once: that was said of `above`. */
void place_text_doubts(text *out, unsigned indent, const bl_place *place,
                       const bl_place *above) {
    text words = {0};
    if (place_is_doubted(place)) {
        bool again = above != NULL && above->row == place->row;
        text_add(&words, again ? "doubtful, as above" : "doubtful: ");
        if (!again) {
            place_doubt_words(&words, place);
        }
    }
    prose_wrapped_line(out, indent, &words);
}

void place_text_unjudged_words(text *out, const bl_assessment *of) {
    text_add(out, "in the ");
    text_fixed(out, of->judged_mm, 1);
    text_add(out, " mm that have a reference; ");
    text_fixed(out, of->traced_mm - of->judged_mm, 1);
    text_add(out, " mm were not judged");
}

/* What is not held against a reference is not healthy for that. */
void place_text_unjudged(text *out, const bl_assessment *of) {
    if (place_judged_in_part(of)) {
        prose_next_line(out);
        place_text_unjudged_words(out, of);
    }
}

/* Of an expected area no shape is known. */
void place_text_circle(text *out, const bl_assessment *of) {
    if (of->reference_from == BL_FROM_EXPECTED) {
        prose_next_line(out);
        text_add(out, "    against a circle of the expected area");
    }
}

/* What the worst place is the worst of, where that is not all of the vein; and
 * that nothing is below the reference where nothing is. */
static void scope_lines(text *out, const bl_assessment *of) {
    bool in_part = place_judged_in_part(of);
    text words = {0};
    if (place_exceeds(&of->worst)) {
        text_add(&words, "no frame lies below the reference");
        text_add(&words, in_part ? ", of " : "");
    } else if (in_part) {
        text_add(&words, "of ");
    }
    if (in_part) {
        place_judged_words(&words, of);
        text_add(&words, "; the rest has no reference");
    }
    prose_wrapped_line(out, 0, &words);
}

static void place_head(text *out, const bl_place *place) {
    text_add(out, "at ");
    text_fixed(out, place->position_mm, 1);
    text_format(out, " mm, frame %lld", (long long)place->frame);
    if (place->vein != BL_VEIN_UNKNOWN) {
        text_add(out, ", ");
        text_add(out, bl_vein_name(place->vein));
    }
    text_add(out, "\n");
    place_text_doubts(out, 0, place, NULL);
}

void place_text_against(text *out, const bl_assessment *of,
                        const bl_place *place) {
    text_add(out, "against ");
    text_fixed(out, place->reference_area_mm2, 1);
    text_add(out, " mm2 ");
    text_add(out, of->reference_from == BL_FROM_EXPECTED ? "expected"
                                                         : "of healthy vein");
}

void place_text_diameters(text *out, const bl_place *place) {
    text_add(out, "diameter ");
    prose_number(out, place->min_diameter_mm, 2, " mm");
    text_add(out, " least, ");
    prose_number(out, place->max_diameter_mm, 2, " mm");
    text_add(out, " greatest, ");
    prose_number(out, place->equivalent_diameter_mm, 2, " mm");
    text_add(out, " equivalent");
}

static void place_lines(text *out, const bl_assessment *of,
                        const bl_place *place) {
    source_heading(out, "");
    text_add(out, "area ");
    text_fixed(out, place->area_mm2, 1);
    text_add(out, " mm2");
    if (!isnan(place->reference_area_mm2)) {
        text_add(out, " ");
        place_text_against(out, of, place);
    }
    if (!isnan(place->share_of_normal_pct)) {
        prose_next_line(out);
        place_text_share(out, place->vein, place->share_of_normal_pct,
                         place->normal_area_mm2);
    }
    prose_next_line(out);
    place_text_diameters(out, place);
    if (!isnan(place->area_stenosis_pct)) {
        stenosis_lines(out, place);
    }
    text_add(out, "\n");
}

void place_text_worst(text *out, const bl_assessment *of) {
    text title = {0};
    text_add(&title, place_worst_name(of));
    if (!title.failed) {
        title.bytes[0] = (char)(title.bytes[0] - 'a' + 'A');
    }
    source_heading(out, text_c(&title));
    out->failed = out->failed || title.failed;
    text_free(&title);
    place_head(out, &of->worst);
    scope_lines(out, of);
    place_lines(out, of, &of->worst);
}

void place_text_least(text *out, const bl_assessment *of) {
    source_heading(out, "Least area");
    place_head(out, &of->minimum);
    place_lines(out, of, &of->minimum);
}

void place_text_lowest(text *out, const bl_place *lowest) {
    text_add(out, "lowest as traced: ");
    text_fixed(out, lowest->area_mm2, 1);
    text_format(out, " mm2 in frame %lld at ", (long long)lowest->frame);
    text_fixed(out, lowest->position_mm, 1);
    text_add(out, " mm");
}

void place_text_single_frame(text *out, const bl_assessment *of) {
    source_heading(out, "Single frame");
    place_text_lowest(out, &of->lowest_frame);
    text_add(out, "\n");
    place_text_doubts(out, 0, &of->lowest_frame, &of->worst);
}
