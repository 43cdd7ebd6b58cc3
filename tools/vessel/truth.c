/*
 * truth.c - what a perfect measurement of the described vessel would say.
 *
 * Everything follows from the description: no contour, no noise, no breath
 * and no missing frame is involved. Areas are closed forms; where a stenosis
 * crosses a level is bisected, where it is greatest is found by golden
 * section, both between neighbours of a fine grid; means and the volume are
 * Simpson sums. Definitions as in docs/definitions.md, reference rule taper.
 *
 * A row is `name,position_mm,value`; the position is empty where a number
 * belongs to no place.
 */
#include "truth.h"

#define GRID 40000
#define SIMPSON_STEPS 20000
#define REFINE_STEPS 80
#define THRESHOLD_PCT 50.0
#define SHOULDER_PCT 20.0
#define MERGE_MM 5.0
#define PROFILE_STEP_MM 10.0
#define FLATTENED_FROM 0.6
#define ROUND_TO 0.3
#define NARROWINGS 32

typedef struct narrowing {
    double from_mm;
    double to_mm;
    double shoulder_from_mm;
    double shoulder_to_mm;
} narrowing;

double truth_area(const truth *in, double at_mm) {
    wall w = wall_at(in->of, at_mm);
    return wall_area(&w);
}

static double perimeter_at(const truth *in, double at_mm) {
    wall w = wall_at(in->of, at_mm);
    return wall_perimeter(in->of, &w, at_mm);
}

static double width_at(const truth *in, double at_mm) {
    wall w = wall_at(in->of, at_mm);
    return 2.0 * w.short_mm;
}

/* Linear between the middles of the segments, constant beyond them. */
static double taper(const truth *in, double at_mm, double first, double last) {
    if (in->segment_count < 2 || at_mm <= in->segments[0].middle_mm) {
        return first;
    }
    double from = in->segments[0].middle_mm;
    double to = in->segments[1].middle_mm;
    return at_mm >= to ? last
                       : first + (last - first) * (at_mm - from) / (to - from);
}

double truth_reference_area(const truth *in, double at_mm) {
    double d = taper(in, at_mm, sqrt(in->segments[0].area_mm2),
                     sqrt(in->segments[1].area_mm2));
    return d * d;
}

static double reference_perimeter_at(const truth *in, double at_mm) {
    return taper(in, at_mm, in->segments[0].perimeter_mm,
                 in->segments[1].perimeter_mm);
}

static double stenosis_at(const truth *in, double at_mm) {
    return 100.0 *
           (1.0 - truth_area(in, at_mm) / truth_reference_area(in, at_mm));
}

static double negative_stenosis_at(const truth *in, double at_mm) {
    return -stenosis_at(in, at_mm);
}

static double simpson(const truth *in, quantity of, double from, double to,
                      int steps) {
    double step = (to - from) / steps;
    double total = of(in, from) + of(in, to);
    for (int i = 1; i < steps; i++) {
        total += (i % 2 == 1 ? 4.0 : 2.0) * of(in, from + i * step);
    }
    return total * step / 3.0;
}

double truth_least(const truth *in, quantity of, double from, double to) {
    double step = (to - from) / GRID;
    double best = from;
    double least = of(in, from);
    for (int i = 1; i <= GRID; i++) {
        double here = of(in, from + i * step);
        if (here < least) {
            least = here;
            best = from + i * step;
        }
    }
    double low = fmax(from, best - step);
    double high = fmin(to, best + step);
    const double golden = 0.61803398874989485;
    for (int i = 0; i < REFINE_STEPS; i++) {
        double a = high - golden * (high - low);
        double b = low + golden * (high - low);
        if (of(in, a) <= of(in, b)) {
            high = b;
        } else {
            low = a;
        }
    }
    return 0.5 * (low + high);
}

