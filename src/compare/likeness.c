/*
 * likeness.c - where two profiles of one vein agree best.
 *
 * What is held against each other is 100 ln of the equivalent diameter, each
 * side of the treated stretch about its own mean: a vein that is fuller today
 * or scaled wrongly has the same shape, and one that narrowed beside a device
 * narrowed on that side. The measure is the mean square of the differences over
 * the variance of the profiles: 0 is alike, 1 not related at all (1 - Pearson's
 * correlation, where both vary alike). A search goes over all shifts at which
 * enough overlaps, then walks down from the best, by least squares, in steps
 * that are halved.
 *
 * The interval is that of a likelihood ratio: mean squares up to 1 + 3.84 / n
 * times the least (chi-square with one degree of freedom, 95 %: Wilks 1938,
 * from memory), where n counts one difference every 5 mm, since what disturbs
 * neighbouring frames is alike, less the three numbers that are fitted. The
 * bounds of what is refused are our own.
 */
#include "compare/likeness.h"

#include "base/constants.h"

#include <math.h>
#include <stdlib.h>

#define STEP_MM 0.5
#define WIDE_MM 3.0 /* that profiles are averaged over */
#define WIDE_STEPS 3
#define SAMPLES_MOST 800
#define FINE_MM 0.1
#define FINE_MOST 16000
#define SHIFTS_MOST 1200
#define WALK_MM 1.0    /* from one shift that is tried to the next, at least */
#define SCALE_LEAST 80 /* hundredths */
#define SCALE_MOST 126
#define COMPARED_LEAST_MM 20.0
#define COMPARED_SHARE 0.75 /* of the most at any shift */
#define SCALE_STEP 2
#define NOTHING 2.0
#define SETTLED_MM 1e-5
#define APART_MM                                                               \
    5.0                    /* that another shift is, and differences that are  \
                              independent of each other */
#define UNLIKE_SCALED 0.25 /* with a scale chance finds more */
#define SECOND_TIMES 2.0
#define BROAD_MM 10.0
#define CHI_95 3.841458820694124
#define REACH_MM 50.0 /* that an interval is followed to */

/* 100 ln of the equivalent diameter, mean over WIDE_MM where both ways alike
 * are traced; NaN in a gap and beyond the ends. */
static double level_at(const trace *of, double at_mm) {
    double level = 50.0 * log(trace_area_mm2(of, at_mm));
    double count = 1.0;
    for (int i = 1; i <= WIDE_STEPS; i++) {
        double away = 0.5 * WIDE_MM * i / WIDE_STEPS;
        double pair = 50.0 * log(trace_area_mm2(of, at_mm - away)) +
                      50.0 * log(trace_area_mm2(of, at_mm + away));
        if (isnan(pair)) {
            break;
        }
        level += pair;
        count += 2.0;
    }
    return level / count;
}

/* ------------------------------------------------------------------ samples */

static bool is_without(const likeness *of, size_t i) {
    double at = of->on_before ? of->x_mm[i] : of->u_mm[i];
    return at >= of->without.from_mm && at <= of->without.to_mm;
}

static int side_of(const likeness *of, size_t i) {
    double at = of->on_before ? of->x_mm[i] : of->u_mm[i];
    return at > of->without.to_mm ? LIKENESS_ABOVE : LIKENESS_BELOW;
}

static bl_status sample_after(const trace *after, arena *owner, likeness *out) {
    bl_span extent = trace_extent(after);
    double length = extent.to_mm - extent.from_mm;
    out->step_mm = fmax(STEP_MM, length / SAMPLES_MOST);
    size_t most = (size_t)(length / out->step_mm) + 1;
    out->u_mm = arena_alloc(owner, most, sizeof *out->u_mm);
    out->x_mm = arena_alloc(owner, most, sizeof *out->x_mm);
    out->level = arena_alloc(owner, most, sizeof *out->level);
    if (out->u_mm == NULL || out->x_mm == NULL || out->level == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < most; i++) {
        double at = extent.from_mm + (double)i * out->step_mm;
        out->u_mm[out->count] = at;
        out->level[out->count] = level_at(after, at);
        out->count += !isnan(out->level[out->count]) &&
                      (out->on_before || !is_without(out, out->count));
    }
    return BL_OK;
}

