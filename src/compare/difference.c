/*
 * difference.c - how areas changed from one table to the other, and whether
 * that is more than the error of reading them.
 *
 * The smoothed areas stand for what is true and are made to scatter again and
 * again, smoothed as they were, and read: what is read stands off from them as
 * what was traced stands off from the truth, and the interval turns that around
 * in ratio, as the intervals of an assessment do (basic bootstrap: Davison and
 * Hinkley, Bootstrap Methods and their Application, 1997, section 5.2, from
 * memory). Of the error of an area, what frames were measured to scatter is
 * independent from contour to contour, and makes the least of many read low;
 * the rest is shared by all contours of a table, and makes nothing low.
 */
#include "base/constants.h"
#include "compare/reread.h"

#include <assert.h>
#include <math.h>

/* Sequences of chance: one a round, table and kind. */
enum { PART_LUMEN = 1, PART_DEVICE = 3 };

/* What is compared of one table. */
typedef struct reading_side {
    trace of; /* within the stretch */
    reread_error error;
    double least;
    double mean;
    double *noisy; /* working memory, a number a node */
    double *smooth;
    trace_room room;
    double smooth_mm;
} reading_side;

typedef struct both_read {
    reading_side sides[TABLES];
    size_t rounds;
    double *least[2]; /* changes of each round, mm2 and percent */
    double *mean[2];
} both_read;

static double least_of(const double *values, size_t count) {
    double least = values[0];
    for (size_t i = 1; i < count; i++) {
        least = fmin(least, values[i]);
    }
    return least;
}

static double mean_of(const reading_side *of, const double *values) {
    return trace_mean(&of->of, (trace_run){0, of->of.count}, values, NULL);
}

static bl_status open_side(const comparing *in, int which, const trace *of,
                           bl_span span, arena *owner, reading_side *out) {
    trace_run run = trace_within(of, span);
    size_t count = run.end - run.first;
    *out = (reading_side){
        .of = {.nodes = of->nodes + run.first, .count = count},
        .noisy = arena_alloc(owner, count, sizeof *out->noisy),
        .smooth = arena_alloc(owner, count, sizeof *out->smooth),
        .smooth_mm = in->tables[which].assessment->options.smooth_mm,
        .least = UNKNOWN,
        .mean = UNKNOWN,
    };
    if (out->noisy == NULL || out->smooth == NULL ||
        trace_room_open(&out->of, owner, &out->room) != BL_OK) {
        return BL_ERR_MEMORY;
    }
    out->error = reread_error_of(in, which);
    for (size_t i = 0; i < count; i++) {
        out->noisy[i] = out->of.nodes[i].area_mm2;
    }
    if (count > 0) {
        out->least = least_of(out->noisy, count);
        out->mean = mean_of(out, out->noisy);
    }
    return BL_OK;
}

/* What is read of one round, as shares of what was read of the calm areas. */
static void read_again(reading_side *of, chance by, double *least,
                       double *mean) {
    double shared = reread_share(&by, of->error.shared_cv);
    size_t count = of->of.count;
    for (size_t i = 0; i < count; i++) {
        of->noisy[i] =
            of->of.nodes[i].area_mm2 * reread_share(&by, of->error.own_cv);
    }
    *mean = shared * mean_of(of, of->noisy) / of->mean;
    trace_smooth(&of->of, &of->room, of->noisy, of->smooth_mm, of->smooth);
    *least = shared * least_of(of->smooth, count) / of->least;
}

static void note(double *const to[2], size_t round, double first,
                 double second) {
    to[0][round] = second - first;
    to[1][round] = 100.0 * (second / first - 1.0);
}

