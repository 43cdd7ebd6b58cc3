/*
 * alternative.c - other plans, and why they lost.
 *
 * Each is the best of a question: with as many devices, which fits best; what
 * would one device more be; what fits where it ends, if the plan does not;
 * which needs fewer, were a rule let go; and what if blocks are treated the
 * other way, together or apart. Other devices that are neither shorter nor fit
 * better are none.
 */
#include "plan/alternative.h"

#include "plan/laying.h"
#include "plan/misfit.h"
#include "plan/serving.h"
#include "plan/telling.h"
#include "plan/wording.h"

#include <math.h>
#include <stdlib.h>

#define ALTERNATIVES_MOST ((size_t)4)
#define QUESTIONS_MOST ((size_t)8)
/* What is worth telling: a tenth of a millimetre of oversize, one of length. */
#define FIT_LEAST 10
#define LENGTH_LEAST 10

typedef struct rival {
    treatment *list;
    size_t count;
    outcome got;
    const char *ends; /* asked for since those of the plan do not fit; NULL */
} rival;

typedef struct contest {
    planner *in;
    const parting *of;
    outcome plan;
    arena *scratch;
    rival rivals[QUESTIONS_MOST];
    size_t count;
} contest;

static bool same_chain(const treatment *a, const treatment *b) {
    if (a->chain.count != b->chain.count || a->site.at_mm < b->site.at_mm ||
        a->site.at_mm > b->site.at_mm || a->site.cover != b->site.cover) {
        return false;
    }
    for (size_t i = 0; i < a->chain.count; i++) {
        if (a->chain.kinds[i] != b->chain.kinds[i]) {
            return false;
        }
    }
    return true;
}

static bool same_list(const treatment *a, size_t a_count, const treatment *b,
                      size_t b_count) {
    bool same = a_count == b_count;
    for (size_t i = 0; same && i < a_count; i++) {
        same = same_chain(&a[i], &b[i]);
    }
    return same;
}

static bool is_known(const contest *of, const rival *one) {
    bool known =
        same_list(one->list, one->count, of->of->chosen, of->of->chosen_count);
    for (size_t i = 0; i < of->count; i++) {
        known = known || same_list(one->list, one->count, of->rivals[i].list,
                                   of->rivals[i].count);
    }
    return known;
}

/* A copy of treatments with whom to try. */
static bl_status copy_of(const contest *of, const treatment *list, size_t count,
                         rival *out) {
    out->list = arena_alloc(of->scratch, count, sizeof *out->list);
    out->count = count;
    for (size_t i = 0; out->list != NULL && i < count; i++) {
        out->list[i] = list[i];
    }
    return out->list == NULL ? BL_ERR_MEMORY : BL_OK;
}

static bool is_worth(const contest *of, const rival *one, bool found) {
    return found && of->count < QUESTIONS_MOST && !is_known(of, one);
}

static void admit(contest *to, const rival *one) {
    to->rivals[to->count++] = *one;
}

/* The plan's stretches with other devices. */
static bl_status ask(contest *to, const serving_wish *wish) {
    rival one = {0};
    bool found = false;
    bl_status status = copy_of(to, to->of->chosen, to->of->chosen_count, &one);
    if (status == BL_OK) {
        status = serving_together(to->in, one.list, one.count, wish, &found);
    }
    if (status != BL_OK) {
        return status;
    }
    one.got = serving_outcome(to->in, one.list, one.count);
    bool fits = one.got.oversize + FIT_LEAST <= to->plan.oversize;
    bool shorter = one.got.length + LENGTH_LEAST <= to->plan.length;
    if (is_worth(to, &one, found && one.got.unserved == to->plan.unserved) &&
        (fits || shorter)) {
        admit(to, &one);
    }
    return BL_OK;
}

/* Blocks parted another way. */
static bl_status ask_parted(contest *to, const treatment *list, size_t count) {
    rival one = {0};
    bl_status status = copy_of(to, list, count, &one);
    if (status == BL_OK) {
        status = serving_all(to->in, one.list, one.count, 1.0);
    }
    if (status != BL_OK) {
        return status;
    }
    one.got = serving_outcome(to->in, one.list, one.count);
    if (is_worth(to, &one, one.got.unserved == 0)) {
        admit(to, &one);
    }
    return BL_OK;
}

/* Whether letting a rule go could save a device anywhere. */
static bool may_save(const contest *of, fitting_letting letting) {
    for (size_t i = 0; i < of->of->chosen_count; i++) {
        const treatment *one = &of->of->chosen[i];
        size_t count = one->served ? one->chain.count : 0;
        if (count > 1 && one->let < letting &&
            serving_matters(of->in, &one->site, letting) &&
            shelf_reach(&of->in->stock, count - 1, of->in->rules.overlap) >=
                one->site.cover) {
            return true;
        }
    }
    return false;
}

