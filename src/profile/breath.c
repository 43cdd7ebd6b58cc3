/*
 * breath.c - complex demodulation of the calibre (Bloomfield, Fourier Analysis
 * of Time Series, 1976, from memory), made robust.
 *
 * The calibre is averaged in 16 bins a cycle. Its running mean over exactly
 * one cycle has no ripple of that period, nor any overtone, and leaves a taper
 * what it is. What is off that mean, as a share of it, is turned back by the
 * period and averaged over one cycle: a ripple shows as an arrow that stands
 * still, of half its peak-to-trough length. The median arrow of seven cycles
 * is taken, so that a narrowing, which bends the arrows of some two cycles
 * around it, does not count.
 *
 * Any calibre that wanders has arrows; a ripple's stay alike. They are held
 * against their scatter as a periodogram's ordinate against those around it
 * (the ratio of variances of Thomson, Proc IEEE 1982;70:1055-96, from memory).
 *
 * Trials at half or twice the true period fail: at half the arrows turn, at
 * twice they are 0.
 */
#include "profile/breath.h"

#include "base/constants.h"
#include "profile/median.h"

#include <math.h>

#define HALF ((size_t)8) /* of the bins of a cycle */
_Static_assert(2 * HALF == BREATH_BINS, "half a cycle");
/* Estimates in those cycles, with both ends. */
#define WINDOW                                                                 \
    ((size_t)((BREATH_WINDOW_CYCLES - 1) * BREATH_BINS / BREATH_HOP + 1))
_Static_assert(WINDOW <= MEDIAN_FEW, "few enough to sort by insertion");
#define LN2 0.69314718055994530942
/* More than half of the arrows lie within so much of the median's length. */
#define SPREAD_MOST 0.5
/* A period mended to a little more may leave so little less than the least
 * cycles. */
#define SHORT_OF 0.25

/* ---------------------------------------------------------------- calibre */

/* Mean of the line through the points over one cell; *at moves along. */
static double cell_sum(const bl_profile_point *points, const double *clock,
                       size_t count, double from, double to, size_t *at) {
    double sum = 0.0;
    double left = from;
    while (left < to) {
        while (*at + 2 < count && clock[*at + 1] <= left) {
            ++*at;
        }
        double end = clock[*at + 1];
        double right = *at + 2 < count ? fmin(to, end) : to;
        double a = points[*at].equivalent_diameter_mm;
        double b = points[*at + 1].equivalent_diameter_mm;
        double middle = 0.5 * (left + right);
        double span = end - clock[*at];
        double part = span > 0.0 ? (middle - clock[*at]) / span : 1.0;
        sum += (right - left) * (a + (b - a) * fmin(fmax(part, 0.0), 1.0));
        if (!(right > left)) {
            break;
        }
        left = right;
    }
    return sum;
}

void breath_open(breath_stretch *out, const bl_profile_point *points,
                 const double *clock, size_t count) {
    out->from = clock[0];
    out->length = clock[count - 1] - clock[0];
    out->interval = out->length / (double)(count - 1);
    out->cells = count < BREATH_CELLS_MOST / 8 ? 8 * count : BREATH_CELLS_MOST;
    double cell = out->length / (double)out->cells;
    out->total[0] = 0.0;
    size_t at = 0;
    for (size_t i = 0; i < out->cells; i++) {
        double from = out->from + cell * (double)i;
        double sum = cell_sum(points, clock, count, from, from + cell, &at);
        out->total[i + 1] = out->total[i] + sum / cell;
    }
}

static double total_at(const breath_stretch *of, double edge) {
    double at = fmin(fmax(edge, 0.0), (double)of->cells);
    size_t cell = (size_t)at;
    if (cell == of->cells) {
        return of->total[cell];
    }
    double part = at - (double)cell;
    return of->total[cell] + part * (of->total[cell + 1] - of->total[cell]);
}

/* ----------------------------------------------------------------- arrows */

/* The share off the mean of one cycle; near the ends that mean goes on as a
 * straight line. */
