/*
 * observers.c - what one reaches who is told part of the truth, from the same
 * contours. Where he misses a figure as well, it cannot be had from what he
 * was not told; where he does not, it is ours to mend.
 */
#include "study.h"

#include <stdlib.h>

#define NOWHERE ((double)NAN)
/* A shape is tried so far to either side, in steps. */
#define SHIFT_MM 20.0
#define STEP_MM 0.1
#define SHIFTS 200
/* Length of vein that a line of its own is drawn through. */
#define LINE_MM 20.0

static const double WIDTHS_MM[OBSERVED_WIDTHS] = {2.0, 5.0, 10.0};

/* Good frames as they were traced, and what is true there. */
typedef struct seen {
    const invented *of;
    size_t count;
    double *x_mm;
    double *area_mm2;
    double *calm_mm2; /* without the breath */
    double *healthy_mm2;
    double *kept; /* share of the healthy area */
    double *sums; /* of calm over healthy area, sums[i] before frame i */
} seen;

static bool open_seen(const invented *in, const bl_study *study, seen *out) {
    const bl_row *rows = bl_study_rows(study);
    size_t most = bl_study_row_count(study);
    const vessel *of = &in->vessel;
    double *memory = calloc(6 * most + 1, sizeof *memory);
    *out = (seen){.of = in};
    if (memory == NULL) {
        return false;
    }
    out->x_mm = memory;
    out->area_mm2 = memory + most;
    out->calm_mm2 = memory + 2 * most;
    out->healthy_mm2 = memory + 3 * most;
    out->kept = memory + 4 * most;
    out->sums = memory + 5 * most;
    for (size_t i = 0; i < most; i++) {
        double x = rows[i].position_mm;
        double area = rows[i].measures.area_mm2;
        size_t k = out->count;
        if (frame_bad(of, rows[i].frame) != NULL || !(area > 0.0)) {
            continue;
        }
        wall here = wall_at(of, x);
        out->x_mm[k] = x;
        out->area_mm2[k] = area;
        double breath = wall_breath(of, x / of->speed_mm_per_s);
        out->calm_mm2[k] = area / (breath * breath);
        out->healthy_mm2[k] = wall_healthy_area(of, x);
        out->kept[k] = wall_area(&here) / out->healthy_mm2[k];
        out->sums[k + 1] =
            out->sums[k] + out->calm_mm2[k] / out->healthy_mm2[k];
        out->count++;
    }
    return out->count > 0;
}

/* --------------------------------------------------------- the worst place */

/* Where the mean of what is left of the healthy area is least, over a width. */
static double least_mean_mm(const seen *in, double width_mm) {
    double least = HUGE_VAL;
    double at = NOWHERE;
    size_t first = 0;
    size_t end = 0;
    for (size_t i = 0; i < in->count; i++) {
        while (in->x_mm[first] < in->x_mm[i] - 0.5 * width_mm) {
            first++;
        }
        while (end < in->count &&
               in->x_mm[end] <= in->x_mm[i] + 0.5 * width_mm) {
            end++;
        }
        double mean = (in->sums[end] - in->sums[first]) / (double)(end - first);
        if (mean < least) {
            least = mean;
            at = in->x_mm[i];
        }
    }
    return at;
}

/* The shift by which what is left of the healthy area, as it truly runs along
 * the vein, fits what was traced best: least squares of logarithms. */
static double best_shift_mm(const seen *in) {
    const vessel *of = &in->of->vessel;
    size_t cells = (size_t)((of->length_mm + 2.0 * SHIFT_MM) / STEP_MM) + 3;
    double *shape = calloc(cells, sizeof *shape);
    if (shape == NULL) {
        return NOWHERE;
    }
    for (size_t c = 0; c < cells; c++) {
        double x = (double)c * STEP_MM - SHIFT_MM;
        wall here = wall_at(of, x);
        shape[c] = log(wall_area(&here) / wall_healthy_area(of, x));
    }
    double least = HUGE_VAL;
    double best = NOWHERE;
    for (int k = -SHIFTS; k <= SHIFTS; k++) {
        double shift = (double)k * STEP_MM;
        double sum = 0.0;
        for (size_t i = 0; i < in->count; i++) {
            double cell = (in->x_mm[i] - shift + SHIFT_MM) / STEP_MM;
            double off = log(in->area_mm2[i] / in->healthy_mm2[i]) -
                         shape[(size_t)fmax(cell + 0.5, 0.0)];
            sum += off * off;
        }
        if (sum < least) {
            least = sum;
            best = shift;
        }
    }
    free(shape);
    return best;
}

/* ------------------------------------------------------ the reference area */

