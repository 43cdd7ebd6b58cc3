/*
 * bound.h - how far from a contour any point of a rectangle can be at most.
 */
#ifndef GEOMETRY_BOUND_H
#define GEOMETRY_BOUND_H

#include "geometry/edges.h"

/* A mean of distances to up to three edges; weights >= 0 of sum 1. */
typedef struct mean {
    uint32_t edge[3];
    double weight[3];
    size_t count;
} mean;

/* The mean at a point. */
double bound_at(const edge_set *edges, const mean *of, double x, double y);

/* No point of the rectangle is further from the contour than this. */
double bound_mean(const edge_set *edges, const rectangle *area, const mean *of);

/* The mean at the rectangle's corners; see below. */
void bound_mean_corners(const edge_set *edges, const rectangle *area,
                        const mean *of, double out[4]);

/* From a mean at the corners, the part of the rectangle in which it may be
 * above a level, if that lies along a side: 0 where x is low, 1 where x is
 * high, 2 where y is low, 3 where y is high. 1 when there is no such. */
double bound_part_above(const double of[4], double level, int *side);

/* Distances from the rectangle's corners to an edge: bit 0 of the index is set
 * where x is high, bit 1 where y is. */
void bound_corners(const edge_set *edges, const rectangle *of, uint32_t edge,
                   double out[4]);
double bound_greatest(const double of[4], int *where);

/* From the corners' distances to two edges, the weight of b in 0 .. 1 that
 * makes the mean's bound least: at an end or where two of the four lines meet.
 */
double bound_share(const double a[4], const double b[4], double *bound);

/* Weights with which the mean of three distances is level where the edges are
 * seen from, and the step to where the three, as they grow there, are equal.
 * False when their directions do not surround the origin. */
bool bound_level_weights(const edge_view *a, const edge_view *b,
                         const edge_view *c, double weights[3], double *mx,
                         double *my);

#endif
