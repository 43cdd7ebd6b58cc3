/*
 * schedule.c - a pullback speed that changes from frame to frame.
 */
#include "pullback/schedule.h"

static int64_t piece_end(const schedule_walk *walk) {
    return walk->piece + 1 == walk->count ? INT64_MAX
                                          : walk->pieces[walk->piece + 1].frame;
}

/* What a piece adds to the integral between two frames. The first piece also
 * counts before its start: only frames before `motion` are there, and these
 * are held at its start. */
static double piece_part(const schedule_walk *walk, int64_t from, int64_t to) {
    const bl_speed *piece = &walk->pieces[walk->piece];
    int64_t begin = walk->piece == 0 ? from : piece->frame;
    int64_t end = piece_end(walk);
    begin = begin > from ? begin : from;
    end = end < to ? end : to;
    return begin < end ? (double)(end - begin) * piece->mm_per_s : 0.0;
}

double schedule_to(schedule_walk *walk, int64_t from, int64_t to) {
    while (piece_end(walk) < to) {
        walk->before += piece_part(walk, from, to);
        walk->piece++;
    }
    return walk->before + piece_part(walk, from, to);
}

double schedule_between(schedule_walk *walk, int64_t from, int64_t to) {
    while (piece_end(walk) <= from) {
        walk->piece++;
    }
    schedule_walk onward = *walk;
    onward.before = 0.0;
    return schedule_to(&onward, from, to);
}
