/*
 * mistrust.c - what undoes figures of a comparison, though each was computed
 * rightly: kinds that do not lie in each other, a scale in doubt, a narrowing
 * that BEFORE did not trace, sizes that the device contradicts; and an edge
 * that narrowed.
 */
#include "base/constants.h"
#include "compare/comparing.h"

#include <math.h>

/* A few frames are a fault of the tracing, more of all: our own, as what stops
 * where devices leave their vessel. */
#define OUT_MOST 0.20
/* A device does not open beyond its size; of areas, twice what one is read
 * wrong by: our own. */
#define OVERSIZED_PCT 110.0
/* And one of another size is too wide over more than a few contours: our own.
 */
#define OVERSIZED_MM 5.0

/* -------------------------------------------------------------------- kinds */

/* Frames of the device in which another two kinds do not lie as they must. */
typedef struct kinds_apart {
    size_t both;
    size_t apart;
    double most_mm;
    int64_t frames[FRAMES_NAMED];
    bool at_tissue; /* one is where tissue is told beyond reader error */
} kinds_apart;

static void add_apart(kinds_apart *to, int64_t frame, double most_mm) {
    if (to->apart < FRAMES_NAMED) {
        to->frames[to->apart] = frame;
    }
    to->apart++;
    to->most_mm = fmax(to->most_mm, most_mm);
}

/* Whether the most tissue, as smoothed, may be of a place. */
static bool is_at_tissue(const comparing *in, double at_mm) {
    const bl_device_state *of = &in->out->device;
    double reach = 0.5 * in->tables[AFTER].assessment->options.smooth_mm;
    return !of->tissue_within_error &&
           fabs(at_mm - of->tissue_greatest_position_mm) <= reach + EDGE_MM;
}

static void find_apart(const comparing *in, kinds_apart *beside,
                       kinds_apart *outside) {
    const trace *of = &in->tables[AFTER].device;
    const bl_study *study = in->tables[AFTER].study;
    for (size_t i = 0; i < of->count; i++) {
        const bl_apposition *one = wall_of(study, of->nodes[i].row);
        if (one != NULL && !isnan(one->lumen_inside_mm2)) {
            beside->both++;
            if (wall_is_beside(one)) {
                add_apart(beside, one->frame, 0.0);
            }
        }
        if (one != NULL && !isnan(one->lumen_outside_mm)) {
            outside->both++;
            if (one->lumen_outside_mm > bl_study_tolerance_mm(study)) {
                add_apart(outside, one->frame, one->lumen_outside_mm);
                outside->at_tissue =
                    outside->at_tissue || is_at_tissue(in, of->nodes[i].at_mm);
            }
        }
    }
}

static void frame_words(text *out, const kinds_apart *of) {
    text_format(out, "In %zu of %zu frames of the second table with both (",
                of->apart, of->both);
    for (size_t i = 0; i < of->apart && i < FRAMES_NAMED; i++) {
        text_format(out, "%s%lld", i == 0 ? "" : ", ",
                    (long long)of->frames[i]);
    }
    text_add(out, of->apart > FRAMES_NAMED ? ", ...) " : ") ");
}

static void on_beside(comparing *in, const kinds_apart *of) {
    if (of->apart == 0) {
        return;
    }
    text *words = &in->foremost.draft;
    frame_words(words, of);
    text_add(words, "lumen and device have nothing in common: they may be "
                    "drawn to different origins. What is said there of one in "
                    "the other is wrong.");
    sentences_end(&in->foremost);
}

static void on_outside(comparing *in, const kinds_apart *of) {
    bool many = (double)of->apart > OUT_MOST * (double)of->both;
    bool leads = many || of->at_tissue;
    sentences *to = leads ? &in->foremost : &in->said;
    if (of->apart == 0) {
        return;
    }
    text *words = &to->draft;
    frame_words(words, of);
    text_add(words, "the lumen reaches out of the vessel by more than ");
    text_short(words, bl_study_tolerance_mm(in->tables[AFTER].study), 3);
    text_add(words, " mm, by up to ");
    text_fixed(words, of->most_mm, 2);
    text_add(words, many ? " mm: they may be drawn to different origins. What "
                           "is said of lumen, device and wall together is then "
                           "wrong."
                    : leads ? " mm, which is a fault of the tracing: the most "
                              "of the device that is said not to be lumen lies "
                              "there."
                            : " mm, which is a fault of the tracing.");
    sentences_end(to);
}

