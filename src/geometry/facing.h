/*
 * facing.h - vectors in order of direction, in blocks, and which blocks lie
 * opposite to which.
 *
 * A bound on a few vectors together with those across spares most of them a
 * closer look.
 */
#ifndef GEOMETRY_FACING_H
#define GEOMETRY_FACING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Working memory; zero-initialised is ready. */
typedef struct facing {
    const double *x; /* as given */
    const double *y;
    size_t count;
    size_t width; /* vectors a block, fewer in the last */
    size_t blocks;
    bool narrow;     /* each block less than a quarter of a turn, or else each
                        vector is a block, and which face it is not told */
    double *start_x; /* the first vector of each block */
    double *start_y;
    uint32_t
        *across; /* for each block, that of what is opposite to its start */
    size_t capacity;
    size_t steps; /* comparisons of directions, for tests of their growth */
} facing;

void facing_free(facing *of);

/* For vectors as opposite_find takes them, which stay in place. False when
 * memory is out. */
bool facing_find(facing *out, const double *x, const double *y, size_t count);

/* The block after one. */
static inline size_t facing_after(const facing *of, size_t block) {
    return block + 1 < of->blocks ? block + 1 : 0;
}

static inline size_t facing_first(const facing *of, size_t block) {
    return block * of->width;
}

/* One past the last vector of a block. */
static inline size_t facing_end(const facing *of, size_t block) {
    size_t end = (block + 1) * of->width;
    return end < of->count ? end : of->count;
}

/* Squares of how far a member of a block must be from the centre, or how near,
 * to matter. */
typedef struct facing_worth {
    double far;
    double near;
} facing_worth;

/* What matters in a block, when a pair, one of it and one of those opposite,
 * is wanted whose distances add up to at least `most` or to less than `least`;
 * near and far are the least and greatest distances in each block. All of it
 * where blocks are not narrow. */
facing_worth facing_worth_of(const facing *of, size_t block, const double *near,
                             const double *far, double least, double most);

/* Moves *at, from the first vector of the block across on, to the last one not
 * beyond the direction opposite to (x, y), which is in that of block. */
static inline void facing_seek(facing *of, size_t block, double x, double y,
                               size_t *at) {
    size_t last = facing_end(of, of->across[facing_after(of, block)]) - 1;
    while (*at != last) {
        size_t next = *at + 1 < of->count ? *at + 1 : 0;
        if (x * of->y[next] - y * of->x[next] < 0.0) {
            break;
        }
        *at = next;
        of->steps++;
    }
}

/* The same where directions that differ by up to slack radians are one: the
 * last vector in it or before it when up, else the last before it. */
void facing_seek_about(facing *of, size_t block, double x, double y,
                       double slack, bool up, size_t *at);

#endif
