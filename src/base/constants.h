/*
 * constants.h - numbers that several rooms use.
 */
#ifndef BASE_CONSTANTS_H
#define BASE_CONSTANTS_H

#define PI 3.14159265358979323846
/* What is not known; NAN is a float. */
#define UNKNOWN ((double)NAN)
/* Of a normal distribution: standard deviation / median absolute deviation, 1 /
 * (0.75 quantile). */
#define DEVIATION_OF_MEDIAN 1.4826022185056018
#define DEG_PER_RAD (180.0 / PI)
/* 97.5 % quantile of a normal distribution. */
#define NORMAL_975 1.959963984540054

/* The widest stretch without a usable frame that is bridged, mm; docs/
 * definitions.md, "Along the vessel". */
#define GAP_MM 5.0

/* Two narrowings closer than this are one unless the vein recovers between
 * (ACC expert consensus 2001, from memory). */
#define JOIN_MM 5.0

/* Lengths, sizes and percentages are printed to a tenth: what is nearer to 0
 * prints as none. */
#define PRINTED_LEAST 0.05

/* Positions come from a division by the frame rate: what is meant to be on an
 * edge may miss it by rounding, mm. */
#define EDGE_MM 1e-9

/* An n-gon reads a circle's area low: 1.14 % at 24 points. */
#define FEW_TRACED_POINTS 24
/* Vein below this share of its normal area is not taken for healthy unless more
 * is known of it, and a reference there is doubted: our own measure. */
#define LOW_NORMAL_SHARE 0.8
/* A normally distributed factor is never taken for less, as lengths and areas
 * are not. */
#define FACTOR_LEAST 0.1
/* Equivalent diameters that a deep vein can have, mm (docs/definitions.md). */
#define PLAUSIBLE_LEAST_MM 3.0
#define PLAUSIBLE_MOST_MM 35.0

#endif
