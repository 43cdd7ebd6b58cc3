/*
 * invent.c - draws a vessel: calibres, disease, and what goes wrong in a
 * pullback. Everything is described from the cranial end caudally and turned
 * around at last where the catheter goes cranially.
 */
#include "study.h"

#define BAD_MOST 6.0
#define MARK_OFF_MM 2.0

typedef struct vein_kind {
    const char *begins; /* the mark at its cranial end, or NULL */
    const char *ends;
    double diameter_mm;
    double least_mm; /* length */
    double most_mm;
} vein_kind;

/* Nominal diameters of the handbook, of the cava the median without disease
 * (docs/definitions.md); lengths are invented. */
static const vein_kind VEINS[STUDY_VEINS] = {
    {NULL, "iliocaval_confluence", 18.4, 10.0, 30.0},
    {"iliocaval_confluence", "internal_iliac_confluence", 16.0, 40.0, 70.0},
    {"internal_iliac_confluence", "inguinal_ligament", 14.0, 80.0, 120.0},
    {"inguinal_ligament", "femoral_confluence", 12.0, 40.0, 80.0},
};

/* Which of them a pullback shows: from the first to before the end. */
static const size_t VIEWS[][2] = {{1, 2}, {2, 3}, {1, 3}, {2, 4},
                                  {1, 4}, {0, 3}, {0, 4}};
#define VIEW_COUNT (sizeof VIEWS / sizeof VIEWS[0])

/* Of twenty vessels. */
static const disease MIXTURE[] = {
    DISEASE_NONE,   DISEASE_COSINE,  DISEASE_PLATEAU,    DISEASE_FLAT,
    DISEASE_SCAR,   DISEASE_SEVERAL, DISEASE_THROUGHOUT, DISEASE_NONE,
    DISEASE_COSINE, DISEASE_PLATEAU, DISEASE_FLAT,       DISEASE_SCAR,
    DISEASE_NONE,   DISEASE_COSINE,  DISEASE_PLATEAU,    DISEASE_FLAT,
    DISEASE_SCAR,   DISEASE_SEVERAL, DISEASE_THROUGHOUT, DISEASE_NONE,
};
#define MIXTURE_COUNT (sizeof MIXTURE / sizeof MIXTURE[0])

double vein_nominal_mm(const invented *of, size_t vein) {
    return VEINS[of->first_vein + vein].diameter_mm;
}

const char *disease_name(disease of) {
    static const char *const names[DISEASE_COUNT] = {
        "none", "cosine", "plateau", "flat", "scar", "several", "throughout"};
    return names[of];
}

static double between(uint64_t *state, double low, double high) {
    return low + (high - low) * random_unit(state);
}

/* Evenly by ratio. */
static double between_log(uint64_t *state, double low, double high) {
    return low * pow(high / low, random_unit(state));
}

static size_t below(uint64_t *state, size_t limit) {
    return (size_t)(random_unit(state) * (double)limit);
}

static bool chance(uint64_t *state, double odds) {
    return random_unit(state) < odds;
}

/* A factor around 1, no further off than twice its standard deviation. */
static double around_one(uint64_t *state, double deviation) {
    double off = random_bell(state);
    return 1.0 + deviation * fmax(-2.0, fmin(2.0, off));
}

/* ----------------------------------------------------------------- calibre */

static void add_calibre(vessel *to, double at_mm, double diameter_mm,
                        uint64_t *state) {
    double axis = to->calibre_count == 0
                      ? between(state, 0.0, 180.0)
                      : to->calibres[to->calibre_count - 1].axis_deg +
                            between(state, -20.0, 20.0);
    to->calibres[to->calibre_count++] =
        (calibre){at_mm, diameter_mm, between(state, 1.02, 1.25), axis};
}

static void add_mark(invented *to, const char *name, double at_mm) {
    if (to->marked && name != NULL) {
        mark *m = &to->vessel.marks[to->vessel.mark_count++];
        snprintf(m->name, sizeof m->name, "%s", name);
        m->at_mm = at_mm;
    }
}

/* One vein from `from` on: tapering, never wider than the vein cranial of it,
 * with a confluence of `wall` mm at its border. Returns where it ends. */
static double add_vein(invented *to, const vein_kind *kind, double from,
                       double wall_mm, double diameter_mm, uint64_t *state) {
    vessel *of = &to->vessel;
    double end = from + between(state, kind->least_mm, kind->most_mm);
    double taper = between(state, 0.0, 0.10);
    double first = diameter_mm * (1.0 + 0.5 * taper);
    if (of->calibre_count > 0) {
        first = fmin(first, of->calibres[of->calibre_count - 1].diameter_mm);
    }
    add_calibre(of, from > 0.0 ? from + 0.5 * wall_mm : 0.0, first, state);
    add_calibre(of, end - 5.0, first * (1.0 - taper), state);
    return end;
}

