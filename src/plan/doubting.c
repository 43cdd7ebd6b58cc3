/*
 * doubting.c - what of a plan is not certain, in the words of its first line.
 *
 * Who reads no further must not take for certain what warnings further down
 * take back. A phrase a matter, however many places it holds of: whether there
 * is a narrowing, how wide and how long the devices are, whether it is the
 * best plan.
 */
#include "plan/doubting.h"

#include "base/place.h"
#include "plan/source_vein.h"
#include "plan/wording.h"

#include <math.h>

/* Half of what nominal diameters differ by (2 mm, common practice, no source):
 * a reference that moves so much moves the size. Our own measure. */
#define SIZE_MOVES_MM 1.0

/* -------------------------------------------------------------- narrowings */

static void doubt_call(sentences *to, const bl_assessment *of) {
    const bl_runner_up *next = of->runner_up;
    if (of->call_depends) {
        text_add(&to->draft, "whether the vein is narrowed at all, which "
                             "depends on the reference");
    } else if (next != NULL && next->narrowing_count != of->narrowing_count) {
        text_format(&to->draft,
                    "how many narrowings there are: %zu under the chosen "
                    "reference, %zu under the runner-up",
                    of->narrowing_count, next->narrowing_count);
    }
    sentences_end(to);
}

typedef bool (*narrowing_test)(const bl_assessment *of,
                               const bl_narrowing *one);

static bool may_be_less(const bl_assessment *of, const bl_narrowing *one) {
    return one->area_stenosis_interval_pct.low < of->options.threshold_pct;
}

static bool is_doubted(const bl_assessment *of, const bl_narrowing *one) {
    (void)of;
    return place_is_doubted(&one->worst);
}

/* "the narrowing at 51.0..73.0 mm" or "2 of 3 narrowings", of those treated
 * that a test holds of; false where there are none. */
static bool name_narrowings(sentences *to, const planner *in,
                            const treatment *list, size_t count,
                            narrowing_test holds) {
    const bl_assessment *of = in->assessment;
    size_t all = 0;
    size_t held = 0;
    bl_span only = {0.0, 0.0};
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < list[i].narrowing_count; k++) {
            const bl_narrowing *one =
                &of->narrowings[list[i].first_narrowing + k];
            all++;
            if (holds(of, one)) {
                held++;
                only = one->span;
            }
        }
    }
    if (held == 1) {
        text_add(&to->draft, "the narrowing at ");
        text_span(&to->draft, only);
    } else if (held > 1) {
        text_format(&to->draft, "%zu of %zu narrowings", held, all);
    }
    return held > 0;
}

static void doubt_narrowings(sentences *to, const planner *in,
                             const treatment *list, size_t count) {
    if (name_narrowings(to, in, list, count, may_be_less)) {
        text_add(&to->draft, ", whose area stenosis may be below ");
        text_short(&to->draft, in->assessment->options.threshold_pct, 2);
        text_add(&to->draft, " %");
        sentences_end(to);
    }
    if (name_narrowings(to, in, list, count, is_doubted)) {
        text_add(&to->draft, ", which hangs on a doubtful contour");
        sentences_end(to);
    }
}

/* What is not called narrowed and may be. */
static void doubt_rest(sentences *to, const bl_assessment *of) {
    const bl_intervals *all = &of->intervals;
    double threshold = of->options.threshold_pct;
    bool none = of->narrowing_count == 0;
    bl_interval most = none ? all->worst_area_stenosis_pct
                            : all->next_area_stenosis_interval_pct;
    if (!(most.high >= threshold)) {
        return;
    }
    text_add(&to->draft, none ? "that nothing is narrowed: at "
                              : "that nothing else is narrowed: at ");
    wording_length(&to->draft,
                   none ? of->worst.position_mm : all->next_position_mm);
    text_add(&to->draft, " the area stenosis may be ");
    text_fixed(&to->draft, most.high, 0);
    text_add(&to->draft, " %");
    sentences_end(to);
}

/* That nothing is narrowed holds of what was judged. */
static void doubt_unjudged(sentences *to, const bl_assessment *of) {
    if (of->narrowing_count == 0 && place_judged_in_part(of)) {
        text_add(&to->draft, "whether ");
        wording_length(&to->draft, of->traced_mm - of->judged_mm);
        text_add(&to->draft, " without a reference are narrowed");
        sentences_end(to);
    }
}

