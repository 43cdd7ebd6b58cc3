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
    bool starts; /* the first node of a stretch without a gap */
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

/* From a position outward (before it, or after it) to the first place where
 * value >= share * level; *open when a stretch's end comes first. `node` is a
 * node inside or at the end of the stretch to leave. */
double course_back_before_mm(const course *of, size_t node, double share,
                             bool *open);
double course_back_after_mm(const course *of, size_t node, double share,
                            bool *open);

#endif
