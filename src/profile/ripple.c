/*
 * ripple.c - breathing ripple in an ungated pullback (our own measure).
 *
 * Trial periods stand closely enough that one is nearly right; the best is the
 * one with most ripple in it, over all stretches. How its arrows turn from
 * cycle to cycle tells what it is off by; the period so mended is measured
 * again, and that is what is told and taken off. Once a period is known, a
 * stretch need not be told from chance at every other.
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
/* The level of a false alarm, shared by as many independent frequencies as are
 * searched (Scargle, Astrophys J 1982;263:835-53, from memory). What passes by
 * chance is more, since medians stand for means and places are looked at too:
 * tests/unit/ripple_test.c counts it. */
#define FALSE_ALARM 0.0003
/* What is found is claimed; what is guessed only makes an estimate better, and
 * may be wrong more often. */
static const breath_limits FOUND = {
    .least_swing = 0.06, .frames_least = 8.0, .chance_most = FALSE_ALARM};
static const breath_limits GUESSED = {
    .least_swing = 0.02, .frames_least = 4.0, .chance_most = 0.01};
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
    breath_limits whole;
    breath_limits trial; /* with the chance of one trial */
    /* Room for `count` each: an estimate stands for a frame at least, a run for
     * many. */
    weighted *turns; /* of the arrows, in a cycle */
    size_t turn_count;
    weighted *swings; /* of the estimates with a ripple; where turns were */
    size_t swing_count;
    weighted *diameters; /* of the frames with one, without it */
    size_t diameter_count;
    bl_span *spans;
    size_t span_count;
    double cycles; /* in them */
} search;

typedef void (*take)(search *of, size_t first, size_t end);

static bool may_ripple(const search *of, size_t first, size_t end) {
    return (double)(end - first) >
               (double)BREATH_CYCLES_LEAST * of->whole.frames_least &&
           of->clock[end - 1] > of->clock[first];
}

/* Opens each stretch long enough to hold a ripple and hands it on. */
static void for_stretches(search *of, take what) {
    for (size_t i = 0; i < of->count;) {
        size_t end = profile_stretch_end(of->points, of->count, i);
        if (may_ripple(of, i, end)) {
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
        breath_measure(&of->stretch, of->trials[t], &of->trial, &of->breath);
        of->strength[t] += strength_of(&of->breath);
    }
}

static void take_turn(search *of, size_t first, size_t end) {
    (void)first;
    (void)end;
    breath_measure(&of->stretch, of->breath.period, &of->trial, &of->breath);
    of->turn_count += breath_turns(&of->breath, of->turns + of->turn_count);
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
    breath_measure(&of->stretch, found->period, &of->whole, found);
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
    double whole = 0.0;
    double least = HUGE_VAL;
    for (size_t i = 0; i < of->count;) {
        size_t end = profile_stretch_end(of->points, of->count, i);
        double length = of->clock[end - 1] - of->clock[i];
        if (may_ripple(of, i, end)) {
            longest = fmax(longest, length);
            whole += length;
            least = fmin(least, of->whole.frames_least * length /
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
    double frequencies = fmax(whole / least - whole / most, 1.0);
    of->trial.chance_most = of->whole.chance_most / frequencies;
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
        of->turn_count = 0;
        for_stretches(of, take_turn);
        /* The median, since a narrowing turns some arrows. */
        double turn = median_weighted_quantile(of->turns, of->turn_count, 0.5);
        period /= isnan(turn) ? 1.0 : 1.0 - turn / (2.0 * PI);
    }
    return period;
}

static double swing_of(search *of) {
    return median_weighted_quantile(of->swings, of->swing_count, 0.5);
}

static void say(search *of, bool is_time, bl_ripple *out) {
    double share = swing_of(of) * 100.0;
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

/* Sets the ripple of every point; false when there is none. */
static bool measure(search *of, const breath_limits *limits, bool is_time) {
    of->whole = *limits;
    of->trial = *limits;
    of->trial_count = 0;
    for (size_t t = 0; t < TRIALS; t++) {
        of->strength[t] = 0.0;
    }
    for (size_t i = 0; i < of->count; i++) {
        of->points[i].ripple = 0.0;
    }
    plan_trials(of, is_time);
    double period = find_period(of);
    of->turn_count = 0;
    of->swing_count = 0;
    of->diameter_count = 0;
    of->span_count = 0;
    of->cycles = 0.0;
    if (period > 0.0) {
        of->breath.period = period;
        for_stretches(of, take_ripple);
    }
    return of->swing_count > 0;
}

static void find(search *of, bool is_time, ripple_guess *guess,
                 bl_ripple *out) {
    bool any = measure(of, &FOUND, is_time);
    if (any) {
        say(of, is_time, out);
    }
    if (guess == NULL) {
        return;
    }
    /* What is nearly enough to be found is a better guess than weaker ones. */
    any = any || measure(of, &GUESSED, is_time);
    guess->swing = any ? swing_of(of) : 0.0;
    guess->period = any ? of->breath.period : UNKNOWN;
    for (size_t i = 0; i < of->count; i++) {
        guess->share[i] = any ? of->points[i].ripple : 0.0;
    }
}

bl_status ripple_find(bl_profile_point *points, size_t count,
                      const double *clock, bool is_time, arena *owner,
                      ripple_guess *guess, bl_ripple *out) {
    *out = (bl_ripple){.wavelength_mm = UNKNOWN,
                       .period_s = UNKNOWN,
                       .peak_to_trough_mm = UNKNOWN,
                       .share_of_diameter_pct = UNKNOWN};
    search *of = calloc(1, sizeof *of);
    weighted *pairs = calloc(2 * count + 1, sizeof *pairs);
    bl_span *spans = arena_alloc(owner, count, sizeof *spans);
    bool failed = of == NULL || pairs == NULL || spans == NULL;
    if (guess != NULL) {
        guess->share = arena_alloc(owner, count, sizeof *guess->share);
        failed = failed || guess->share == NULL;
    }
    if (!failed) {
        of->points = points;
        of->clock = clock;
        of->count = count;
        of->turns = pairs;
        of->swings = pairs;
        of->diameters = pairs + count;
        of->spans = spans;
        find(of, is_time, guess, out);
    }
    for (size_t i = 0; i < count && !out->found; i++) {
        points[i].ripple = 0.0;
    }
    free(pairs);
    free(of);
    return failed ? BL_ERR_MEMORY : BL_OK;
}

/* An arrow of n frames that scatter by s has a mean square of 4 s^2 / n. What
 * passes is where it leaves of itself, as told in breath.c, no more than
 * `left`, which is found by halving. */
double ripple_unseen_swing(double cycles, double frames_a_cycle,
                           double frame_share) {
    if (cycles < BREATH_WINDOW_CYCLES) {
        return HUGE_VAL;
    }
    /* Frequencies that are searched in the same time: periods 8 to 1. */
    double chance_most = GUESSED.chance_most / (2.0 * cycles);
    unsigned ripples = (unsigned)fmax(cycles / BREATH_WINDOW_CYCLES, 1.0);
    double rest = cycles - (double)ripples;
    double low = 0.0;
    double high = 1.0;
    for (int i = 0; i < 40; i++) {
        double middle = 0.5 * (low + high);
        bool passes = breath_chance(middle, rest, ripples) <= chance_most;
        *(passes ? &low : &high) = middle;
    }
    double off = 4.0 * frame_share * frame_share / frames_a_cycle;
    return fmax(2.0 * sqrt(off * (1.0 - low) / low),
                GUESSED.least_swing * (frame_share > 0.0));
}
