/*
 * ripple.c - breathing ripple in an ungated pullback (our own measure).
 *
 * Trial periods stand closely enough that one is nearly right; the best is the
 * one with most ripple in it, over all stretches. How its arrows turn from
 * cycle to cycle tells what it is off by; the period so mended is measured
 * again, and that is what is told and taken off.
 */
#include "profile/ripple.h"

#include "base/constants.h"
#include "profile/breath.h"
#include "profile/median.h"
#include "profile/profile.h"

#include <math.h>
#include <stdlib.h>

/* Neighbouring trials differ by this factor, or more where there would be more
 * than so many: over seven cycles the nearest keeps in step to a ninth. */
#define TRIAL_RATIO 1.03
#define TRIALS 256
#define MENDED 4 /* times that the best is mended */
#define LEAST_SHARE_PCT 10.0
/* Breathing at 5 to 40 a minute; without times, what that comes to at the
 * usual pullback speeds. */
#define PERIOD_LEAST_S 1.5
#define PERIOD_MOST_S 12.0
#define WAVELENGTH_MOST_MM 60.0

/* All the memory a search takes. */
typedef struct search {
    bl_profile_point *points;
    const double *clock;
    size_t count;
    breath_stretch stretch;
    breath breath;
    double strength[TRIALS];
    double trials[TRIALS];
    size_t trial_count;
    double turn_cosine; /* of the arrows, in a cycle */
    double turn_sine;
    /* Room for `count` each: an estimate stands for two frames at least, a
     * run for many. */
    weighted *swings; /* of the estimates with a ripple */
    size_t swing_count;
    weighted *diameters; /* of the frames with one, without it */
    size_t diameter_count;
    bl_span *spans;
    size_t span_count;
    double cycles; /* in them */
} search;

typedef void (*take)(search *of, size_t first, size_t end);

/* Opens each stretch long enough to hold a ripple and hands it on. */
static void for_stretches(search *of, take what) {
    for (size_t i = 0; i < of->count;) {
        size_t end = profile_stretch_end(of->points, of->count, i);
        if (end - i > BREATH_CYCLES_LEAST * BREATH_FRAMES_LEAST &&
            of->clock[end - 1] > of->clock[i]) {
            breath_open(&of->stretch, of->points + i, of->clock + i, end - i);
            what(of, i, end);
        }
        i = end;
    }
}

/* Sums over the estimates with a ripple; so a long weak one and a short strong
 * one are weighed alike. */
static double strength_of(const breath *of) {
    double strength = 0.0;
    for (size_t h = 0; h < of->hops; h++) {
        strength += of->present[h] ? breath_swing(of, h) * of->period : 0.0;
    }
    return strength;
}

static void take_trials(search *of, size_t first, size_t end) {
    (void)first;
    (void)end;
    for (size_t t = 0; t < of->trial_count; t++) {
        breath_measure(&of->stretch, of->trials[t], &of->breath);
        of->strength[t] += strength_of(&of->breath);
    }
}

static void take_turn(search *of, size_t first, size_t end) {
    (void)first;
    (void)end;
    breath_measure(&of->stretch, of->breath.period, &of->breath);
    breath_add_turn(&of->breath, &of->turn_cosine, &of->turn_sine);
}

/* From the first to the last frame in a run, which holds some. */
static void add_span(search *of, size_t first, size_t end, double from,
                     double to) {
    while (first < end && of->clock[first] < from - EDGE_MM) {
        first++;
    }
    while (end > first && of->clock[end - 1] > to + EDGE_MM) {
        end--;
    }
    if (end - first < 2) {
        return;
    }
    of->spans[of->span_count++] = (bl_span){of->points[first].position_mm,
                                            of->points[end - 1].position_mm};
    for (; first < end; first++) {
        const bl_profile_point *at = &of->points[first];
        double steady = at->equivalent_diameter_mm / (1.0 + at->ripple);
        of->diameters[of->diameter_count++] = (weighted){steady, 1.0};
    }
    of->cycles += (to - from) / of->breath.period;
}

static void take_ripple(search *of, size_t first, size_t end) {
    breath *found = &of->breath;
    breath_measure(&of->stretch, found->period, found);
    breath_add_overtones(found);
    for (size_t i = first; i < end; i++) {
        of->points[i].ripple =
            breath_share_at(&of->stretch, found, of->clock[i]);
    }
    for (size_t h = 0; h < found->hops; h++) {
        size_t stop = breath_run_end(found, h);
        if (stop == h) {
            continue;
        }
        add_span(of, first, end, breath_run_edge(&of->stretch, found, h),
                 breath_run_edge(&of->stretch, found, stop - 1));
        for (; h < stop; h++) {
            of->swings[of->swing_count++] =
                (weighted){breath_swing(found, h), 1.0};
        }
    }
}

