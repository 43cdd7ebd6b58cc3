/*
 * schedule.h - a pullback speed that changes from frame to frame.
 */
#ifndef PULLBACK_SCHEDULE_H
#define PULLBACK_SCHEDULE_H

#include "boreline.h"

/* A walk along the pieces of a schedule with rising frames, so that all frames
 * together cost no more than frames and pieces added. With the pieces set, else
 * zero, is at its start. */
typedef struct schedule_walk {
    const bl_speed *pieces; /* `count` >= 1, by frame, rising */
    size_t count;
    size_t piece;
    double before; /* the integral to the start of that piece */
} schedule_walk;

/* The integral of speed over frame numbers, mm/s times frames, from a start
 * that stays the same to `to`, which never falls. */
double schedule_to(schedule_walk *walk, int64_t from, int64_t to);

/* The same between two frames; neither falls from one call to the next. */
double schedule_between(schedule_walk *walk, int64_t from, int64_t to);

#endif
