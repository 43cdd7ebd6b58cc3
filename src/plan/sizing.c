/*
 * sizing.c - whether the sizes of devices keep the rules.
 *
 * The search lets rules go where the stock has nothing else: then this says it.
 */
#include "plan/sizing.h"

#include "plan/laying.h"
#include "plan/misfit.h"
#include "plan/wording.h"

#include <math.h>

static void tell_width(sentences *to, const bl_device *of) {
    if (of->oversize_mm < -GROUND_PRINTED_MM) {
        wording_device(&to->draft, of);
        text_add(&to->draft, " is ");
        wording_length(&to->draft, -of->oversize_mm);
        text_add(&to->draft, " narrower than the reference over its stretch, ");
        wording_length(&to->draft, of->reference_diameter_mm);
        sentences_end(to);
    }
}

static void tell_limit(sentences *to, const planner *in, const bl_device *of) {
    if (of->oversize_pct > in->rules.limit_pct + GROUND_SAME_MM) {
        wording_device(&to->draft, of);
        text_add(&to->draft, " is ");
        text_fixed(&to->draft, of->oversize_pct, 1);
        text_add(&to->draft, " % wider than the reference over its stretch, "
                             "past the limit of ");
        text_short(&to->draft, in->rules.limit_pct, 1);
        text_add(&to->draft, " %");
        sentences_end(to);
    }
}

/* ------------------------------------------------------------------- pairs */

/* Whether the reference does not widen from one device to the next. */
static bool tapers(const bl_device *cranial, const bl_device *caudal) {
    return cranial->reference_diameter_mm >=
           caudal->reference_diameter_mm - GROUND_PRINTED_MM;
}

/* Devices that lie apart are no neighbours. */
static bool lie_apart(const bl_device *cranial, const bl_device *caudal) {
    return cranial->span.to_mm < caudal->span.from_mm - GROUND_PRINTED_MM ||
           caudal->span.to_mm < cranial->span.from_mm - GROUND_PRINTED_MM;
}

static bool breaks_order(const bl_device *cranial, const bl_device *caudal) {
    return caudal->diameter_mm - cranial->diameter_mm > GROUND_SAME_MM &&
           tapers(cranial, caudal);
}

static bool breaks_step(const planner *in, const bl_device *cranial,
                        const bl_device *caudal) {
    return fabs(caudal->diameter_mm - cranial->diameter_mm) >
           in->rules.step_mm + GROUND_SAME_MM;
}

static void add_step(text *out, const planner *in, const bl_device *cranial,
                     const bl_device *caudal) {
    text_add(out, "neighbouring devices, ");
    text_device_size(out, cranial->diameter_mm, cranial->length_mm);
    text_add(out, " and ");
    text_device_size(out, caudal->diameter_mm, caudal->length_mm);
    text_add(out, ", differ by ");
    text_short(out, fabs(caudal->diameter_mm - cranial->diameter_mm), 1);
    text_add(out, " mm, more than ");
    text_short(out, in->rules.step_mm, 1);
    text_add(out, " mm");
}

static void tell_pair(sentences *to, const planner *in,
                      const bl_device *cranial, const bl_device *caudal) {
    if (lie_apart(cranial, caudal)) {
        return;
    }
    if (breaks_order(cranial, caudal)) {
        wording_device(&to->draft, caudal);
        text_add(&to->draft, " is wider than the device cranial of it, though "
                             "the vein is not");
        sentences_end(to);
    }
    if (breaks_step(in, cranial, caudal)) {
        add_step(&to->draft, in, cranial, caudal);
        sentences_end(to);
    }
}

void sizing_tell(sentences *to, const planner *in, const bl_chain *chain) {
    size_t count = chain->device_count;
    for (size_t i = 0; i < count; i++) {
        const bl_device *own = &chain->devices[laying_turned(in, i, count)];
        if (i > 0) {
            tell_pair(to, in, &chain->devices[laying_turned(in, i - 1, count)],
                      own);
        }
        tell_width(to, own);
        tell_limit(to, in, own);
    }
    misfit_tell(to, in, chain);
}

/* ------------------------------------------------------------------ doubts */

/* Of a vein or its end that is so wide, past the user's limit or, without one,
 * by more than a step. */
static bool is_too_wide(const planner *in, double wide_mm, double oversize_mm) {
    double percent = 100.0 * oversize_mm / wide_mm;
    return isnan(in->rules.limit_pct)
               ? misfit_is_far(oversize_mm)
               : percent > in->rules.limit_pct + GROUND_SAME_MM;
}

