/*
 * figures.c - verdicts counted: each figure with its target and an interval,
 * over all vessels and in strata.
 */
#include "study.h"

#include <stdlib.h>

#define NORMAL_95 1.959963984540054
#define BIAS_MOST 1.0
#define NONE ((double)NAN)
/* Ripple of less, peak to trough, is no matter. */
#define CALM_PCT 2.0

/* ----------------------------------------------------------------- figures */

static bool has_healthy(const verdict *of) {
    return of->truth.healthy_mm >= SOME_HEALTHY_MM;
}

static bool is_found(const verdict *of) {
    return has_healthy(of) && of->status == BL_OK;
}

static bool is_narrowed(const verdict *of) {
    return is_found(of) && of->truth.worst_loss_pct >= NARROWED_PCT;
}

static bool none_healthy(const verdict *of) {
    return of->truth.healthy_mm < NONE_HEALTHY_MM;
}

static bool free_of_disease(const verdict *of) {
    return of->of.disease == DISEASE_NONE;
}

static bool reference_is_healthy(const verdict *of) {
    return of->status == BL_OK && of->segments_loss_pct < DISEASED_PCT;
}

/* By how much the reference area at the worst place is off, %. */
static double area_error_pct(const verdict *of) {
    return 100.0 * (of->reference_area_mm2 / of->healthy_area_mm2 - 1.0);
}

static bool area_within_5(const verdict *of) {
    return fabs(area_error_pct(of)) <= 5.0;
}

static bool area_within_10(const verdict *of) {
    return fabs(area_error_pct(of)) <= 10.0;
}

static bool place_within_2(const verdict *of) {
    return of->away_mm <= PLACE_MM;
}

static bool says_none(const verdict *of) {
    return of->status == BL_ERR_REFERENCE;
}

static bool none_narrowed(const verdict *of) {
    return of->narrowings == 0;
}

static bool own_is_found(const verdict *of) {
    return is_found(of) && of->of.disease != DISEASE_NONE &&
           of->truth.own_mm >= SOME_HEALTHY_MM;
}

static bool says_none_or_warns(const verdict *of) {
    return says_none(of) || of->warned;
}

static bool holds(bl_interval of, double truth) {
    return of.low <= truth && truth <= of.high;
}

static bool holds_area(const verdict *of) {
    return holds(of->least_area_mm2, of->truth.least_area_mm2);
}

static bool holds_stenosis(const verdict *of) {
    return holds(of->worst_pct, of->truth.worst_loss_pct);
}

/* To a frame, or within what a place is off without an interval. */
static bool holds_place(const verdict *of) {
    return of->off_mm <= of->of.spacing_mm || place_within_2(of);
}

/* Neither breath nor a wrong reference, which intervals do not contain. */
static bool is_calm(const verdict *of) {
    return is_narrowed(of) && of->of.ripple_pct < CALM_PCT;
}

static bool is_calm_and_right(const verdict *of) {
    return is_calm(of) && area_within_5(of);
}

const share SHARES[SHARE_COUNT] = {
    {"reference wholly in healthy vein, where 15 mm of it exist", 98.0, NONE,
     has_healthy, reference_is_healthy},
    {"reference area within 5 % of truth", 50.0, NONE, is_found, area_within_5},
    {"reference area within 10 % of truth", 95.0, NONE, is_found,
     area_within_10},
    {"worst place within 2 mm, of narrowings", 95.0, NONE, is_narrowed,
     place_within_2},
    {"no healthy vein exists: says so", 95.0, NONE, none_healthy, says_none},
    {"no disease: no narrowing invented", 97.0, NONE, free_of_disease,
     none_narrowed},
    {"95 % intervals of least area that hold the truth, of narrowings", 93.0,
     97.0, is_narrowed, holds_area},
    {"95 % intervals of greatest area stenosis that do", 93.0, 97.0,
     is_narrowed, holds_stenosis},
    {"the same of least area, ripple below 2 %", NONE, NONE, is_calm,
     holds_area},
    {"the same of stenosis, ripple below 2 %, reference within 5 %", NONE, NONE,
     is_calm_and_right, holds_stenosis},
    {"reference area within 5 %, disease in a vein with 15 mm healthy", NONE,
     NONE, own_is_found, area_within_5},
    {"reference area within 10 %, disease in a vein with 15 mm healthy", NONE,
     NONE, own_is_found, area_within_10},
    {"no healthy vein exists: says so, or warns that the reference is small",
     NONE, NONE, none_healthy, says_none_or_warns},
    {"worst place within 2 mm, or in the interval of the place", NONE, NONE,
     is_narrowed, holds_place},
};

