/*
 * opposite.c - vectors in order of direction, and what lies opposite to each.
 *
 * The vectors of one half turn and the opposites of those of the other are two
 * lists in order; merging them tells between which two of one list each of the
 * other lies. Which list is next cannot be foretold, so a step has no branch;
 * merging from both ends at once, a step waits for the one before, but not for
 * the other end.
 */
#include "geometry/opposite.h"

/* What is still to be merged: vectors front + 1 .. front_end against
 * opposites of back + 1 .. back_end. */
typedef struct merging {
    const double *x;
    const double *y;
    uint32_t *across;
    size_t front;
    size_t front_end;
    size_t back;
    size_t back_end;
} merging;

/* Above 0 when the opposite of b comes before a, 0 when both are in line. */
static inline double turn(const merging *in, size_t a, size_t b) {
    return in->x[a] * in->y[b] - in->y[a] * in->x[b];
}

/* Takes the first of the two next, or both in line. What is written for one
 * that is not taken is written again. */
static inline void merge_first(merging *in) {
    size_t front = in->front;
    size_t back = in->back;
    double order = turn(in, front + 1, back + 1);
    in->front += order <= 0.0;
    in->back += order >= 0.0;
    in->across[front + 1] = (uint32_t)in->back;
    in->across[back + 1] = (uint32_t)in->front;
}

/* Takes the last of the two last, or both in line. */
static inline void merge_last(merging *in) {
    size_t front = in->front_end;
    size_t back = in->back_end;
    double order = turn(in, front, back);
    in->front_end -= order >= 0.0;
    in->back_end -= order <= 0.0;
    in->across[front] = (uint32_t)back;
    in->across[back] = (uint32_t)front;
}

/* Merges what is left; returns the comparisons. */
static size_t merge_rest(merging *in) {
    size_t made = 0;
    while (in->front < in->front_end && in->back < in->back_end) {
        merge_first(in);
        made++;
    }
    while (in->front < in->front_end) {
        in->across[++in->front] = (uint32_t)in->back;
    }
    while (in->back < in->back_end) {
        in->across[++in->back] = (uint32_t)in->front;
    }
    return made;
}

/* The last vector within half a turn from the first. */
static size_t half_turn(const double *x, const double *y, size_t count) {
    size_t within = 0;
    size_t beyond = count;
    while (beyond - within > 1) {
        size_t middle = within + (beyond - within) / 2;
        if (x[0] * y[middle] - y[0] * x[middle] >= 0.0) {
            within = middle;
        } else {
            beyond = middle;
        }
    }
    return within;
}

static size_t shorter_list(const merging *in) {
    size_t front = in->front_end - in->front;
    size_t back = in->back_end - in->back;
    return front < back ? front : back;
}

size_t opposite_find(const double *x, const double *y, size_t count,
                     uint32_t *across) {
    size_t half = half_turn(x, y, count);
    merging all = {x, y, across, 0, half, half, count - 1};
    across[0] = (uint32_t)half;
    size_t made = 0;
    /* As many steps from both ends can neither use up a list nor pass each
     * other, whatever roundings do to the order. */
    for (size_t steps; (steps = shorter_list(&all) / 2) > 0;) {
        for (size_t i = 0; i < steps; i++) {
            merge_first(&all);
            merge_last(&all);
        }
        made += 2 * steps;
    }
    made += merge_rest(&all);
    if (turn(&all, 0, half) <= 0.0) {
        across[half] = 0; /* in line, and not in the lists */
    }
    return made;
}
