/*
 * warning_reference.c - what is told of a reference that is hardly healthy
 * vein, or that was looked for.
 */
#include "assess/warning.h"

#include <math.h>

/* A found reference below this share of the published normal is doubted. */
#define NORMAL_SHARE 0.8
/* One above this share of it, in percent, too: our own measure. */
#define LARGE_PCT 200.0

/* Where marks do not tell the vein, or it has no normal: the cava is the widest
 * that there is. */
static void warn_larger_than_cava(warning_list *to, const bl_segment *segment) {
    double median =
        bl_published_of(BL_VEIN_CAVA, to->work->pullback->side).median_area_mm2;
    if (segment->area_mm2 > LARGE_PCT / 100.0 * median) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, " has ");
        text_fixed(&to->draft, segment->area_mm2, 1);
        text_add(&to->draft, " mm2, more than twice the ");
        text_fixed(&to->draft, median, 1);
        text_add(&to->draft, " mm2 of the inferior vena cava, the widest vein: "
                             "look at the scale, and whether radii are "
                             "diameters; every size is wrong if it is");
        warning_finish(to);
    }
}

/* No vein is so wide: a scale that is too large, or pixels taken for
 * millimetres. */
static void warn_large_reference(warning_list *to, const bl_segment *segment) {
    if (isnan(segment->share_of_normal_pct)) {
        warn_larger_than_cava(to, segment);
    }
    if (segment->share_of_normal_pct > LARGE_PCT) {
        text_add(&to->draft, "reference ");
        warning_add_span(to, segment->span);
        text_add(&to->draft, " has ");
        text_fixed(&to->draft, segment->share_of_normal_pct, 0);
        text_add(&to->draft, " % of the normal area of its vein: look at the "
                             "scale, and whether coordinates are pixels; every "
                             "size is wrong if it is");
        warning_finish(to);
    }
}

/* Shape alone cannot tell a uniformly scarred vein from a healthy one. */
static void warn_small_reference(warning_list *to, const bl_segment *segment) {
    bool known = !isnan(segment->normal_area_mm2);
    bl_vein vein = known ? segment->vein : workings_least_normal(to->work);
    double normal = workings_normal_area_mm2(to->work, vein);
    if (!(segment->area_mm2 < NORMAL_SHARE * normal)) {
        return;
    }
    text_add(&to->draft, "reference ");
    warning_add_span(to, segment->span);
    text_add(&to->draft, " has ");
    text_fixed(&to->draft, segment->area_mm2, 1);
    text_add(&to->draft, " mm2, well below the ");
    text_add(&to->draft, to->work->options.expected == NULL ? "published normal"
                                                            : "expected area");
    text_add(&to->draft, " of ");
    text_fixed(&to->draft, normal, 0);
    text_add(&to->draft, known ? " mm2 (" : " mm2 (the smallest, ");
    text_add(&to->draft, bl_vein_name(vein));
    text_add(&to->draft, "): it may itself be diseased, and every percentage "
                         "then reads low");
    if (to->into->reference_from == BL_FROM_FOUND) {
        text_add(&to->draft, "; the search took it because nothing on its side "
                             "of that part scores better: it may be the best "
                             "of a bad lot");
    }
    warning_finish(to);
}

static bool lies_in(const bl_segment *segment, bl_span span) {
    double middle = 0.5 * (segment->span.from_mm + segment->span.to_mm);
    return middle >= span.from_mm && middle <= span.to_mm;
}

static void add_lender(warning_list *to, const reference_piece *piece) {
    const bl_segment *segments = to->work->reference.segments;
    if (piece->count == 2) {
        text_add(&to->draft, ", so its reference lies between those on its two "
                             "sides");
    } else if (piece->count == 1) {
        text_add(&to->draft, ", so it is held against the vein beside it, ");
        warning_add_span(to, segments[piece->segments[0]].span);
        text_add(&to->draft, ", whose calibre may differ without disease");
    } else {
        text_add(
            &to->draft,
            ", and none beside it may serve, so there is no reference and no "
            "percentage, and nothing is called narrowed there");
    }
}

/* Parts of the line that have no healthy vein of their own. */
static void warn_borrowed(warning_list *to) {
    const bl_assessment *of = to->into;
    const reference *now = &to->work->reference;
    double first = of->profile[0].position_mm;
    double last = of->profile[of->profile_count - 1].position_mm;
    for (size_t i = 0; now->piece_count > 1 && i < now->piece_count; i++) {
        const reference_piece *piece = &now->pieces[i];
        bl_span traced = {fmax(piece->piece.span.from_mm, first),
                          fmin(piece->piece.span.to_mm, last)};
        bool own =
            piece->count > 0 &&
            lies_in(&now->segments[piece->segments[0]], piece->piece.span);
        if (own || !(traced.to_mm > traced.from_mm)) {
            continue;
        }
        warning_add_span(to, traced);
        if (piece->piece.vein != BL_VEIN_UNKNOWN) {
            text_add(&to->draft, ", ");
            text_add(&to->draft, bl_vein_name(piece->piece.vein));
        }
        text_add(&to->draft, ": no healthy vein was found in it");
        add_lender(to, piece);
        warning_finish(to);
    }
}

void warn_reference(warning_list *to, bool settled) {
    const bl_assessment *of = to->into;
    for (size_t i = 0; i < of->segment_count; i++) {
        if (of->reference_from == BL_FROM_GIVEN) {
            warn_given(to, &of->segments[i]);
        }
        warn_small_reference(to, &of->segments[i]);
        warn_large_reference(to, &of->segments[i]);
    }
    if (of->reference_from == BL_FROM_GIVEN) {
        warn_other_veins(to);
    }
    if (of->segment_count == 1) {
        text_add(&to->draft, "one reference stretch only: taper along the "
                             "vessel is not accounted for");
        warning_finish(to);
    }
    if (of->reference_from == BL_FROM_EXPECTED) {
        warn_expected(to);
    }
    if (of->reference_from == BL_FROM_FOUND) {
        warn_borrowed(to);
        text_add(&to->draft,
                 "the reference was found by shape and rough calibre; a vein "
                 "scarred evenly and not much looks the same: compare absolute "
                 "areas");
        warning_finish(to);
    }
    if (!settled) {
        text_add(&to->draft, "reference and narrowings did not settle on each "
                             "other; name the reference with --reference A..B");
        warning_finish(to);
    }
}

void warn_levels(warning_list *to, const reference *usual) {
    if (usual->count == 0) {
        return;
    }
    text_add(&to->draft, "the reference depends on ");
    level_words(&to->draft, &to->work->options);
    text_add(&to->draft, ": under ");
    level_usual_words(&to->draft);
    text_add(&to->draft, " the search takes ");
    for (size_t i = 0; i < usual->count; i++) {
        text_add(&to->draft, i == 0 ? "" : ", ");
        warning_add_span(to, usual->segments[i].span);
        text_add(&to->draft, " (");
        text_fixed(&to->draft, usual->segments[i].area_mm2, 1);
        text_add(&to->draft, " mm2)");
    }
    text_add(&to->draft, "; name the stretches you trust with --reference");
    warning_finish(to);
}
