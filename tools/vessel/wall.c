/*
 * wall.c - the vessel's wall at a position, without breathing or noise; and how
 * much wider a breath makes it.
 *
 * Every cross-section is an ellipse given by area and aspect ratio: points
 * (a cos t, b sin t). Its area is pi a b and its perimeter the complete
 * elliptic integral, by the arithmetic-geometric mean (Abramowitz and Stegun
 * 17.6). Multiplying the points by 1 + f(t) with a mean-free f multiplies the
 * area by exactly 1 + mean(f^2), because an ellipse is the affine image of a
 * circle; dividing by the root of that makes a wall irregular without changing
 * its area. A flattened wall has a given area and perimeter, which fix the
 * aspect ratio: at constant area the perimeter grows with it.
 */
#include "vessel.h"

#define ASPECT_MAX 1000.0
#define SOLVE_STEPS 60
#define PERIMETER_STEPS 512

uint64_t random_next(uint64_t *state) {
    uint64_t x = *state;
    x ^= x >> 12;
    x ^= x << 25;
    x ^= x >> 27;
    *state = x;
    return x * UINT64_C(2685821657736338717);
}

double random_unit(uint64_t *state) {
    return (double)(random_next(state) >> 11) / 9007199254740992.0;
}

double random_bell(uint64_t *state) {
    double total = 0.0;
    for (int i = 0; i < 4; i++) {
        total += random_unit(state);
    }
    return (total - 2.0) * sqrt(3.0);
}

uint64_t random_start(uint64_t seed) {
    uint64_t state = seed * UINT64_C(0x9E3779B97F4A7C15) + UINT64_C(1);
    for (int i = 0; i < 8; i++) {
        random_next(&state);
    }
    return state;
}

static double ellipse_perimeter(double a, double b) {
    double x = a > b ? a : b;
    double y = a > b ? b : a;
    double lost = 0.5 * (x * x - y * y);
    double major = x;
    double weight = 0.5;
    while (x - y > 1e-15 * x) {
        double half = 0.5 * (x - y);
        weight *= 2.0;
        lost += weight * half * half;
        double mean = 0.5 * (x + y);
        y = sqrt(x * y);
        x = mean;
    }
    return 2.0 * PI * (major * major - lost) / x;
}

static wall ellipse_of(double area, double aspect) {
    double b = sqrt(area / (PI * aspect));
    return (wall){.long_mm = b * aspect, .short_mm = b};
}

