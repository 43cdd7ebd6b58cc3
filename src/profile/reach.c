/*
 * reach.c - from where to where a pullback reaches.
 *
 * It reaches over every contour, then on at each end as long as the next row
 * is near.
 */
#include "profile/reach.h"

#include "base/constants.h"

static bool is_contour(const bl_row *row) {
    return (row->measures.flags & BL_FLAG_FEW_POINTS) == 0;
}

reach reach_of(const bl_row *rows, size_t count) {
    reach out = {0, count};
    while (out.first < count && !is_contour(&rows[out.first])) {
        out.first++;
    }
    if (out.first == count) {
        return (reach){0, count};
    }
    while (!is_contour(&rows[out.end - 1])) {
        out.end--;
    }
    while (out.first > 0 &&
           rows[out.first].position_mm - rows[out.first - 1].position_mm <=
               GAP_MM) {
        out.first--;
    }
    while (out.end < count &&
           rows[out.end].position_mm - rows[out.end - 1].position_mm <=
               GAP_MM) {
        out.end++;
    }
    return out;
}
