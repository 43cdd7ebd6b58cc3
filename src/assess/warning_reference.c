/*
 * warning_reference.c - what is told of a reference that is hardly healthy
 * vein, or that was looked for.
 */
#include "assess/warning.h"

#include "base/constants.h"

#include <math.h>

/* A found reference above this share of the published normal, in percent, is
 * doubted: our own measure. */
#define LARGE_PCT 200.0
/* The reference goes further than this beyond the last stretch. */
#define OUTWARD_MM 30.0

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

/* Caudal of the common femoral vein, or it may be: of such a vein there is no
 * normal unless a user's table has one, and healthy it may be smaller than any
 * that has. */
static bool is_below_normals(const warning_list *to,
                             const bl_segment *segment) {
    bool of_inflow = to->work->options.inflow_mm > 0.0;
    return isnan(segment->normal_area_mm2) &&
           (segment->vein == BL_VEIN_FEMORAL ||
            (segment->vein == BL_VEIN_UNKNOWN && of_inflow));
}

/* Shape alone cannot tell a uniformly scarred vein from a healthy one. */
static void warn_small_reference(warning_list *to, const bl_segment *segment) {
    bool known = !isnan(segment->normal_area_mm2);
    bl_vein vein = known ? segment->vein : workings_least_normal(to->work, 0);
    double normal = workings_normal_area_mm2(to->work, vein);
    if (!(segment->area_mm2 < LOW_NORMAL_SHARE * normal) ||
        is_below_normals(to, segment)) {
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

/* What another vein lends is scaled where normals of both are known. */
static void add_scale(warning_list *to, const bl_segment *lender,
                      bl_vein vein) {
    const workings *work = to->work;
    bl_vein from = vein_line_at(&work->veins, reference_middle_mm(lender));
    double lent = workings_normal_area_mm2(work, from);
    double own = workings_normal_area_mm2(work, vein);
    if (isnan(own / lent)) {
        text_add(&to->draft, ", whose calibre may differ without disease");
        return;
    }
    text_add(&to->draft, " of the ");
    text_add(&to->draft, bl_vein_name(from));
    text_add(&to->draft, ", its area times ");
    text_fixed(&to->draft, own, 0);
    text_add(&to->draft, "/");
    text_fixed(&to->draft, lent, 0);
    text_add(&to->draft, ", the normal areas of the two veins");
}

static void add_lender(warning_list *to, const reference_piece *piece) {
    const bl_segment *segments = to->work->reference.segments;
    if (piece->count == 2) {
        text_add(&to->draft, ", so its reference lies between those on its two "
                             "sides");
    } else if (piece->count == 1) {
        const bl_segment *lender = &segments[piece->segments[0]];
        text_add(&to->draft, ", so it is held against the vein beside it, ");
        warning_add_span(to, lender->span);
        add_scale(to, lender, piece->piece.vein);
    } else {
        text_add(
            &to->draft,
            ", and none beside it may serve, so there is no reference and no "
            "percentage, and nothing is called narrowed there");
    }
}

/* Whether a stretch lies in it. */
static bool has_own(const reference *now, bl_span span) {
    bool any = false;
    for (size_t i = 0; i < now->count; i++) {
        double middle = reference_middle_mm(&now->segments[i]);
        any = any || (middle >= span.from_mm && middle <= span.to_mm);
    }
    return any;
}

static bl_span traced_of(const warning_list *to, bl_span span) {
    const bl_assessment *of = to->into;
    return (bl_span){
        fmax(span.from_mm, of->profile[0].position_mm),
        fmin(span.to_mm, of->profile[of->profile_count - 1].position_mm)};
}

/* A vein that has no healthy vein of its own. */
static void warn_borrower(warning_list *to, const reference_piece *piece,
                          bl_span traced) {
    warning_add_span(to, traced);
    if (piece->piece.vein != BL_VEIN_UNKNOWN) {
        text_add(&to->draft, ", ");
        text_add(&to->draft, bl_vein_name(piece->piece.vein));
    }
    text_add(&to->draft, ": no healthy vein was found in it");
    add_lender(to, piece);
    warning_finish(to);
}

/* The reference goes on from the last stretch by a taper, which is told where
 * it goes far. */
static void warn_outward(warning_list *to) {
    const reference *now = &to->work->reference;
    for (size_t i = 0; i < now->link_count; i++) {
        const reference_link *link = &now->links[i];
        double length = link->ramp.to_mm - link->ramp.from_mm;
        bool outward = link->count == 2 && isnan(link->border_mm) &&
                       link->segments[0] == link->segments[1];
        if (outward && length > OUTWARD_MM) {
            warning_add_span(to, link->ramp);
            bool known =
                vein_line_at(&to->work->veins,
                             0.5 * (link->ramp.from_mm + link->ramp.to_mm)) !=
                BL_VEIN_UNKNOWN;
            text_add(&to->draft,
                     known ? ": no healthy vein was found beyond, so the "
                             "reference there changes by 0.01 mm a mm, half of "
                             "what nominal diameters do from common iliac to "
                             "common femoral vein"
                           : ": no healthy vein was found beyond, and marks do "
                             "not tell the vein, so the reference there "
                             "changes by 0.02 mm a mm, as nominal diameters do "
                             "from common iliac to common femoral vein; marks "
                             "would tell more");
            warning_finish(to);
        }
    }
}

static void warn_borrowed(warning_list *to) {
    const reference *now = &to->work->reference;
    for (size_t i = 0; i < now->piece_count;) {
        const reference_piece *piece = &now->pieces[i];
        bl_span all = piece->piece.span;
        for (i++; i < now->piece_count &&
                  now->pieces[i].piece.vein == piece->piece.vein;
             i++) {
            all.to_mm = now->pieces[i].piece.span.to_mm;
        }
        bl_span traced = traced_of(to, all);
        if (!has_own(now, all) && traced.to_mm > traced.from_mm) {
            warn_borrower(to, piece, traced);
        }
    }
    warn_outward(to);
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