static void run_rounds(const comparing *in, uint64_t part, both_read *of) {
    for (size_t r = 0; r < of->rounds; r++) {
        double least[TABLES];
        double mean[TABLES];
        for (int i = 0; i < TABLES; i++) {
            reading_side *side = &of->sides[i];
            chance by = reread_chance(in, r, part + (uint64_t)i);
            read_again(side, by, &least[i], &mean[i]);
            least[i] = side->least / least[i];
            mean[i] = side->mean / mean[i];
        }
        note(of->least, r, least[BEFORE], least[AFTER]);
        note(of->mean, r, mean[BEFORE], mean[AFTER]);
    }
}

static bl_change change_of(double first, double second) {
    const bl_interval unknown = {UNKNOWN, UNKNOWN};
    return (bl_change){
        .first_mm2 = first,
        .second_mm2 = second,
        .change_mm2 = second - first,
        .change_pct = 100.0 * (second - first) / first,
        .interval_mm2 = unknown,
        .interval_pct = unknown,
        .within_error = true,
    };
}

static void fill_interval(double *const values[2], size_t rounds,
                          bl_change *out) {
    out->interval_mm2 = reread_middle(values[0], rounds);
    out->interval_pct = reread_middle(values[1], rounds);
    out->within_error =
        out->interval_mm2.low <= 0.0 && out->interval_mm2.high >= 0.0;
}

static bl_status open_rounds(both_read *of, arena *owner) {
    size_t contours = of->sides[BEFORE].of.count + of->sides[AFTER].of.count;
    assert(contours > 0);
    of->rounds = reread_rounds(contours);
    for (int i = 0; i < 2; i++) {
        of->least[i] = arena_alloc(owner, of->rounds, sizeof **of->least);
        of->mean[i] = arena_alloc(owner, of->rounds, sizeof **of->mean);
        if (of->least[i] == NULL || of->mean[i] == NULL) {
            return BL_ERR_MEMORY;
        }
    }
    return BL_OK;
}

/* Of one kind of contour, part its sequences of chance. */
static bl_status compare_kind(comparing *in, const trace *const of[TABLES],
                              bl_span span, uint64_t part, bl_change *least,
                              bl_change *mean) {
    arena work = {0};
    both_read both = {0};
    bl_status status = BL_OK;
    for (int i = 0; i < TABLES && status == BL_OK; i++) {
        status = open_side(in, i, of[i], span, &work, &both.sides[i]);
    }
    *least = change_of(both.sides[BEFORE].least, both.sides[AFTER].least);
    *mean = change_of(both.sides[BEFORE].mean, both.sides[AFTER].mean);
    if (status == BL_OK && !isnan(least->change_mm2)) {
        status = open_rounds(&both, &work);
        if (status == BL_OK) {
            run_rounds(in, part, &both);
            fill_interval(both.least, both.rounds, least);
            fill_interval(both.mean, both.rounds, mean);
            in->out->resamples = both.rounds;
        }
    }
    arena_free(&work);
    return status;
}

/* The stretch as far as both tables have that kind of contour; of devices
 * without a treated stretch all of them. */
static bl_span shared_span(const comparing *in, const trace *const of[TABLES]) {
    bl_span out = in->out->treated;
    for (int i = 0; i < TABLES; i++) {
        bl_span extent = trace_extent(of[i]);
        out.from_mm = fmax(out.from_mm, extent.from_mm);
        out.to_mm = fmin(out.to_mm, extent.to_mm);
    }
    return out;
}

bl_status difference_fill(comparing *in) {
    const trace *const lumens[TABLES] = {&in->tables[BEFORE].lumen,
                                         &in->tables[AFTER].lumen};
    const trace *const devices[TABLES] = {&in->tables[BEFORE].device,
                                          &in->tables[AFTER].device};
    bl_comparison *out = in->out;
    bl_status status =
        compare_kind(in, lumens, shared_span(in, lumens), PART_LUMEN,
                     &out->lumen_least, &out->lumen_mean);
    if (status != BL_OK) {
        return status;
    }
    return compare_kind(in, devices, shared_span(in, devices), PART_DEVICE,
                        &out->device_least, &out->device_mean);
}
