/*
 * doubting.c - what of a plan is not certain, in the words of its first line.
 *
 * Who reads no further must not take for certain what warnings further down
 * take back. A phrase a matter, however many places it holds of: whether there
 * is a narrowing, how wide and how long the devices are, what they end in,
 * whether it is the best plan.
 */
#include "plan/doubting.h"

#include "base/place.h"
#include "plan/earlier.h"
#include "plan/laying.h"
#include "plan/misfit.h"
#include "plan/sizing.h"
#include "plan/source_share.h"
#include "plan/source_vein.h"
#include "plan/telling.h"
#include "plan/unjudged.h"
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

/* "may be 45.8 to 67.3 %", of several "may be as little as 45.8 %". */
static void add_stenosis(text *out, const planner *in, const treatment *list,
                         size_t count) {
    const bl_assessment *of = in->assessment;
    bl_interval most = {HUGE_VAL, 0.0};
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < list[i].narrowing_count; k++) {
            const bl_narrowing *one =
                &of->narrowings[list[i].first_narrowing + k];
            if (may_be_less(of, one)) {
                bl_interval own = one->area_stenosis_interval_pct;
                most = own.low < most.low ? own : most;
                held++;
            }
        }
    }
    text_add(out, held > 1 ? ", whose area stenosis may be as little as "
                           : ", whose area stenosis may be ");
    text_fixed(out, most.low, 1);
    if (held == 1) {
        text_add(out, " to ");
        text_fixed(out, most.high, 1);
    }
    text_add(out, " %");
}