/* Sums over truly healthy frames of one vein. */
typedef struct healthy_frames {
    double n, x, d, xx, xd;
    double from_mm;
    double to_mm;
} healthy_frames;

static healthy_frames healthy_of(const seen *in, size_t vein) {
    healthy_frames out = {.from_mm = HUGE_VAL, .to_mm = -HUGE_VAL};
    for (size_t i = 0; i < in->count; i++) {
        double x = in->x_mm[i];
        if (vein_at(in->of, x) == vein &&
            100.0 * (1.0 - in->kept[i]) < DISEASED_PCT) {
            double d = sqrt(in->area_mm2[i]);
            out.n += 1.0;
            out.x += x;
            out.d += d;
            out.xx += x * x;
            out.xd += x * d;
            out.from_mm = fmin(out.from_mm, x);
            out.to_mm = fmax(out.to_mm, x);
        }
    }
    return out;
}

/* The area at a place: the mean of the frames, or the line through them. */
static double area_of(const healthy_frames *of, bool line, double at_mm) {
    double mean = of->d / of->n;
    double spread = of->xx - of->x * of->x / of->n;
    double slope = 0.0;
    if (line && of->to_mm - of->from_mm >= LINE_MM) {
        slope = (of->xd - of->x * of->d / of->n) / spread;
    }
    double d = mean + slope * (at_mm - of->x / of->n);
    return d * d;
}

/* Of the vein that a place lies in, or, where it has no healthy frame, of the
 * nearest that has, as much smaller or larger as the two are drawn. */
static double told_area_mm2(const seen *in, bool line, double at_mm) {
    size_t own = vein_at(in->of, at_mm);
    for (size_t away = 0; away < STUDY_VEINS; away++) {
        for (size_t k = 0; k < 2; k++) {
            size_t vein = k == 0 ? own - away : own + away;
            if (vein >= in->of->veins) {
                continue;
            }
            healthy_frames of = healthy_of(in, vein);
            if (of.n > 0.0) {
                double ratio = vein_nominal_mm(in->of, own) /
                               vein_nominal_mm(in->of, vein);
                return area_of(&of, line && away == 0, at_mm) * ratio * ratio;
            }
        }
    }
    return NOWHERE;
}

/* --------------------------------------------------------- none is healthy */

/* The widest stretch of 10 mm, as a share of the nominal area of its vein, or,
 * where that is not told, of the smallest. */
static double widest_share(const seen *in, bool told) {
    double widest = 0.0;
    size_t first = 0;
    double sum = 0.0;
    for (size_t i = 0; i < in->count; i++) {
        sum += in->area_mm2[i];
        while (in->x_mm[i] - in->x_mm[first] > NONE_HEALTHY_MM) {
            sum -= in->area_mm2[first++];
        }
        double x = 0.5 * (in->x_mm[first] + in->x_mm[i]);
        double vein_mm = told ? vein_nominal_mm(in->of, vein_at(in->of, x))
                              : SMALLEST_NOMINAL_MM;
        double mean = sum / (double)(i + 1 - first);
        bool whole = in->x_mm[i] - in->x_mm[0] >= NONE_HEALTHY_MM;
        widest = whole ? fmax(widest, mean / (0.25 * PI * vein_mm * vein_mm))
                       : widest;
    }
    return widest;
}

static double place_by_calibre_mm(const verdict *of, const bl_assessment *got) {
    double least = HUGE_VAL;
    double at = NOWHERE;
    for (size_t i = 0; i < got->profile_count; i++) {
        const bl_profile_point *point = &got->profile[i];
        double kept = point->area_mm2 /
                      wall_healthy_area(&of->of.vessel, point->position_mm);
        if (kept < least) {
            least = kept;
            at = point->position_mm;
        }
    }
    return at;
}

bool observe(const bl_study *study, const bl_assessment *got, verdict *out) {
    seen in;
    if (!open_seen(&out->of, study, &in)) {
        free(in.x_mm);
        return false;
    }
    observed *to = &out->observed;
    to->widest = widest_share(&in, true);
    to->widest_by_marks = widest_share(&in, out->of.marked);
    if (got != NULL) {
        to->calibre_told_mm = place_by_calibre_mm(out, got);
        for (size_t i = 0; i < OBSERVED_WIDTHS; i++) {
            to->breath_told_mm[i] = least_mean_mm(&in, WIDTHS_MM[i]);
        }
        to->shape_told_mm = out->truth.worst_mm + best_shift_mm(&in);
        to->mean_mm2 = told_area_mm2(&in, false, out->worst_mm);
        to->line_mm2 = told_area_mm2(&in, true, out->worst_mm);
    }
    free(in.x_mm);
    return true;
}

