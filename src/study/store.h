/*
 * store.h - the contours of a study: a row each, and their points if kept.
 */
#ifndef STUDY_STORE_H
#define STUDY_STORE_H

#include "base/message.h"
#include "boreline.h"
#include "geometry/stray.h"

/* What of a contour is unlike the rest of it; of few. */
typedef struct stray_row {
    uint64_t line; /* where the contour begins */
    bool told;     /* something else of its points is told already */
    stray of;
} stray_row;

/* Where a kept contour's points lie. */
typedef struct kept {
    size_t first;
    size_t count;
} kept;

/* Zero-initialised, with keep, limit and message set, is ready. */
typedef struct store {
    bool keep;      /* points too */
    size_t beside;  /* bytes that a row may need elsewhere */
    uint64_t limit; /* bytes of all arrays; 0: LIMIT_MEMORY_BYTES */
    bl_message *message;
    bl_row *rows;
    uint64_t *lines; /* where each row's contour begins */
    kept *kept;      /* only when points are kept */
    size_t count;
    bool mixed; /* not by frame: seen while the row before is at hand */
    size_t capacity;
    double *x;
    double *y;
    size_t points;
    size_t point_capacity;
    stray_row *strays; /* in no order, at most two of a row */
    size_t stray_count;
    size_t stray_capacity;
} store;

/* Takes room for rows, which free must be able to free, and makes it when it is
 * too small like its own. False, and it stays the caller's, where there is room
 * already, points are kept, which share the limit, the room is beyond that, or
 * memory is out. */
bool store_take_room(store *to, bl_row *room, size_t capacity);

/* Adds a row and, when they are kept, its points. BL_ERR_LIMIT for too many
 * contours or too much memory, BL_ERR_MEMORY. */
bl_status store_add(store *to, const bl_row *row, uint64_t line,
                    const bl_contour *contour);

/* BL_ERR_MEMORY. */
bl_status store_add_stray(store *to, const stray_row *one);

/* Orders by frame, then kind, then line; or by position, then frame and kind.
 * BL_ERR_MEMORY. */
bl_status store_sort_by_frame(store *of);
bl_status store_sort_by_position(store *of);

/* Gives back the points that were kept. */
void store_drop_points(store *of);

void store_free(store *of);

#endif
