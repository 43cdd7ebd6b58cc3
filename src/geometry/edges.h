/*
 * edges.h - the edges of a contour, to be asked how far they are.
 */
#ifndef GEOMETRY_EDGES_H
#define GEOMETRY_EDGES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Middle and half lengths. */
typedef struct rectangle {
    double x;
    double y;
    double half_x;
    double half_y;
} rectangle;

/* Segments a block, and levels of blocks: enough for 8^8 edges. */
#define EDGES_BLOCK 8
#define EDGES_LEVELS 8
/* The highest level has at most this many blocks. */
#define EDGES_ROOTS 8

/* Edges, each its middle, its unit direction and half its length. */
typedef struct edge_block {
    double x[EDGES_BLOCK];
    double y[EDGES_BLOCK];
    double ux[EDGES_BLOCK];
    double uy[EDGES_BLOCK];
    double half[EDGES_BLOCK];
} edge_block;

/* The same in single precision, of edges or of segments that each stand for a
 * block of the level below, which is within the width of its segment. */
typedef struct hull_block {
    float x[EDGES_BLOCK];
    float y[EDGES_BLOCK];
    float ux[EDGES_BLOCK];
    float uy[EDGES_BLOCK];
    float half[EDGES_BLOCK];
    float width[EDGES_BLOCK];
} hull_block;

/* All zero at first. The contour is turned so that its long edges run along
 * x; every coordinate below is a turned one. */
typedef struct edge_set {
    double *x; /* of count points, then the first again to fill blocks up */
    double *y;
    size_t count;
    edge_block *blocks;
    hull_block *hulls; /* level 0 is the edges, level after level */
    size_t point_capacity;
    size_t hull_capacity;
    size_t first[EDGES_LEVELS]; /* block of each level */
    size_t held[EDGES_LEVELS];  /* segments in each level */
    int top;                    /* level */
    double low_x;
    double high_x;
    double low_y;
    double high_y;
    double turn_x; /* of the contour's own +x, where it points when turned: */
    double turn_y; /* cosine and minus sine of the turn */
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

/* Takes a contour of count >= 3 points, consecutive ones distinct, closed
 * without a repeat. False when memory is out. */
bool edges_load(edge_set *set, const double *x, const double *y, size_t count);
void edges_free(edge_set *set);

/* Turns points of the contour's plane as the contour was turned, and one back.
 */
void edges_turn(const edge_set *set, const double *x, const double *y,
                size_t count, double *turned_x, double *turned_y);
void edges_turn_back(const edge_set *set, double *x, double *y);

double edges_distance(const edge_set *set, uint32_t edge, double x, double y);
edge_view edges_view(const edge_set *set, uint32_t edge, double x, double y);

/* The nearest edge; the nearer one of the count >= 1 hints, the fewer blocks
 * are looked into. */
edge_view edges_nearest(edge_set *set, const uint32_t *hints, size_t count,
                        double x, double y);

/* Writes all edges within the reach of a point, and perhaps some a little
 * beyond, into out, which has room for count; returns how many. */
size_t edges_within(edge_set *set, double x, double y, double reach,
                    uint32_t *out);

/* Even-odd rule. Rounding could only mistake a point that is on an edge but
 * for rounding. */
bool edges_inside(edge_set *set, double x, double y);

#endif
