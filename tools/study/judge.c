/*
 * judge.c - one vessel through the library, held against what is true of it.
 *
 * Truth is taken from the description where good frames were traced: what
 * lies in a gap or under a bad frame cannot be measured.
 */
#include "study.h"

#include <stdlib.h>
#include <string.h>

#define GAP_MM 5.0
#define STEP_MM 0.1
/* Places are equally bad within so many points. */
#define EQUAL_PCT 0.01

static double loss_at(const vessel *of, double at_mm) {
    wall w = wall_at(of, at_mm);
    return 100.0 * (1.0 - wall_area(&w) / wall_healthy_area(of, at_mm));
}

static double frame_mm(const vessel *of, int64_t frame) {
    return (double)frame / of->frame_rate_hz * of->speed_mm_per_s;
}

static bool frame_is_good(const vessel *of, int64_t frame) {
    return !frame_is_missing(of, frame) && frame_bad(of, frame) == NULL;
}

size_t vein_at(const invented *of, double at_mm) {
    size_t before = 0;
    for (size_t i = 0; i + 1 < of->veins; i++) {
        bool passed = of->cranially ? at_mm < of->border_mm[i]
                                    : at_mm >= of->border_mm[i];
        before += passed;
    }
    return before;
}

static known truth_of(const invented *in) {
    const vessel *of = &in->vessel;
    known out = {.worst_loss_pct = -HUGE_VAL, .least_area_mm2 = HUGE_VAL};
    double from = 0.0;
    double before = 0.0;
    bool healthy_before = false;
    double longest[STUDY_VEINS] = {0.0};
    for (int64_t i = 0; i < of->frame_count; i++) {
        if (!frame_is_good(of, i)) {
            continue;
        }
        double x = frame_mm(of, i);
        double loss = loss_at(of, x);
        wall here = wall_at(of, x);
        out.least_area_mm2 = fmin(out.least_area_mm2, wall_area(&here));
        if (loss > out.worst_loss_pct + EQUAL_PCT) {
            out.worst_loss_pct = loss;
            out.worst_mm = x;
        }
        bool healthy = loss < DISEASED_PCT;
        if (!healthy_before || x - before > GAP_MM ||
            vein_at(in, x) != vein_at(in, before)) {
            from = x;
        }
        if (healthy) {
            double *held = &longest[vein_at(in, x)];
            *held = fmax(*held, x - from);
            out.healthy_mm = fmax(out.healthy_mm, *held);
        }
        healthy_before = healthy;
        before = x;
    }
    for (int64_t i = 0; i < of->frame_count; i++) {
        if (frame_is_good(of, i) &&
            loss_at(of, frame_mm(of, i)) >= out.worst_loss_pct - EVEN_PCT) {
            out.even_mm += in->spacing_mm;
        }
    }
    out.own_mm = longest[vein_at(in, out.worst_mm)];
    return out;
}

double worst_away_mm(const verdict *out, double at_mm) {
    const vessel *of = &out->of.vessel;
    double least = HUGE_VAL;
    for (int64_t i = 0; i < of->frame_count; i++) {
        double x = frame_mm(of, i);
        if (frame_is_good(of, i) && fabs(x - at_mm) < least &&
            loss_at(of, x) >= out->truth.worst_loss_pct - EQUAL_PCT) {
            least = fabs(x - at_mm);
        }
    }
    return least;
}

/* The same of the interval [low, high]. */
static double off_from_worst(const vessel *of, double worst_pct,
                             bl_interval in) {
    double least = HUGE_VAL;
    for (int64_t i = 0; i < of->frame_count; i++) {
        double x = frame_mm(of, i);
        double off = fmax(fmax(in.low - x, x - in.high), 0.0);
        if (frame_is_good(of, i) && off < least &&
            loss_at(of, x) >= worst_pct - EQUAL_PCT) {
            least = off;
        }
    }
    return least;
}

static double greatest_loss(const vessel *of, bl_span span) {
    double greatest = loss_at(of, span.to_mm);
    for (double x = span.from_mm; x < span.to_mm; x += STEP_MM) {
        greatest = fmax(greatest, loss_at(of, x));
    }
    return greatest;
}

