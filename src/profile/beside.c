/*
 * beside.c - what the contours beside one tell of it.
 *
 * A contour that lost a part reads well and has too few points. It is held
 * against its neighbours only, since a narrow vein may be traced with fewer
 * points than a wide one. Two such side by side must not hide each other, nor
 * every second one the ones between: so of the nearest two the fewer counts,
 * of the nearest four what three have, and of these the more.
 */
#include "profile/beside.h"

#include "profile/profile.h"

/* A contour with so many times fewer points than those beside it was cut. */
#define FAR_FEWER 2
#define EACH_SIDE ((size_t)2)

/* The next usable lumen contour of the rows in steps of 1 or -1; count (or
 * more) where there is none. */
static size_t next_usable(const bl_row *rows, size_t count, size_t i,
                          size_t step) {
    do {
        i += step; /* below 0 is beyond count */
    } while (i < count && !profile_is_usable_lumen(&rows[i]));
    return i;
}

/* Puts the points of the next `most` contours in steps of 1 or -1 into out, the
 * nearest first; returns how many there are. */
static size_t points_towards(const bl_row *rows, size_t count, size_t i,
                             size_t step, size_t most, uint32_t *out) {
    size_t held = 0;
    while (held < most) {
        i = next_usable(rows, count, i, step);
        if (i >= count) {
            break;
        }
        out[held++] = rows[i].points;
    }
    return held;
}

static uint32_t fewer(uint32_t a, uint32_t b) {
    return a < b ? a : b;
}

static uint32_t more(uint32_t a, uint32_t b) {
    return a < b ? b : a;
}

static uint32_t second_fewest(const uint32_t of[2 * EACH_SIDE]) {
    uint32_t low = fewer(of[0], of[1]);
    uint32_t high = more(of[0], of[1]);
    uint32_t other_low = fewer(of[2], of[3]);
    uint32_t other_high = more(of[2], of[3]);
    return fewer(more(low, other_low), fewer(high, other_high));
}

uint32_t beside_points(const bl_row *rows, size_t count, size_t i) {
    uint32_t before[EACH_SIDE];
    uint32_t after[EACH_SIDE];
    size_t n = points_towards(rows, count, i, SIZE_MAX, EACH_SIDE, before);
    size_t m = points_towards(rows, count, i, 1, EACH_SIDE, after);
    if (n + m == 0) {
        return 0;
    }
    if (n == 0 || m == 0) {
        const uint32_t *side = n > 0 ? before : after;
        return fewer(side[0], side[n + m - 1]);
    }
    uint32_t nearest = fewer(before[0], after[0]);
    if (n + m < 2 * EACH_SIDE) {
        return nearest;
    }
    const uint32_t all[] = {before[0], before[1], after[0], after[1]};
    return more(nearest, second_fewest(all));
}

bool beside_is_cut(const bl_row *rows, size_t count, size_t i) {
    return FAR_FEWER * (uint64_t)rows[i].points < beside_points(rows, count, i);
}

static size_t left_out_towards(const bl_row *rows, size_t count, size_t i,
                               size_t step) {
    size_t end = next_usable(rows, count, i, step);
    size_t sum = 0;
    for (i += step; i < count && i != end; i += step) {
        sum += rows[i].kind == BL_KIND_LUMEN;
    }
    return sum;
}

size_t beside_left_out(const bl_row *rows, size_t count, size_t i) {
    return left_out_towards(rows, count, i, SIZE_MAX) +
           left_out_towards(rows, count, i, 1);
}
