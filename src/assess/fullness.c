/*
 * fullness.c - where the vein is as wide as the vein beside it says it should
 * be.
 *
 * Disease narrows, and comes and goes gradually: the flank of a lesion is vein
 * above the shoulder level, steady and round, and is diseased. What tells it is
 * wider vein beside it. Healthy vein is no narrower than the vein caudal of it,
 * and no narrower than what the vein cranial of it tapers to. By how much a
 * frame falls short of the wider of these, in its part, is its shortfall. A
 * frame is full when the mean shortfall of the vein on either side of it, over
 * BESIDE_MM, is about that of the fullest vein of the part: that the widest of
 * many noisy frames reads high does not count then. About is FULL_SHARE and
 * what such stretches differ by from their neighbours in most of the pullback,
 * by noise and breath. All limits are our own measures.
 */
#include "assess/search.h"

#include "base/constants.h"
#include "profile/median.h"

#include <math.h>

#define BESIDE_MM 5.0
/* Where one vein passes into another there is no telling. */
#define BORDER_MM 3.0

typedef struct frames_of {
    size_t first;
    size_t end; /* one past the last */
} frames_of;

/* The frames of a part that are not at its borders. */
static frames_of part_frames(const search *in, size_t part) {
    const profile *along = &in->work->profile;
    bl_span span = in->parts.parts[part];
    frames_of out = {profile_lower_bound(along, span.from_mm + BORDER_MM), 0};
    out.end = out.first;
    while (out.end < along->count &&
           along->points[out.end].position_mm <= span.to_mm - BORDER_MM) {
        out.end++;
    }
    return out;
}

/* Raises wide_mm to the widest clear frame so far, going from one end of the
 * part to the other, less the taper on the way. */
static void raise_to_widest(const search *in, frames_of of, bool backwards,
                            double taper_per_mm, double *wide_mm) {
    const bl_profile_point *points = in->work->profile.points;
    double widest = 0.0;
    size_t last = backwards ? of.end - 1 : of.first;
    for (size_t k = 0; k < of.end - of.first; k++) {
        size_t i = backwards ? of.end - 1 - k : of.first + k;
        widest -= taper_per_mm *
                  fabs(points[i].position_mm - points[last].position_mm);
        if (in->clear[i]) {
            widest = fmax(widest, points[i].equivalent_diameter_mm);
        }
        wide_mm[i] = fmax(wide_mm[i], widest);
        last = i;
    }
}

/* Running sums of the shortfall, sum[i] over the frames before i. */
static void add_shortfalls(const search *in, const double *wide_mm,
                           double *sum) {
    const profile *along = &in->work->profile;
    sum[0] = 0.0;
    for (size_t i = 0; i < along->count; i++) {
        double d = along->points[i].equivalent_diameter_mm;
        double lacks = wide_mm[i] > d ? 1.0 - d / wide_mm[i] : 0.0;
        sum[i + 1] = sum[i] + lacks;
    }
}

static double mean_of(const double *sum, size_t first, size_t last) {
    return (sum[last + 1] - sum[first]) / (double)(last - first + 1);
}

/* The least mean shortfall of clear vein long enough for a reference. */
static double least_shortfall(const search *in, frames_of of,
                              const double *sum) {
    const bl_profile_point *points = in->work->profile.points;
    double least = HUGE_VAL;
    size_t first = of.first;
    for (size_t last = of.first; last < of.end; last++) {
        if (!in->clear[last]) {
            first = last + 1;
            continue;
        }
        first = points[last].after_gap ? last : first;
        while (first < last &&
               points[last].position_mm - points[first + 1].position_mm >=
                   REFERENCE_MM) {
            first++;
        }
        if (points[last].position_mm - points[first].position_mm >=
            REFERENCE_MM) {
            least = fmin(least, mean_of(sum, first, last));
        }
    }
    return least;
}

static void mark_part(const search *in, frames_of of, const double *sum,
                      double allowed, bool *full) {
    const bl_profile_point *points = in->work->profile.points;
    size_t before = of.first;
    size_t after = of.first;
    for (size_t i = of.first; i < of.end; i++) {
        double x = points[i].position_mm;
        before = points[i].after_gap ? i : before;
        while (points[before].position_mm < x - BESIDE_MM) {
            before++;
        }
        after = after < i ? i : after;
        while (after + 1 < of.end && !points[after + 1].after_gap &&
               points[after + 1].position_mm <= x + BESIDE_MM) {
            after++;
        }
        full[i] = mean_of(sum, before, i) <= allowed &&
                  mean_of(sum, i, after) <= allowed;
    }
}

/* By how much the mean diameters of neighbouring stretches of BESIDE_MM differ
 * in most of the pullback, as a share, made the deviation of one. */
static double wander_of(const search *in, const double *total,
                        double *differences) {
    const profile *along = &in->work->profile;
    const bl_profile_point *points = along->points;
    size_t before = 0;
    size_t after = 0;
    size_t held = 0;
    for (size_t i = 1; i < along->count; i++) {
        double x = points[i].position_mm;
        while (points[before].position_mm < x - BESIDE_MM) {
            before++;
        }
        while (after + 1 < along->count &&
               points[after + 1].position_mm <= x + BESIDE_MM) {
            after++;
        }
        if (before > 0 && before < i && after > i && after + 1 < along->count) {
            double a = mean_of(total, before, i - 1);
            double b = mean_of(total, i, after);
            differences[held++] = fabs(a - b) / (0.5 * (a + b));
        }
    }
    /* Too short a pullback tells nothing of it. */
    return held == 0
               ? 0.0
               : DEVIATION_OF_MEDIAN * median_of(differences, held) / sqrt(2.0);
}

bl_status fullness_mark(const search *in, const double *total, bool *full) {
    size_t count = in->work->profile.count;
    arena *owner = in->work->owner;
    double *wide_mm = arena_alloc(owner, count, sizeof *wide_mm);
    double *sum = arena_alloc(owner, count + 1, sizeof *sum);
    double *differences = arena_alloc(owner, count, sizeof *differences);
    if (wide_mm == NULL || sum == NULL || differences == NULL) {
        return BL_ERR_MEMORY;
    }
    double wander = wander_of(in, total, differences);
    bool caudally = in->work->pullback->travel == BL_END_CAUDAL;
    for (size_t i = 0; i < in->parts.count; i++) {
        if (in->parts.begins[i] == DIVISION_CUT) {
            continue;
        }
        frames_of of = part_frames(in, i);
        raise_to_widest(in, of, caudally, 0.0, wide_mm);
        raise_to_widest(in, of, !caudally, TAPER_UNKNOWN_PER_MM, wide_mm);
    }
    add_shortfalls(in, wide_mm, sum);
    for (size_t i = 0; i < in->parts.count; i++) {
        if (in->parts.begins[i] == DIVISION_CUT) {
            continue;
        }
        frames_of of = part_frames(in, i);
        double allowed = least_shortfall(in, of, sum) + FULL_SHARE + wander;
        mark_part(in, of, sum, allowed, full);
    }
    return BL_OK;
}
