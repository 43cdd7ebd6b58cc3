/*
 * source_vein.c - whether what devices are sized by is of another vein.
 *
 * The cava is wider than any vein that devices are planned for here. Where
 * marks tell veins they say whether the reference lies in it; where they do
 * not, a reference as wide as a cava is (published median without disease) may.
 * A reference on one side only is carried on along the treated vein, whose
 * calibre beyond is not known.
 */
#include "plan/source_vein.h"

#include "plan/wording.h"

#include <math.h>

static double middle_mm(bl_span of) {
    return 0.5 * (of.from_mm + of.to_mm);
}

static double cava_mm(void) {
    return bl_published_of(BL_VEIN_CAVA, "").median_diameter_mm;
}

static double wanted_mm(const planner *in, const treatment *of) {
    return ground_mean_over(&in->ground, of->ends[0].at_mm, of->ends[1].at_mm)
        .reference_mm[in->rules.by];
}

/* Whether the worst place is held against the cava; that segment's number. One
 * that was found beside others is led down to them at the confluence, one that
 * was given is not. */
static bool serves_cava(const bl_assessment *of, size_t *which) {
    bool any = false;
    bool all = true;
    for (size_t i = 0; i < of->segment_count; i++) {
        const bl_segment *one = &of->segments[i];
        if (one->serves_worst && one->vein == BL_VEIN_CAVA) {
            *which = i;
            any = true;
        } else if (one->serves_worst) {
            all = false;
        }
    }
    return any && (all || of->reference_from == BL_FROM_GIVEN);
}

static bl_vein vein_at(const planner *in, double at_mm) {
    return bl_pullback_vein_at(in->pullback,
                               ground_position(&in->ground, at_mm));
}

/* Which side all reference lies on: below 0 cranially, above 0 caudally, 0 on
 * both or none, or where some is of the vein that is treated. That of the cava
 * counts for what reaches into it. */
static int side_of(const planner *in, const treatment *of) {
    const bl_assessment *found = in->assessment;
    bl_vein own = vein_at(in, 0.5 * (of->from_mm + of->to_mm));
    bool reaches = vein_at(in, of->from_mm) == BL_VEIN_CAVA;
    bool cranial = false;
    bool caudal = false;
    bool inside = false;
    for (size_t i = 0; i < found->segment_count; i++) {
        const bl_segment *one = &found->segments[i];
        double at = ground_at(&in->ground, middle_mm(one->span));
        if (one->vein != BL_VEIN_CAVA || reaches) {
            cranial = cranial || at <= of->from_mm;
            caudal = caudal || at >= of->to_mm;
            inside = inside || (at > of->from_mm && at < of->to_mm) ||
                     (own != BL_VEIN_UNKNOWN && one->vein == own);
        }
    }
    return inside || cranial == caudal ? 0 : cranial ? -1 : 1;
}

source_vein source_vein_of(const planner *in, const treatment *of) {
    bool outside = vein_at(in, 0.5 * (of->from_mm + of->to_mm)) != BL_VEIN_CAVA;
    size_t which;
    if (outside && serves_cava(in->assessment, &which)) {
        return SOURCE_CAVA;
    }
    if (outside && wanted_mm(in, of) >= cava_mm()) {
        return SOURCE_WIDE;
    }
    return side_of(in, of) != 0 ? SOURCE_ONE_SIDED : SOURCE_NEAR;
}

static void tell_cava(sentences *to, const bl_assessment *of) {
    size_t which = 0;
    (void)serves_cava(of, &which);
    text_add(&to->draft, "devices are sized by the reference at ");
    text_span(&to->draft, of->segments[which].span);
    text_add(&to->draft, ", which lies in the inferior vena cava: they may be "
                         "too wide for the vein they lie in; name healthy vein "
                         "outside the cava (--reference)");
    sentences_end(to);
}

static void tell_wide(sentences *to, const planner *in, const treatment *of) {
    text_add(&to->draft, "devices are sized by a reference of ");
    wording_length(&to->draft, wanted_mm(in, of));
    text_add(&to->draft, ", as wide as the inferior vena cava is (median "
                         "without disease ");
    wording_length(&to->draft, cava_mm());
    text_add(&to->draft, ", ");
    text_add(&to->draft, bl_published_source(BL_PUBLISHED_MEDIAN));
    text_add(&to->draft, "): if it was taken there they are too wide; mark the "
                         "confluence (--mark " GROUND_ILIOCAVAL "@MM)");
    sentences_end(to);
}

/* The assessment warns of one side. */
void source_vein_tell(sentences *to, const planner *in, const treatment *of) {
    source_vein what = source_vein_of(in, of);
    if (what == SOURCE_CAVA) {
        tell_cava(to, in->assessment);
    } else if (what == SOURCE_WIDE) {
        tell_wide(to, in, of);
    }
}

void source_vein_doubt(sentences *to, const planner *in, const treatment *list,
                       size_t count) {
    const treatment *of = NULL;
    source_vein worst = SOURCE_NEAR;
    for (size_t i = 0; i < count; i++) {
        source_vein here = source_vein_of(in, &list[i]);
        of = here > worst ? &list[i] : of;
        worst = here > worst ? here : worst;
    }
    if (worst == SOURCE_CAVA) {
        text_add(&to->draft, "the diameters, since the reference lies in the "
                             "inferior vena cava and the treated vein does "
                             "not");
    } else if (worst == SOURCE_WIDE) {
        text_add(&to->draft, "the diameters, since the reference is as wide as "
                             "an inferior vena cava");
    } else if (worst == SOURCE_ONE_SIDED) {
        text_add(&to->draft, "the diameters, since all reference lies ");
        text_add(&to->draft, wording_end(side_of(in, of) > 0));
        text_add(&to->draft, " of the treated vein");
    }
    sentences_end(to);
}