void mistrust_kinds(comparing *in) {
    kinds_apart beside = {0};
    kinds_apart outside = {0};
    find_apart(in, &beside, &outside);
    on_beside(in, &beside);
    /* A lumen drawn beside its device mostly lies out of the vessel too: those
     * frames are told already. Only where more are out is it another fault. */
    if (outside.apart > beside.apart) {
        on_outside(in, &outside);
    }
}

/* -------------------------------------------------------------------- scale */

static const bl_finding *scale_doubt(const comparing *in, int which) {
    const bl_study *study = in->tables[which].study;
    const bl_finding *all = bl_study_findings(study);
    for (size_t i = 0; i < bl_study_finding_count(study); i++) {
        if (all[i].doubts_scale) {
            return &all[i];
        }
    }
    return NULL;
}

void mistrust_scale(comparing *in) {
    for (int which = BEFORE; which < TABLES; which++) {
        const bl_finding *doubt = scale_doubt(in, which);
        if (doubt == NULL) {
            continue;
        }
        text *words = &in->foremost.draft;
        text_add(words, "The scale of the ");
        text_add(words, which == BEFORE ? "first" : "second");
        text_add(words, " table is doubtful, and with it every area and what "
                        "is made of it: ");
        if (doubt->frame >= 0) {
            text_format(words, "at frame %lld, ", (long long)doubt->frame);
        }
        text_add(words, doubt->message.text);
        text_add(words, ".");
        sentences_end(&in->foremost);
    }
}

/* ----------------------------------------------------------------- untraced */

/* The least of what was traced is no least of all. */
void mistrust_untraced(comparing *in) {
    const bl_comparison *of = in->out;
    double rest =
        of->treated.to_mm - of->treated.from_mm - of->before_traced_mm;
    double least = comparing_untraced_mm(&in->tables[BEFORE]);
    if (!(rest > least) || isnan(of->before.area_mm2)) {
        return;
    }
    text *words = &in->foremost.draft;
    text_add(words, "The first table has no lumen over ");
    text_fixed(words, rest, 1);
    text_add(words, " mm of the treated stretch: its narrowest place may lie "
                    "there. The least area before and the gain are of the "
                    "rest.");
    sentences_end(&in->foremost);
}

/* -------------------------------------------------------------------- sizes */

/* Whether their order matters. */
static bool sizes_differ(const bl_device_state *of) {
    for (size_t i = 1; i < of->nominal_count; i++) {
        double apart =
            of->nominals[i].diameter_mm - of->nominals[0].diameter_mm;
        if (fabs(apart) > 0.0) {
            return true;
        }
    }
    return false;
}

/* Where the nominal area may be that of the neighbour: what two sizes overlap
 * over, and beyond its ends what smoothing reaches over and what devices may
 * shorten by. */
static bool is_near_other(const comparing *in, double at_mm) {
    const denominator_device *of = in->against.devices;
    double smooth = 0.5 * in->tables[AFTER].assessment->options.smooth_mm;
    for (size_t i = 1; i < in->against.device_count; i++) {
        bl_span a = of[i - 1].span;
        bl_span b = of[i].span;
        double room = smooth + SHORTENED_SHARE * fmax(a.to_mm - a.from_mm,
                                                      b.to_mm - b.from_mm);
        if (fabs(of[i].diameter_mm - of[i - 1].diameter_mm) > EDGE_MM &&
            at_mm >= fmin(a.to_mm, b.from_mm) - room &&
            at_mm <= fmax(a.to_mm, b.from_mm) + room) {
            return true;
        }
    }
    return false;
}

typedef struct widest_place {
    double pct; /* of the nominal area; NaN: none */
    double at_mm;
} widest_place;