static void doubt_ripple(sentences *to, const bl_assessment *of) {
    const bl_ripple *ripple = &of->ripple;
    bool counts = ripple->found && ripple->with.narrowing_count !=
                                       ripple->without.narrowing_count;
    if (!ripple->found || (ripple->removed && !counts)) {
        return;
    }
    text_add(&to->draft, "what is narrowed and how wide the vein is, since "
                         "breathing moves the diameter by ");
    text_fixed(&to->draft, ripple->share_of_diameter_pct, 0);
    text_add(&to->draft, " %");
    if (counts) {
        text_format(
            &to->draft, " (narrowings with it: %zu, with it taken off: %zu)",
            ripple->with.narrowing_count, ripple->without.narrowing_count);
    }
    sentences_end(to);
}

/* --------------------------------------------------------- widths, lengths */

/* The furthest that the runner-up lies from what serves the worst place; 0
 * without one. */
static double runner_up_moves_mm(const bl_assessment *of) {
    const bl_runner_up *next = of->runner_up;
    double most = 0.0;
    if (next == NULL || next->segment_count != of->segment_count) {
        return 0.0;
    }
    for (size_t i = 0; i < of->segment_count; i++) {
        double wider = next->segments[i].equivalent_diameter_mm -
                       of->segments[i].equivalent_diameter_mm;
        if (of->segments[i].serves_worst && fabs(wider) > fabs(most)) {
            most = wider;
        }
    }
    return most;
}

static void doubt_sizes(sentences *to, const bl_assessment *of) {
    double moves = runner_up_moves_mm(of);
    if (of->reference_from == BL_FROM_EXPECTED) {
        text_add(&to->draft, "the diameters, since the reference is expected "
                             "of each vein, not found in this one");
    } else if (fabs(moves) >= SIZE_MOVES_MM) {
        text_add(&to->draft, "the diameters, since the runner-up reference is "
                             "up to ");
        wording_length(&to->draft, fabs(moves));
        text_add(&to->draft, moves > 0.0 ? " wider" : " narrower");
    }
    sentences_end(to);
}

static void doubt_ends(sentences *to, const treatment *list, size_t count) {
    bool open[2] = {false, false};
    for (size_t i = 0; i < count; i++) {
        open[0] = open[0] || list[i].ends[0].open;
        open[1] = open[1] || list[i].ends[1].open;
    }
    if (open[0] || open[1]) {
        text_add(&to->draft, "the length, since the treated vein runs out of "
                             "what is known at its ");
        text_add(&to->draft, open[0] && open[1] ? "both ends"
                             : open[0]          ? "cranial end"
                                                : "caudal end");
        sentences_end(to);
    }
}

static void doubt_lengths(sentences *to, const bl_plan *of, bool served) {
    if (of->change_count == 0) {
        return;
    }
    text_add(&to->draft,
             served ? "the devices, which would be others if the pullback was "
                      "really "
                    : "that nothing fits, since something would if the "
                      "pullback was really ");
    for (size_t i = 0; i < of->change_count; i++) {
        double factor = of->changes[i].factor;
        text_add(&to->draft, i > 0 ? " or " : "");
        text_fixed(&to->draft, 100.0 * fabs(factor - 1.0), 0);
        text_add(&to->draft, factor > 1.0 ? " % longer" : " % shorter");
    }
    sentences_end(to);
}

/* ------------------------------------------------------------------- whole */

static bool any_served(const treatment *list, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (list[i].served) {
            return true;
        }
    }
    return false;
}

bl_status doubting_fill(planner *in, const treatment *list, size_t count,
                        bl_plan *out) {
    sentences said = {.owner = in->owner};
    bool served = any_served(list, count);
    doubt_call(&said, in->assessment);
    doubt_narrowings(&said, in, list, count);
    doubt_rest(&said, in->assessment);
    doubt_unjudged(&said, in->assessment);
    doubt_ripple(&said, in->assessment);
    if (count > 0) {
        source_vein_doubt(&said, in, list, count);
        doubt_sizes(&said, in->assessment);
        doubt_ends(&said, list, count);
        doubt_lengths(&said, out, served);
    }
    if (!in->exact && served) {
        text_add(&said.draft, "that there is no better plan, since the search "
                              "was stopped");
        sentences_end(&said);
    }
    bl_status status = said.failed ? BL_ERR_MEMORY : BL_OK;
    sentences_free(&said);
    out->doubts = said.texts;
    out->doubt_count = said.count;
    return status;
}
