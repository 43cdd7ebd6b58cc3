/*
 * misfit.c - what devices meet in the vein that the rules of size do not say.
 *
 * Sizes follow the reference, which may be of another vein than that in which a
 * device ends: what was traced there is looked at too.
 */
#include "plan/misfit.h"

#include "base/constants.h"
#include "plan/laying.h"
#include "plan/serving.h"
#include "plan/wording.h"

#include <math.h>

/* Tracing and breath make so much of no matter: our own measure. */
#define WIDER_MM 0.5
/* More than a step of sizes above the reference (nominal diameters go by 2 mm,
 * common practice, no source). */
#define FAR_MM 2.0
/* From so much on a mean of two veins is told: our own measure. */
#define MIXED_MM 0.5

static bool is_far(double oversize_mm) {
    return oversize_mm > FAR_MM + GROUND_SAME_MM;
}

/* On the ground. */
static bl_span place_of(const planner *in, const bl_device *of) {
    return ground_span(&in->ground, of->span.from_mm, of->span.to_mm);
}

/* What a device meets where it ends: by its reference, which it was sized by
 * elsewhere too, and as traced, which may be of another vein. */
typedef struct device_end {
    double at_mm;
    double traced_mm;
    double oversize_mm; /* against the reference there; NaN unknown */
    bool wider;         /* the reference is */
    bool loose;         /* the vein as traced is */
} device_end;

static device_end end_of(const planner *in, const bl_device *of, bool caudal) {
    bl_span place = place_of(in, of);
    double at = caudal ? place.to_mm : place.from_mm;
    double traced = ground_node_at(&in->ground, at).diameter_mm;
    double oversize = caudal ? of->oversize_caudal_mm : of->oversize_cranial_mm;
    return (device_end){
        .at_mm = at,
        .traced_mm = traced,
        .oversize_mm = oversize,
        .wider = oversize<-GROUND_PRINTED_MM, .loose = traced> of->diameter_mm +
                 WIDER_MM,
    };
}

/* The device at an end of devices in position order. */
static const bl_device *device_at(const planner *in, const bl_chain *of,
                                  bool caudal) {
    size_t count = of->device_count;
    return &of->devices[laying_turned(in, caudal ? count - 1 : 0, count)];
}

double misfit_loose_mm(const planner *in, const bl_chain *chain, bool caudal) {
    if (chain->device_count == 0) {
        return 0.0;
    }
    device_end end = end_of(in, device_at(in, chain, caudal), caudal);
    return end.loose ? end.traced_mm : 0.0;
}

misfit_end misfit_far_end(const planner *in, const bl_chain *chain,
                          bool caudal) {
    misfit_end out = {0.0, UNKNOWN};
    if (chain->device_count == 0) {
        return out;
    }
    const bl_device *of = device_at(in, chain, caudal);
    double oversize = end_of(in, of, caudal).oversize_mm;
    if (is_far(oversize) && !is_far(of->oversize_mm)) {
        out.oversize_mm = oversize;
        out.reference_mm = of->diameter_mm - oversize;
    }
    return out;
}

bool misfit_ends_fit(const planner *in, const bl_chain *chain) {
    bool fit = true;
    for (int caudal = 0; chain->device_count > 0 && caudal < 2; caudal++) {
        device_end end =
            end_of(in, device_at(in, chain, caudal == 1), caudal == 1);
        fit = fit && !end.wider && !end.loose && !is_far(end.oversize_mm);
    }
    return fit;
}

bool misfit_any_far(const bl_chain *chain) {
    bool far = false;
    for (size_t i = 0; i < chain->device_count; i++) {
        far = far || is_far(chain->devices[i].oversize_mm);
    }
    return far;
}

bool misfit_is_far(double oversize_mm) {
    return is_far(oversize_mm);
}

bl_interval misfit_wanted(const planner *in, double at_mm) {
    ground_node there = ground_node_at(&in->ground, at_mm);
    double reference = there.reference_mm[in->rules.by];
    /* fmax passes over NaN. */
    return (bl_interval){
        fmax(fmax(reference - GROUND_PRINTED_MM, there.diameter_mm - WIDER_MM),
             0.0),
        isnan(reference) ? HUGE_VAL : reference + FAR_MM};
}

