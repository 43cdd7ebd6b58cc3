/*
 * source_share.c - whether what devices are sized by is far from the normal of
 * its vein.
 *
 * Vein that is scarred evenly, or wider than healthy vein, may have been named
 * or found as the reference, and every device follows it. Held against the
 * limit of the assessment's own note, four fifths of the normal area, and the
 * same the other way. Of a vein that marks do not tell only what lies below or
 * above all normals that it may have says anything.
 */
#include "plan/source_share.h"

#include "base/constants.h"
#include "plan/source_vein.h"
#include "plan/wording.h"

#include <math.h>

#define HIGH_SHARE (1.0 / LOW_NORMAL_SHARE)

/* A stretch and the normal that it is held against. */
typedef struct held {
    const bl_segment *segment; /* NULL: none */
    bl_vein vein;
    double share;
} held;

static double normal_of(const planner *in, bl_vein vein) {
    return bl_normals_area_mm2(in->assessment->options.expected, vein,
                               in->pullback->side);
}

/* The least normal that there is. */
static bl_vein least_vein(const planner *in) {
    bl_vein out = BL_VEIN_UNKNOWN;
    double least = HUGE_VAL;
    for (unsigned i = BL_VEIN_CAVA; i <= BL_VEIN_FEMORAL; i++) {
        double area = normal_of(in, (bl_vein)i);
        if (area < least) { /* false of NaN */
            least = area;
            out = (bl_vein)i;
        }
    }
    return out;
}

/* The greatest of the iliac veins. */
static bl_vein greatest_vein(const planner *in) {
    double external = normal_of(in, BL_VEIN_EXTERNAL_ILIAC);
    return external > normal_of(in, BL_VEIN_COMMON_ILIAC)
               ? BL_VEIN_EXTERNAL_ILIAC
               : BL_VEIN_COMMON_ILIAC;
}

static held hold(const planner *in, const bl_segment *of, bool low) {
    bl_vein vein = of->vein != BL_VEIN_UNKNOWN ? of->vein
                   : low                       ? least_vein(in)
                                               : greatest_vein(in);
    return (held){of, vein, of->area_mm2 / normal_of(in, vein)};
}

static double middle_at(const planner *in, const bl_segment *of) {
    return ground_at(&in->ground, 0.5 * (of->span.from_mm + of->span.to_mm));
}

/* Whether no other lies between it and what is treated. */
static bool sizes(const planner *in, const bl_segment *of,
                  const treatment *treated) {
    const bl_assessment *found = in->assessment;
    double at = middle_at(in, of);
    for (size_t i = 0; i < found->segment_count; i++) {
        double other = middle_at(in, &found->segments[i]);
        if ((other > at && other <= treated->from_mm) ||
            (other < at && other >= treated->to_mm)) {
            return false;
        }
    }
    return true;
}

static bool sizes_any(const planner *in, const bl_segment *of,
                      const treatment *list, size_t count) {
    bool any = count == 0;
    for (size_t i = 0; i < count && !any; i++) {
        any = sizes(in, of, &list[i]);
    }
    return any;
}

/* The furthest below its normal, or above it. */
static held furthest(const planner *in, const treatment *list, size_t count,
                     bool low) {
    const bl_assessment *found = in->assessment;
    held out = {NULL, BL_VEIN_UNKNOWN, low ? LOW_NORMAL_SHARE : HIGH_SHARE};
    for (size_t i = 0; i < found->segment_count; i++) {
        held one = hold(in, &found->segments[i], low);
        bool further = low ? one.share < out.share : one.share > out.share;
        if (further && sizes_any(in, one.segment, list, count)) {
            out = one;
        }
    }
    return out;
}

static void add_held(text *out, const planner *in, const held *of) {
    text_add(out, "the reference at ");
    text_span(out, of->segment->span);
    text_add(out, " is ");
    text_fixed(out, 100.0 * of->share, 0);
    text_add(out, in->assessment->options.expected == NULL
                      ? " % of the normal area of the "
                      : " % of the expected area of the ");
    text_add(out, bl_vein_name(of->vein));
}

static void doubt_low(sentences *to, const planner *in, const treatment *list,
                      size_t count) {
    held low = furthest(in, list, count, true);
    if (low.segment == NULL) {
        return;
    }
    text_add(&to->draft, count > 0 ? "the diameters, since "
                                   : "that nothing is narrowed, since ");
    add_held(&to->draft, in, &low);
    text_add(&to->draft, low.segment->vein == BL_VEIN_UNKNOWN
                             ? ", the least that there is: "
                             : ": ");
    text_add(&to->draft, count > 0 ? "a device sized by it may be too narrow "
                                     "(common practice, no source)"
                                   : "it may itself be diseased, and every "
                                     "percentage then reads low");
    sentences_end(to);
}

/* As wide as a cava is told by itself. */
static bool is_told(const planner *in, const treatment *list, size_t count) {
    bool told = false;
    for (size_t i = 0; i < count; i++) {
        told = told || source_vein_of(in, &list[i]) >= SOURCE_WIDE;
    }
    return told;
}

static void doubt_high(sentences *to, const planner *in, const treatment *list,
                       size_t count) {
    held high = furthest(in, list, count, false);
    if (high.segment == NULL || is_told(in, list, count)) {
        return;
    }
    text_add(&to->draft, "the diameters, since ");
    add_held(&to->draft, in, &high);
    text_add(&to->draft, high.segment->vein == BL_VEIN_UNKNOWN
                             ? ", the widest iliac vein: "
                             : ": ");
    text_add(&to->draft, "a device sized by it may be too wide (common "
                         "practice, no source)");
    sentences_end(to);
}

void source_share_doubt(sentences *to, const planner *in, const treatment *list,
                        size_t count) {
    doubt_low(to, in, list, count);
    if (count > 0) {
        doubt_high(to, in, list, count);
    }
}