/* Fewer devices, were a rule let go: the first rule that helps. */
static bl_status ask_letting_go(contest *to) {
    size_t before = to->count;
    for (int letting = 1; letting < LETTING_COUNT && to->count == before;
         letting++) {
        serving_wish wish = {CHAIN_SHORT, 0, (fitting_letting)letting, 1.0};
        rival one = {0};
        bool found = false;
        if (!may_save(to, wish.letting)) {
            continue;
        }
        bl_status status =
            copy_of(to, to->of->chosen, to->of->chosen_count, &one);
        if (status == BL_OK) {
            status =
                serving_together(to->in, one.list, one.count, &wish, &found);
        }
        if (status != BL_OK) {
            return status;
        }
        one.got = serving_outcome(to->in, one.list, one.count);
        if (is_worth(to, &one, found) &&
            one.got.unserved == to->plan.unserved &&
            one.got.devices < to->plan.devices) {
            admit(to, &one);
        }
    }
    return BL_OK;
}

/* What is said of a chain. */
typedef struct verdict {
    size_t told;
    bool ends_fit;
    bool far; /* a device is far wider than its reference */
} verdict;

static bl_status judge(const contest *of, const treatment *list, size_t count,
                       verdict *out) {
    sentences said = {.owner = of->scratch};
    bl_chain *chains = NULL;
    bl_status status = laying_chains(of->in, list, count, 1.0, &chains);
    if (status != BL_OK) {
        return status;
    }
    telling_treatments(&said, of->in, list, chains, count);
    *out = (verdict){said.count, true, false};
    for (size_t i = 0; i < count; i++) {
        out->ends_fit = out->ends_fit && misfit_ends_fit(of->in, &chains[i]);
        out->far = out->far || misfit_any_far(&chains[i]);
    }
    status = said.failed ? BL_ERR_MEMORY : BL_OK;
    sentences_free(&said);
    return status;
}

/* What is asked of a chain whose ends are to fit. */
typedef struct ends_wish {
    size_t devices;
    bool snug; /* not far wider than the vein either */
    verdict plan;
} ends_wish;

static void bound_ends(const contest *of, treatment *one, bool snug) {
    one->site.first_mm = misfit_wanted(of->in, one->ends[0].at_mm);
    one->site.last_mm = misfit_wanted(of->in, one->ends[1].at_mm);
    if (!snug) {
        one->site.first_mm.high = HUGE_VAL;
        one->site.last_mm.high = HUGE_VAL;
    }
}

/* Admitted where less is told of it than of the plan. */
static bl_status ask_ends_with(contest *to, const ends_wish *asked) {
    rival one = {0};
    bool found = false;
    bl_status status = copy_of(to, to->of->chosen, to->of->chosen_count, &one);
    for (size_t i = 0; status == BL_OK && i < one.count; i++) {
        bound_ends(to, &one.list[i], asked->snug);
    }
    serving_wish wish = {CHAIN_SHORT, asked->devices, LETTING_NONE, 1.0};
    if (status == BL_OK) {
        status = serving_together(to->in, one.list, one.count, &wish, &found);
    }
    if (status != BL_OK || !found) {
        return status;
    }
    one.got = serving_outcome(to->in, one.list, one.count);
    verdict own = {0};
    status = judge(to, one.list, one.count, &own);
    one.ends =
        own.ends_fit ? "its ends fit the vein" : "its ends fit the vein better";
    if (status == BL_OK && own.told < asked->plan.told &&
        (!own.far || asked->plan.far) &&
        one.got.unserved == to->plan.unserved && is_worth(to, &one, true)) {
        admit(to, &one);
    }
    return status;
}

/* Where the plan's ends do not fit the vein, devices that do, with one more at
 * most. */
static bl_status ask_ends(contest *to) {
    size_t before = to->count;
    verdict plan = {0};
    bl_status status = judge(to, to->of->chosen, to->of->chosen_count, &plan);
    for (size_t i = 0;
         i < 4 && status == BL_OK && !plan.ends_fit && to->count == before;
         i++) {
        ends_wish asked = {to->plan.devices + i % 2, i < 2, plan};
        status = ask_ends_with(to, &asked);
    }
    return status;
}

static bl_status ask_all(contest *to) {
    size_t devices = to->plan.devices;
    const serving_wish wishes[] = {
        {CHAIN_SNUG, devices, LETTING_NONE, 1.0},
        {CHAIN_SHORT, devices + 1, LETTING_NONE, 1.0},
    };
    bl_status status = ask_ends(to);
    if (status == BL_OK) {
        status = ask_letting_go(to);
    }
    for (size_t i = 0; i < 2 && status == BL_OK; i++) {
        status = ask(to, &wishes[i]);
    }
    if (status == BL_OK && to->of->together != NULL) {
        status = ask_parted(to, to->of->together, 1);
    }
    if (status == BL_OK && to->of->count > 1) {
        status = ask_parted(to, to->of->alone, to->of->count);
    }
    return status;
}

/* ------------------------------------------------------------------- words */

static void add_between(text *out) {
    text_add(out, out->size > 0 ? "; " : "");
}

