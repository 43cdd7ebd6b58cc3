/*
 * breathing.c - the ripple that a resampled profile may have.
 *
 * A ripple that is likely is in every round; its strength and phase are known
 * to half of its strength, as most of its cycles are (breath.c), and what is
 * left of it is drawn evenly from that; in stretches where it was not seen,
 * from its whole strength. Where none is likely, one may be there
 * that noise hides: evenly from none to what would be seen in half of such
 * pullbacks (ripple.h), and no more than SWING_MOST; of a period that people
 * breathe in at rest, 10 to 20 a minute, or, where the time of frames is not
 * known, of any that could be seen.
 */
#include "assess/breathing.h"

#include "base/constants.h"

#include <math.h>

/* Peak to trough; our own measure, as the strongest of invented vessels. */
#define SWING_MOST 0.15
#define PERIOD_LEAST_S 3.0
#define PERIOD_MOST_S 6.0
#define WAVELENGTH_MOST_MM 60.0
/* Of a likely ripple's strength, where it was seen: most of its cycles are
 * within half of it; where a narrowing and a few cycles are all that was
 * traced, they may be the narrowing's. Where it was not seen it may be of any
 * strength up to one and a half times that. */
#define LEFT_OF_LIKELY 0.5
#define LEFT_OF_FEW 1.0
#define UNSEEN_MOST 1.5
#define FRAMES_LEAST 4.0

typedef struct traced {
    double longest;  /* stretch without gap or narrowing, by the clock */
    double interval; /* of frames */
} traced;

static void take_stretch(const workings *work, size_t first, size_t end,
                         traced *into) {
    if (end > first) {
        const double *clock = work->breath.clock;
        into->longest = fmax(into->longest, clock[end - 1] - clock[first]);
    }
}

/* Frames [first, end) without those between shoulders. */
static void take_healthy(const workings *work, size_t first, size_t end,
                         const bl_narrowing *narrowings, size_t count,
                         traced *into) {
    const bl_profile_point *points = work->profile.points;
    for (size_t i = 0; i < count; i++) {
        bl_span span = narrowings[i].shoulders;
        size_t stop = first;
        while (stop < end && points[stop].position_mm < span.from_mm) {
            stop++;
        }
        take_stretch(work, first, stop, into);
        first = stop;
        while (first < end && points[first].position_mm <= span.to_mm) {
            first++;
        }
    }
    take_stretch(work, first, end, into);
}

static traced traced_of(const workings *work, const bl_narrowing *narrowings,
                        size_t count) {
    const profile *along = &work->profile;
    const double *clock = work->breath.clock;
    traced out = {0.0, 0.0};
    double whole = 0.0;
    size_t steps = 0;
    for (size_t i = 0; i < along->count;) {
        size_t end = profile_stretch_end(along->points, along->count, i);
        take_healthy(work, i, end, narrowings, count, &out);
        whole += clock[end - 1] - clock[i];
        steps += end - i - 1;
        i = end;
    }
    out.interval = steps > 0 ? whole / (double)steps : 0.0;
    return out;
}

static double most_unseen(double period, const traced *of, double frame_share) {
    double frames = period / of->interval;
    double cycles = of->longest / period;
    if (frames < FRAMES_LEAST) {
        return 0.0; /* it scatters frames, and is measured as that */
    }
    return fmin(ripple_unseen_swing(cycles, frames, 0.5 * frame_share),
                SWING_MOST);
}

static void plan_unseen(const workings *work, const traced *of,
                        double frame_share, breath_table *out) {
    bool is_time = work->breath.is_time;
    double least = is_time ? PERIOD_LEAST_S : FRAMES_LEAST * of->interval;
    double most =
        is_time ? PERIOD_MOST_S
                : fmin(WAVELENGTH_MOST_MM, of->longest / BREATH_WINDOW_CYCLES);
    if (!(of->interval > 0.0 && most >= least)) {
        return;
    }
    for (; out->count < BREATH_PERIODS; out->count++) {
        double part = (double)out->count / (BREATH_PERIODS - 1);
        double period = least * pow(most / least, part);
        out->periods[out->count] = period;
        out->swings[out->count] = most_unseen(period, of, frame_share);
    }
}

void breathing_plan(const workings *work, double frame_share,
                    const bl_narrowing *narrowings, size_t narrowing_count,
                    breath_table *out) {
    const ripple_guess *likely = &work->breath.likely;
    traced of = traced_of(work, narrowings, narrowing_count);
    out->count = 0;
    out->likely = likely->swing > 0.0;
    for (size_t i = 0; i < BREATH_ANGLES; i++) {
        out->cosines[i] = cos(2.0 * PI * (double)i / BREATH_ANGLES);
    }
    if (out->likely) {
        out->periods[0] = likely->period;
        out->swings[0] = likely->swing;
        out->count = 1;
        out->left = of.longest < BREATH_WINDOW_CYCLES * likely->period
                        ? LEFT_OF_FEW
                        : LEFT_OF_LIKELY;
    } else {
        plan_unseen(work, &of, frame_share, out);
    }
}

double breathing_most(const breath_table *of) {
    double most = 0.0;
    for (size_t i = 0; i < of->count; i++) {
        most = fmax(most, of->swings[i]);
    }
    return most;
}

breath_draw breathing_take(const breath_table *of, chance *by) {
    double which = chance_even(by);
    double strength = chance_even(by);
    double start = chance_even(by);
    if (of->count == 0) {
        return (breath_draw){.of = of};
    }
    size_t i = (size_t)(which * (double)of->count);
    return (breath_draw){
        .of = of,
        .seen = 0.5 * of->left * strength * of->swings[i],
        .unseen =
            0.5 * (of->likely ? UNSEEN_MOST : 1.0) * strength * of->swings[i],
        .rate = BREATH_ANGLES / of->periods[i],
        .start = BREATH_ANGLES * start,
    };
}

double breathing_at(const breath_draw *now, bool seen, double clock) {
    double swing = seen ? now->seen : now->unseen;
    if (!(swing > 0.0)) {
        return 0.0;
    }
    double angle = now->start + now->rate * clock;
    size_t at = (size_t)(int64_t)floor(angle) % BREATH_ANGLES;
    return swing * now->of->cosines[at];
}

bool breathing_seen(const workings *work, size_t point) {
    double share = work->breath.likely.share[point];
    return share > 0.0 || share < 0.0;
}

double breathing_mean(const breath_draw *now, bool seen, double from,
                      double to) {
    double swing = seen ? now->seen : now->unseen;
    double turn = 2.0 * PI / BREATH_ANGLES;
    double angles = turn * now->rate * (to - from);
    if (!(swing > 0.0) || !(angles > 0.0)) {
        return breathing_at(now, seen, from);
    }
    double start = turn * (now->start + now->rate * from);
    return swing * (sin(start + angles) - sin(start)) / angles;
}

double breathing_likely(const workings *work, size_t point) {
    return work->breath.removed ? 0.0 : work->breath.likely.share[point];
}

bl_status breathing_without(const workings *work, arena *owner, profile *out) {
    const profile *along = &work->profile;
    *out = *along;
    if (work->breath.removed || !(work->breath.likely.swing > 0.0)) {
        return BL_OK;
    }
    out->points = arena_alloc(owner, along->count, sizeof *out->points);
    if (out->points == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < along->count; i++) {
        double wide = 1.0 + breathing_likely(work, i);
        out->points[i] = along->points[i];
        out->points[i].raw_area_mm2 /= wide * wide;
    }
    return BL_OK;
}