static void draw_calibre(invented *to, uint64_t *state) {
    const size_t *view = VIEWS[below(state, VIEW_COUNT)];
    to->first_vein = view[0];
    double person = around_one(state, 0.06);
    double at = 0.0;
    double wall_mm = 0.0;
    add_mark(to, VEINS[view[0]].begins, 0.0);
    for (size_t i = view[0]; i < view[1]; i++) {
        double own = VEINS[i].diameter_mm * person * around_one(state, 0.02);
        at = add_vein(to, &VEINS[i], at, wall_mm, own, state);
        bool last = i + 1 == view[1];
        if (!last) {
            wall_mm = between(state, 2.0, 10.0);
            calibre *end = &to->vessel.calibres[to->vessel.calibre_count - 1];
            end->at_mm = at - 0.5 * wall_mm;
            to->border_mm[to->veins] = at;
        }
        double off = last ? 0.0 : between(state, -MARK_OFF_MM, MARK_OFF_MM);
        add_mark(to, VEINS[i].ends, at + off);
        to->veins++;
    }
    to->vessel.length_mm = at;
}

/* ----------------------------------------------------------------- disease */

static void add_scar(vessel *to, double from_mm, double to_mm, double edge_mm,
                     double depth_pct, uint64_t *state) {
    to->scars[to->scar_count++] = (scar){.from_mm = from_mm,
                                         .to_mm = to_mm,
                                         .edge_mm = edge_mm,
                                         .left_pct = 100.0 - depth_pct,
                                         .every_mm = 20.0,
                                         .aspect = between(state, 1.0, 1.3)};
}

static void make_uneven(vessel *to, uint64_t *state) {
    scar *last = &to->scars[to->scar_count - 1];
    last->irregular_pct = between(state, 1.0, 5.0);
    last->uneven_pct = between(state, 0.0, 10.0);
    last->every_mm = between(state, 15.0, 40.0);
}

static void add_lesion(vessel *to, disease how, double at_mm, double depth_pct,
                       uint64_t *state) {
    if (how == DISEASE_FLAT) {
        double half = between(state, 8.0, 25.0);
        to->flattenings[to->flattening_count++] =
            (flattening){.at_mm = at_mm,
                         .half_mm = half,
                         .area_mm2 = (double)NAN,
                         .aspect = (double)NAN,
                         .kept_pct = 100.0,
                         .axis_deg = (double)NAN,
                         .left_pct = 100.0 - depth_pct};
    } else if (how == DISEASE_PLATEAU) {
        double half = between(state, 2.5, 20.0);
        double edge = between(state, 3.0, 10.0);
        add_scar(to, at_mm - half - edge, at_mm + half + edge, edge, depth_pct,
                 state);
    } else {
        double half = between(state, 8.0, 30.0);
        add_scar(to, at_mm - half, at_mm + half, half, depth_pct, state);
    }
}

/* Each in its share of the length, the first the deepest by 10 points. */
static void add_several(vessel *to, uint64_t *state) {
    size_t count = 2 + below(state, 2);
    size_t deepest = below(state, count);
    double depth = between(state, 50.0, 85.0);
    for (size_t i = 0; i < count; i++) {
        double part = to->length_mm / (double)count;
        double at = part * ((double)i + between(state, 0.2, 0.8));
        disease how = (disease)(DISEASE_COSINE + below(state, 3));
        double other = between(state, 25.0, depth - 10.0);
        add_lesion(to, how, at, i == deepest ? depth : other, state);
    }
}

static void add_long_scar(vessel *to, uint64_t *state) {
    double length = between(state, 60.0, fmax(60.0, 0.9 * to->length_mm));
    double from =
        between(state, -0.1 * to->length_mm, 1.1 * to->length_mm - length);
    add_scar(to, from, from + length, between(state, 5.0, 20.0),
             between(state, 40.0, 75.0), state);
    make_uneven(to, state);
}

/* Half of them with a tighter place. */
static void add_throughout(vessel *to, uint64_t *state) {
    add_scar(to, -100.0, to->length_mm + 100.0, 20.0,
             between(state, 50.0, 80.0), state);
    make_uneven(to, state);
    if (chance(state, 0.5)) {
        add_lesion(to, DISEASE_COSINE, to->length_mm * between(state, 0.1, 0.9),
                   between(state, 20.0, 60.0), state);
    }
}