static void doubt_narrowings(sentences *to, const planner *in,
                             const treatment *list, size_t count) {
    if (name_narrowings(to, in, list, count, may_be_less)) {
        add_stenosis(&to->draft, in, list, count);
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

static bool is_treated(const planner *in, const treatment *list, size_t count,
                       double position_mm) {
    double at = ground_at(&in->ground, position_mm);
    bool treated = false;
    for (size_t i = 0; i < count; i++) {
        treated = treated ||
                  (at >= list[i].ends[0].at_mm && at <= list[i].ends[1].at_mm);
    }
    return treated;
}

/* Vein pressed flat keeps much of its area, so that the threshold may pass it
 * by. */
static void doubt_compressions(sentences *to, const planner *in,
                               const treatment *list, size_t count) {
    const bl_assessment *of = in->assessment;
    const bl_place *worst = NULL;
    size_t left = 0;
    for (size_t i = 0; i < of->compression_count; i++) {
        const bl_place *one = &of->compressions[i].place;
        if (!is_treated(in, list, count, one->position_mm)) {
            bool worse = worst == NULL || one->min_diameter_stenosis_pct >
                                              worst->min_diameter_stenosis_pct;
            worst = worse ? one : worst;
            left++;
        }
    }
    if (worst == NULL) {
        return;
    }
    text *out = &to->draft;
    if (left == 1) {
        text_add(out, "whether the compression point at ");
        wording_length(out, worst->position_mm);
        text_add(out, ", which is not treated, matters: ");
    } else {
        text_format(out,
                    "whether %zu compression points, which are not "
                    "treated, matter: at the worst, ",
                    left);
        wording_length(out, worst->position_mm);
        text_add(out, ", ");
    }
    text_add(out, "minimum diameter ");
    wording_length(out, worst->min_diameter_mm);
    text_add(out, ", minimum-diameter stenosis ");
    text_fixed(out, worst->min_diameter_stenosis_pct, 0);
    text_add(out, " %");
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

/* "7 %". */
static void add_percent(text *out, double factor) {
    text_fixed(out, 100.0 * fabs(factor - 1.0), 0);
    text_add(out, " %");
}

/* Too short is what matters; that shorter ones would do is told further down.
 */
static void doubt_lengths(sentences *to, const bl_plan *of) {
    double enough = of->enough_up_to_factor;
    if (!(enough < of->length_factor.high)) {
        return;
    }
    text_add(&to->draft, "whether the devices are long enough, since the vein "
                         "may be ");
    add_percent(&to->draft, of->length_factor.high);
    text_add(&to->draft, " longer than measured and they ");
    if (enough < 1.01) { /* in whole percents nothing */
        text_add(&to->draft, "have no length to spare");
    } else {
        text_add(&to->draft, "reach up to ");
        add_percent(&to->draft, floor(100.0 * enough) / 100.0);
        text_add(&to->draft, " longer");
    }
    sentences_end(to);
}

static void doubt_unserved(sentences *to, const bl_plan *of) {
    if (of->change_count == 0) {
        return;
    }
    text_add(&to->draft, "that nothing fits, since something would if the "
                         "pullback was really ");
    for (size_t i = 0; i < of->change_count; i++) {
        double factor = of->changes[i].factor;
        text_add(&to->draft, i > 0 ? " or " : "");
        add_percent(&to->draft, factor);
        text_add(&to->draft, factor > 1.0 ? " longer" : " shorter");
    }
    sentences_end(to);
}

/* -------------------------------------------------------------------- ends */

typedef bool (*landing_test)(const planner *in, const bl_landing *of);

static bool has_none(const bl_landing *of) {
    return !of->open && isnan(of->healthy_vein.from_mm);
}

static bool is_beside(const planner *in, const bl_landing *of,
                      telling_vein vein) {
    double at_mm = ground_at(&in->ground, of->position_mm);
    return has_none(of) &&
           telling_vein_beyond(in, at_mm, of->where == BL_END_CAUDAL) == vein;
}

static bool lacks_vein(const planner *in, const bl_landing *of) {
    return is_beside(in, of, TELLING_VEIN_NONE);
}

static bool is_not_known(const planner *in, const bl_landing *of) {
    return is_beside(in, of, TELLING_VEIN_UNKNOWN);
}

static bool is_further(const planner *in, const bl_landing *of) {
    return is_beside(in, of, TELLING_VEIN_FURTHER);
}

static bool has_little(const planner *in, const bl_landing *of) {
    (void)in;
    return !of->open && !of->healthy && !has_none(of);
}

static bool reaches_over(const planner *in, const bl_landing *of) {
    (void)in;
    return of->crosses != NULL;
}

static bool is_near(const planner *in, const bl_landing *of) {
    (void)in;
    return of->near != NULL;
}

typedef struct named_ends {
    const bl_landing *first; /* from cranial; NULL where there is none */
    size_t stretch;          /* its */
    size_t count;
} named_ends;

/* Those that a test holds of: "the cranial end", "the cranial and the caudal
 * end", "3 of 4 ends". */
static named_ends name_ends(sentences *to, const planner *in,
                            const bl_plan *plan, landing_test holds) {
    size_t all = 2 * plan->stretch_count;
    named_ends out = {NULL, 0, 0};
    for (size_t i = 0; i < all; i++) {
        size_t k = laying_turned(in, i / 2, plan->stretch_count);
        const bl_landing *one =
            &plan->stretches[k].landings[laying_turned(in, i % 2, 2)];
        if (holds(in, one)) {
            out.first = out.count == 0 ? one : out.first;
            out.stretch = out.count == 0 ? k : out.stretch;
            out.count++;
        }
    }
    if (out.count == 1) {
        wording_end_of(&to->draft, plan, out.stretch, out.first->where);
    } else if (out.count == 2 && all == 2) {
        text_add(&to->draft, "the cranial and the caudal end");
    } else if (out.count > 1) {
        text_format(&to->draft, "%zu of %zu ends", out.count, all);
    }
    return out;
}

static double healthy_mm(const bl_landing *of) {
    return of->healthy_vein.to_mm - of->healthy_vein.from_mm;
}

/* The least of all ends that have too little. */
static double least_healthy_mm(const planner *in, const bl_plan *plan) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < 2 * plan->stretch_count; i++) {
        const bl_landing *one = &plan->stretches[i / 2].landings[i % 2];
        least = has_little(in, one) ? fmin(least, healthy_mm(one)) : least;
    }
    return least;
}

static void doubt_little(sentences *to, const planner *in,
                         const bl_plan *plan) {
    named_ends little = name_ends(to, in, plan, has_little);
    if (little.count == 0) {
        return;
    }
    text_add(&to->draft, little.count > 1 ? ", which have as little as "
                                          : ", which has only ");
    wording_length(&to->draft, least_healthy_mm(in, plan));
    text_add(&to->draft, " of healthy vein to land in");
    if (little.count == 1) {
        text_format(&to->draft, " (then: %s)",
                    bl_border_name(little.first->ends_at));
    }
    sentences_end(to);
}

static void doubt_landings(sentences *to, const planner *in,
                           const bl_plan *plan) {
    if (name_ends(to, in, plan, lacks_vein).count > 0) {
        text_add(&to->draft, ", beside which no healthy vein lies");
        sentences_end(to);
    }
    if (name_ends(to, in, plan, is_not_known).count > 0) {
        text_add(&to->draft, ", beside which it is not known whether healthy "
                             "vein lies");
        sentences_end(to);
    }
    if (name_ends(to, in, plan, is_further).count > 0) {
        text_add(&to->draft, ", beside which healthy vein lies further off "
                             "only");
        sentences_end(to);
    }
    doubt_little(to, in, plan);
    named_ends over = name_ends(to, in, plan, reaches_over);
    if (over.count > 1) {
        text_add(&to->draft, ", which lie past confluences");
    } else if (over.count == 1) {
        text_format(&to->draft, ", which lies past %s",
                    over.first->crosses->name);
    }
    sentences_end(to);
    named_ends near = name_ends(to, in, plan, is_near);
    if (near.count > 0) {
        text_add(&to->draft, near.count > 1 ? ", which lie within "
                                            : ", which lies within ");
        text_short(&to->draft, LANDING_NEAR_MM, 1);
        text_format(&to->draft, " mm of %s", near.first->near->name);
    }
    sentences_end(to);
}

/* Vein that a device would not lie against. */
static void doubt_walls(sentences *to, const planner *in, const bl_plan *plan) {
    for (size_t i = 0; i < 2 * plan->stretch_count; i++) {
        bool caudal = i % 2 == 1;
        size_t k = laying_turned(in, i / 2, plan->stretch_count);
        double traced = misfit_loose_mm(in, &plan->stretches[k].chain, caudal);
        if (traced > 0.0) {
            wording_end_of(&to->draft, plan, k,
                           caudal ? BL_END_CAUDAL : BL_END_CRANIAL);
            text_add(&to->draft, ", where the vein was traced at ");
            wording_length(&to->draft, traced);
            text_add(&to->draft, ", wider than the device");
            sentences_end(to);
        }
    }
}

static void doubt_veins(sentences *to, const planner *in, const bl_plan *plan) {
    for (size_t i = 0; i < plan->stretch_count; i++) {
        size_t k = laying_turned(in, i, plan->stretch_count);
        misfit_doubt(to, in, &plan->stretches[k].chain);
    }
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
    source_share_doubt(&said, in, list, count);
    unjudged_doubt_veins(&said, in);
    doubt_call(&said, in->assessment);
    doubt_narrowings(&said, in, list, count);
    doubt_rest(&said, in->assessment);
    doubt_compressions(&said, in, list, count);
    doubt_unjudged(&said, in->assessment);
    doubt_ripple(&said, in->assessment);
    if (count > 0) {
        earlier_doubt(&said, in, list, count, out);
        source_vein_doubt(&said, in, list, count);
        unjudged_doubt_covered(&said, in, list, count, out);
        doubt_sizes(&said, in->assessment);
        sizing_doubt(&said, in, out);
        doubt_ends(&said, list, count);
        doubt_landings(&said, in, out);
        doubt_walls(&said, in, out);
        doubt_veins(&said, in, out);
        if (served) {
            doubt_lengths(&said, out);
        } else {
            doubt_unserved(&said, out);
        }
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