/* How far beyond the reference at its end; the device as a whole is told by
 * tell_far. */
static void tell_end_far(sentences *to, const planner *in, const bl_device *of,
                         const device_end *end, bool caudal) {
    if (!is_far(end->oversize_mm) || is_far(of->oversize_mm)) {
        return;
    }
    text *out = &to->draft;
    text_format(out, "at the %s end, ", wording_end(caudal));
    wording_position(out, in, end->at_mm);
    text_add(out, ", the device is ");
    wording_length(out, end->oversize_mm);
    text_add(out, " wider than the reference there, ");
    wording_length(out, of->diameter_mm - end->oversize_mm);
    sentences_end(to);
}

static void tell_end(sentences *to, const planner *in, const bl_device *of,
                     bool caudal) {
    text *out = &to->draft;
    device_end end = end_of(in, of, caudal);
    tell_end_far(to, in, of, &end, caudal);
    if (!end.wider && !end.loose) {
        return;
    }
    text_format(out, "at the %s end, ", wording_end(caudal));
    wording_position(out, in, end.at_mm);
    text_add(out, ", the vein is wider than the device: ");
    if (end.wider) {
        text_add(out, "reference ");
        wording_length(out, of->diameter_mm - end.oversize_mm);
        text_add(out, ", ");
    }
    if (end.loose) {
        text_add(out, "as traced ");
        wording_length(out, end.traced_mm);
        text_add(out, ", ");
    }
    text_add(out, "device ");
    text_short(out, of->diameter_mm, 1);
    text_add(out, end.loose ? " mm; it would not lie against the wall there"
                            : " mm");
    sentences_end(to);
}

/* The user's own limit says it where there is one. */
static void tell_far(sentences *to, const planner *in, const bl_device *of) {
    if (!isnan(in->rules.limit_pct) || !is_far(of->oversize_mm)) {
        return;
    }
    text_device_size(&to->draft, of->diameter_mm, of->length_mm);
    text_add(&to->draft, " is ");
    wording_length(&to->draft, of->oversize_mm);
    text_add(&to->draft, " (");
    text_fixed(&to->draft, of->oversize_pct, 0);
    text_add(&to->draft, " %, ");
    text_fixed(&to->draft, of->oversize_area_pct, 0);
    text_add(&to->draft, " % of area) wider than the reference over its "
                         "stretch, ");
    wording_length(&to->draft, of->reference_diameter_mm);
    text_add(&to->draft, ": look for one between (--oversize-limit sets a "
                         "limit)");
    sentences_end(to);
}

/* The mark that a device lies wholly beyond, at that end. */
static const bl_mark *beyond_of(const planner *in, const bl_device *of,
                                bool caudal) {
    bl_span place = place_of(in, of);
    return landing_beyond(&in->ground, in->pullback, caudal, place.from_mm,
                          place.to_mm);
}

/* A device that lies in another vein than those marks are for. */
static void tell_beyond_mark(sentences *to, const planner *in,
                             const bl_device *of) {
    for (int caudal = 0; caudal < 2; caudal++) {
        const bl_mark *mark = beyond_of(in, of, caudal == 1);
        if (mark != NULL) {
            wording_device(&to->draft, of);
            text_add(&to->draft, " ");
            wording_beyond(&to->draft, mark, caudal == 1);
            sentences_end(to);
        }
    }
}

/* What one size for two veins is a mean of. */
typedef struct misfit_mixture {
    const bl_mark *mark; /* NULL: it lies in one, or they are alike */
    double cava_mm;
    double iliac_mm;
} misfit_mixture;

/* What reaches over the confluence by less than is beyond it counts as beyond.
 */
static misfit_mixture mixture_of(const planner *in, const bl_device *of) {
    bl_span place = place_of(in, of);
    const bl_mark *mark = landing_mark(in->pullback, GROUND_ILIOCAVAL);
    double at =
        mark == NULL ? HUGE_VAL : ground_at(&in->ground, mark->position_mm);
    misfit_mixture out = {NULL, 0.0, 0.0};
    if (!(at > place.from_mm && at < place.to_mm) ||
        beyond_of(in, of, false) != NULL) {
        return out;
    }
    bl_size_by by = in->rules.by;
    out.cava_mm =
        ground_mean_over(&in->ground, place.from_mm, at).reference_mm[by];
    out.iliac_mm =
        ground_mean_over(&in->ground, at, place.to_mm).reference_mm[by];
    out.mark =
        of->reference_diameter_mm - out.iliac_mm > MIXED_MM ? mark : NULL;
    return out;
}

