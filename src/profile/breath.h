/*
 * breath.h - how strong a ripple of one period is along a stretch of vein.
 */
#ifndef PROFILE_BREATH_H
#define PROFILE_BREATH_H

#include "boreline.h"
#include "profile/median.h"

#define BREATH_CYCLES_LEAST ((size_t)3)
#define BREATH_WINDOW_CYCLES 7 /* of which the median is taken */
#define BREATH_CYCLES_MOST 512

#define BREATH_BINS 16 /* in a cycle */
#define BREATH_HOP 4   /* bins from one estimate to the next */
#define BREATH_BINS_MOST (BREATH_CYCLES_MOST * BREATH_BINS)
#define BREATH_HOPS_MOST (BREATH_BINS_MOST / BREATH_HOP)
#define BREATH_CELLS_MOST 4096
#define BREATH_TONES 2 /* the fundamental and its first overtone */

/* A stretch without a gap: its calibre by a clock (seconds, or millimetres
 * where the time of frames is not known), summed up so that the mean over any
 * part of it is a difference. */
typedef struct breath_stretch {
    double from;
    double length;
    double interval; /* mean, from frame to frame */
    size_t cells;
    double total[BREATH_CELLS_MOST + 1]; /* mm times cells, up to each edge */
} breath_stretch;

/* What it has of one period. Estimate h stands for bin BREATH_BINS / 2 +
 * BREATH_HOP * h; tones are shares of the diameter, as cosine and sine. */
typedef struct breath {
    double period;
    size_t bins;
    size_t hops; /* 0: the stretch is too short for the period, or too long */
    double cosine[BREATH_TONES][BREATH_HOPS_MOST];
    double sine[BREATH_TONES][BREATH_HOPS_MOST];
    bool present[BREATH_HOPS_MOST];
    double share[BREATH_BINS_MOST]; /* working memory: off the mean */
    double level[BREATH_BINS_MOST];
    double raw_cosine[BREATH_TONES][BREATH_HOPS_MOST]; /* of one cycle each */
    double raw_sine[BREATH_TONES][BREATH_HOPS_MOST];
    double off[BREATH_HOPS_MOST];
} breath;

/* What is taken for a ripple. */
typedef struct breath_limits {
    double least_swing;  /* a weaker one, peak to trough, is none */
    double frames_least; /* in a cycle */
    double chance_most;  /* arrows at random are so alike so often */
} breath_limits;

/* count >= 2 points with ascending clocks, the last beyond the first. */
void breath_open(breath_stretch *out, const bl_profile_point *points,
                 const double *clock, size_t count);

/* Estimates the ripple of that period, its fundamental, and where it is
 * present: over enough cycles, and alike from one to the next as no more than
 * limits->chance_most of those that are at random. */
void breath_measure(const breath_stretch *of, double period,
                    const breath_limits *limits, breath *out);

/* The probability that what is at random, in ripples + rest independent parts,
 * leaves no more than `left` (0 .. 1) of itself to the rest > 0 of them: that
 * of a ratio of mean squares of 2 * ripples and 2 * rest degrees of freedom (F
 * distribution). ripples >= 1. */
double breath_chance(double left, double rest, unsigned ripples);

/* And its overtones there. */
void breath_add_overtones(breath *of);

/* Peak to trough of the fundamental, as a share, at estimate `hop`. */
double breath_swing(const breath *of, size_t hop);

/* How far the fundamental turns in a cycle, where it is present and near
 * the median: angles, weighted by strength, in out[0 .. returned), at most
 * `hops`. */
size_t breath_turns(const breath *of, weighted *out);

/* One past the run of estimates with a ripple from `hop` on; `hop` itself when
 * it has none. */
size_t breath_run_end(const breath *of, size_t hop);

/* The clock at which a run that begins or ends with estimate `hop` does so: at
 * the stretch's end for the first and last of all. */
double breath_run_edge(const breath_stretch *in, const breath *of, size_t hop);

/* What the ripple adds at a clock, as a share of the diameter without it; 0
 * where there is none. */
double breath_share_at(const breath_stretch *in, const breath *of,
                       double clock);

#endif