/* The aspect ratio at which an ellipse of this area has this perimeter. */
static double ellipse_aspect(double area, double perimeter) {
    double low = 1.0;
    double high = ASPECT_MAX;
    for (int i = 0; i < SOLVE_STEPS; i++) {
        double middle = 0.5 * (low + high);
        wall trial = ellipse_of(area, middle);
        if (ellipse_perimeter(trial.long_mm, trial.short_mm) < perimeter) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}

double hump(double distance, double half) {
    return fabs(distance) >= half ? 0.0
                                  : 0.5 * (1.0 + cos(PI * distance / half));
}

double plateau(double at_mm, double from_mm, double to_mm, double edge_mm) {
    double inside = fmin(at_mm - from_mm, to_mm - at_mm);
    if (inside <= 0.0) {
        return 0.0;
    }
    return inside >= edge_mm ? 1.0 : hump(edge_mm - inside, edge_mm);
}

/* From axis a towards b by a share, the short way round 180 degrees. */
static double axis_turn(double a, double b, double share) {
    double step = fmod(b - a, 180.0);
    if (step > 90.0) {
        step -= 180.0;
    } else if (step < -90.0) {
        step += 180.0;
    }
    return a + step * share;
}

calibre calibre_at(const calibre *of, size_t count, double at_mm) {
    if (at_mm <= of[0].at_mm) {
        return of[0];
    }
    if (at_mm >= of[count - 1].at_mm) {
        return of[count - 1];
    }
    size_t i = 0;
    while (at_mm > of[i + 1].at_mm) {
        i++;
    }
    const calibre *a = &of[i];
    const calibre *b = a + 1;
    double share = (at_mm - a->at_mm) / (b->at_mm - a->at_mm);
    return (calibre){at_mm,
                     a->diameter_mm + (b->diameter_mm - a->diameter_mm) * share,
                     a->aspect + (b->aspect - a->aspect) * share,
                     axis_turn(a->axis_deg, b->axis_deg, share)};
}

double wall_healthy_area(const vessel *of, double at_mm) {
    calibre healthy = calibre_at(of->calibres, of->calibre_count, at_mm);
    return PI * healthy.diameter_mm * healthy.diameter_mm / 4.0;
}

static wall scars_apply(const vessel *of, double at_mm) {
    calibre healthy = calibre_at(of->calibres, of->calibre_count, at_mm);
    double area = PI * healthy.diameter_mm * healthy.diameter_mm / 4.0;
    double aspect = healthy.aspect;
    double irregular = 0.0;
    for (size_t i = 0; i < of->scar_count; i++) {
        const scar *s = &of->scars[i];
        double share = plateau(at_mm, s->from_mm, s->to_mm, s->edge_mm);
        double uneven = s->uneven_pct / 100.0 *
                        sin(2.0 * PI * (at_mm - s->from_mm) / s->every_mm);
        area *= 1.0 - (1.0 - s->left_pct / 100.0) * share;
        area *= 1.0 + uneven * share;
        if (!isnan(s->aspect)) {
            aspect += (s->aspect - aspect) * share;
        }
        irregular = fmax(irregular, s->irregular_pct / 100.0 * share);
    }
    wall out = ellipse_of(area, aspect);
    out.axis_deg = healthy.axis_deg;
    out.irregular = irregular;
    return out;
}

static wall flattening_apply(const flattening *by, wall at, double share) {
    double area = wall_area(&at);
    double perimeter = ellipse_perimeter(at.long_mm, at.short_mm) *
                       (1.0 - (1.0 - by->kept_pct / 100.0) * share);
    wall out;
    if (isnan(by->aspect)) {
        area *= 1.0 - by->loss * share;
        out = ellipse_of(area, ellipse_aspect(area, perimeter));
    } else {
        double aspect = at.long_mm / at.short_mm;
        aspect += (by->aspect - aspect) * share;
        out = ellipse_of(area, aspect);
        double scale = perimeter / ellipse_perimeter(out.long_mm, out.short_mm);
        out.long_mm *= scale;
        out.short_mm *= scale;
    }
    out.axis_deg = isnan(by->axis_deg)
                       ? at.axis_deg
                       : axis_turn(at.axis_deg, by->axis_deg, share);
    out.irregular = at.irregular;
    return out;
}

/* The wall with the first `count` flattenings. */
static wall wall_partly(const vessel *of, double at_mm, size_t count) {
    wall out = scars_apply(of, at_mm);
    for (size_t i = 0; i < count; i++) {
        const flattening *f = &of->flattenings[i];
        double share = hump(at_mm - f->at_mm, f->half_mm);
        if (share > 0.0) {
            out = flattening_apply(f, out, share);
        }
    }
    return out;
}

wall wall_at(const vessel *of, double at_mm) {
    return device_covers(of, at_mm)
               ? device_lumen(of, at_mm)
               : wall_partly(of, at_mm, of->flattening_count);
}

double wall_area(const wall *of) {
    return PI * of->long_mm * of->short_mm;
}

double wall_breath(const vessel *of, double time_s) {
    return 1.0 +
           of->breathing_pct / 100.0 * sin(2.0 * PI * time_s / of->breath_s);
}

double wall_offset(const vessel *of, double at_mm, double t, double *slope) {
    double offset = 0.0;
    *slope = 0.0;
    /* Four cosines of this amplitude have a mean square of one. */
    double amplitude = sqrt(2.0 / WALL_HARMONICS);
    for (int i = 0; i < WALL_HARMONICS; i++) {
        double k = WALL_FIRST_HARMONIC + i;
        double angle = k * t + of->phase[i] + of->drift[i] * at_mm;
        offset += amplitude * cos(angle);
        *slope -= amplitude * k * sin(angle);
    }
    return offset;
}

/* The trapezoid rule over a period, which converges faster than any power. */
static double irregular_perimeter(const vessel *of, const wall *at,
                                  double at_mm) {
    double total = 0.0;
    for (int i = 0; i < PERIMETER_STEPS; i++) {
        double t = 2.0 * PI * i / PERIMETER_STEPS;
        double slope = 0.0;
        double f = 1.0 + at->irregular * wall_offset(of, at_mm, t, &slope);
        slope *= at->irregular;
        double dx = at->long_mm * (slope * cos(t) - f * sin(t));
        double dy = at->short_mm * (slope * sin(t) + f * cos(t));
        total += sqrt(dx * dx + dy * dy);
    }
    return total * 2.0 * PI / PERIMETER_STEPS /
           sqrt(1.0 + at->irregular * at->irregular);
}

double wall_perimeter(const vessel *of, const wall *at, double at_mm) {
    return at->irregular > 0.0 ? irregular_perimeter(of, at, at_mm)
                               : ellipse_perimeter(at->long_mm, at->short_mm);
}

bool wall_prepare(vessel *of) {
    uint64_t state = random_start(of->seed);
    for (int i = 0; i < WALL_HARMONICS; i++) {
        of->phase[i] = 2.0 * PI * random_unit(&state);
        /* Turns once in 25 to 75 mm, so that neighbouring frames agree. */
        of->drift[i] = 2.0 * PI / (25.0 + 50.0 * random_unit(&state));
    }
    for (size_t i = 0; i < of->flattening_count; i++) {
        flattening *f = &of->flattenings[i];
        if (!isnan(f->aspect)) {
            continue;
        }
        wall before = wall_partly(of, f->at_mm, i);
        double perimeter = ellipse_perimeter(before.long_mm, before.short_mm) *
                           f->kept_pct / 100.0;
        double area = isnan(f->left_pct)
                          ? f->area_mm2
                          : wall_area(&before) * f->left_pct / 100.0;
        f->loss = 1.0 - area / wall_area(&before);
        if (area <= 0.0 || 4.0 * PI * area > perimeter * perimeter) {
            fprintf(stderr,
                    "vessel: flattened at %g mm: no wall of %.2f mm encloses "
                    "%g mm2; keep more of it\n",
                    f->at_mm, perimeter, area);
            return false;
        }
    }
    return true;
}
