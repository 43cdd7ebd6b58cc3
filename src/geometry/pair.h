/*
 * pair.h - two closed contours against each other: areas in common and apart,
 * and how far apart they are.
 *
 * A is a device, or the tracing of one reader; B the vein around it, or the
 * tracing of another. Everything is exact for the polygons but for rounding:
 * distances are those of every point of the edges, not of their ends alone.
 */
#ifndef GEOMETRY_PAIR_H
#define GEOMETRY_PAIR_H

#include "boreline.h"

/* What is wanted, added up; the rest is unknown. */
typedef enum pair_part {
    PAIR_AREAS = 1,     /* a_mm2 .. dice */
    PAIR_GAP = 2,       /* gap and outside */
    PAIR_ARCS = 4,      /* with PAIR_GAP: arc_deg .. between_mm2 */
    PAIR_HAUSDORFF = 8, /* with PAIR_GAP: hausdorff_mm */
    PAIR_OUTSIDE = 16   /* outside alone: quick where A lies within B */
} pair_part;

#define PAIR_ALL (PAIR_AREAS | PAIR_GAP | PAIR_ARCS | PAIR_HAUSDORFF)

/* How far a point of A is from B, and where that point is: its place, and the
 * direction in which it is seen from A's centre of gravity, 0 <= deg < 360
 * counter-clockwise from +x. Where there is no such point, or none further off
 * than 1e-11 mm, which is rounding, the distance is 0 and the rest unknown. */
typedef struct pair_reach {
    double distance_mm;
    double x_mm;
    double y_mm;
    double direction_deg;
} pair_reach;

/* Unknown (NaN): what was not asked for; and, of contours folded far more than
 * any that is traced, what would pass LIMIT_PAIR_LOOKS. */
typedef struct pair_measures {
    double a_mm2; /* areas of A and of B */
    double b_mm2;
    double both_mm2;   /* in A and in B */
    double only_a_mm2; /* in A and not in B */
    double only_b_mm2;
    double dice; /* 2 both / (a + b), 0 .. 1: 1 where they are the same */

    pair_reach gap;     /* greatest distance to B of a point of A within B */
    pair_reach outside; /* the same of a point of A beyond B */

    /* Directions from A's centre of gravity in which a point of A is within B
     * and more than the tolerance from it: together, and the widest of their
     * stretches, which begins at widest_from_deg (0 <= .. < 360) and goes
     * counter-clockwise. 360 all round, where that begins at 0; without any,
     * arcs are 0 and the beginning is unknown. */
    double arc_deg;
    double widest_arc_deg;
    double widest_from_deg;
    size_t arcs;        /* stretches */
    double between_mm2; /* what is in B and not in A in those directions */

    double hausdorff_mm; /* greatest distance of a point of either to the other
                          */
} pair_measures;

/* Working memory, used for pair after pair. */
typedef struct pair_finder pair_finder;

/* NULL when memory is out. */
pair_finder *pair_new(void);
void pair_free(pair_finder *finder);

/* Two simple contours with an area (no flag of BL_FLAGS_LEFT_OUT), which may
 * touch themselves and each other, run along each other, lie within each other
 * or apart; of at most LIMIT_POINTS each, repeats and a closing repeat allowed;
 * right to 1e-11 mm, and to rounding, within LIMIT_COORDINATE_MM.
 * parts: pair_part bits. tolerance_mm >= 0, for PAIR_ARCS: one below 1e-11
 * counts as that. BL_ERR_MEMORY. */
bl_status pair_find(pair_finder *finder, const bl_contour *a,
                    const bl_contour *b, unsigned parts, double tolerance_mm,
                    pair_measures *out);

/* Looks at edges, blocks of edges and pairs of edges by the last search, for
 * tests of its growth. */
size_t pair_work(const pair_finder *finder);

#endif
