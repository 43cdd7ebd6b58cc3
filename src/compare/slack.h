/*
 * slack.h - how far either end of the treated stretch may lie from where two
 * profiles put it.
 */
#ifndef COMPARE_SLACK_H
#define COMPARE_SLACK_H

#include "compare/likeness.h"

/* What lengths between the ends may differ by, by the speeds that are searched:
 * both sides may be off. */
#define PACE_LEAST 0.70
#define PACE_MOST 1.40

/* Where the ends (u, of AFTER) come to lie on the axis of BEFORE, and the ratio
 * beside them. */
typedef struct slack_place {
    double at_mm[2];
    double scale;
} slack_place;

/* 95 %. NaN where it is not told within 25 mm. */
typedef struct slack_found {
    bl_interval end_mm[2];
    bl_interval ratio; /* length between the ends: BEFORE / AFTER */
} slack_found;

/* `of` leaves out a span of AFTER; `near` is looked around. BL_ERR_MEMORY. */
bl_status slack_find(likeness *of, const double end_u_mm[2],
                     const slack_place *near, slack_found *out);

/* Student's 97.5 % quantile for n degrees of freedom, 3 or more (expansion of
 * Cornish and Fisher in 1/n: Abramowitz and Stegun 26.7.5, its first three
 * terms): 0.7 % low at 3, 0.3 % at 4, 0.1 % at 5. */
double slack_student(double n);

/* Bayesian information criterion of a place with so many numbers fitted: the
 * lower, the more likely. */
double slack_criterion(likeness *of, const double end_u_mm[2],
                       const slack_place *place, double fitted);

#endif
