/*
 * course.h - a quantity along the vessel and the level it is held against,
 * both linear between nodes: the stretches where it is at or below a level,
 * found exactly.
 */
#ifndef ASSESS_COURSE_H
#define ASSESS_COURSE_H

#include "base/arena.h"
#include "boreline.h"

typedef struct course_node {
    double x_mm;
    double value;
    double level;
    bool starts;  /* the first node of a stretch without a gap */
    bool knot;    /* the level changes here, between points or at one */
    size_t point; /* the profile point that the node is; of a knot the next */
} course_node;

typedef struct course {
    course_node *nodes; /* in position order */
    size_t count;
} course;

/* A stretch where value <= share * level; first and last are the nodes at or
 * just inside its ends. */
typedef struct course_stretch {
    bl_span span;
    size_t first;
    size_t last;
} course_stretch;

/* All stretches where value <= share * level, in order; two less than
 * join_mm apart, without a gap and without value reaching back * level
 * between them, are one. BL_ERR_MEMORY. */
bl_status course_below(const course *of, double share, double back,
                       double join_mm, arena *owner, course_stretch **out,
                       size_t *count);

/* Where a stretch's shoulder ends: value is back at the level, or, `open`, a
 * gap or the end of the course comes first. */
typedef struct course_end {
    double x_mm;
    bool open;
} course_end;

typedef struct course_ends {
    course_end before;
    course_end after;
} course_ends;

/* Of each of count stretches, in order, the first places outward of it where
 * value >= back * level. */
void course_shoulders(const course *of, const course_stretch *stretches,
                      size_t count, double back, course_ends *out);

/* The profile points within a stretch, from `first` to before `end`; none when
 * it holds knots only. */
typedef struct course_points {
    size_t first;
    size_t end;
} course_points;

course_points course_points_of(const course *of, const course_stretch *stretch);

#endif
