/*
 * landing.c - where devices are wanted to end.
 *
 * Everything is a distance outwards from the shoulder, so that both ends go
 * the same way.
 */
#include "plan/landing.h"

#include "base/constants.h"

#include <math.h>
#include <string.h>

#define INGUINAL "inguinal_ligament"
/* Lengths of devices are counted in tenths: an end may lie so much past a mark
 * that it was laid up to. */
#define COUNTED_MM (0.1 + GROUND_SAME_MM)

/* A stretch of healthy vein, by distance from a shoulder. */
typedef struct outward {
    double near_mm;
    double far_mm;
    bl_border ends_at;
} outward;

static outward outward_of(const ground_healthy *vein, const landing *from) {
    double s = from->shoulder_mm;
    if (from->caudal) {
        return (outward){fmax(vein->from_mm - s, 0.0), vein->to_mm - s,
                         vein->after};
    }
    return (outward){fmax(s - vein->to_mm, 0.0), s - vein->from_mm,
                     vein->before};
}

/* Whether one is to be landed in rather than what was found before it. */
static bool is_better(const outward *one, const outward *best,
                      const bl_plan_options *options) {
    double length = one->far_mm - one->near_mm;
    double before = best->far_mm - best->near_mm;
    if (before > 0.0 && before >= options->landing_mm - GROUND_SAME_MM) {
        return false;
    }
    if (length >= options->landing_mm - GROUND_SAME_MM) {
        return true;
    }
    return one->near_mm <= GAP_MM && length > before + GROUND_SAME_MM;
}

/* The distance to the next confluence, which no landing point lies beyond. */
static double confluence_mm(const ground *on, const landing *from) {
    double sense = from->caudal ? 1.0 : -1.0;
    double next = HUGE_VAL;
    for (size_t i = 0; i < on->confluence_count; i++) {
        double away = sense * (on->confluences[i] - from->shoulder_mm);
        next = away > GROUND_SAME_MM ? fmin(next, away) : next;
    }
    return next;
}

/* The chosen stretch; far_mm is 0 where there is none. */
static outward search(const ground *on, const bl_plan_options *options,
                      const landing *from) {
    double s = from->shoulder_mm;
    double known = fabs(ground_known_to(on, s, from->caudal) - s);
    double furthest = options->treat_given ? fmin(known, GAP_MM) : known;
    double across = confluence_mm(on, from);
    outward best = {0.0, 0.0, BL_BORDER_SHOULDER};
    for (size_t k = 0; k < on->healthy_count; k++) {
        size_t i = from->caudal ? k : on->healthy_count - 1 - k;
        outward one = outward_of(&on->healthy[i], from);
        if (one.far_mm > GROUND_SAME_MM &&
            one.near_mm <= furthest + GROUND_SAME_MM &&
            one.near_mm < across - GROUND_SAME_MM &&
            is_better(&one, &best, options)) {
            best = one;
        }
    }
    return best;
}

/* What ends the known vein there. */
static bl_border known_end(const ground *on, double at_mm, bool caudally) {
    const ground_node *end = &on->nodes[caudally ? on->count - 1 : 0];
    if (fabs(end->at_mm - at_mm) <= GROUND_SAME_MM) {
        return BL_BORDER_PULLBACK;
    }
    ground_node there = ground_node_at(
        on, at_mm + (caudally ? GAP_MM : -GAP_MM) * GROUND_SAME_MM);
    return isnan(there.diameter_mm) ? BL_BORDER_GAP : BL_BORDER_REFERENCE;
}

/* What lies directly outwards of a place that is no healthy vein. */
static bl_border beside(const ground *on, double at_mm, bool caudally) {
    double known = fabs(ground_known_to(on, at_mm, caudally) - at_mm);
    return known > GROUND_SAME_MM ? BL_BORDER_SHOULDER
                                  : known_end(on, at_mm, caudally);
}

