/*
 * edges.h - the edges of a contour, to be asked how far they are.
 */
#ifndef GEOMETRY_EDGES_H
#define GEOMETRY_EDGES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Neighbouring edges a block. */
#define EDGES_BLOCK 8

/* An edge is its middle, its unit direction and half its length; its ends are
 * those of its neighbours to the last bit. */
typedef struct edge_block {
    double x[EDGES_BLOCK];
    double y[EDGES_BLOCK];
    double ux[EDGES_BLOCK];
    double uy[EDGES_BLOCK];
    double half[EDGES_BLOCK];
    double from_x[EDGES_BLOCK];
    double from_y[EDGES_BLOCK];
    double to_x[EDGES_BLOCK];
    double to_y[EDGES_BLOCK];
} edge_block;

/* What surrounds a block: a disc, and the segment between its ends with the
 * greatest distance of its edges from it. */
typedef struct edge_hull {
    double x;
    double y;
    double radius;
    double middle_x;
    double middle_y;
    double ux;
    double uy;
    double half;
    double width;
} edge_hull;

/* All zero at first. The contour is turned so that its long edges run along
 * x; every coordinate below is a turned one. */
typedef struct edge_set {
    edge_block *blocks;
    edge_hull *hulls;
    size_t capacity;
    size_t count; /* blocks */
    double low_x;
    double high_x;
    double low_y;
    double high_y;
    double extent; /* greatest coordinate */
    size_t looked; /* blocks looked at since loading */
} edge_set;

/* An edge seen from a point: how far, and the unit vector from its nearest
 * point, (0, 0) on the edge itself. */
typedef struct edge_view {
    double distance;
    double gx;
    double gy;
    uint32_t edge;
} edge_view;

/* Middle and half lengths. */
typedef struct rectangle {
    double x;
    double y;
    double half_x;
    double half_y;
} rectangle;

/* Takes a contour of count >= 3 points, consecutive ones distinct, closed
 * without a repeat. False when memory is out. */
bool edges_load(edge_set *set, const double *x, const double *y, size_t count);
void edges_free(edge_set *set);

double edges_distance(const edge_set *set, uint32_t edge, double x, double y);
edge_view edges_view(const edge_set *set, uint32_t edge, double x, double y);

/* The nearest of the hint and the edges of some blocks; the nearer the hint,
 * the fewer blocks are looked into. */
edge_view edges_nearest(edge_set *set, const uint32_t *blocks, size_t count,
                        uint32_t hint, double x, double y);

/* Even-odd rule over all edges. */
bool edges_inside(edge_set *set, double x, double y);

/* Copies those of some blocks that may come within a distance of the
 * rectangle, never leaving one out that does; returns how many. */
size_t edges_within(const edge_set *set, const rectangle *of, double distance,
                    const uint32_t *blocks, size_t count, uint32_t *out);

/* Makes *out the least rectangle around what lies of some blocks' edges in a
 * rectangle, a hair larger; false when nothing does. */
bool edges_box(edge_set *set, const rectangle *of, const uint32_t *blocks,
               size_t count, rectangle *out);

static inline double lesser(double a, double b) {
    return a < b ? a : b;
}

static inline double larger(double a, double b) {
    return a > b ? a : b;
}

#endif