/* ------------------------------------------------------------------- table */

static bool place_is_good(const verdict *of, double at_mm) {
    return worst_away_mm(of, at_mm) <= PLACE_MM;
}

static bool calibre_told(const verdict *of) {
    return place_is_good(of, of->observed.calibre_told_mm);
}

static bool breath_told_2(const verdict *of) {
    return place_is_good(of, of->observed.breath_told_mm[0]);
}

static bool breath_told_5(const verdict *of) {
    return place_is_good(of, of->observed.breath_told_mm[1]);
}

static bool breath_told_10(const verdict *of) {
    return place_is_good(of, of->observed.breath_told_mm[2]);
}

static bool shape_told(const verdict *of) {
    return place_is_good(of, of->observed.shape_told_mm);
}

static bool area_is_good(const verdict *of, double area_mm2) {
    return fabs(area_mm2 / of->healthy_area_mm2 - 1.0) <= 0.10;
}

static bool mean_told(const verdict *of) {
    return area_is_good(of, of->observed.mean_mm2);
}

static bool line_told(const verdict *of) {
    return area_is_good(of, of->observed.line_mm2);
}

typedef struct observer {
    share_name figure;
    const char *words;
    bool (*good)(const verdict *of);
} observer;

static const observer OBSERVERS[] = {
    {SHARE_AREA_95,
     "which frames are healthy and which vein each is of, and takes the mean "
     "of "
     "all of the vein that the place lies in",
     mean_told},
    {SHARE_AREA_95, "the same, and takes the line through them", line_told},
    {SHARE_PLACE, "the healthy calibre of every place, over a median of 1 mm",
     calibre_told},
    {SHARE_PLACE, "that and the breath in every frame, over a mean of 2 mm",
     breath_told_2},
    {SHARE_PLACE, "the same over 5 mm", breath_told_5},
    {SHARE_PLACE, "the same over 10 mm", breath_told_10},
    {SHARE_PLACE,
     "the shape of all that is lost along the vein, and only places it",
     shape_told},
};

static double pct_of(tally of) {
    return 100.0 * (double)of.good / (double)of.all;
}

static void observer_write(const observer *by, const verdict *verdicts,
                           size_t count, FILE *out) {
    share told = SHARES[by->figure];
    double ours = pct_of(share_tally(&told, verdicts, count));
    told.good = by->good;
    fprintf(out, "| %s | %.0f %% | %.1f %% | %s | %.1f %% |\n", told.words,
            told.least_pct, ours, by->words,
            pct_of(share_tally(&told, verdicts, count)));
}

static int by_size(const void *left, const void *right) {
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

/* Says that none is healthy below the share that 2 % of the vessels with
 * healthy vein do not reach either. */
static void none_write(const verdict *verdicts, size_t count, bool by_marks,
                       FILE *out) {
    const share *none = &SHARES[SHARE_NONE];
    const share *healthy = &SHARES[SHARE_HEALTHY];
    double *shares = calloc(count, sizeof *shares);
    if (shares == NULL) {
        return;
    }
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        const observed *of = &verdicts[i].observed;
        if (healthy->counts(&verdicts[i])) {
            shares[held++] = by_marks ? of->widest_by_marks : of->widest;
        }
    }
    qsort(shares, held, sizeof *shares, by_size);
    double limit = held > 0 ? shares[(size_t)(0.02 * (double)held)] : 0.0;
    tally got = {0, 0};
    for (size_t i = 0; i < count; i++) {
        const observed *of = &verdicts[i].observed;
        if (none->counts(&verdicts[i])) {
            got.all++;
            got.good += (by_marks ? of->widest_by_marks : of->widest) < limit;
        }
    }
    free(shares);
    fprintf(out, "| %s | %.0f %% | %.1f %% | %s | %.1f %% |\n", none->words,
            none->least_pct, pct_of(share_tally(none, verdicts, count)),
            by_marks ? "the nominal area of a vein where it has marks, and the "
                       "limit for the widest 10 mm that 98 % of the others "
                       "keep"
                     : "the same, and which vein is where without marks too",
            pct_of(got));
}

void observers_write(const verdict *verdicts, size_t count, FILE *out) {
    fputs("| figure | asked | reached | an observer who is told | reaches |\n"
          "|---|---|---|---|---|\n",
          out);
    for (size_t i = 0; i < sizeof OBSERVERS / sizeof OBSERVERS[0]; i++) {
        observer_write(&OBSERVERS[i], verdicts, count, out);
    }
    none_write(verdicts, count, true, out);
    none_write(verdicts, count, false, out);
}