landing landing_find(const ground *on, const bl_plan_options *options,
                     double shoulder_mm, bool caudal, bool open) {
    landing out = {
        .caudal = caudal,
        .shoulder_mm = shoulder_mm,
        .at_mm = shoulder_mm,
        .open = open,
        .near_mm = UNKNOWN,
        .far_mm = UNKNOWN,
        .ends_at = beside(on, shoulder_mm, caudal),
    };
    if (open) {
        out.ends_at =
            known_end(on, ground_known_to(on, shoulder_mm, caudal), caudal);
        return out;
    }
    outward best = search(on, options, &out);
    double length = best.far_mm - best.near_mm;
    double sense = caudal ? 1.0 : -1.0;
    if (length > 0.0) {
        out.healthy = length >= options->landing_mm - GROUND_SAME_MM;
        out.whole = options->margin_mm > length + GROUND_SAME_MM;
        out.near_mm = shoulder_mm + sense * best.near_mm;
        out.far_mm = shoulder_mm + sense * best.far_mm;
        out.at_mm = out.near_mm + sense * fmin(options->margin_mm, length);
        out.ends_at = best.ends_at;
    }
    return out;
}

const bl_mark *landing_mark(const bl_pullback *pullback, const char *name) {
    for (size_t i = 0; i < pullback->mark_count; i++) {
        if (strcmp(pullback->marks[i].name, name) == 0) {
            return &pullback->marks[i];
        }
    }
    return NULL;
}

double landing_room_mm(const ground *on, const bl_pullback *pullback,
                       const landing *of) {
    if (!of->open && isnan(of->far_mm)) {
        return 0.0;
    }
    double sense = of->caudal ? 1.0 : -1.0;
    double room =
        of->open ? BL_DEVICE_LENGTH_MOST_MM : sense * (of->far_mm - of->at_mm);
    const char *const names[] = {GROUND_ILIOCAVAL, GROUND_FEMORAL};
    for (size_t i = 0; i < 2; i++) {
        const bl_mark *mark = landing_mark(pullback, names[i]);
        if (mark != NULL) {
            double away =
                sense * (ground_at(on, mark->position_mm) - of->at_mm);
            room = away >= -GROUND_SAME_MM ? fmin(room, fmax(away, 0.0)) : room;
        }
    }
    return fmax(room, 0.0);
}

const bl_mark *landing_crosses(const ground *on, const bl_pullback *pullback,
                               bool caudal, double end_mm, double other_mm) {
    const bl_mark *mark =
        landing_mark(pullback, caudal ? GROUND_FEMORAL : GROUND_ILIOCAVAL);
    if (mark == NULL) {
        return NULL;
    }
    double at = ground_at(on, mark->position_mm);
    bool inside = at > fmin(end_mm, other_mm) + COUNTED_MM &&
                  at < fmax(end_mm, other_mm) - COUNTED_MM;
    return inside ? mark : NULL;
}

const bl_mark *landing_near(const ground *on, const bl_pullback *pullback,
                            double end_mm) {
    const bl_mark *mark = landing_mark(pullback, INGUINAL);
    bool near =
        mark != NULL && fabs(ground_at(on, mark->position_mm) - end_mm) <=
                            LANDING_NEAR_MM + GROUND_SAME_MM;
    return near ? mark : NULL;
}

/* Whether both places lie on that side of the mark, which may be missing. */
static bool lies_beyond(const ground *on, const bl_mark *mark, bool caudal,
                        double first_mm, double second_mm) {
    double sense = caudal ? 1.0 : -1.0;
    if (mark == NULL) {
        return false;
    }
    double at = ground_at(on, mark->position_mm);
    return sense * (first_mm - at) >= -COUNTED_MM &&
           sense * (second_mm - at) >= -COUNTED_MM;
}

const bl_mark *landing_beyond(const ground *on, const bl_pullback *pullback,
                              bool caudal, double end_mm, double other_mm) {
    const char *const names[2][2] = {{GROUND_ILIOCAVAL, GROUND_ILIOCAVAL},
                                     {GROUND_FEMORAL, INGUINAL}};
    for (size_t i = 0; i < 2; i++) {
        const bl_mark *mark = landing_mark(pullback, names[caudal][i]);
        if (lies_beyond(on, mark, caudal, end_mm, other_mm)) {
            return mark;
        }
    }
    return NULL;
}
