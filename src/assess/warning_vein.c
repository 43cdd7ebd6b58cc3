/*
 * warning_vein.c - what is told of veins that are held against another's
 * healthy vein.
 */
#include "assess/warning.h"

/* Where the stretches of a given reference lie, from a vein. */
typedef struct lenders {
    bl_vein wider;   /* the nearest more cranial vein; unknown: none */
    bl_vein smaller; /* the nearest more caudal one */
    bool own;        /* in the vein itself, or nobody knows */
} lenders;

static lenders lenders_of(const bl_assessment *of, bl_vein vein) {
    lenders out = {BL_VEIN_UNKNOWN, BL_VEIN_UNKNOWN, false};
    for (size_t i = 0; i < of->segment_count; i++) {
        bl_vein here = of->segments[i].vein;
        out.own = out.own || here == vein || here == BL_VEIN_UNKNOWN;
        if (here < vein && here > out.wider) {
            out.wider = here;
        }
        if (here > vein &&
            (out.smaller == BL_VEIN_UNKNOWN || here < out.smaller)) {
            out.smaller = here;
        }
    }
    return out;
}

static void add_against(warning_list *to, const bl_vein_row *row, bl_vein of) {
    text_add(&to->draft, "the ");
    text_add(&to->draft, bl_vein_name(row->vein));
    text_add(&to->draft, ", ");
    warning_add_span(to, row->span);
    text_add(&to->draft, ", is held against a reference in the ");
    text_add(&to->draft, bl_vein_name(of));
}

static void finish(warning_list *to) {
    text_add(&to->draft, "; --reference find looks for each vein's own");
    warning_finish(to);
}

/* By how much a healthy vein reads as narrowed, where normals are known. */
static void warn_against_wider(warning_list *to, const bl_vein_row *row,
                               bl_vein wider) {
    double share = workings_normal_area_mm2(to->work, row->vein) /
                   workings_normal_area_mm2(to->work, wider);
    add_against(to, row, wider);
    text_add(&to->draft,
             ", which is wider without disease: it reads as narrowed");
    if (share < 1.0) {
        text_add(&to->draft, ", by ");
        text_fixed(&to->draft, 100.0 * (1.0 - share), 0);
        text_add(&to->draft, " % of area where both are normal");
    }
    finish(to);
}

static void warn_against_smaller(warning_list *to, const bl_vein_row *row,
                                 bl_vein smaller) {
    add_against(to, row, smaller);
    text_add(&to->draft, ", which is smaller without disease: a narrowing "
                         "there reads low or is not seen");
    finish(to);
}

void warn_other_veins(warning_list *to) {
    const bl_assessment *of = to->into;
    for (size_t i = 0; i < of->vein_count; i++) {
        const bl_vein_row *row = &of->veins[i];
        lenders by = lenders_of(of, row->vein);
        bool wider = by.wider != BL_VEIN_UNKNOWN;
        bool smaller = by.smaller != BL_VEIN_UNKNOWN;
        /* Between the two the reference tapers as veins do. What lies in the
         * cava has been told of. */
        if (!row->has_reference || by.own || wider == smaller ||
            by.wider == BL_VEIN_CAVA) {
            continue;
        }
        if (wider) {
            warn_against_wider(to, row, by.wider);
        } else {
            warn_against_smaller(to, row, by.smaller);
        }
    }
}
