/*
 * earlier.c - devices that lie in the vein already.
 *
 * Where a table has device contours a device lies: its lumen reads as healthy
 * vein and may be landed in, and what overlaps it is a pair of devices like any
 * other. Contours further apart than a gap are of two devices; where frames
 * stand that far apart, only where one is missing among them.
 */
#include "plan/earlier.h"

#include "base/constants.h"
#include "plan/describing.h"
#include "plan/laying.h"
#include "plan/wording.h"
#include "profile/median.h"

#include <math.h>

/* One that is missing among evenly spaced contours doubles the step. */
#define APART_STEPS 1.5

/* Where the device contours lie, in position order. */
static bl_status gather_positions(const bl_study *study, arena *owner,
                                  double **out, size_t *out_count) {
    const bl_row *rows = bl_study_rows(study);
    size_t row_count = bl_study_row_count(study);
    double *list = arena_alloc(owner, row_count, sizeof *list);
    size_t count = 0;
    for (size_t i = 0; list != NULL && i < row_count; i++) {
        if (rows[i].kind == BL_KIND_DEVICE) {
            list[count++] = rows[i].position_mm;
        }
    }
    *out = list;
    *out_count = count;
    return list == NULL ? BL_ERR_MEMORY : BL_OK;
}

/* How far contours of one device are apart at most. */
static bl_status limit_of(const double *at_mm, size_t count, arena *owner,
                          double *out) {
    double *steps = arena_alloc(owner, count, sizeof *steps);
    if (steps == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t held = 0;
    for (size_t i = 1; i < count; i++) {
        double step = at_mm[i] - at_mm[i - 1];
        if (step > EDGE_MM) {
            steps[held++] = step;
        }
    }
    *out = GAP_MM;
    if (held > 0) {
        *out = fmax(*out, APART_STEPS * median_of(steps, held));
    }
    return BL_OK;
}

static bl_status group(const double *at_mm, size_t contours, double limit_mm,
                       planner *in) {
    bl_earlier *list = arena_alloc(in->owner, contours, sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t count = 0;
    for (size_t i = 0; i < contours; i++) {
        if (i == 0 || at_mm[i] - at_mm[i - 1] > limit_mm + EDGE_MM) {
            list[count++] = (bl_earlier){.span = {at_mm[i], at_mm[i]}};
        }
        list[count - 1].span.to_mm = at_mm[i];
        list[count - 1].contours++;
    }
    in->earlier = list;
    in->earlier_count = count;
    return BL_OK;
}

bl_status earlier_find(const bl_study *study, planner *in) {
    arena scratch = {0};
    double *at;
    size_t count;
    double limit;
    bl_status status = gather_positions(study, &scratch, &at, &count);
    if (status == BL_OK) {
        status = limit_of(at, count, &scratch, &limit);
    }
    if (status == BL_OK) {
        status = group(at, count, limit, in);
    }
    arena_free(&scratch);
    return status;
}

/* On the ground. */
static bl_span place_of(const planner *in, const bl_earlier *of) {
    return ground_span(&in->ground, of->span.from_mm, of->span.to_mm);
}

/* Below 0 they lie so far apart. */
static double overlap_mm(bl_span a, bl_span b) {
    return fmin(a.to_mm, b.to_mm) - fmax(a.from_mm, b.from_mm);
}

static bool is_within(bl_span inner, bl_span outer) {
    return inner.from_mm >= outer.from_mm - GROUND_PRINTED_MM &&
           inner.to_mm <= outer.to_mm + GROUND_PRINTED_MM;
}

static bool lands_in(const landing *of, bl_span there) {
    return of->at_mm > there.from_mm + GROUND_SAME_MM &&
           of->at_mm < there.to_mm - GROUND_SAME_MM;
}

static bl_span covered_of(const planner *in, const treatment *of,
                          const bl_chain *chain) {
    described_ends ends = describing_ends(in, of, chain);
    return (bl_span){ends.at_mm[0], ends.at_mm[1]};
}

bl_status earlier_fill(const planner *in, const treatment *list, size_t count,
                       bl_plan *out) {
    bl_earlier *given =
        arena_alloc(in->owner, in->earlier_count, sizeof *given);
    if (given == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < in->earlier_count; i++) {
        given[i] = in->earlier[i];
        bl_span there = place_of(in, &given[i]);
        for (size_t k = 0; k < count; k++) {
            const bl_stretch *own =
                &out->stretches[laying_turned(in, k, count)];
            bl_span covered = covered_of(in, &list[k], &own->chain);
            given[i].covered_mm += fmax(overlap_mm(covered, there), 0.0);
            given[i].landed_in = given[i].landed_in ||
                                 lands_in(&list[k].ends[0], there) ||
                                 lands_in(&list[k].ends[1], there);
        }
    }
    out->earlier = given;
    out->earlier_count = in->earlier_count;
    return BL_OK;
}

/* ------------------------------------------------------------------- words */

/* What new devices and one that lies there have in common. */
typedef struct meeting {
    double overlap_mm; /* below 0: apart */
    bool within;       /* all of the new lies in the old */
    bool over;         /* all of the old lies in the new */
} meeting;

static meeting meeting_of(bl_span covered, bl_span there) {
    return (meeting){overlap_mm(covered, there), is_within(covered, there),
                     is_within(there, covered)};
}

static bool lies_near(const planner *in, const meeting *of) {
    return of->overlap_mm > -in->options->join_mm;
}

/* As of neighbours in one chain. */
static bool keeps_rules(const planner *in, const meeting *of) {
    return !of->within && !of->over &&
           of->overlap_mm >= in->options->overlap_mm - GROUND_PRINTED_MM;
}

/* "overlap 3.0 mm, less than 15.0 mm". */
static void add_meeting(text *out, const planner *in, const meeting *of) {
    if (of->within) {
        text_add(out, "all that is covered lies in it");
    } else if (of->over) {
        text_add(out, "all of it is covered again");
    } else if (of->overlap_mm < -GROUND_PRINTED_MM) {
        wording_length(out, -of->overlap_mm);
        text_add(out, " of vein lie bare between");
    } else {
        text_add(out, "overlap ");
        wording_length(out, fmax(of->overlap_mm, 0.0));
        if (!keeps_rules(in, of)) {
            text_add(out, ", less than ");
            wording_length(out, in->options->overlap_mm);
        }
    }
}

/* "a device lies at 66.0..146.0 mm already: ". */
static void add_earlier(text *out, const bl_earlier *of) {
    text_add(out, "a device lies at ");
    text_span(out, of->span);
    text_add(out, " already: ");
}

static void add_landings(text *out, const treatment *of, bl_span there) {
    bool in[2] = {lands_in(&of->ends[0], there), lands_in(&of->ends[1], there)};
    if (in[0] || in[1]) {
        text_add(out, in[0] && in[1] ? "both ends land"
                      : in[0]        ? "the cranial end lands"
                                     : "the caudal end lands");
        text_add(out, " in it, ");
    }
}

/* Healthy vein to land in that is the lumen of a device. */
static void add_lumen(text *out, const treatment *of, bl_span there) {
    for (size_t i = 0; i < 2; i++) {
        const landing *end = &of->ends[i];
        bl_span vein = {fmin(end->near_mm, end->far_mm),
                        fmax(end->near_mm, end->far_mm)};
        double shared = overlap_mm(vein, there);
        if (!isnan(end->near_mm) && shared >= GROUND_PRINTED_MM) {
            text_add(out, "; ");
            text_fixed(out, shared, 1);
            text_add(out, " of the ");
            wording_length(out, vein.to_mm - vein.from_mm);
            text_format(out,
                        " of healthy vein at the %s end are the lumen of that "
                        "device",
                        wording_end(end->caudal));
        }
    }
}

void earlier_tell(sentences *to, const planner *in, const treatment *of,
                  const bl_chain *chain) {
    bl_span covered = covered_of(in, of, chain);
    for (size_t i = 0; i < in->earlier_count; i++) {
        bl_span there = place_of(in, &in->earlier[i]);
        meeting met = meeting_of(covered, there);
        if (lies_near(in, &met)) {
            add_earlier(&to->draft, &in->earlier[i]);
            add_landings(&to->draft, of, there);
            add_meeting(&to->draft, in, &met);
            add_lumen(&to->draft, of, there);
            sentences_end(to);
        }
    }
}

void earlier_tell_rest(sentences *to, const planner *in, const treatment *list,
                       const bl_chain *chains, size_t count) {
    const bl_earlier *first = NULL;
    size_t away = 0;
    for (size_t i = 0; i < in->earlier_count; i++) {
        bool near = false;
        for (size_t k = 0; k < count; k++) {
            const bl_chain *own = &chains[laying_turned(in, k, count)];
            meeting met = meeting_of(covered_of(in, &list[k], own),
                                     place_of(in, &in->earlier[i]));
            near = near || lies_near(in, &met);
        }
        first = first == NULL && !near ? &in->earlier[i] : first;
        away += !near;
    }
    if (first == NULL) {
        return;
    }
    text_add(&to->draft, "a device lies at ");
    text_span(&to->draft, first->span);
    text_add(&to->draft, " already");
    if (away > 1) {
        text_format(&to->draft, ", and %zu elsewhere", away - 1);
    }
    sentences_end(to);
}

/* Of those that touch it is the one that breaks a rule. */
static bool is_nearer(const planner *in, const meeting *one,
                      const meeting *than) {
    double own = fmax(-one->overlap_mm, 0.0);
    double other = fmax(-than->overlap_mm, 0.0);
    return own < other ||
           (own == other && !keeps_rules(in, one) && keeps_rules(in, than));
}

/* The nearest of those that lie near what is covered, the cranial one of
 * equally near ones, and how many do. */
static const bl_earlier *nearest_of(const planner *in, bl_span covered,
                                    size_t *near) {
    const bl_earlier *out = NULL;
    meeting best = {0};
    *near = 0;
    for (size_t i = 0; i < in->earlier_count; i++) {
        const bl_earlier *one =
            &in->earlier[laying_turned(in, i, in->earlier_count)];
        meeting met = meeting_of(covered, place_of(in, one));
        if (!lies_near(in, &met)) {
            continue;
        }
        if (out == NULL || is_nearer(in, &met, &best)) {
            out = one;
            best = met;
        }
        ++*near;
    }
    return out;
}

void earlier_doubt(sentences *to, const planner *in, const treatment *list,
                   size_t count, const bl_plan *plan) {
    for (size_t i = 0; i < count; i++) {
        const bl_stretch *own = &plan->stretches[laying_turned(in, i, count)];
        bl_span covered = covered_of(in, &list[i], &own->chain);
        size_t near;
        const bl_earlier *of = nearest_of(in, covered, &near);
        if (of == NULL) {
            continue;
        }
        bl_span there = place_of(in, of);
        meeting met = meeting_of(covered, there);
        add_earlier(&to->draft, of);
        add_landings(&to->draft, &list[i], there);
        add_meeting(&to->draft, in, &met);
        if (near > 1) {
            text_format(&to->draft, ", and %zu more near", near - 1);
        }
        sentences_end(to);
    }
}

void earlier_check(sentences *to, const planner *in, bl_span place) {
    for (size_t i = 0; i < in->earlier_count; i++) {
        meeting met = meeting_of(place, place_of(in, &in->earlier[i]));
        if (lies_near(in, &met) && !keeps_rules(in, &met)) {
            add_earlier(&to->draft, &in->earlier[i]);
            add_meeting(&to->draft, in, &met);
            sentences_end(to);
        }
    }
}
