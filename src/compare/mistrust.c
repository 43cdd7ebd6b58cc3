/*
 * mistrust.c - what undoes figures of a comparison, though each was computed
 * rightly: kinds that do not lie in each other, a narrowing that BEFORE did not
 * trace, sizes that the device contradicts; and an edge that narrowed.
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

/* -------------------------------------------------------------------- kinds */

/* Frames of the device in which another two kinds do not lie as they must. */
typedef struct kinds_apart {
    size_t both;
    size_t apart;
    double most_mm;
    int64_t frames[FRAMES_NAMED];
} kinds_apart;

static void add_apart(kinds_apart *to, int64_t frame, double most_mm) {
    if (to->apart < FRAMES_NAMED) {
        to->frames[to->apart] = frame;
    }
    to->apart++;
    to->most_mm = fmax(to->most_mm, most_mm);
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
    sentences *to = many ? &in->foremost : &in->said;
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

void mistrust_sizes(comparing *in) {
    const bl_device_state *of = &in->out->device;
    bool touches = !isnan(in->out->nominal_residual.area_stenosis_pct);
    sentences *to = touches ? &in->foremost : &in->said;
    if (!(of->greatest_nominal_expansion_pct > OVERSIZED_PCT)) {
        return;
    }
    text *words = &to->draft;
    text_add(words, "The device has up to ");
    text_fixed(words, of->greatest_nominal_expansion_pct - 100.0, 1);
    text_add(words, " % more area than its nominal size, at ");
    text_fixed(words, of->greatest_nominal_expansion_position_mm, 1);
    text_add(words, " mm, and devices do not open so far: ");
    text_add(words, of->nominal_count == 1
                        ? "the size or the scale may be wrong"
                    : sizes_differ(of)
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

void mistrust_edges(comparing *in) {
    for (size_t i = 0; i < in->out->edge_count; i++) {
        const bl_edge *of = &in->out->edges[i];
        if (of->loss_within_error ||
            !(of->loss_interval_pct.low > lost_all_along_pct(in, i))) {
            continue;
        }
        text *words = &in->foremost.draft;
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
        sentences_end(&in->foremost);
    }
}
