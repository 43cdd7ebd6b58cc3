/*
 * facing.h - vectors in order of direction, in blocks, and which blocks face
 * each other.
 *
 * While a line turns by half a turn, its front end passes some of the vectors
 * and its back end the others. A bound on two blocks that face each other
 * spares most of them a closer look.
 */
#ifndef GEOMETRY_FACING_H
#define GEOMETRY_FACING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Vectors a block, fewer in the last: with the first of the next one they fill
 * lanes. */
#define FACING_WIDTH 7

/* The blocks in which the ends of the line are, between two directions in which
 * one of them comes to the next. */
typedef struct facing_pair {
    uint32_t front;
    uint32_t back;
    double near; /* least and greatest distance in both, added */
    double far;
} facing_pair;

/* Working memory; zero-initialised is ready. */
typedef struct facing {
    size_t count;
    size_t blocks;
    double *x; /* the first vector of each block */
    double *y;
    double *near; /* from the centre, of what is from the first vector of each
                     block to the first of the next */
    double *far;
    double longest; /* step from the end of a vector to that of the next, where
                       vectors are points */
    facing_pair *pairs; /* in order of direction */
    size_t pair_count;
    size_t nearest; /* pair */
    size_t furthest;
    size_t capacity;
} facing;

void facing_free(facing *of);

/* Makes room for the blocks of count vectors that go counter-clockwise once
 * round, each less than half a turn from the one before. Then x, y, near and
 * far are to be filled. False when memory is out. */
bool facing_reserve(facing *of, size_t count);

/* Finds the pairs. False when there are few blocks, or one of them reaches over
 * half a turn. */
bool facing_match(facing *of);

/* A part of the way of a line, which begins as one of its ends comes to vector
 * `front` or `back`; the other end is at its own or at one behind. */
typedef struct facing_span {
    size_t front;
    size_t back;
    size_t front_last; /* the vectors that the ends come to at most; */
    size_t back_last;  /* `count` is the first again */
    bool from_front;   /* it begins as the front end comes to its vector */
    bool to_front;     /* and ends as that comes to its last */
} facing_span;

/* Half a turn from vector 0 on, blocks or not. */
static inline facing_span facing_whole(size_t count) {
    return (facing_span){0, 0, count - 1, count, true, false};
}

static inline bool facing_is_over(const facing_span *of, size_t front,
                                  size_t back) {
    return of->to_front ? front == of->front_last : back == of->back_last;
}

/* The pairs of least near and of greatest far: these first, then most others
 * are out. Each is given once, by these or by facing_next. */
facing_span facing_nearest(facing *of);
facing_span facing_furthest(facing *of);

/* The next pairs in a row, from pair *at on, that may hold less than `least`,
 * or at least `most`. False when there are none. */
bool facing_next(facing *of, double least, double most, size_t *at,
                 facing_span *out);

#endif