/* "6.1 mm (38 %) wider than the vein". */
static void add_wider(text *out, double wide_mm, double oversize_mm) {
    wording_length(out, oversize_mm);
    text_add(out, " (");
    text_fixed(out, 100.0 * oversize_mm / wide_mm, 0);
    text_add(out, " %) wider than the vein");
}

/* What of several is too wide: how many, and the worst. */
typedef struct too_wide {
    const bl_device *worst; /* NULL of ends */
    size_t stretch;         /* of the end */
    bl_end end;
    double wide_mm;     /* the vein */
    double oversize_mm; /* 0: nothing is */
    size_t count;
    size_t all;
} too_wide;

static void count_wide(const planner *in, too_wide *to, too_wide one) {
    to->all++;
    if (!is_too_wide(in, one.wide_mm, one.oversize_mm)) {
        return;
    }
    to->count++;
    if (one.oversize_mm > to->oversize_mm) {
        one.count = to->count;
        one.all = to->all;
        *to = one;
    }
}

static void doubt_widths(sentences *to, const planner *in,
                         const bl_plan *plan) {
    text *out = &to->draft;
    too_wide wide = {.worst = NULL};
    for (size_t i = 0; i < plan->stretch_count; i++) {
        const bl_chain *own = &plan->stretches[i].chain;
        for (size_t k = 0; k < own->device_count; k++) {
            const bl_device *one = &own->devices[k];
            count_wide(in, &wide,
                       (too_wide){.worst = one,
                                  .wide_mm = one->reference_diameter_mm,
                                  .oversize_mm = one->oversize_mm});
        }
    }
    if (wide.worst == NULL) {
        return;
    }
    if (wide.count == 1) {
        text_add(out, "the diameter of ");
        text_device_size(out, wide.worst->diameter_mm, wide.worst->length_mm);
        text_add(out, ", which is ");
    } else {
        text_format(out,
                    "the diameters of %zu of %zu devices, which are up to ",
                    wide.count, wide.all);
    }
    add_wider(out, wide.wide_mm, wide.oversize_mm);
    sentences_end(to);
}

/* Of devices that as a whole are not. */
static void doubt_wide_ends(sentences *to, const planner *in,
                            const bl_plan *plan) {
    text *out = &to->draft;
    too_wide wide = {.worst = NULL};
    for (size_t i = 0; i < 2 * plan->stretch_count; i++) {
        size_t k = laying_turned(in, i / 2, plan->stretch_count);
        bool caudal = i % 2 == 1;
        misfit_end end = misfit_far_end(in, &plan->stretches[k].chain, caudal);
        count_wide(in, &wide,
                   (too_wide){.stretch = k,
                              .end = caudal ? BL_END_CAUDAL : BL_END_CRANIAL,
                              .wide_mm = end.reference_mm,
                              .oversize_mm = end.oversize_mm});
    }
    if (wide.count == 1) {
        wording_end_of(out, plan, wide.stretch, wide.end);
        text_add(out, ", where the device is ");
    } else if (wide.count > 1) {
        text_format(out, "%zu of %zu ends, where devices are up to ",
                    wide.count, wide.all);
    }
    if (wide.count > 0) {
        add_wider(out, wide.wide_mm, wide.oversize_mm);
        sentences_end(to);
    }
}

/* The first pair that does stands for those after it. */
static void doubt_pairs(sentences *to, const planner *in,
                        const bl_chain *chain) {
    size_t count = chain->device_count;
    for (size_t i = 1; i < count; i++) {
        const bl_device *cranial =
            &chain->devices[laying_turned(in, i - 1, count)];
        const bl_device *caudal = &chain->devices[laying_turned(in, i, count)];
        if (!lie_apart(cranial, caudal) && breaks_step(in, cranial, caudal)) {
            add_step(&to->draft, in, cranial, caudal);
            sentences_end(to);
            return;
        }
    }
}

void sizing_doubt(sentences *to, const planner *in, const bl_plan *plan) {
    doubt_widths(to, in, plan);
    doubt_wide_ends(to, in, plan);
    for (size_t i = 0; i < plan->stretch_count; i++) {
        size_t k = laying_turned(in, i, plan->stretch_count);
        doubt_pairs(to, in, &plan->stretches[k].chain);
    }
}