static void add_devices(text *out, const rival *one, const outcome *plan) {
    size_t more = one->got.devices;
    size_t than = plan->devices;
    if (more != than) {
        wording_devices(out, more > than ? more - than : than - more);
        text_add(out, more > than ? " more" : " fewer");
    }
}

static void add_length(text *out, const rival *one, const outcome *plan) {
    int64_t longer = one->got.length - plan->length;
    if (longer != 0) {
        add_between(out);
        wording_length(out, (double)llabs(longer) / SHELF_TENTHS);
        text_add(out, longer > 0 ? " longer" : " shorter");
    }
}

static void add_fit(text *out, const rival *one, const outcome *plan) {
    int64_t wider = one->got.oversize - plan->oversize;
    if (llabs(wider) >= FIT_LEAST) {
        add_between(out);
        text_add(out, wider < 0 ? "fits better: oversizes of "
                                : "fits less well: oversizes of ");
        wording_length(out, (double)one->got.oversize / 100.0);
        text_add(out, " in all instead of ");
        wording_length(out, (double)plan->oversize / 100.0);
    }
}

/* The rule that was let go for it and not for the plan. */
static void add_letting(text *out, const rival *one, const outcome *plan) {
    if (one->got.let_go <= plan->let_go) {
        return;
    }
    fitting_letting most = LETTING_NONE;
    for (size_t i = 0; i < one->count; i++) {
        most = one->list[i].let > most ? one->list[i].let : most;
    }
    add_between(out);
    text_add(out, most == LETTING_LIMIT   ? "past the limit of oversize"
                  : most == LETTING_ORDER ? "a device wider than the one "
                                            "cranial of it"
                                          : "neighbours that differ by more "
                                            "than the step");
}

static const char *why_not(const contest *of, const rival *one) {
    text out = {0};
    bool parted = one->count != of->of->chosen_count;
    if (parted) {
        text_add(&out, one->count > of->of->chosen_count
                           ? "narrowings treated apart"
                           : "narrowings treated together");
    }
    text more = {0};
    add_devices(&more, one, &of->plan);
    add_length(&more, one, &of->plan);
    add_letting(&more, one, &of->plan);
    add_fit(&more, one, &of->plan);
    if (one->ends != NULL) {
        add_between(&more);
        text_add(&more, one->ends);
    }
    if (more.size > 0) {
        add_between(&out);
        text_bytes(&out, more.bytes, more.size);
    } else if (!parted) {
        text_add(&out, "as good, later on the list");
    }
    out.failed = out.failed || more.failed;
    text_free(&more);
    return wording_keep(of->in, &out);
}

/* ------------------------------------------------------------------- whole */

static void sort(contest *of) {
    for (size_t i = 1; i < of->count; i++) {
        for (size_t k = i; k > 0 && outcome_is_less(&of->rivals[k].got,
                                                    &of->rivals[k - 1].got);
             k--) {
            rival held = of->rivals[k];
            of->rivals[k] = of->rivals[k - 1];
            of->rivals[k - 1] = held;
        }
    }
}

/* What is told of it, as of the plan. */
static bl_status hold_against_rules(const contest *of, const rival *one,
                                    bl_alternative *into) {
    sentences said = {.owner = of->in->owner};
    telling_treatments(&said, of->in, one->list, into->chains, one->count);
    bl_status status = said.failed ? BL_ERR_MEMORY : BL_OK;
    sentences_free(&said);
    into->findings = said.texts;
    into->finding_count = said.count;
    return status;
}

static bl_status give_out(const contest *of, bl_plan *out) {
    size_t count =
        of->count < ALTERNATIVES_MOST ? of->count : ALTERNATIVES_MOST;
    bl_alternative *list = arena_alloc(of->in->owner, count, sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        const rival *one = &of->rivals[i];
        bl_chain *chains = NULL;
        bl_status status =
            laying_chains(of->in, one->list, one->count, 1.0, &chains);
        if (status != BL_OK) {
            return status;
        }
        list[i] = (bl_alternative){
            .chains = chains,
            .chain_count = one->count,
            .device_count = one->got.devices,
            .misfit_mm = (double)one->got.oversize / 100.0,
            .why_not = why_not(of, one),
        };
        for (size_t k = 0; k < one->count; k++) {
            list[i].beyond_mm += chains[k].beyond_mm;
        }
        if (list[i].why_not == NULL ||
            hold_against_rules(of, one, &list[i]) != BL_OK) {
            return BL_ERR_MEMORY;
        }
    }
    out->alternatives = list;
    out->alternative_count = count;
    return BL_OK;
}

bl_status alternative_fill(planner *in, const parting *of, bl_plan *out) {
    arena scratch = {0};
    contest all = {
        .in = in,
        .of = of,
        .plan = serving_outcome(in, of->chosen, of->chosen_count),
        .scratch = &scratch,
    };
    bool exact = in->exact; /* of the plan, not of those that lost */
    bl_status status = all.plan.devices > 0 ? ask_all(&all) : BL_OK;
    in->exact = exact;
    if (status == BL_OK) {
        sort(&all);
        status = give_out(&all, out);
    }
    arena_free(&scratch);
    return status;
}