tally share_tally(const share *of, const verdict *verdicts, size_t count) {
    tally out = {0, 0};
    for (size_t i = 0; i < count; i++) {
        if (of->counts(&verdicts[i])) {
            out.all++;
            out.good += of->good(&verdicts[i]);
        }
    }
    return out;
}

bias bias_of(const verdict *verdicts, size_t count, bool corrected) {
    double sum = 0.0;
    double square = 0.0;
    bias out = {.count = 0};
    for (size_t i = 0; i < count; i++) {
        const verdict *of = &verdicts[i];
        if (is_narrowed(of)) {
            double found = corrected ? of->corrected_pct : of->stenosis_pct;
            double off = found - of->truth.worst_loss_pct;
            sum += off;
            square += off * off;
            out.count++;
        }
    }
    double n = (double)out.count;
    out.mean = sum / n;
    out.deviation = sqrt(fmax(square / n - out.mean * out.mean, 0.0));
    return out;
}

static int by_size(const void *left, const void *right) {
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

static double middle_of(double *values, size_t count) {
    qsort(values, count, sizeof *values, by_size);
    return 0.5 * (values[(count - 1) / 2] + values[count / 2]);
}

widths widths_of(const verdict *verdicts, size_t count) {
    widths out = {NONE, NONE, 0};
    double *values = calloc(2 * count, sizeof *values);
    if (values == NULL) {
        return out;
    }
    for (size_t i = 0; i < count; i++) {
        const verdict *of = &verdicts[i];
        if (is_narrowed(of)) {
            bl_interval area = of->least_area_mm2;
            values[out.count] =
                100.0 * (area.high - area.low) / of->truth.least_area_mm2;
            values[count + out.count++] =
                of->worst_pct.high - of->worst_pct.low;
        }
    }
    if (out.count > 0) {
        out.area_pct = middle_of(values, out.count);
        out.stenosis = middle_of(values + count, out.count);
    }
    free(values);
    return out;
}

/* ------------------------------------------------------------------- table */

static const char *met(bool good) {
    return good ? "met" : "**NOT met**";
}

interval share_interval(tally of) {
    double n = (double)of.all;
    double p = (double)of.good / n;
    double z2 = NORMAL_95 * NORMAL_95;
    double middle = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    double half = NORMAL_95 * sqrt(p * (1.0 - p) / n + z2 / (4.0 * n * n)) /
                  (1.0 + z2 / n);
    return (interval){100.0 * (middle - half), 100.0 * (middle + half)};
}

static void share_write(const share *of, tally got, FILE *out) {
    double pct = 100.0 * (double)got.good / (double)got.all;
    interval about = share_interval(got);
    fprintf(out, "| %s |", of->words);
    if (isnan(of->least_pct)) {
        fputs(" |", out);
    } else if (!isnan(of->most_pct)) {
        fprintf(out, " %.0f to %.0f %% |", of->least_pct, of->most_pct);
    } else {
        fprintf(out, " at least %.0f %% |", of->least_pct);
    }
    fprintf(out, " %.1f %% | %zu of %zu | %.1f to %.1f %% | %s |\n", pct,
            got.good, got.all, about.low, about.high,
            isnan(of->least_pct)
                ? ""
                : met(pct >= of->least_pct && !(pct > of->most_pct)));
}

static void bias_write(const char *words, bias got, FILE *out) {
    double half = NORMAL_95 * got.deviation / sqrt((double)got.count);
    fprintf(out,
            "| %s less true, mean, of narrowings | under 1 "
            "point | %+.2f, spread %.1f | %zu | %+.2f to %+.2f | %s |\n",
            words, got.mean, got.deviation, got.count, got.mean - half,
            got.mean + half, met(fabs(got.mean) < BIAS_MOST));
}

void figures_write(const verdict *verdicts, size_t count, FILE *out) {
    fputs("| figure | target | found | vessels | 95 % interval | |\n"
          "|---|---|---|---|---|---|\n",
          out);
    for (size_t i = 0; i < SHARE_COUNT; i++) {
        if (i == SHARE_NONE) {
            bias_write("stenosis as found", bias_of(verdicts, count, false),
                       out);
            bias_write("the same corrected", bias_of(verdicts, count, true),
                       out);
        }
        share_write(&SHARES[i], share_tally(&SHARES[i], verdicts, count), out);
    }
    widths of = widths_of(verdicts, count);
    fprintf(out,
            "| width of the intervals of least area, median | | %.0f %% of it "
            "| %zu | |  |\n",
            of.area_pct, of.count);
    fprintf(out,
            "| width of those of greatest area stenosis, median | | %.1f "
            "points | %zu | |  |\n",
            of.stenosis, of.count);
}

/* ------------------------------------------------------------------ strata */

typedef double (*quantity)(const verdict *of);

static double disease_of(const verdict *of) {
    return (double)of->of.disease;
}

static double veins_of(const verdict *of) {
    return (double)of->of.veins;
}

static double marks_of(const verdict *of) {
    return (double)of->of.marked;
}

static double travel_of(const verdict *of) {
    return (double)of->of.cranially;
}

static double noise_of(const verdict *of) {
    return of->of.vessel.area_pct;
}

static double ripple_of(const verdict *of) {
    return of->of.ripple_pct;
}

static double wave_of(const verdict *of) {
    return of->of.vessel.speed_mm_per_s * of->of.vessel.breath_s;
}

static double spacing_of(const verdict *of) {
    return of->of.spacing_mm;
}

static double gaps_of(const verdict *of) {
    return (double)of->of.gaps;
}

static double bad_of(const verdict *of) {
    return (double)of->of.vessel.bad_count;
}

static double own_of(const verdict *of) {
    return of->of.disease == DISEASE_NONE ? NONE : of->truth.own_mm;
}

static double even_of(const verdict *of) {
    return of->truth.worst_loss_pct < DISEASED_PCT ? NONE : of->truth.even_mm;
}

typedef struct stratum {
    const char *words;
    quantity of;
    double from; /* inclusive */
    double to;   /* exclusive */
} stratum;

static const stratum STRATA[] = {
    {"disease: none", disease_of, DISEASE_NONE, DISEASE_COSINE},
    {"raised cosine", disease_of, DISEASE_COSINE, DISEASE_PLATEAU},
    {"plateau", disease_of, DISEASE_PLATEAU, DISEASE_FLAT},
    {"pressed flat", disease_of, DISEASE_FLAT, DISEASE_SCAR},
    {"long scar", disease_of, DISEASE_SCAR, DISEASE_SEVERAL},
    {"several", disease_of, DISEASE_SEVERAL, DISEASE_THROUGHOUT},
    {"throughout", disease_of, DISEASE_THROUGHOUT, DISEASE_COUNT},
    {"1 vein", veins_of, 1.0, 2.0},
    {"2 veins", veins_of, 2.0, 3.0},
    {"3 veins", veins_of, 3.0, 4.0},
    {"4 veins", veins_of, 4.0, 5.0},
    {"diseased vein with 15 mm healthy", own_of, SOME_HEALTHY_MM, 999.0},
    {"with less", own_of, 0.0, SOME_HEALTHY_MM},
    {"within 1 point of the worst: up to 3 mm", even_of, 0.0, 3.0},
    {"3 to 6 mm", even_of, 3.0, 6.0},
    {"6 to 12 mm", even_of, 6.0, 12.0},
    {"over 12 mm", even_of, 12.0, 9999.0},
    {"without marks", marks_of, 0.0, 1.0},
    {"with marks", marks_of, 1.0, 2.0},
    {"caudally", travel_of, 0.0, 1.0},
    {"cranially", travel_of, 1.0, 2.0},
    {"area of a frame off by 2 to 4 %", noise_of, 2.0, 4.0},
    {"4 to 6 %", noise_of, 4.0, 6.0},
    {"6 to 8 %", noise_of, 6.0, 8.0},
    {"8 to 10 %", noise_of, 8.0, 10.0},
    {"ripple 0 to 5 %", ripple_of, 0.0, 5.0},
    {"5 to 10 %", ripple_of, 5.0, 10.0},
    {"10 to 15 %", ripple_of, 10.0, 15.0},
    {"ripple every 1.5 to 5 mm", wave_of, 0.0, 5.0},
    {"5 to 15 mm", wave_of, 5.0, 15.0},
    {"15 to 60 mm", wave_of, 15.0, 61.0},
    {"frames 0.2 to 0.35 mm apart", spacing_of, 0.0, 0.35},
    {"0.35 to 0.6 mm", spacing_of, 0.35, 0.6},
    {"0.6 to 1 mm", spacing_of, 0.6, 1.1},
    {"no gap", gaps_of, 0.0, 1.0},
    {"gaps", gaps_of, 1.0, 9.0},
    {"no bad frame", bad_of, 0.0, 1.0},
    {"bad frames", bad_of, 1.0, 99.0},
};

/* Those in the stratum, copied into `in`; how many. */
static size_t stratum_select(const stratum *by, const verdict *verdicts,
                             size_t count, verdict *in) {
    size_t held = 0;
    for (size_t i = 0; i < count; i++) {
        double value = by->of(&verdicts[i]);
        if (value >= by->from && value < by->to) {
            in[held++] = verdicts[i];
        }
    }
    return held;
}

static void stratum_write(const char *words, const verdict *in, size_t count,
                          FILE *out) {
    fprintf(out, "| %s |", words);
    for (size_t i = 0; i < SHARE_COUNT; i++) {
        tally got = share_tally(&SHARES[i], in, count);
        if (got.all == 0) {
            fputs(" |", out);
        } else {
            fprintf(out, " %zu/%zu |", got.good, got.all);
        }
    }
    bias off = bias_of(in, count, false);
    if (off.count == 0) {
        fputs(" |\n", out);
    } else {
        fprintf(out, " %+.1f |\n", off.mean);
    }
}

void strata_write(const verdict *verdicts, size_t count, FILE *out) {
    verdict *in = malloc(count * sizeof *in);
    if (in == NULL) {
        fputs("study: memory is out\n", stderr);
        return;
    }
    fputs("| vessels | healthy | area 5 % | area 10 % | place | says none | "
          "none invented | holds area | holds stenosis | calm area | calm "
          "stenosis | own 5 % | own 10 % | says or warns | place in interval | "
          "stenosis off "
          "|\n|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|"
          "\n",
          out);
    for (size_t i = 0; i < sizeof STRATA / sizeof STRATA[0]; i++) {
        size_t held = stratum_select(&STRATA[i], verdicts, count, in);
        stratum_write(STRATA[i].words, in, held, out);
    }
    free(in);
}

/* --------------------------------------------------------------- one a line */

static void number_write(double value, FILE *out) {
    if (isnan(value)) {
        fputc(',', out);
    } else {
        fprintf(out, ",%.6g", value);
    }
}

static void verdict_write(const verdict *of, FILE *out) {
    const vessel *v = &of->of.vessel;
    fprintf(out, "%zu,%s,%zu,%d,%s,%zu,%zu", of->of.number,
            disease_name(of->of.disease), of->of.veins, of->of.marked,
            of->of.cranially ? "cranial" : "caudal", of->of.gaps, v->bad_count);
    const double drawn[] = {
        v->length_mm, v->speed_mm_per_s, of->of.spacing_mm, (double)v->points,
        v->area_pct,  v->noise_mm,       of->of.ripple_pct, v->breath_s};
    for (size_t i = 0; i < sizeof drawn / sizeof drawn[0]; i++) {
        number_write(drawn[i], out);
    }
    const double held[] = {of->truth.healthy_mm,
                           of->truth.worst_mm,
                           of->truth.worst_loss_pct,
                           of->segments_loss_pct,
                           of->segments_from_mm,
                           of->segments_to_mm,
                           of->worst_mm,
                           of->away_mm,
                           of->stenosis_pct,
                           of->healthy_area_mm2,
                           of->reference_area_mm2,
                           of->corrected_pct,
                           of->truth.least_area_mm2,
                           of->least_area_mm2.low,
                           of->least_area_mm2.high,
                           of->worst_pct.low,
                           of->worst_pct.high};
    fprintf(out, ",%s,%zu", of->status == BL_OK ? "found" : "none",
            of->segments);
    for (size_t i = 0; i < sizeof held / sizeof held[0]; i++) {
        number_write(held[i], out);
    }
    fprintf(out, ",%zu,%d", of->narrowings, of->warned);
    for (size_t i = 0; i < SHARE_COUNT; i++) {
        fprintf(out, ",%s",
                !SHARES[i].counts(of) ? ""
                : SHARES[i].good(of)  ? "1"
                                      : "0");
    }
    fputc('\n', out);
}

void verdicts_write(const verdict *verdicts, size_t count, FILE *out) {
    fputs("vessel,disease,veins,marks,travel,gaps,bad_frames,length_mm,"
          "speed_mm_per_s,spacing_mm,points,area_cv_pct,noise_mm,ripple_pct,"
          "breath_s,reference,segments,healthy_mm,true_worst_mm,true_loss_pct,"
          "segment_loss_pct,segment_from_mm,segment_to_mm,worst_mm,away_mm,"
          "stenosis_pct,healthy_area_mm2,reference_area_mm2,corrected_pct,"
          "true_least_mm2,least_low_mm2,least_high_mm2,worst_low_pct,"
          "worst_high_pct,narrowings,warned,"
          "is_healthy,is_area_5,is_area_10,is_place,is_none_said,"
          "is_none_invented,holds_area,holds_stenosis,holds_calm_area,"
          "holds_calm_stenosis,is_own_5,is_own_10,is_none_said_or_warned,"
          "is_place_held\n",
          out);
    for (size_t i = 0; i < count; i++) {
        verdict_write(&verdicts[i], out);
    }
}
