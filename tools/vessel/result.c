/*
 * result.c - what a perfect comparison of a described vein before and after
 * would say.
 *
 * As in truth.c everything follows from the descriptions. Places are those of
 * the pullback before where it is given. Least and greatest values are
 * searched along the devices; a gap is the least distance from a point of the
 * device's ellipse to the curve of the wall, searched around it.
 */
#include "truth.h"

#define EDGE_MM 10.0
#define TOLERANCE_MM 0.3
#define GAP_STEPS 720
#define PLACE_STEP_MM 0.25
#define NARROW_STEPS 60

typedef struct result {
    truth after;
    truth before; /* of the same vein; of is NULL where there is none */
    double shift_mm;
    double from_mm; /* the devices, along the pullback after */
    double to_mm;
} result;

/* Searches see a truth and nothing else: it is the first member. */
static const result *result_of(const truth *in) {
    return (const result *)(const void *)in;
}

static double device_area(const truth *in, double at_mm) {
    wall w = device_at(in->of, at_mm);
    return wall_area(&w);
}

/* Of the narrower one where two overlap. */
static double nominal_area(const truth *in, double at_mm) {
    double least = (double)INFINITY;
    for (size_t i = 0; i < in->of->nominal_count; i++) {
        const nominal *n = &in->of->nominals[i];
        if (at_mm >= n->from_mm && at_mm <= n->from_mm + n->length_mm) {
            least = fmin(least, PI * n->diameter_mm * n->diameter_mm / 4.0);
        }
    }
    return least;
}

static double open_of_own(const truth *in, double at_mm) {
    return truth_area(in, at_mm) / truth_reference_area(in, at_mm);
}

static double open_of_before(const truth *in, double at_mm) {
    const result *of = result_of(in);
    return truth_area(in, at_mm) /
           truth_reference_area(&of->before, at_mm + of->shift_mm);
}

static double open_of_nominal(const truth *in, double at_mm) {
    return truth_area(in, at_mm) / nominal_area(in, at_mm);
}

static double expansion(const truth *in, double at_mm) {
    return device_area(in, at_mm) / nominal_area(in, at_mm);
}

static double open_of_device(const truth *in, double at_mm) {
    return truth_area(in, at_mm) / device_area(in, at_mm);
}

static double roundness(const truth *in, double at_mm) {
    wall w = device_at(in->of, at_mm);
    return w.short_mm / w.long_mm;
}

static double width(const truth *in, double at_mm) {
    wall w = wall_at(in->of, at_mm);
    return 2.0 * w.short_mm;
}

/* A row of the least value along the devices; share: 1 - it, in percent. */
static void least_row(const result *of, const char *name, quantity what,
                      bool share) {
    const truth *in = &of->after;
    double at = truth_least(in, what, of->from_mm, of->to_mm);
    double value = what(in, at);
    truth_place(in, name, at + of->shift_mm,
                share ? 100.0 - 100.0 * value : value);
}

static void before_rows(const result *of) {
    double from = of->from_mm + of->shift_mm;
    double to = of->to_mm + of->shift_mm;
    double at = truth_least(&of->before, truth_area, from, to);
    truth_place(&of->before, "before_min_area_mm2", at,
                truth_area(&of->before, at));
    at = truth_least(&of->before, width, from, to);
    truth_place(&of->before, "before_min_diameter_mm", at,
                width(&of->before, at));
    at = truth_least(&of->before, open_of_own, from, to);
    truth_place(&of->before, "before_area_stenosis_pct", at,
                100.0 - 100.0 * open_of_own(&of->before, at));
    least_row(of, "residual_before_reference_pct", open_of_before, true);
}

static void area_rows(const result *of) {
    const truth *in = &of->after;
    least_row(of, "after_min_area_mm2", truth_area, false);
    least_row(of, "after_min_diameter_mm", width, false);
    least_row(of, "residual_after_reference_pct", open_of_own, true);
    least_row(of, "device_min_area_mm2", device_area, false);
    double at = truth_least(in, device_area, of->from_mm, of->to_mm);
    if (of->before.of != NULL) {
        truth_place(in, "expansion_index", at + of->shift_mm,
                    device_area(in, at) /
                        truth_reference_area(&of->before, at + of->shift_mm));
    }
    truth_place(in, "after_expansion_index", at + of->shift_mm,
                device_area(in, at) / truth_reference_area(in, at));
    at = truth_least(in, roundness, of->from_mm, of->to_mm);
    truth_place(in, "symmetry_index", at + of->shift_mm,
                1.0 - roundness(in, at));
    least_row(of, "tissue_greatest_pct", open_of_device, true);
}

static void nominal_rows(const result *of) {
    const truth *in = &of->after;
    double from = of->from_mm;
    double to = of->to_mm;
    least_row(of, "residual_nominal_pct", open_of_nominal, true);
    double at = truth_least(in, expansion, from, to);
    truth_place(in, "nominal_expansion_pct", at + of->shift_mm,
                100.0 * expansion(in, at));
    double total = 0.0;
    int steps = 20000;
    for (int i = 0; i < steps; i++) {
        total += expansion(in, from + (i + 0.5) * (to - from) / steps);
    }
    truth_value(in, "nominal_expansion_mean_pct", 100.0 * total / steps);
    for (size_t i = 0; i + 1 < in->of->nominal_count; i++) {
        const nominal *n = &in->of->nominals[i];
        truth_value(in, "overlap_from_mm", n[1].from_mm + of->shift_mm);
        truth_value(in, "overlap_to_mm",
                    n->from_mm + n->length_mm + of->shift_mm);
    }
}

typedef struct spot {
    double x;
    double y;
} spot;

