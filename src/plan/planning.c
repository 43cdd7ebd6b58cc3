/*
 * planning.c - from an assessment to a plan.
 *
 * The order: the vein from cranial to caudal, the shelf, what is treated in one
 * go and with what, how it is given out, alternatives, the error of speed, the
 * user's own chain, warnings. All lives in one arena that the plan owns.
 */
#include "base/constants.h"
#include "base/limits.h"
#include "base/message.h"
#include "plan/alternative.h"
#include "plan/changing.h"
#include "plan/describing.h"
#include "plan/doubting.h"
#include "plan/earlier.h"
#include "plan/laying.h"
#include "plan/parting.h"
#include "plan/telling.h"
#include "plan/wish.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

typedef struct whole_plan {
    bl_plan public; /* first, so that one pointer serves for both */
    arena owner;
} whole_plan;

bl_plan_options bl_plan_defaults(void) {
    return (bl_plan_options){
        .landing_mm = 10.0,
        .overlap_mm = 15.0,
        .margin_mm = 5.0,
        .join_mm = 30.0,
        .step_mm = 2.0,
        .size_by = BL_SIZE_BY_AREA,
        .oversize_limit_pct = UNKNOWN,
    };
}

/* ----------------------------------------------------------------- options */

typedef struct allowed {
    double value;
    double most;
    const char *words;
} allowed;

static bl_status check_lengths(const bl_plan_options *options,
                               bl_message *message) {
    const allowed list[] = {
        {options->landing_mm, 100.0,
         "the landing length is not between 0 and 100 mm; the default is 10"},
        {options->overlap_mm, 100.0,
         "the overlap is not between 0 and 100 mm; the default is 15"},
        {options->margin_mm, 50.0,
         "the margin is not between 0 and 50 mm; the default is 5"},
        {options->join_mm, 300.0,
         "the distance to join at is not between 0 and 300 mm; the default is "
         "30"},
        {options->step_mm, 20.0,
         "the step of neighbours' diameters is not between 0 and 20 mm; the "
         "default is 2"},
        {isnan(options->oversize_limit_pct) ? 0.0 : options->oversize_limit_pct,
         100.0, "the limit of oversize is not between 0 and 100 %"},
    };
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        if (!(list[i].value >= 0.0 && list[i].value <= list[i].most)) {
            return message_set(message, BL_ERR_ARGUMENT, 0, 0, "%s",
                               list[i].words);
        }
    }
    return BL_OK;
}

static bl_status check_size_by(const bl_plan_options *options,
                               bl_message *message) {
    return options->size_by == BL_SIZE_BY_AREA ||
                   options->size_by == BL_SIZE_BY_PERIMETER
               ? BL_OK
               : message_set(message, BL_ERR_ARGUMENT, 0, 0,
                             "devices are sized by area or by perimeter");
}

static_assert(LIMIT_WISHES == BL_WISHES_MOST, "one limit");

static bl_status check_wishes(const bl_plan_options *options,
                              bl_message *message) {
    if (options->wish_count > LIMIT_WISHES) {
        return message_set(message, BL_ERR_LIMIT, 0, 0,
                           "more than %zu devices to check; give one chain",
                           LIMIT_WISHES);
    }
    for (size_t i = 0; i < options->wish_count; i++) {
        const bl_device_wish *one = &options->wishes[i];
        if (!(one->diameter_mm >= BL_DEVICE_DIAMETER_LEAST_MM &&
              one->diameter_mm <= BL_DEVICE_DIAMETER_MOST_MM) ||
            !(one->length_mm >= BL_DEVICE_LENGTH_LEAST_MM &&
              one->length_mm <= BL_DEVICE_LENGTH_MOST_MM) ||
            !isfinite(one->from_mm)) {
            return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                               "device %zu of those to be checked is not 4 to "
                               "40 mm wide and 10 to 300 mm long at a place; "
                               "write it as 16x120@42",
                               i + 1);
        }
    }
    return BL_OK;
}

static bl_status check_treat(const bl_assessment *of,
                             const bl_plan_options *options,
                             bl_message *message) {
    double first = of->profile[0].position_mm;
    double last = of->profile[of->profile_count - 1].position_mm;
    bl_span treat = options->treat;
    if (options->treat_given && treat.to_mm - treat.from_mm < EDGE_MM &&
        treat.to_mm >= treat.from_mm) {
        return message_set(message, BL_ERR_ARGUMENT, 0, 0,
                           "the stretch to treat has no length; name where it "
                           "begins and where it ends");
    }
    if (!options->treat_given ||
        (treat.from_mm >= first - EDGE_MM && treat.to_mm <= last + EDGE_MM &&
         treat.from_mm <= treat.to_mm)) {
        return BL_OK;
    }
    text words = {0};
    text_add(&words, "the stretch to treat, ");
    text_span(&words, treat);
    text_add(&words, ", is not within what was traced, ");
    text_span(&words, (bl_span){first, last});
    text_add(&words, "; name a stretch that is");
    return text_message(&words, BL_ERR_ARGUMENT, message);
}