static void fill_shares(const breath_stretch *of, breath *out) {
    double width = out->period / BREATH_BINS / of->length * (double)of->cells;
    double before = 0.0;
    for (size_t i = 0; i < out->bins; i++) {
        double total = total_at(of, width * (double)(i + 1));
        out->share[i] = (total - before) / width;
        before = total;
    }
    size_t last = out->bins - 1 - HALF;
    double sum = -0.5 * (out->share[0] + out->share[BREATH_BINS]);
    for (size_t i = 0; i <= BREATH_BINS; i++) {
        sum += out->share[i];
    }
    out->level[HALF] = sum / BREATH_BINS;
    for (size_t i = HALF; i < last; i++) {
        const double *in = out->share;
        sum += 0.5 * (in[i + HALF] + in[i + HALF + 1] - in[i - HALF] -
                      in[i + 1 - HALF]);
        out->level[i + 1] = sum / BREATH_BINS;
    }
    double rise = (out->level[2 * HALF] - out->level[HALF]) / (double)HALF;
    double fall = (out->level[last] - out->level[last - HALF]) / (double)HALF;
    for (size_t i = 0; i < HALF; i++) {
        out->level[i] = out->level[HALF] - rise * (double)(HALF - i);
        out->level[last + 1 + i] = out->level[last] + fall * (double)(i + 1);
    }
    for (size_t i = 0; i < out->bins; i++) {
        out->share[i] = out->share[i] / out->level[i] - 1.0;
    }
}

/* One cycle's arrow around each estimate. A mean over a bin is lower than its
 * middle; `gain` makes up for it. */
static void fill_arrows(breath *out, unsigned tone) {
    double turn = 2.0 * PI * (double)(tone + 1) / BREATH_BINS;
    double gain = 0.5 * turn / sin(0.5 * turn);
    double cosines[BREATH_BINS];
    double sines[BREATH_BINS];
    for (unsigned i = 0; i < BREATH_BINS; i++) {
        cosines[i] = cos(turn * (double)i);
        sines[i] = sin(turn * (double)i);
    }
    for (size_t h = 0; h < out->hops; h++) {
        size_t first = h * BREATH_HOP;
        const double *at = out->share + first;
        /* Both ends of the cycle are at the same angle, and half in it. */
        size_t angle = first % BREATH_BINS;
        double ends = 0.5 * (at[0] + at[BREATH_BINS]);
        double cosine = ends * cosines[angle];
        double sine = ends * sines[angle];
        for (unsigned i = 1; i < BREATH_BINS; i++) {
            angle = (angle + 1) % BREATH_BINS;
            cosine += at[i] * cosines[angle];
            sine += at[i] * sines[angle];
        }
        out->raw_cosine[tone][h] = gain * 2.0 / BREATH_BINS * cosine;
        out->raw_sine[tone][h] = gain * 2.0 / BREATH_BINS * sine;
    }
}

/* The first of the estimates around `hop` whose median is taken. */
static size_t window_first(const breath *of, size_t hop) {
    if (of->hops <= WINDOW || hop < WINDOW / 2) {
        return 0;
    }
    size_t first = hop - WINDOW / 2;
    return first + WINDOW > of->hops ? of->hops - WINDOW : first;
}

static size_t window_size(const breath *of) {
    return of->hops < WINDOW ? of->hops : WINDOW;
}

static void fill_median(breath *out, unsigned tone, size_t hop) {
    size_t size = window_size(out);
    size_t first = window_first(out, hop);
    out->cosine[tone][hop] = median_of_few(out->raw_cosine[tone] + first, size);
    out->sine[tone][hop] = median_of_few(out->raw_sine[tone] + first, size);
}

/* --------------------------------------------------------------- presence */

double breath_swing(const breath *of, size_t hop) {
    double c = of->cosine[0][hop];
    double s = of->sine[0][hop];
    return 2.0 * sqrt(c * c + s * s);
}

