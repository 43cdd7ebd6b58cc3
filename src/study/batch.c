/*
 * batch.c - contours set aside, to be measured on another thread.
 */
#include "study/batch.h"

#include "geometry/measurer.h"

#include <stdlib.h>
#include <string.h>

static bool reserve(batch *in, size_t need) {
    if (need <= in->capacity) {
        return true;
    }
    size_t capacity = need < BATCH_POINTS ? BATCH_POINTS : need;
    double *x = realloc(in->x, capacity * sizeof *x);
    in->x = x != NULL ? x : in->x;
    double *y = realloc(in->y, capacity * sizeof *y);
    in->y = y != NULL ? y : in->y;
    if (x == NULL || y == NULL) {
        return false;
    }
    in->capacity = capacity;
    return true;
}

bl_status batch_add(batch *to, size_t row, const bl_contour *contour) {
    if (!reserve(to, to->held + contour->count)) {
        return BL_ERR_MEMORY;
    }
    if (contour->count > 0) {
        memcpy(to->x + to->held, contour->x_mm, contour->count * sizeof *to->x);
        memcpy(to->y + to->held, contour->y_mm, contour->count * sizeof *to->y);
    }
    to->first_row = to->count == 0 ? row : to->first_row;
    to->held += contour->count;
    to->ends[to->count++] = to->held;
    return BL_OK;
}

bool batch_is_full(const batch *of) {
    return of->count == BATCH_CONTOURS || of->held >= BATCH_POINTS;
}

void batch_measure(batch *of, bl_measurer *measurer) {
    size_t start = 0;
    of->status = BL_OK;
    for (size_t i = 0; i < of->count && of->status == BL_OK; i++) {
        bl_contour one = {of->x + start, of->y + start, of->ends[i] - start};
        of->status = bl_measurer_measure(measurer, &one, &of->measures[i]);
        of->points[i] = (uint32_t)measurer_point_count(measurer);
        if (of->status == BL_OK) {
            of->strays[i] = measurer_stray(measurer, of->measures[i].flags);
        }
        start = of->ends[i];
    }
}

bl_status batch_store(batch *of, store *to) {
    bl_status status = of->status;
    for (size_t i = 0; i < of->count && status == BL_OK; i++) {
        size_t row = of->first_row + i;
        to->rows[row].measures = of->measures[i];
        to->rows[row].points = of->points[i];
        if (of->strays[i].what != STRAY_NONE) {
            stray_row one = {.line = to->lines[row], .of = of->strays[i]};
            status = store_add_stray(to, &one);
        }
    }
    of->count = 0;
    of->held = 0;
    return status;
}

void batch_free(batch *of) {
    free(of->x);
    free(of->y);
}