static bl_status sample_before(const trace *before, arena *owner,
                               likeness *out) {
    bl_span extent = trace_extent(before);
    double length = extent.to_mm - extent.from_mm;
    out->fine_mm = fmax(FINE_MM, length / FINE_MOST);
    out->before_from_mm = extent.from_mm;
    out->before_count = (size_t)(length / out->fine_mm) + 1;
    out->before = arena_alloc(owner, out->before_count, sizeof *out->before);
    if (out->before == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < out->before_count; i++) {
        double at = extent.from_mm + (double)i * out->fine_mm;
        out->before[i] = level_at(before, at);
    }
    return BL_OK;
}

bl_status likeness_open(const trace *before, const trace *after,
                        bl_span without, bool on_before, arena *owner,
                        likeness *out) {
    likeness made = {.without = without, .on_before = on_before};
    bl_status status = sample_after(after, owner, &made);
    if (status == BL_OK) {
        status = sample_before(before, owner, &made);
    }
    if (status != BL_OK) {
        return status;
    }
    double middle = 0.0;
    for (size_t i = 0; i < made.count; i++) {
        middle += made.u_mm[i] / (double)made.count;
    }
    made.line = (likeness_line){middle, 1.0, 0.0};
    *out = made;
    return BL_OK;
}

/* ---------------------------------------------------------------------- fit */

/* NaN in a gap and beyond the ends. */
static double before_at(const likeness *of, double x_mm) {
    double at = (x_mm - of->before_from_mm) / of->fine_mm;
    if (!(at >= 0.0) || at > (double)(of->before_count - 1)) {
        return UNKNOWN;
    }
    size_t i = (size_t)at;
    double part = at - (double)i;
    double next = of->before[i + 1 < of->before_count ? i + 1 : i];
    return part > 0.0 ? of->before[i] + part * (next - of->before[i])
                      : of->before[i];
}

/* Sums of one side, relative to its first pair. */
typedef struct side_sums {
    double n;
    double a0;
    double b0;
    double a;
    double b;
    double aa;
    double bb;
    double dd;
} side_sums;

static void side_add(side_sums *to, double a, double b) {
    if (to->n < 1.0) {
        to->a0 = a;
        to->b0 = b;
    }
    a -= to->a0;
    b -= to->b0;
    to->n += 1.0;
    to->a += a;
    to->b += b;
    to->aa += a * a;
    to->bb += b * b;
    to->dd += (a - b) * (a - b);
}

/* Of the differences, and of both profiles, about their means. */
static double side_difference(const side_sums *of) {
    double mean = of->a - of->b;
    return of->n > 0.0 ? fmax(of->dd - mean * mean / of->n, 0.0) : 0.0;
}

static double side_spread(const side_sums *of) {
    double squares = of->a * of->a + of->b * of->b;
    return of->n > 0.0 ? fmax(of->aa + of->bb - squares / of->n, 0.0) : 0.0;
}

/* NaN of nothing. */
static double side_level(const side_sums *of) {
    return of->a0 - of->b0 + (of->a - of->b) / of->n;
}

/* x_mm is set. */
static likeness_fit fit_placed(const likeness *of, int sides) {
    side_sums sums[2] = {0};
    for (size_t i = 0; i < of->count; i++) {
        int side = side_of(of, i);
        if ((sides & side) == 0 || (of->on_before && is_without(of, i))) {
            continue;
        }
        double before = before_at(of, of->x_mm[i]);
        if (!isnan(before)) {
            side_add(&sums[side - 1], of->level[i], before);
        }
    }
    double n = sums[0].n + sums[1].n;
    double difference = side_difference(&sums[0]) + side_difference(&sums[1]);
    double spread = side_spread(&sums[0]) + side_spread(&sums[1]);
    return (likeness_fit){
        .compared_mm = n * of->step_mm,
        .difference_pct = sqrt(difference / n),
        .spread_pct = sqrt(0.5 * spread / n),
        .side_mm = {sums[0].n * of->step_mm, sums[1].n * of->step_mm},
        .level = {side_level(&sums[0]), side_level(&sums[1])},
    };
}

likeness_fit likeness_as_aligned(likeness *of, const bl_alignment *by) {
    for (size_t i = 0; i < of->count; i++) {
        double own = by->turned ? -of->u_mm[i] : of->u_mm[i];
        of->x_mm[i] = bl_alignment_before_mm(by, own);
    }
    return fit_placed(of, LIKENESS_BOTH);
}

