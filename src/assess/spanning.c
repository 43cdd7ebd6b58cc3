/*
 * spanning.c - a stretch of a profile cell by cell.
 */
#include "assess/spanning.h"

#include <math.h>

/* The first point behind a position, else the last; at least the second, so
 * that one stands before it. */
static size_t first_behind(const bl_profile_point *points, size_t count,
                           double position_mm) {
    size_t low = 1;
    size_t high = count - 1;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (points[middle].position_mm > position_mm) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low;
}

spanning spanning_of(const bl_profile_point *points, size_t count,
                     bl_span span) {
    return (spanning){points, count, span,
                      first_behind(points, count, span.from_mm)};
}

bool spanning_next(spanning *of, spanning_cell *out) {
    for (; of->next < of->count; of->next++) {
        const bl_profile_point *after = &of->points[of->next];
        const bl_profile_point *before = after - 1;
        double from_mm = fmax(of->span.from_mm, before->position_mm);
        double to_mm = fmin(of->span.to_mm, after->position_mm);
        if (from_mm >= of->span.to_mm) {
            return false;
        }
        if (to_mm > from_mm) {
            double middle_mm = 0.5 * (from_mm + to_mm);
            *out = (spanning_cell){
                .before = before,
                .after = after,
                .length_mm = to_mm - from_mm,
                .part = (middle_mm - before->position_mm) /
                        (after->position_mm - before->position_mm),
                .is_gap = after->after_gap,
            };
            of->next++;
            return true;
        }
    }
    return false;
}