static size_t strong_among(const breath *of, double least_swing, size_t first,
                           size_t size) {
    size_t strong = 0;
    for (size_t i = first; i < first + size; i++) {
        double c = of->raw_cosine[0][i];
        double s = of->raw_sine[0][i];
        strong += 4.0 * (c * c + s * s) >= least_swing * least_swing;
    }
    return strong;
}

/* Whether the arrow of one cycle lies near a median. */
static bool is_near(const breath *of, size_t arrow, size_t hop) {
    double most = SPREAD_MOST * 0.5 * breath_swing(of, hop);
    double c = of->raw_cosine[0][arrow] - of->cosine[0][hop];
    double s = of->raw_sine[0][arrow] - of->sine[0][hop];
    return c * c + s * s <= most * most;
}

static bool is_steady(const breath *of, size_t hop) {
    size_t first = window_first(of, hop);
    size_t size = window_size(of);
    size_t near = 0;
    for (size_t i = first; i < first + size; i++) {
        near += is_near(of, i, hop);
    }
    return near > size / 2;
}

size_t breath_turns(const breath *of, weighted *out) {
    size_t cycle = BREATH_BINS / BREATH_HOP;
    size_t count = 0;
    for (size_t h = 0; h + cycle < of->hops; h++) {
        size_t next = h + cycle;
        if (of->present[h] && of->present[next] && is_near(of, h, h) &&
            is_near(of, next, next)) {
            double c = of->raw_cosine[0][h];
            double s = of->raw_sine[0][h];
            double next_c = of->raw_cosine[0][next];
            double next_s = of->raw_sine[0][next];
            double ahead = c * next_c + s * next_s;
            double aside = c * next_s - s * next_c;
            double strength = sqrt(ahead * ahead + aside * aside);
            out[count++] = (weighted){atan2(aside, ahead), strength};
        }
    }
    return count;
}

size_t breath_run_end(const breath *of, size_t hop) {
    while (hop < of->hops && of->present[hop]) {
        hop++;
    }
    return hop;
}

double breath_run_edge(const breath_stretch *in, const breath *of, size_t hop) {
    if (hop == 0) {
        return in->from;
    }
    if (hop + 1 == of->hops) {
        return in->from + in->length;
    }
    double bin = (double)(HALF + hop * BREATH_HOP) + 0.5;
    return in->from + of->period * bin / BREATH_BINS;
}

/* The median of seven cycles falls short of where a ripple ends; single arrows
 * tell how far it goes on as before. */
static void stretch_run(breath *of, size_t end, size_t next) {
    of->present[next] = is_near(of, next, end);
    of->cosine[0][next] = of->cosine[0][end];
    of->sine[0][next] = of->sine[0][end];
}

static void stretch_runs(breath *of) {
    for (size_t h = 1; h < of->hops; h++) {
        if (of->present[h - 1] && !of->present[h]) {
            stretch_run(of, h - 1, h);
        }
    }
    for (size_t h = of->hops; h-- > 1;) {
        if (of->present[h] && !of->present[h - 1]) {
            stretch_run(of, h, h - 1);
        }
    }
}

/* The incomplete beta function I_left(rest, ripples), of a whole `ripples`:
 * Abramowitz and Stegun, 26.5.24, from memory. */
double breath_chance(double left, double rest, unsigned ripples) {
    double term = pow(left, rest);
    double sum = 0.0;
    for (unsigned j = 0; j < ripples; j++) {
        sum += term;
        term *= (1.0 - left) * (rest + (double)j) / (double)(j + 1);
    }
    return sum;
}

/* How often arrows at random would be as alike as those of a run. Arrows a
 * cycle apart are independent: of n cycles r medians hold what ripples, n - r
 * what is around it. That is measured by a median too, since a narrowing bends
 * some arrows: of a squared length of two normal components half lies below
 * its mean times ln 2. */