likeness_fit likeness_by(likeness *of, const likeness_line *line, int sides) {
    for (size_t i = 0; i < of->count; i++) {
        of->x_mm[i] = line->middle_mm + line->shift_mm +
                      line->scale * (of->u_mm[i] - line->middle_mm);
    }
    return fit_placed(of, sides);
}

/* ------------------------------------------------------------------- search */

/* Mean square of the differences over the variances of both; NOTHING where too
 * little is compared, 1 where neither varies. */
static double unlike(const likeness_fit *fit, double least_mm) {
    if (!(fit->compared_mm >= least_mm)) {
        return NOTHING;
    }
    double ratio = fit->difference_pct / fit->spread_pct;
    return isnan(ratio) ? 1.0 : fmin(0.5 * ratio * ratio, 1.5);
}

typedef struct shift_search {
    likeness *in;
    int sides;
    double least_mm;
    double from_mm; /* shifts that are tried */
    double walk_mm;
    size_t shifts;
    double *unlike; /* of each */
} shift_search;

static double try_line(const shift_search *of, const likeness_line *line) {
    likeness_fit fit = likeness_by(of->in, line, of->sides);
    return unlike(&fit, of->least_mm);
}

/* Least squares: the same but for the variance. */
static double try_difference(const shift_search *of,
                             const likeness_line *line) {
    bool allowed =
        line->scale >= SCALE_LEAST / 100.0 && line->scale <= SCALE_MOST / 100.0;
    likeness_fit fit = likeness_by(of->in, line, of->sides);
    return allowed && fit.compared_mm >= of->least_mm ? fit.difference_pct
                                                      : HUGE_VAL;
}

/* Walks downhill by steps that are halved. */
static void polish(const shift_search *of, bool scaled, likeness_line *line) {
    static const int shifts[] = {1, -1, 0, 0, 1, 1, -1, -1};
    static const int scales[] = {0, 0, 1, -1, 1, -1, 1, -1};
    double best = try_difference(of, line);
    double reach = 0.5 * of->in->step_mm * (double)of->in->count;
    for (double step = 0.5 * of->walk_mm; step > SETTLED_MM;) {
        double before = best;
        for (int turn = 0; turn < (scaled ? 8 : 2); turn++) {
            likeness_line next = *line;
            next.shift_mm += step * shifts[turn];
            next.scale += step / reach * scales[turn];
            double value = try_difference(of, &next);
            if (value < best) {
                best = value;
                *line = next;
            }
        }
        step = best < before ? step : 0.5 * step;
    }
}

static double shift_at(const shift_search *of, size_t i) {
    return of->from_mm + (double)i * of->walk_mm;
}

/* The best of the shifts at one scale. */
static double best_shift(const shift_search *of, double scale, double *values,
                         likeness_line *out) {
    double best = HUGE_VAL;
    likeness_line line = of->in->line;
    line.scale = scale;
    for (size_t i = 0; i < of->shifts; i++) {
        line.shift_mm = shift_at(of, i);
        double value = try_line(of, &line);
        if (values != NULL) {
            values[i] = value;
        }
        if (value < best) {
            best = value;
            *out = line;
        }
    }
    return best;
}

/* The longest that can be compared at any shift. */
static double most_compared(const shift_search *of) {
    likeness_line line = of->in->line;
    double most = 0.0;
    for (size_t i = 0; i < of->shifts; i++) {
        line.shift_mm = shift_at(of, i);
        likeness_fit fit = likeness_by(of->in, &line, of->sides);
        most = fmax(most, fit.compared_mm);
    }
    return most;
}

static bool search_open(likeness *of, int sides, shift_search *out) {
    *out = (shift_search){.in = of, .sides = sides};
    if (of->count == 0) {
        return false;
    }
    double to = of->before_from_mm +
                of->fine_mm * (double)(of->before_count - 1) - of->u_mm[0];
    out->from_mm = of->before_from_mm - of->u_mm[of->count - 1];
    out->walk_mm = fmax(WALK_MM, (to - out->from_mm) / SHIFTS_MOST);
    out->shifts = (size_t)((to - out->from_mm) / out->walk_mm) + 1;
    out->unlike = calloc(out->shifts, sizeof *out->unlike);
    out->least_mm =
        fmax(COMPARED_LEAST_MM, COMPARED_SHARE * most_compared(out));
    return out->unlike != NULL;
}

