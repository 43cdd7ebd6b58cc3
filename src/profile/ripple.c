/*
 * ripple.c - breathing ripple in an ungated pullback (our own measure).
 *
 * The diameter is brought to an even grid. For each trial wavelength the
 * stretch is cut into whole cycles, and each cycle is projected on one sine
 * and cosine of that wavelength after its own straight trend is taken off. A
 * ripple shows as a like amplitude in most cycles (the median is taken, so a
 * narrowing over less than half of them does not count) and as a phase that
 * stays the same from one cycle to the next. Wavelengths twice or half the
 * true one fail: twice projects to nothing, half turns the phase by 180
 * degrees each time.
 */
#include "profile/ripple.h"

#include "base/constants.h"
#include "profile/median.h"
#include "profile/profile.h"

#include <math.h>
#include <stdlib.h>

#define GRID_MAX 2048
#define LEAST_CYCLES ((size_t)4)
#define LEAST_SAMPLES ((size_t)8) /* in a cycle */
#define TRIALS 160
/* Mean cosine of the phase step between neighbouring cycles. */
#define LEAST_COHERENCE 0.7
#define LEAST_SHARE_PCT 10.0
/* Breathing at 5 to 40 a minute; without a known speed, what that comes to at
 * the usual pullback speeds. */
#define PERIOD_LEAST_S 1.5
#define PERIOD_MOST_S 12.0
#define WAVELENGTH_MOST_MM 60.0

typedef struct grid {
    double diameter_mm[GRID_MAX];
    weighted sorted[GRID_MAX];
    size_t count;
    double step_mm;
} grid;

static void longest_stretch(const bl_profile_point *points, size_t count,
                            size_t *first, size_t *end) {
    double longest = -1.0;
    for (size_t i = 0; i < count;) {
        size_t stop = profile_stretch_end(points, count, i);
        double length = points[stop - 1].position_mm - points[i].position_mm;
        if (length > longest) {
            longest = length;
            *first = i;
            *end = stop;
        }
        i = stop;
    }
}

static void grid_fill(grid *out, const bl_profile_point *points, size_t count) {
    double start = points[0].position_mm;
    double length = points[count - 1].position_mm - start;
    out->count = count < GRID_MAX ? count : GRID_MAX;
    out->step_mm = length / (double)(out->count - 1);
    size_t at = 0;
    for (size_t i = 0; i < out->count; i++) {
        double x = start + out->step_mm * (double)i;
        while (at + 2 < count && points[at + 1].position_mm < x) {
            at++;
        }
        double span = points[at + 1].position_mm - points[at].position_mm;
        double part = span > 0.0 ? (x - points[at].position_mm) / span : 0.0;
        part = fmin(fmax(part, 0.0), 1.0);
        out->diameter_mm[i] = points[at].equivalent_diameter_mm * (1.0 - part) +
                              points[at + 1].equivalent_diameter_mm * part;
    }
}

/* Amplitude and phase of one cycle about its own straight trend, which runs
 * from its first sample to the first of the next cycle: a pure ripple has the
 * same phase at both. */
static void cycle_project(const double *d, size_t samples, double *c,
                          double *s) {
    double slope = (d[samples] - d[0]) / (double)samples;
    double cosine = 0.0;
    double sine = 0.0;
    for (size_t i = 0; i < samples; i++) {
        double level = d[i] - slope * (double)i;
        double angle = 2.0 * PI * (double)i / (double)samples;
        cosine += level * cos(angle);
        sine += level * sin(angle);
    }
    *c = 2.0 * cosine / (double)samples;
    *s = 2.0 * sine / (double)samples;
}

/* Peak to trough and coherence at a wavelength of `samples` grid steps. */
static double trial(grid *of, size_t samples, double *coherence) {
    size_t cycles = (of->count - 1) / samples;
    double c_before = 0.0;
    double s_before = 0.0;
    double agree = 0.0;
    for (size_t k = 0; k < cycles; k++) {
        double c;
        double s;
        cycle_project(of->diameter_mm + k * samples, samples, &c, &s);
        double size = sqrt(c * c + s * s);
        of->sorted[k] = (weighted){size, 1.0};
        if (k > 0) {
            double both =
                size * sqrt(c_before * c_before + s_before * s_before);
            agree += both > 0.0 ? (c * c_before + s * s_before) / both : 0.0;
        }
        c_before = c;
        s_before = s;
    }
    *coherence = agree / (double)(cycles - 1);
    return 2.0 * median_weighted_quantile(of->sorted, cycles, 0.5);
}

static bool is_breathing(double wavelength_mm, double speed_mm_per_s) {
    if (isnan(speed_mm_per_s)) {
        return wavelength_mm <= WAVELENGTH_MOST_MM;
    }
    double period = wavelength_mm / speed_mm_per_s;
    return period >= PERIOD_LEAST_S && period <= PERIOD_MOST_S;
}

static void search(grid *of, double speed_mm_per_s, bl_ripple *out) {
    for (size_t i = 0; i < of->count; i++) {
        of->sorted[i] = (weighted){of->diameter_mm[i], 1.0};
    }
    double typical = median_weighted_quantile(of->sorted, of->count, 0.5);
    size_t longest = (of->count - 1) / LEAST_CYCLES;
    double ratio = pow((double)longest / LEAST_SAMPLES, 1.0 / (double)TRIALS);
    double wanted = LEAST_SAMPLES;
    double best = 0.0;
    size_t tried = 0;
    for (int t = 0; t <= TRIALS; t++, wanted *= ratio) {
        size_t samples = (size_t)(wanted + 0.5);
        if (samples == tried || samples > longest ||
            !is_breathing((double)samples * of->step_mm, speed_mm_per_s)) {
            continue;
        }
        tried = samples;
        double coherence;
        double swing = trial(of, samples, &coherence);
        double share = 100.0 * swing / typical;
        if (coherence < LEAST_COHERENCE || share < LEAST_SHARE_PCT ||
            swing * coherence <= best) {
            continue;
        }
        best = swing * coherence;
        out->found = true;
        out->wavelength_mm = (double)samples * of->step_mm;
        out->period_s = out->wavelength_mm / speed_mm_per_s;
        out->peak_to_trough_mm = swing;
        out->share_of_diameter_pct = share;
    }
}

bl_status ripple_find(const bl_profile_point *points, size_t count,
                      double speed_mm_per_s, bl_ripple *out) {
    *out = (bl_ripple){.wavelength_mm = UNKNOWN,
                       .period_s = UNKNOWN,
                       .peak_to_trough_mm = UNKNOWN,
                       .share_of_diameter_pct = UNKNOWN};
    size_t first = 0;
    size_t end = 0;
    longest_stretch(points, count, &first, &end);
    if (end - first <= LEAST_CYCLES * LEAST_SAMPLES ||
        !(points[end - 1].position_mm > points[first].position_mm)) {
        return BL_OK;
    }
    grid *even = malloc(sizeof *even);
    if (even == NULL) {
        return BL_ERR_MEMORY;
    }
    grid_fill(even, points + first, end - first);
    search(even, speed_mm_per_s, out);
    free(even);
    return BL_OK;
}
