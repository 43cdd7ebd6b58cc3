/*
 * breathing.h - the ripple that a resampled profile may have.
 */
#ifndef ASSESS_BREATHING_H
#define ASSESS_BREATHING_H

#include "assess/workings.h"
#include "base/chance.h"
#include "profile/breath.h"

#define BREATH_PERIODS 8
#define BREATH_ANGLES 1024

/* Periods by the clock, and the most that a ripple of each may swing, peak to
 * trough, as a share of the diameter. */
typedef struct breath_table {
    double periods[BREATH_PERIODS];
    double swings[BREATH_PERIODS];
    size_t count; /* 0: none */
    bool likely;  /* one ripple is */
    double left;  /* of its strength, where it was seen */
    double cosines[BREATH_ANGLES];
} breath_table;

/* One ripple. */
typedef struct breath_draw {
    const breath_table *of;
    double seen;   /* half its swing where a likely one was seen, */
    double unseen; /* and elsewhere */
    double rate;   /* angles of the table a unit of the clock */
    double start;  /* angle at 0 */
} breath_draw;

/* What is left of the ripple that is likely, or may be there unseen where none
 * is. frame_share: the error of a frame's area. What lies between the shoulders
 * of narrowings tells of no ripple. */
void breathing_plan(const workings *work, double frame_share,
                    const bl_narrowing *narrowings, size_t narrowing_count,
                    breath_table *out);

/* The greatest swing of the table. */
double breathing_most(const breath_table *of);

breath_draw breathing_take(const breath_table *of, chance *by);

/* As a share of the diameter, where the likely ripple was seen or not. */
double breathing_at(const breath_draw *now, bool seen, double clock);

/* Whether a likely ripple was seen at a point. */
bool breathing_seen(const workings *work, size_t point);

/* The mean from one time to a later one. */
double breathing_mean(const breath_draw *now, bool seen, double from,
                      double to);

/* The profile without the ripple that is likely: areas as traced; the rest is
 * as it was. Where none is, it has work's points. BL_ERR_MEMORY. */
bl_status breathing_without(const workings *work, arena *owner, profile *out);

/* The likely ripple in the profile at a point; 0 where it was taken off. */
double breathing_likely(const workings *work, size_t point);

#endif
