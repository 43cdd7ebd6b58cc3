/*
 * changing.c - what the error of speed does to a plan.
 *
 * The speed is one for the whole pullback: if it was wrong all lengths are
 * wrong by one factor, normally distributed (as in an assessment's intervals).
 * Landing points are places of the vein and stay; what lies between them is
 * shorter or longer, and other devices may be wanted.
 */
#include "plan/changing.h"

#include "base/constants.h"
#include "plan/laying.h"
#include "plan/serving.h"
#include "plan/wording.h"

#include <math.h>

bl_interval changing_factor(const bl_assessment *of) {
    double share = of->options.speed_cv_pct / 100.0;
    if (!(share > 0.0)) {
        return (bl_interval){UNKNOWN, UNKNOWN};
    }
    return (bl_interval){fmax(1.0 - NORMAL_975 * share, FACTOR_LEAST),
                         1.0 + NORMAL_975 * share};
}

double changing_enough(const planner *in, const treatment *list, size_t count) {
    double least = UNKNOWN;
    for (size_t i = 0; i < count; i++) {
        const treatment *one = &list[i];
        double cover = one->ends[1].at_mm - one->ends[0].at_mm;
        int64_t reach = 0;
        for (size_t k = 0; one->served && k < one->chain.count; k++) {
            reach += in->stock.kinds[one->chain.kinds[k]].covers -
                     (k > 0 ? in->rules.overlap : 0);
        }
        if (reach > 0 && cover > GROUND_SAME_MM) {
            /* fmin passes over NaN. */
            least = fmin(least, (double)reach / SHELF_TENTHS / cover);
        }
    }
    return least;
}

static bool are_alike(const treatment *a, const treatment *b, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (a[i].served != b[i].served ||
            a[i].chain.count != b[i].chain.count) {
            return false;
        }
        for (size_t k = 0; k < a[i].chain.count; k++) {
            if (a[i].chain.kinds[k] != b[i].chain.kinds[k]) {
                return false;
            }
        }
    }
    return true;
}

static size_t devices_of(const planner *in, const treatment *list,
                         size_t count) {
    return serving_outcome(in, list, count).devices;
}

static size_t unserved_of(const treatment *list, size_t count) {
    size_t unserved = 0;
    for (size_t i = 0; i < count; i++) {
        unserved += !list[i].served;
    }
    return unserved;
}

static void name_chains(text *out, const bl_chain *chains, size_t count) {
    const char *between = "";
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < chains[i].device_count; k++) {
            text_add(out, between);
            text_device_size(out, chains[i].devices[k].diameter_mm,
                             chains[i].devices[k].length_mm);
            between = ", ";
        }
    }
}

/* "if the pullback was really 20 % longer, 169.0 mm are to be covered: 3
 * devices (...) instead of 2". */
static const char *sentence(const planner *in, const bl_plan_change *of,
                            double cover_mm, size_t before, size_t unserved) {
    text out = {0};
    text_add(&out, "if the pullback was really ");
    text_fixed(&out, 100.0 * fabs(of->factor - 1.0), 0);
    text_add(&out, of->factor > 1.0 ? " % longer, " : " % shorter, ");
    wording_length(&out, of->factor * cover_mm);
    text_add(&out, " are to be covered: ");
    if (of->device_count == 0) {
        text_add(&out, "nothing on the list fits");
        return wording_keep(in, &out);
    }
    wording_devices(&out, of->device_count);
    text_add(&out, " (");
    name_chains(&out, of->chains, of->chain_count);
    text_add(&out, ")");
    if (before == 0) {
        text_add(&out, " would fit, where now nothing does");
    } else if (before != of->device_count) {
        text_format(&out, " instead of %zu", before);
    }
    if (unserved > 0) {
        text_format(&out, "; for %zu of %zu stretches nothing on the list fits",
                    unserved, of->chain_count);
    }
    return wording_keep(in, &out);
}

/* What fits a stretch at another length, and which rules that needs let go, may
 * not be what it is as read. */
static bl_status begin_anew(planner *in, treatment *one, double factor) {
    if (one->fewest > 0 && one->letting == LETTING_NONE) {
        return BL_OK; /* least is let go already */
    }
    treatment there = *one;
    there.site = fitting_stretched(&one->site, factor);
    bl_status status = serving_alone(in, &there);
    one->fewest = there.fewest;
    one->letting = there.letting;
    one->value = there.value;
    return status;
}

static bl_status replan(planner *in, const treatment *list, size_t count,
                        double factor, treatment *scratch, bl_plan_change *into,
                        bool *changed) {
    double cover = 0.0;
    bl_status status = BL_OK;
    for (size_t i = 0; i < count && status == BL_OK; i++) {
        scratch[i] = list[i];
        cover += list[i].ends[1].at_mm - list[i].ends[0].at_mm;
        status = begin_anew(in, &scratch[i], factor);
    }
    if (status == BL_OK) {
        status = serving_all(in, scratch, count, factor);
    }
    *changed = status == BL_OK && !are_alike(list, scratch, count);
    if (!*changed) {
        return status;
    }
    bl_chain *chains = NULL;
    status = laying_chains(in, scratch, count, factor, &chains);
    *into = (bl_plan_change){
        .factor = factor,
        .device_count = devices_of(in, scratch, count),
        .chains = chains,
        .chain_count = count,
    };
    if (status == BL_OK) {
        into->what = sentence(in, into, cover, devices_of(in, list, count),
                              unserved_of(scratch, count));
        status = into->what == NULL ? BL_ERR_MEMORY : BL_OK;
    }
    return status;
}

/* Where a search was stopped at its bound the next would be too. */
static bool may_tell(const planner *in, const treatment *list, size_t count) {
    bool told = count > 0 && in->stock.count > 0;
    for (size_t i = 0; i < count; i++) {
        told = told && !(list[i].stopped && !list[i].served);
    }
    return told;
}

bl_status changing_fill(planner *in, const treatment *list, size_t count,
                        bl_interval factor, bl_plan *out) {
    if (isnan(factor.low) || !may_tell(in, list, count)) {
        return BL_OK;
    }
    bl_plan_change *changes = arena_alloc(in->owner, 2, sizeof *changes);
    treatment *scratch = arena_alloc(in->owner, count, sizeof *scratch);
    if (changes == NULL || scratch == NULL) {
        return BL_ERR_MEMORY;
    }
    bool exact = in->exact; /* of the plan, not of what it might be */
    const double ends[] = {factor.low, factor.high};
    bl_status status = BL_OK;
    for (size_t i = 0; i < 2 && status == BL_OK; i++) {
        bool changed = false;
        status = replan(in, list, count, ends[i], scratch,
                        &changes[out->change_count], &changed);
        out->change_count += changed;
    }
    in->exact = exact;
    out->changes = changes;
    return status;
}