static void add_mixture(text *out, const misfit_mixture *of) {
    text_add(out, "a mean of ");
    wording_length(out, of->cava_mm);
    text_add(out, " in the cava and ");
    wording_length(out, of->iliac_mm);
    text_add(out, " in the iliac vein");
}

/* One size for two veins: the mean is of neither. */
static void tell_mixed(sentences *to, const planner *in, const bl_device *of) {
    misfit_mixture mixed = mixture_of(in, of);
    if (mixed.mark == NULL) {
        return;
    }
    wording_device(&to->draft, of);
    text_format(&to->draft, " lies on both sides of %s, ", mixed.mark->name);
    wording_length(&to->draft, mixed.mark->position_mm);
    text_add(&to->draft, ": its reference, ");
    wording_length(&to->draft, of->reference_diameter_mm);
    text_add(&to->draft, ", is ");
    add_mixture(&to->draft, &mixed);
    sentences_end(to);
}

static bool lies_in(const planner *in, const bl_device *one,
                    const bl_device *other) {
    bl_span inner = place_of(in, one);
    bl_span outer = place_of(in, other);
    return inner.from_mm >= outer.from_mm - GROUND_SAME_MM &&
           inner.to_mm <= outer.to_mm + GROUND_SAME_MM;
}

/* How far others cover without a break from a place on, on the ground. */
static double covered_to(const planner *in, const bl_chain *of, size_t without,
                         double from_mm) {
    double reach = from_mm;
    for (size_t round = 0; round < of->device_count; round++) {
        for (size_t k = 0; k < of->device_count; k++) {
            bl_span other = place_of(in, &of->devices[k]);
            if (k != without && other.from_mm <= reach + GROUND_PRINTED_MM) {
                reach = fmax(reach, other.to_mm);
            }
        }
    }
    return reach;
}

/* One that lies wholly in others covers nothing more. Of two that lie alike
 * the later, cranial first, is told. */
static void tell_within(sentences *to, const planner *in, const bl_chain *of,
                        size_t i) {
    size_t count = of->device_count;
    size_t self = laying_turned(in, i, count);
    const bl_device *own = &of->devices[self];
    bl_span place = place_of(in, own);
    for (size_t k = 0; k < count; k++) {
        const bl_device *other = &of->devices[laying_turned(in, k, count)];
        if (k == i || !lies_in(in, own, other) ||
            (lies_in(in, other, own) && k > i)) {
            continue;
        }
        wording_device(&to->draft, own);
        text_add(&to->draft, " lies wholly in ");
        wording_device(&to->draft, other);
        text_add(&to->draft, ": it covers nothing more");
        sentences_end(to);
        return;
    }
    if (i > 0 && i + 1 < count &&
        covered_to(in, of, self, place.from_mm) >=
            place.to_mm - GROUND_PRINTED_MM) {
        wording_device(&to->draft, own);
        text_add(&to->draft, " lies wholly in its neighbours: it covers "
                             "nothing more");
        sentences_end(to);
    }
}

/* From the beginning of one device to the end of the one cranial of it; those
 * that lie far apart do not change there. */
static void tell_ligament(sentences *to, const planner *in,
                          const bl_device *cranial, const bl_device *caudal) {
    bl_span first = place_of(in, cranial);
    bl_span second = place_of(in, caudal);
    if (second.from_mm - first.to_mm >= in->options->join_mm) {
        return;
    }
    double from = fmin(second.from_mm, first.to_mm);
    double to_mm = fmax(second.from_mm, first.to_mm);
    const bl_mark *mark = landing_near(&in->ground, in->pullback, from);
    mark = mark != NULL ? mark : landing_near(&in->ground, in->pullback, to_mm);
    if (mark == NULL) {
        return;
    }
    text_add(&to->draft, "the devices change at ");
    text_span(&to->draft, ground_span(&in->ground, from, to_mm));
    text_add(&to->draft, ", within ");
    text_short(&to->draft, LANDING_NEAR_MM, 1);
    text_add(&to->draft, " mm of ");
    text_add(&to->draft, mark->name);
    text_add(&to->draft, ", ");
    wording_length(&to->draft, mark->position_mm);
    text_add(&to->draft, ": the vein bends there, and ends and overlaps are "
                         "kept away (common practice, no source)");
    sentences_end(to);
}