/* Where the device is widest, of stretches that are too wide throughout; of
 * equals the cranial one. */
static widest_place find_oversized(const comparing *in) {
    const trace *of = &in->tables[AFTER].device;
    trace_run all = {0, of->count};
    widest_place widest = {UNKNOWN, UNKNOWN};
    widest_place here = widest; /* of the stretch that is open */
    double from_mm = UNKNOWN;
    for (size_t i = 0; i < of->count; i++) {
        const trace_node *node = &of->nodes[waist_from_cranial(in, all, i)];
        double at = node->at_mm;
        double pct =
            100.0 * node->area_mm2 / denominator_nominal_mm2(&in->against, at);
        if (!(pct > OVERSIZED_PCT) || is_near_other(in, at)) {
            here = (widest_place){UNKNOWN, UNKNOWN};
            from_mm = UNKNOWN;
            continue;
        }
        from_mm = isnan(from_mm) ? at : from_mm;
        here = pct <= here.pct ? here : (widest_place){pct, at};
        if (fabs(at - from_mm) >= OVERSIZED_MM - EDGE_MM &&
            !(here.pct <= widest.pct)) {
            widest = here;
        }
    }
    return widest;
}

void mistrust_sizes(comparing *in) {
    const bl_device_state *sizes = &in->out->device;
    widest_place of = find_oversized(in);
    bool touches = !isnan(in->out->nominal_residual.area_stenosis_pct);
    sentences *to = touches ? &in->foremost : &in->said;
    if (isnan(of.pct)) {
        return;
    }
    text *words = &to->draft;
    text_add(words, "The device has up to ");
    text_fixed(words, of.pct - 100.0, 1);
    text_add(words, " % more area than its nominal size, at ");
    text_fixed(words, of.at_mm, 1);
    text_add(words, " mm, and devices do not open so far: ");
    text_add(words, sizes->nominal_count == 1
                        ? "the size or the scale may be wrong"
                    : sizes_differ(sizes)
                        ? "the sizes or their order (from cranial), or the "
                          "scale, may be wrong"
                        : "the sizes or the scale may be wrong");
    text_add(words, touches ? ", and with them what is held against the "
                              "nominal area."
                            : ".");
    sentences_end(to);
}

/* -------------------------------------------------------------------- edges */

#define ROUNDING_PCT 1e-9

/* Percent that the side of an edge lost all along, as of another scale. */
static double lost_all_along_pct(const comparing *in, size_t edge) {
    double ratio = in->out->alignment.calibre_ratio[edge];
    return lining_is_rescaled(in) ? 100.0 * (1.0 - ratio * ratio) + ROUNDING_PCT
                                  : 0.0;
}

/* Of another scale it tells nothing of the vein: then it does not lead. */
void mistrust_edges(comparing *in) {
    bool doubted =
        scale_doubt(in, BEFORE) != NULL || scale_doubt(in, AFTER) != NULL;
    sentences *to = doubted ? &in->said : &in->foremost;
    for (size_t i = 0; i < in->out->edge_count; i++) {
        const bl_edge *of = &in->out->edges[i];
        if (of->loss_within_error ||
            !(of->loss_interval_pct.low > lost_all_along_pct(in, i))) {
            continue;
        }
        text *words = &to->draft;
        text_add(words, "The vein at the ");
        text_add(words, bl_end_name(of->where));
        text_add(words, " edge lost ");
        text_fixed(words, of->loss_pct, 1);
        text_add(words, " % of its area since the first table, ");
        text_fixed(words, of->loss_before_mm2, 1);
        text_add(words, " to ");
        text_fixed(words, of->loss_after_mm2, 1);
        text_add(words, " mm2 at ");
        text_fixed(words, of->loss_position_mm, 1);
        text_add(words, " mm: beyond reader error (95 %: ");
        text_fixed(words, of->loss_interval_pct.low, 1);
        text_add(words, " to ");
        text_fixed(words, of->loss_interval_pct.high, 1);
        text_add(words, " %).");
        sentences_end(to);
    }
}
