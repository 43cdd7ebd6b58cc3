/*
 * apart.h - how far the points of one contour are from another.
 */
#ifndef GEOMETRY_APART_H
#define GEOMETRY_APART_H

#include "geometry/edges.h"
#include "geometry/overlay.h"

/* The nearest edge of the other contour, seen from a place on an edge of this
 * one. */
typedef struct apart_spot {
    double along; /* the edge, from its beginning */
    double distance;
    uint32_t edge;
} apart_spot;

typedef struct apart_span {
    double from;
    double to;
} apart_span;

/* Working memory; zero-initialised is ready. */
typedef struct apart {
    apart_spot *corners; /* of this contour */
    size_t corner_capacity;
    uint32_t *near; /* for edges of the other: those near by, */
    double *cuts;   /* where they come to it, at most once each, */
    apart_span *spans;
    size_t edge_capacity;
} apart;

void apart_free(apart *of);

typedef struct apart_question {
    bool sided;        /* tell what is within the other from what is beyond */
    sectors *off;      /* where to put the directions, seen from 0,0, of what is
                          within it and further off than the tolerance; or NULL;
                          only when sided */
    double tolerance;  /* at least 1e-11 mm, which is rounding */
    size_t most_looks; /* give up when the other's `looked` passes it */
} apart_question;

/* The greatest distance; 0 and no place where there is no such point, or none
 * further off than 1e-11 mm, which is rounding. */
typedef struct apart_place {
    double distance;
    double x;
    double y;
    bool found;
} apart_place;

typedef struct apart_answer {
    apart_place within; /* the other; of all points unless sided */
    apart_place beyond;
    bool known; /* false: given up */
} apart_answer;

/* Distances of all points of a contour of count >= 3, consecutive ones
 * distinct, turned as the other contour was (edges_turn). Right to 1e-11 mm and
 * the rounding of coordinates. False when memory is out. */
bool apart_find(apart *of, const ring *contour, edge_set *other,
                const apart_question *question, apart_answer *out);

#endif