static void judge_segments(const bl_assessment *got, verdict *out) {
    out->segments = got->segment_count;
    out->segments_loss_pct = -HUGE_VAL;
    for (size_t i = 0; i < got->segment_count; i++) {
        bl_span span = got->segments[i].span;
        double loss = greatest_loss(&out->of.vessel, span);
        if (loss > out->segments_loss_pct) {
            out->segments_loss_pct = loss;
            out->segments_from_mm = span.from_mm;
            out->segments_to_mm = span.to_mm;
        }
    }
}

static void judge_assessment(const bl_assessment *got, verdict *out) {
    const vessel *of = &out->of.vessel;
    judge_segments(got, out);
    out->worst_mm = got->worst.position_mm;
    out->stenosis_pct = got->worst.area_stenosis_pct;
    out->corrected_pct = got->intervals.worst_corrected_pct;
    out->least_area_mm2 = got->intervals.minimum_area_mm2;
    out->worst_pct = got->intervals.worst_area_stenosis_pct;
    out->reference_area_mm2 = got->worst.reference_area_mm2;
    out->healthy_area_mm2 = wall_healthy_area(of, out->worst_mm);
    out->away_mm = worst_away_mm(out, out->worst_mm);
    out->place_mm = got->intervals.worst_position_mm;
    out->off_mm = off_from_worst(of, out->truth.worst_loss_pct, out->place_mm);
    out->narrowings = got->narrowing_count;
    for (size_t i = 0; i < got->warning_count; i++) {
        out->warned =
            out->warned || strstr(got->warnings[i], "well below") != NULL;
    }
}

static bool assess(const bl_study *study, const bl_assess_options *options,
                   verdict *out) {
    bl_assess_options find = *options;
    find.reference = BL_REFERENCE_FIND;
    bl_assessment *got = NULL;
    bl_message message;
    out->status = bl_assess(study, &find, &got, &message);
    if (out->status == BL_OK) {
        judge_assessment(got, out);
    } else if (out->status != BL_ERR_REFERENCE) {
        fprintf(stderr, "study: vessel %zu: %s\n", out->of.number,
                message.text);
        return false;
    }
    bool good = observe(study, got, out);
    bl_assessment_free(got);
    return good;
}

/* The vessel's table in memory, as the library is fed it; NULL when memory is
 * out. The caller frees it. */
static char *table_of(const vessel *of, size_t *size) {
    static const table_options options = {.separator = ',', .decimals = 3};
    char *bytes = NULL;
    FILE *out = open_memstream(&bytes, size);
    bool good = out != NULL && table_write(of, &options, out);
    good = out != NULL && fclose(out) == 0 && good;
    if (!good) {
        free(bytes);
        bytes = NULL;
    }
    return bytes;
}

bool judge(const invented *of, const bl_assess_options *options, verdict *out) {
    *out = (verdict){.of = *of,
                     .truth = truth_of(of),
                     .segments_loss_pct = (double)NAN,
                     .segments_from_mm = (double)NAN,
                     .segments_to_mm = (double)NAN,
                     .worst_mm = (double)NAN,
                     .stenosis_pct = (double)NAN,
                     .corrected_pct = (double)NAN,
                     .least_area_mm2 = {(double)NAN, (double)NAN},
                     .worst_pct = {(double)NAN, (double)NAN},
                     .reference_area_mm2 = (double)NAN,
                     .healthy_area_mm2 = (double)NAN,
                     .place_mm = {(double)NAN, (double)NAN},
                     .away_mm = (double)NAN,
                     .observed = {(double)NAN,
                                  {(double)NAN, (double)NAN, (double)NAN},
                                  (double)NAN,
                                  (double)NAN,
                                  (double)NAN,
                                  0.0,
                                  0.0},
                     .off_mm = (double)NAN};
    bl_study_options wanted = {.columns = BL_COLUMNS_ASSESS};
    bl_study *study = NULL;
    size_t size = 0;
    char *bytes = table_of(&of->vessel, &size);
    bool good = bytes != NULL && bl_study_new(&wanted, &study) == BL_OK;
    if (good) {
        good = bl_study_feed(study, bytes, size) == BL_OK &&
               bl_study_finish(study) == BL_OK;
        if (good) {
            good = assess(study, options, out);
        } else {
            fprintf(stderr, "study: vessel %zu: %s\n", of->number,
                    bl_study_message(study)->text);
        }
    }
    bl_study_free(study);
    free(bytes);
    return good;
}
