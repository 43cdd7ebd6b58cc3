/*
 * opposite.h - vectors in order of direction, and what lies opposite to each.
 */
#ifndef GEOMETRY_OPPOSITE_H
#define GEOMETRY_OPPOSITE_H

#include <stddef.h>
#include <stdint.h>

/* For vectors that go counter-clockwise once round, each less than half a turn
 * from the one before: across[i] is the last one, going on from i, that is not
 * beyond the direction opposite to i. Where roundings spoil the order it is
 * still a vector. Returns the comparisons made: about `count`. count >= 1. */
size_t opposite_find(const double *x, const double *y, size_t count,
                     uint32_t *across);

#endif