/* Devices that touch one another, from one of a chain on, cranial first; and
 * those of them that reach furthest. */
typedef struct misfit_run {
    size_t end;
    const bl_device *cranial;
    const bl_device *caudal;
} misfit_run;

static misfit_run run_from(const planner *in, const bl_chain *of,
                           size_t first) {
    size_t count = of->device_count;
    const bl_device *begin = &of->devices[laying_turned(in, first, count)];
    misfit_run out = {first + 1, begin, begin};
    double reached = place_of(in, begin).to_mm;
    for (; out.end < count; out.end++) {
        const bl_device *next = &of->devices[laying_turned(in, out.end, count)];
        bl_span place = place_of(in, next);
        if (place.from_mm > reached + GROUND_PRINTED_MM) {
            break;
        }
        out.caudal = place.to_mm > reached ? next : out.caudal;
        reached = fmax(reached, place.to_mm);
    }
    return out;
}

void misfit_tell(sentences *to, const planner *in, const bl_chain *chain) {
    size_t count = chain->device_count;
    for (size_t i = 0; i < count; i++) {
        const bl_device *own = &chain->devices[laying_turned(in, i, count)];
        tell_far(to, in, own);
        tell_beyond_mark(to, in, own);
        tell_mixed(to, in, own);
        tell_within(to, in, chain, i);
        if (i > 0) {
            tell_ligament(
                to, in, &chain->devices[laying_turned(in, i - 1, count)], own);
        }
    }
    for (size_t first = 0; first < count;) {
        misfit_run run = run_from(in, chain, first);
        tell_end(to, in, run.cranial, false);
        tell_end(to, in, run.caudal, true);
        first = run.end;
    }
}

void misfit_tell_bare(sentences *to, const planner *in, double from_mm,
                      double to_mm) {
    if (!serving_is_bare(in, from_mm, to_mm)) {
        return;
    }
    wording_length(&to->draft, to_mm - from_mm);
    text_add(&to->draft, " of vein lie bare between devices at ");
    text_span(&to->draft, ground_span(&in->ground, from_mm, to_mm));
    text_add(&to->draft, ", less than ");
    wording_length(&to->draft, in->options->join_mm);
    text_add(&to->draft, " (--join)");
    sentences_end(to);
}

/* The first that lies wholly beyond a mark stands for those beside it. */
static void doubt_beyond(sentences *to, const planner *in,
                         const bl_chain *chain, bool caudal) {
    size_t count = chain->device_count;
    const bl_mark *mark = NULL;
    size_t beyond = 0;
    for (size_t i = 0; i < count; i++) {
        const bl_mark *one = beyond_of(in, &chain->devices[i], caudal);
        mark = mark == NULL ? one : mark;
        beyond += one != NULL;
    }
    if (mark == NULL) {
        return;
    }
    if (count == 1) {
        text_add(&to->draft, "where the device lies: wholly ");
    } else {
        text_format(&to->draft, "where %zu of %zu devices lie: wholly ", beyond,
                    count);
    }
    wording_vein_beyond(&to->draft, mark);
    text_format(&to->draft, ", %s of %s", wording_end(caudal), mark->name);
    sentences_end(to);
}

void misfit_doubt(sentences *to, const planner *in, const bl_chain *chain) {
    doubt_beyond(to, in, chain, false);
    doubt_beyond(to, in, chain, true);
    for (size_t i = 0; i < chain->device_count; i++) {
        const bl_device *one = &chain->devices[i];
        misfit_mixture mixed = mixture_of(in, one);
        if (mixed.mark != NULL) {
            text_add(&to->draft, "the diameter of ");
            text_device_size(&to->draft, one->diameter_mm, one->length_mm);
            text_format(&to->draft,
                        ", which lies on both sides of %s: ", mixed.mark->name);
            add_mixture(&to->draft, &mixed);
            sentences_end(to);
        }
    }
}