static bl_status check(const bl_assessment *of, const bl_plan_options *options,
                       bl_message *message) {
    bl_status status = check_lengths(options, message);
    if (status == BL_OK) {
        status = check_size_by(options, message);
    }
    if (status == BL_OK) {
        status = check_wishes(options, message);
    }
    if (status == BL_OK) {
        status = check_treat(of, options, message);
    }
    if (status == BL_OK && of->reference_from == BL_FROM_NOTHING) {
        status = message_set(message, BL_ERR_REFERENCE, 0, 0,
                             "there is no reference, and without one nothing "
                             "can be sized; name a healthy stretch "
                             "(--reference A..B)");
    }
    return status;
}

/* ------------------------------------------------------------------- whole */

static size_t untreated(const bl_assessment *of, const parting *parted) {
    size_t treated = 0;
    for (size_t i = 0; i < parted->chosen_count; i++) {
        treated += parted->chosen[i].narrowing_count;
    }
    return of->narrowing_count - treated;
}

static bl_status fill(planner *in, const parting *parted, bl_plan *out) {
    const treatment *list = parted->chosen;
    size_t count = parted->chosen_count;
    bl_interval factor = changing_factor(in->assessment);
    bl_stretch *stretches = NULL;
    bl_chain *chains = NULL;
    bl_status status = laying_chains(in, list, count, 1.0, &chains);
    if (status == BL_OK) {
        status =
            describing_stretches(in, list, chains, count, factor, &stretches);
    }
    if (status != BL_OK) {
        return status;
    }
    out->stretches = stretches;
    out->stretch_count = count;
    out->untreated_count = untreated(in->assessment, parted);
    out->length_factor = factor;
    out->enough_up_to_factor = changing_enough(in, list, count);
    /* Other plans and other lengths may be looked for as long each. */
    in->tries = 0;
    status = alternative_fill(in, parted, out);
    in->tries = 0;
    if (status == BL_OK) {
        status = changing_fill(in, list, count, factor, out);
    }
    if (status == BL_OK) {
        status = wish_check(in, parted, out);
    }
    if (status == BL_OK) {
        status = earlier_fill(in, list, count, out);
    }
    if (status == BL_OK) {
        status = doubting_fill(in, list, count, out);
    }
    out->exact = in->exact;
    telling_collect(in, list, chains, count, out->untreated_count);
    out->warnings = in->said.texts;
    out->warning_count = in->said.count;
    return status == BL_OK && in->said.failed ? BL_ERR_MEMORY : status;
}

/* The caller's list need not outlive the plan. */
static bl_status keep_wishes(planner *in, bl_plan *out) {
    size_t count = out->options.wish_count;
    bl_device_wish *kept = arena_alloc(in->owner, count, sizeof *kept);
    if (kept == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        kept[i] = out->options.wishes[i];
    }
    out->options.wishes = kept;
    return BL_OK;
}

static bl_status plan_all(planner *in, const bl_study *study, bl_plan *out) {
    bl_status status = keep_wishes(in, out);
    if (status == BL_OK) {
        status = ground_build(study, in->assessment, in->owner, &in->ground);
    }
    if (status == BL_OK) {
        status = shelf_build(in->options->stock, in->owner, &in->stock);
    }
    if (status == BL_OK) {
        status = earlier_find(study, in);
    }
    if (status != BL_OK) {
        return status;
    }
    in->rules = (fitting_rules){
        .overlap = shelf_tenths_up(in->options->overlap_mm),
        .step_mm = in->options->step_mm,
        .limit_pct = in->options->oversize_limit_pct,
        .by = in->ground.has_perimeter ? in->options->size_by : BL_SIZE_BY_AREA,
    };
    out->sized_by = in->rules.by;
    parting parted;
    status = parting_find(in, &parted);
    return status == BL_OK ? fill(in, &parted, out) : status;
}

bl_status bl_plan_new(const bl_study *study, const bl_assessment *assessment,
                      const bl_plan_options *options, bl_plan **out,
                      bl_message *message) {
    bl_status status = check(assessment, options, message);
    if (status != BL_OK) {
        return status;
    }
    whole_plan *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return message_memory(message);
    }
    made->public.options = *options;
    planner in = {
        .assessment = assessment,
        .pullback = bl_study_pullback(study),
        .options = &made->public.options,
        .owner = &made->owner,
        .said = {.owner = &made->owner},
        .exact = true,
        .budget = LIMIT_FITS,
    };
    status = plan_all(&in, study, &made->public);
    sentences_free(&in.said);
    if (status != BL_OK) {
        bl_plan_free(&made->public);
        return status == BL_ERR_MEMORY ? message_memory(message) : status;
    }
    *out = &made->public;
    return BL_OK;
}

void bl_plan_free(bl_plan *plan) {
    if (plan != NULL) {
        whole_plan *made = (whole_plan *)plan;
        arena_free(&made->owner);
        free(made);
    }
}