static double run_chance(breath *of, size_t first, size_t end, double cycles) {
    double strength = 0.0;
    for (size_t h = first; h < end; h++) {
        double c = of->cosine[0][h];
        double s = of->sine[0][h];
        strength += c * c + s * s;
        double off_c = of->raw_cosine[0][h] - c;
        double off_s = of->raw_sine[0][h] - s;
        of->off[h - first] = off_c * off_c + off_s * off_s;
    }
    strength /= (double)(end - first);
    double off = median_of(of->off, end - first) / LN2;
    unsigned ripples = (unsigned)fmax(cycles / BREATH_WINDOW_CYCLES, 1.0);
    return breath_chance(off / (off + strength), cycles - (double)ripples,
                         ripples);
}

/* Runs of too few cycles are none, half a cycle being as near as the edge of a
 * ripple is known; nor are those that chance may have made. */
static void drop_doubtful_runs(const breath_stretch *of, double chance_most,
                               breath *out) {
    for (size_t h = 0; h < out->hops;) {
        size_t end = breath_run_end(out, h);
        if (end > h) {
            double cycles = (breath_run_edge(of, out, end - 1) -
                             breath_run_edge(of, out, h)) /
                            out->period;
            bool keep = cycles >= (double)BREATH_CYCLES_LEAST - 0.5 &&
                        run_chance(out, h, end, cycles) <= chance_most;
            for (; h < end; h++) {
                out->present[h] = keep;
            }
        }
        h = end + 1;
    }
}

void breath_measure(const breath_stretch *of, double period,
                    const breath_limits *limits, breath *out) {
    double cycles = of->length / period;
    out->period = period;
    out->hops = 0;
    if (!(cycles >= (double)BREATH_CYCLES_LEAST - SHORT_OF) ||
        cycles >= BREATH_CYCLES_MOST ||
        period < limits->frames_least * of->interval) {
        return;
    }
    out->bins = (size_t)(cycles * BREATH_BINS + 1e-6);
    fill_shares(of, out);
    out->hops = (out->bins - BREATH_BINS - 1) / BREATH_HOP + 1;
    fill_arrows(out, 0);
    /* A median is as long only where most arrows are. */
    size_t size = window_size(out);
    if (strong_among(out, limits->least_swing, 0, out->hops) <= size / 2) {
        out->hops = 0;
        return;
    }
    for (size_t h = 0; h < out->hops; h++) {
        out->present[h] = strong_among(out, limits->least_swing,
                                       window_first(out, h), size) > size / 2;
        if (out->present[h]) {
            fill_median(out, 0, h);
            out->present[h] = breath_swing(out, h) >= limits->least_swing &&
                              is_steady(out, h);
        }
    }
    stretch_runs(out);
    drop_doubtful_runs(of, limits->chance_most, out);
}

void breath_add_overtones(breath *of) {
    for (unsigned tone = 1; tone < BREATH_TONES && of->hops > 0; tone++) {
        fill_arrows(of, tone);
        for (size_t h = 0; h < of->hops; h++) {
            if (of->present[h]) {
                fill_median(of, tone, h);
            }
        }
    }
}

/* ------------------------------------------------------------------ ripple */

static double tones_at(const breath *of, size_t hop, double bin) {
    double share = 0.0;
    for (unsigned tone = 0; of->present[hop] && tone < BREATH_TONES; tone++) {
        double angle = 2.0 * PI * (double)(tone + 1) * bin / BREATH_BINS;
        share += of->cosine[tone][hop] * cos(angle) +
                 of->sine[tone][hop] * sin(angle);
    }
    return share;
}

double breath_share_at(const breath_stretch *in, const breath *of,
                       double clock) {
    if (of->hops == 0) {
        return 0.0;
    }
    double bin = (clock - in->from) / of->period * BREATH_BINS - 0.5;
    double hop = (bin - (double)HALF) / BREATH_HOP;
    hop = fmin(fmax(hop, 0.0), (double)(of->hops - 1));
    size_t first = (size_t)hop;
    size_t second = first + 1 < of->hops ? first + 1 : first;
    double part = hop - (double)first;
    return (1.0 - part) * tones_at(of, first, bin) +
           part * tones_at(of, second, bin);
}