static spot device_spot(const wall *w, double t) {
    return (spot){w->long_mm * cos(t), w->short_mm * sin(t)};
}

static double wall_distance(const vessel *of, double at_mm, const wall *w,
                            spot from, double t) {
    spot p = device_spot(w, t);
    double x = 0.0;
    double y = 0.0;
    wall_normal(w, t, &x, &y);
    double gap = device_gap(of, at_mm, t);
    double dx = p.x + gap * x - from.x;
    double dy = p.y + gap * y - from.y;
    return sqrt(dx * dx + dy * dy);
}

/* From the device's point at parameter t to the wall: the least over a sixth of
 * the turn either way, then closer and closer. */
static double gap_at(const vessel *of, double at_mm, const wall *w, double t) {
    spot from = device_spot(w, t);
    double best = t;
    double least = wall_distance(of, at_mm, w, from, t);
    double reach = PI / 3.0;
    for (int round = 0; round < 6; round++) {
        double middle = best;
        for (int i = -NARROW_STEPS; i <= NARROW_STEPS; i++) {
            double s = middle + reach * i / NARROW_STEPS;
            double here = wall_distance(of, at_mm, w, from, s);
            if (here < least) {
                least = here;
                best = s;
            }
        }
        reach *= 2.0 / NARROW_STEPS;
    }
    return least;
}

/* The largest gap of a place and the arc, seen from the device's centre, of
 * all that is over the tolerance: one stretch of it is described. */
static double gap_around(const vessel *of, double at_mm, double *arc_deg) {
    wall w = device_at(of, at_mm);
    double largest = 0.0;
    double arc = 0.0;
    for (int i = 0; i < GAP_STEPS; i++) {
        double t = 2.0 * PI * i / GAP_STEPS;
        double gap = gap_at(of, at_mm, &w, t);
        largest = fmax(largest, gap);
        if (gap > TOLERANCE_MM) {
            spot a = device_spot(&w, t - PI / GAP_STEPS);
            spot b = device_spot(&w, t + PI / GAP_STEPS);
            arc += remainder(atan2(b.y, b.x) - atan2(a.y, a.x), 2.0 * PI);
        }
    }
    *arc_deg = arc * 180.0 / PI;
    return largest;
}

/* Where the gap passes the tolerance, between a place over it and one below. */
static double tolerance_place(const vessel *of, double over, double below) {
    for (int i = 0; i < 20; i++) {
        double middle = 0.5 * (over + below);
        double arc = 0.0;
        if (gap_around(of, middle, &arc) > TOLERANCE_MM) {
            over = middle;
        } else {
            below = middle;
        }
    }
    return over;
}

static void standoff_rows(const result *of, const standoff *s) {
    const truth *in = &of->after;
    double from = fmax(s->from_mm, of->from_mm);
    double to = fmin(s->to_mm, of->to_mm);
    double largest = 0.0;
    double widest = 0.0;
    double first = to;
    double last = from;
    for (double at = from; at <= to; at += PLACE_STEP_MM) {
        double arc = 0.0;
        double gap = gap_around(in->of, at, &arc);
        largest = fmax(largest, gap);
        widest = fmax(widest, arc);
        if (gap > TOLERANCE_MM) {
            first = fmin(first, at);
            last = fmax(last, at);
        }
    }
    if (largest > TOLERANCE_MM) {
        first = first > from
                    ? tolerance_place(in->of, first, first - PLACE_STEP_MM)
                    : first;
        last = last + PLACE_STEP_MM <= to
                   ? tolerance_place(in->of, last, last + PLACE_STEP_MM)
                   : to;
        truth_value(in, "unapposed_from_mm", first + of->shift_mm);
        truth_value(in, "unapposed_to_mm", last + of->shift_mm);
        truth_value(in, "unapposed_max_gap_mm", largest);
        truth_value(in, "unapposed_widest_arc_deg", widest);
    }
}

/* The vein beyond an end, where the device is no more: by the reference before
 * where there is one. */
static void edge_row(const result *of, const char *name, double from,
                     double to) {
    const truth *in = &of->after;
    quantity open = of->before.of != NULL ? open_of_before : open_of_own;
    double at = truth_least(in, open, fmax(from, 0.0), fmin(to, in->end_mm));
    truth_place(in, name, at + of->shift_mm, 100.0 - 100.0 * open(in, at));
}

bool result_write(const vessel *of, const vessel *before, FILE *out) {
    result r = {.after = truth_of(of, out)};
    if (r.after.segment_count == 0) {
        fputs("vessel: --result wants a reference in the description\n",
              stderr);
        return false;
    }
    if (before != NULL) {
        r.before = truth_of(before, out);
        r.shift_mm = of->begins_mm - before->begins_mm;
    }
    r.from_mm = of->devices[0].at_mm;
    r.to_mm = of->devices[of->device_count - 1].at_mm;
    const double past = 1e-6;
    if (before != NULL) {
        truth_value(&r.after, "shift_mm", r.shift_mm);
    }
    truth_value(&r.after, "treated_from_mm", r.from_mm + r.shift_mm);
    truth_value(&r.after, "treated_to_mm", r.to_mm + r.shift_mm);
    if (before != NULL) {
        before_rows(&r);
    }
    area_rows(&r);
    if (of->nominal_count > 0) {
        nominal_rows(&r);
    }
    for (size_t i = 0; i < of->standoff_count; i++) {
        standoff_rows(&r, &of->standoffs[i]);
    }
    edge_row(&r, "edge_cranial_area_stenosis_pct", r.from_mm - EDGE_MM,
             r.from_mm - past);
    edge_row(&r, "edge_caudal_area_stenosis_pct", r.to_mm + past,
             r.to_mm + EDGE_MM);
    return !ferror(out);
}