/* Where stenosis passes the level between inside (above) and outside. */
static double level_place(const truth *in, double inside, double outside,
                          double level) {
    for (int i = 0; i < REFINE_STEPS; i++) {
        double middle = 0.5 * (inside + outside);
        if (stenosis_at(in, middle) > level) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    return 0.5 * (inside + outside);
}

/* From a place outward, step by step, to the first at or below the level. */
static double shoulder_place(const truth *in, double from, double step) {
    double here = from;
    while (stenosis_at(in, here) > SHOULDER_PCT) {
        double next = here + step;
        if (next <= 0.0 || next >= in->end_mm) {
            return next <= 0.0 ? 0.0 : in->end_mm;
        }
        if (stenosis_at(in, next) <= SHOULDER_PCT) {
            return level_place(in, here, next, SHOULDER_PCT);
        }
        here = next;
    }
    return here;
}

/* Two narrowings are one when closer than MERGE_MM and the first's shoulder
 * lies beyond the second's beginning. */
static size_t narrowings_add(narrowing *all, size_t count, narrowing next) {
    if (count > 0 && next.from_mm - all[count - 1].to_mm < MERGE_MM &&
        all[count - 1].shoulder_to_mm > next.from_mm) {
        all[count - 1].to_mm = next.to_mm;
        all[count - 1].shoulder_to_mm = next.shoulder_to_mm;
        return count;
    }
    if (count < NARROWINGS) {
        all[count++] = next;
    }
    return count;
}

static size_t narrowings_find(const truth *in, narrowing *all) {
    double step = in->end_mm / GRID;
    size_t count = 0;
    double from = 0.0;
    bool inside = stenosis_at(in, 0.0) >= THRESHOLD_PCT;
    for (int i = 1; i <= GRID; i++) {
        double here = i * step;
        bool narrow = stenosis_at(in, here) >= THRESHOLD_PCT;
        if (narrow && !inside) {
            from = level_place(in, here, here - step, THRESHOLD_PCT);
        }
        if (inside && (!narrow || i == GRID)) {
            double to = narrow
                            ? here
                            : level_place(in, here - step, here, THRESHOLD_PCT);
            narrowing next = {from, to, shoulder_place(in, from, -step),
                              shoulder_place(in, to, step)};
            count = narrowings_add(all, count, next);
        }
        inside = narrow;
    }
    return count;
}

void truth_place(const truth *in, const char *name, double at_mm,
                 double value) {
    fprintf(in->out, "%s,%.6f,%.6f\n", name, at_mm, value);
}

void truth_value(const truth *in, const char *name, double value) {
    fprintf(in->out, "%s,,%.6f\n", name, value);
}

/* Rows named PREFIX_N_NAME. */
static void row_numbered(const truth *in, const char *prefix, size_t number,
                         const char *name, double at_mm, double value) {
    fprintf(in->out, "%s_%zu_%s,%.6f,%.6f\n", prefix, number, name, at_mm,
            value);
}

static double flattening_share(const truth *in, double at_mm) {
    double area = truth_area(in, at_mm);
    double perimeter = perimeter_at(in, at_mm);
    double reference = truth_reference_area(in, at_mm);
    double wall_mm = reference_perimeter_at(in, at_mm);
    double circularity = area / (perimeter * perimeter);
    double healthy = reference / (wall_mm * wall_mm);
    double share = log(circularity / healthy) / log(area / reference);
    return fmin(1.0, fmax(0.0, share));
}

static const char *pattern_name(double share) {
    return share >= FLATTENED_FROM ? "flattened"
           : share <= ROUND_TO     ? "round"
                                   : "mixed";
}

static void segments_find(truth *in) {
    for (size_t i = 0; i < in->of->reference_count; i++) {
        const stretch *r = &in->of->references[i];
        double length = r->to_mm - r->from_mm;
        segment *s = &in->segments[in->segment_count++];
        s->middle_mm = 0.5 * (r->from_mm + r->to_mm);
        s->area_mm2 =
            simpson(in, truth_area, r->from_mm, r->to_mm, 2000) / length;
        s->perimeter_mm =
            simpson(in, perimeter_at, r->from_mm, r->to_mm, 2000) / length;
    }
}

static void vessel_rows(const truth *in) {
    const vessel *of = in->of;
    truth_value(in, "length_mm", in->end_mm);
    truth_value(in, "volume_mm3",
                simpson(in, truth_area, 0.0, in->end_mm, SIMPSON_STEPS));
    double at = truth_least(in, truth_area, 0.0, in->end_mm);
    truth_place(in, "minimum_area_mm2", at, truth_area(in, at));
    truth_value(in, "breathing_amplitude_pct", of->breathing_pct);
    truth_value(in, "breathing_wavelength_mm",
                of->speed_mm_per_s * of->breath_s);
    for (size_t i = 0; i < in->segment_count; i++) {
        const segment *s = &in->segments[i];
        const stretch *r = &of->references[i];
        row_numbered(in, "reference", i + 1, "from_mm", r->from_mm, r->from_mm);
        row_numbered(in, "reference", i + 1, "to_mm", r->to_mm, r->to_mm);
        row_numbered(in, "reference", i + 1, "area_mm2", s->middle_mm,
                     s->area_mm2);
        row_numbered(in, "reference", i + 1, "equivalent_diameter_mm",
                     s->middle_mm, 2.0 * sqrt(s->area_mm2 / PI));
        row_numbered(in, "reference", i + 1, "perimeter_mm", s->middle_mm,
                     s->perimeter_mm);
    }
}

/* Under the rules with one denominator the worst place is the least area. */
static void rule_rows(const truth *in) {
    double worst = truth_least(in, negative_stenosis_at, 0.0, in->end_mm);
    truth_place(in, "worst_area_stenosis_taper_pct", worst,
                stenosis_at(in, worst));
    truth_place(in, "worst_area_mm2", worst, truth_area(in, worst));
    double at = truth_least(in, truth_area, 0.0, in->end_mm);
    double area = truth_area(in, at);
    double first = in->segments[0].area_mm2;
    double last = in->segments[in->segment_count - 1].area_mm2;
    truth_place(in, "worst_area_stenosis_mean_pct", at,
                100.0 - 100.0 * area / (0.5 * (first + last)));
    truth_place(in, "worst_area_stenosis_cranial_pct", at,
                100.0 - 100.0 * area / first);
    truth_place(in, "worst_area_stenosis_caudal_pct", at,
                100.0 - 100.0 * area / last);
    truth_place(in, "worst_area_stenosis_largest_pct", at,
                100.0 - 100.0 * area / fmax(first, last));
}

static void narrowing_rows(const truth *in) {
    narrowing all[NARROWINGS];
    size_t count = narrowings_find(in, all);
    truth_value(in, "narrowings", (double)count);
    for (size_t i = 0; i < count; i++) {
        const narrowing *n = &all[i];
        const char *of = "narrowing";
        double worst =
            truth_least(in, negative_stenosis_at, n->from_mm, n->to_mm);
        double share = flattening_share(in, worst);
        row_numbered(in, of, i + 1, "from_mm", n->from_mm, n->from_mm);
        row_numbered(in, of, i + 1, "to_mm", n->to_mm, n->to_mm);
        row_numbered(in, of, i + 1, "length_mm", worst, n->to_mm - n->from_mm);
        row_numbered(in, of, i + 1, "shoulder_from_mm", n->shoulder_from_mm,
                     n->shoulder_from_mm);
        row_numbered(in, of, i + 1, "shoulder_to_mm", n->shoulder_to_mm,
                     n->shoulder_to_mm);
        row_numbered(in, of, i + 1, "area_stenosis_pct", worst,
                     stenosis_at(in, worst));
        double least = truth_least(in, truth_area, n->from_mm, n->to_mm);
        row_numbered(in, of, i + 1, "min_area_mm2", least,
                     truth_area(in, least));
        row_numbered(in, of, i + 1, "flattening_share", worst, share);
        fprintf(in->out, "%s_%zu_pattern,%.6f,%s\n", of, i + 1, worst,
                pattern_name(share));
    }
}

/* One for every flattening described; written only where the wall is an
 * ellipse, whose diameters are its axes. */
static void compression_rows(const truth *in) {
    truth_value(in, "compression_points", (double)in->of->flattening_count);
    for (size_t i = 0; i < in->of->flattening_count; i++) {
        const flattening *f = &in->of->flattenings[i];
        double from = fmax(0.0, f->at_mm - f->half_mm);
        double to = fmin(in->end_mm, f->at_mm + f->half_mm);
        double at = truth_least(in, width_at, from, to);
        wall w = wall_at(in->of, at);
        if (w.irregular > 0.0) {
            continue;
        }
        const char *of = "compression";
        row_numbered(in, of, i + 1, "min_diameter_mm", at, 2.0 * w.short_mm);
        row_numbered(in, of, i + 1, "max_diameter_mm", at, 2.0 * w.long_mm);
        row_numbered(in, of, i + 1, "aspect_ratio", at, w.long_mm / w.short_mm);
        double axis = fmod(fmod(w.axis_deg, 180.0) + 180.0, 180.0);
        row_numbered(in, of, i + 1, "long_axis_deg", at, axis);
        if (in->segment_count > 0) {
            row_numbered(in, of, i + 1, "area_stenosis_pct", at,
                         stenosis_at(in, at));
            row_numbered(in, of, i + 1, "perimeter_kept_pct", at,
                         100.0 * perimeter_at(in, at) /
                             reference_perimeter_at(in, at));
        }
    }
}

static void profile_rows(const truth *in) {
    int last = (int)floor(in->end_mm / PROFILE_STEP_MM);
    for (int i = 0; i <= last; i++) {
        double at = i * PROFILE_STEP_MM;
        truth_place(in, "area_mm2", at, truth_area(in, at));
        truth_place(in, "perimeter_mm", at, perimeter_at(in, at));
        wall w = wall_at(in->of, at);
        if (!(w.irregular > 0.0)) {
            truth_place(in, "min_diameter_mm", at, 2.0 * w.short_mm);
            truth_place(in, "max_diameter_mm", at, 2.0 * w.long_mm);
        }
        if (in->segment_count > 0) {
            truth_place(in, "reference_area_mm2", at,
                        truth_reference_area(in, at));
            truth_place(in, "area_stenosis_pct", at, stenosis_at(in, at));
        }
    }
}

truth truth_of(const vessel *of, FILE *out) {
    truth in = {.of = of, .out = out};
    in.end_mm =
        (double)(of->frame_count - 1) * of->speed_mm_per_s / of->frame_rate_hz;
    segments_find(&in);
    return in;
}

bool truth_write(const vessel *of, FILE *out) {
    truth in = truth_of(of, out);
    fprintf(out, "name,position_mm,value\n");
    vessel_rows(&in);
    if (in.segment_count > 0) {
        rule_rows(&in);
        narrowing_rows(&in);
    }
    compression_rows(&in);
    profile_rows(&in);
    return !ferror(out);
}