static void draw_disease(invented *to, uint64_t *state) {
    vessel *of = &to->vessel;
    switch (to->disease) {
    case DISEASE_COSINE:
    case DISEASE_PLATEAU:
    case DISEASE_FLAT:
        add_lesion(of, to->disease, of->length_mm * between(state, 0.1, 0.9),
                   between(state, 30.0, 85.0), state);
        break;
    case DISEASE_SCAR:
        add_long_scar(of, state);
        break;
    case DISEASE_SEVERAL:
        add_several(of, state);
        break;
    case DISEASE_THROUGHOUT:
        add_throughout(of, state);
        break;
    case DISEASE_NONE:
    default:
        break;
    }
}

/* ---------------------------------------------------------------- pullback */

static void draw_pullback(invented *to, uint64_t *state) {
    vessel *of = &to->vessel;
    of->speed_mm_per_s = between_log(state, 0.5, 10.0);
    /* No catheter gives more than 30 frames a second. */
    to->spacing_mm =
        fmax(between_log(state, 0.2, 1.0), of->speed_mm_per_s / 30.0);
    of->frame_rate_hz = of->speed_mm_per_s / to->spacing_mm;
    of->points = 32 + (int64_t)below(state, 41);
    to->ripple_pct = between(state, 0.0, 15.0);
    of->breathing_pct = 0.5 * to->ripple_pct;
    of->breath_s = between(state, 3.0, 6.0);
    of->area_pct = between(state, 2.0, 10.0);
    of->noise_mm = between(state, 0.03, 0.12);
    of->offset = between(state, 0.0, 0.4);
    of->turn_mm = between(state, 60.0, 120.0);
}

static void draw_gaps(invented *to, uint64_t *state) {
    vessel *of = &to->vessel;
    to->gaps = chance(state, 0.4) ? 1 + below(state, 2) : 0;
    for (size_t i = 0; i < to->gaps; i++) {
        double wide = between(state, 1.5, 12.0);
        double from = between(state, 0.0, of->length_mm - wide);
        of->missing[of->missing_count++] =
            (frames){llround(from / to->spacing_mm),
                     llround((from + wide) / to->spacing_mm)};
    }
}

static void draw_bad_frames(vessel *to, uint64_t *state) {
    size_t count = chance(state, 0.4) ? 1 + below(state, (size_t)BAD_MOST) : 0;
    for (size_t i = 0; i < count; i++) {
        bool large = chance(state, 0.5);
        to->bad[to->bad_count++] = (bad_frame){
            (int64_t)below(state, (size_t)to->frame_count),
            (bad_how)below(state, 3),
            large ? between(state, 170.0, 300.0) : between(state, 30.0, 60.0)};
    }
}

/* -------------------------------------------------------------- turn around */

static void turn_lesions(vessel *of) {
    double length = of->length_mm;
    for (size_t i = 0; i < of->flattening_count; i++) {
        of->flattenings[i].at_mm = length - of->flattenings[i].at_mm;
    }
    for (size_t i = 0; i < of->scar_count; i++) {
        double from = of->scars[i].from_mm;
        of->scars[i].from_mm = length - of->scars[i].to_mm;
        of->scars[i].to_mm = length - from;
    }
}

static void turn_around(invented *to) {
    vessel *of = &to->vessel;
    vessel was = *of;
    double length = of->length_mm;
    for (size_t i = 0; i < of->calibre_count; i++) {
        of->calibres[i] = was.calibres[of->calibre_count - 1 - i];
        of->calibres[i].at_mm = length - of->calibres[i].at_mm;
    }
    for (size_t i = 0; i < of->mark_count; i++) {
        of->marks[i].at_mm = length - of->marks[i].at_mm;
    }
    for (size_t i = 0; i + 1 < to->veins; i++) {
        to->border_mm[i] = length - to->border_mm[i];
    }
    turn_lesions(of);
    snprintf(of->travel, sizeof of->travel, "cranial");
}

void invent(uint64_t seed, size_t number, invented *out) {
    uint64_t state = random_start(seed * UINT64_C(1000003) + number);
    *out = (invented){.number = number,
                      .disease = MIXTURE[number % MIXTURE_COUNT],
                      .marked = chance(&state, 0.5),
                      .cranially = chance(&state, 0.3)};
    vessel *of = &out->vessel;
    snprintf(of->case_name, sizeof of->case_name, "study %llu, vessel %zu",
             (unsigned long long)seed, number);
    of->seed = random_next(&state);
    draw_calibre(out, &state);
    draw_pullback(out, &state);
    draw_disease(out, &state);
    draw_gaps(out, &state);
    if (out->cranially) {
        turn_around(out);
    }
    /* Every wall drawn here exists: pressing flat keeps the wall's length. */
    (void)vessel_ready(of);
    draw_bad_frames(of, &state);
}