static void plan_trials(search *of, bool is_time) {
    double longest = 0.0;
    double least = HUGE_VAL;
    for (size_t i = 0; i < of->count;) {
        size_t end = profile_stretch_end(of->points, of->count, i);
        double length = of->clock[end - 1] - of->clock[i];
        if (end - i > BREATH_CYCLES_LEAST * BREATH_FRAMES_LEAST) {
            longest = fmax(longest, length);
            least = fmin(least, (double)BREATH_FRAMES_LEAST * length /
                                    (double)(end - i - 1));
        }
        i = end;
    }
    least = fmax(least, is_time ? PERIOD_LEAST_S : 0.0);
    double most = fmin(longest / (double)BREATH_CYCLES_LEAST,
                       is_time ? PERIOD_MOST_S : WAVELENGTH_MOST_MM);
    if (!(least > 0.0 && most >= least)) {
        return;
    }
    double ratio = fmax(TRIAL_RATIO, pow(most / least, 1.0 / (TRIALS - 1)));
    for (; of->trial_count < TRIALS && least <= most; least *= ratio) {
        of->trials[of->trial_count++] = least;
    }
}

/* The best trial, mended; 0 when none has a ripple. */
static double find_period(search *of) {
    for_stretches(of, take_trials);
    size_t best = 0;
    for (size_t t = 1; t < of->trial_count; t++) {
        best = of->strength[t] > of->strength[best] ? t : best;
    }
    if (of->trial_count == 0 || !(of->strength[best] > 0.0)) {
        return 0.0;
    }
    double period = of->trials[best];
    for (unsigned i = 0; i < MENDED; i++) {
        of->breath.period = period;
        of->turn_cosine = 0.0;
        of->turn_sine = 0.0;
        for_stretches(of, take_turn);
        period /= 1.0 - atan2(of->turn_sine, of->turn_cosine) / (2.0 * PI);
    }
    return period;
}

static void say(search *of, bool is_time, bl_ripple *out) {
    double share =
        median_weighted_quantile(of->swings, of->swing_count, 0.5) * 100.0;
    if (!(share >= LEAST_SHARE_PCT)) {
        return;
    }
    double length = 0.0;
    for (size_t i = 0; i < of->span_count; i++) {
        length += of->spans[i].to_mm - of->spans[i].from_mm;
    }
    out->found = true;
    out->period_s = is_time ? of->breath.period : UNKNOWN;
    out->wavelength_mm = length / of->cycles;
    out->share_of_diameter_pct = share;
    out->peak_to_trough_mm =
        share / 100.0 *
        median_weighted_quantile(of->diameters, of->diameter_count, 0.5);
    out->stretches = of->spans;
    out->stretch_count = of->span_count;
}

static void find(search *of, bool is_time, bl_ripple *out) {
    plan_trials(of, is_time);
    double period = find_period(of);
    if (period > 0.0) {
        of->breath.period = period;
        for_stretches(of, take_ripple);
        say(of, is_time, out);
    }
}

bl_status ripple_find(bl_profile_point *points, size_t count,
                      const double *clock, bool is_time, arena *owner,
                      bl_ripple *out) {
    *out = (bl_ripple){.wavelength_mm = UNKNOWN,
                       .period_s = UNKNOWN,
                       .peak_to_trough_mm = UNKNOWN,
                       .share_of_diameter_pct = UNKNOWN};
    search *of = calloc(1, sizeof *of);
    weighted *pairs = calloc(2 * count + 1, sizeof *pairs);
    bl_span *spans = arena_alloc(owner, count, sizeof *spans);
    bool failed = of == NULL || pairs == NULL || spans == NULL;
    if (!failed) {
        of->points = points;
        of->clock = clock;
        of->count = count;
        of->swings = pairs;
        of->diameters = pairs + count;
        of->spans = spans;
        find(of, is_time, out);
    }
    for (size_t i = 0; i < count && !out->found; i++) {
        points[i].ripple = 0.0;
    }
    free(pairs);
    free(of);
    return failed ? BL_ERR_MEMORY : BL_OK;
}