/* Differences that are independent of each other, less what is fitted: a shift
 * and the mean of either side. */
static double independent(const likeness_fit *of) {
    return fmax(of->compared_mm / APART_MM - 3.0, 1.0);
}

/* How far from the best the shift may go on one side. */
static double reach_of(const shift_search *of, const likeness_found *found,
                       double direction) {
    double bound = found->fit.difference_pct *
                   sqrt(1.0 + CHI_95 / independent(&found->fit));
    likeness_line line = found->line;
    double step = 0.05;
    double reach = 0.0;
    while (reach < REACH_MM) {
        line.shift_mm = found->line.shift_mm + direction * (reach + step);
        likeness_fit fit = likeness_by(of->in, &line, of->sides);
        if (!(fit.difference_pct <= bound)) {
            break;
        }
        reach += step;
    }
    return reach;
}

/* The lowest of the other valleys; a slope of the best one's is none. */
static void find_next(const shift_search *of, likeness_found *out) {
    const double *v = of->unlike;
    double lowest = NOTHING;
    out->next_shift_mm = UNKNOWN;
    out->next = (likeness_fit){
        .difference_pct = UNKNOWN,
        .spread_pct = UNKNOWN,
        .level = {UNKNOWN, UNKNOWN},
    };
    likeness_line line = out->line;
    for (size_t i = 0; i < of->shifts; i++) {
        bool valley = (i == 0 || v[i] <= v[i - 1]) &&
                      (i + 1 == of->shifts || v[i] <= v[i + 1]);
        double away = fabs(shift_at(of, i) - out->line.shift_mm);
        if (valley && away >= APART_MM && v[i] < lowest) {
            lowest = v[i];
            line.shift_mm = shift_at(of, i);
        }
    }
    if (lowest < NOTHING) {
        polish(of, false, &line);
        bool apart = fabs(line.shift_mm - out->line.shift_mm) >= APART_MM;
        out->next_shift_mm = apart ? line.shift_mm : UNKNOWN;
        out->next = apart ? likeness_by(of->in, &line, of->sides) : out->next;
    }
}

static bool search_run(const shift_search *of, bool scaled,
                       likeness_found *out) {
    likeness_line line = of->in->line;
    double best = best_shift(of, 1.0, of->unlike, &line);
    for (int s = SCALE_LEAST; scaled && s <= SCALE_MOST; s += SCALE_STEP) {
        likeness_line other = line;
        double value = best_shift(of, s / 100.0, NULL, &other);
        if (value < best) {
            best = value;
            line = other;
        }
    }
    if (!(best < NOTHING)) {
        return false;
    }
    polish(of, scaled, &line);
    likeness_found found = {.scaled = scaled,
                            .line = line,
                            .fit = likeness_by(of->in, &line, of->sides)};
    if (scaled) {
        (void)best_shift(of, line.scale, of->unlike, &line);
    }
    found.shift_mm = (bl_interval){
        found.line.shift_mm - reach_of(of, &found, -1.0),
        found.line.shift_mm + reach_of(of, &found, 1.0),
    };
    find_next(of, &found);
    *out = found;
    return true;
}

bool likeness_search(likeness *of, int sides, bool scaled, likeness_found *out,
                     bl_status *status) {
    shift_search search;
    bool any = search_open(of, sides, &search);
    *status = any || of->count == 0 ? BL_OK : BL_ERR_MEMORY;
    any = any && search_run(&search, scaled, out);
    free(search.unlike);
    return any;
}

likeness_doubt likeness_judge(const likeness_found *of) {
    if (!(of->fit.spread_pct >= SPREAD_LEAST_PCT)) {
        return LIKENESS_EVEN;
    }
    double ratio = of->fit.difference_pct / of->fit.spread_pct;
    if (!(ratio <= (of->scaled ? UNLIKE_SCALED : UNLIKE_MOST))) {
        return LIKENESS_POOR;
    }
    if (of->next.difference_pct / of->next.spread_pct < SECOND_TIMES * ratio) {
        return LIKENESS_SECOND;
    }
    return of->shift_mm.high - of->shift_mm.low <= BROAD_MM ? LIKENESS_SURE
                                                            : LIKENESS_BROAD;
}
