/*
 * batch.h - contours set aside, to be measured on another thread.
 *
 * The core has no threads: whoever has them takes full batches through a
 * batch_runner, calls batch_measure wherever it likes and gives them back.
 */
#ifndef STUDY_BATCH_H
#define STUDY_BATCH_H

#include "boreline.h"
#include "study/store.h"

#define BATCH_CONTOURS 64
/* A batch is full when it has this many points, or as many contours. */
#define BATCH_POINTS ((size_t)16384)

/* Zero-initialised is empty and ready. */
typedef struct batch {
    size_t first_row; /* of its contours, which are neighbours */
    size_t count;
    size_t ends[BATCH_CONTOURS]; /* where each one's points end */
    bl_measures measures[BATCH_CONTOURS];
    uint32_t points[BATCH_CONTOURS]; /* distinct */
    stray strays[BATCH_CONTOURS];
    double *x;
    double *y;
    size_t held;
    size_t capacity;
    bl_status status; /* of batch_measure */
} batch;

typedef struct batch_runner {
    /* Takes a full batch (NULL at first) and gives one to be used next: empty,
     * or measured, to be stored and cleared. NULL when memory is out. */
    batch *(*trade)(void *context, batch *full);
    /* Gives a measured batch, to be stored and cleared, until none is left to
     * come: NULL. */
    batch *(*drain)(void *context);
    void *context;
} batch_runner;

/* Copies a contour into the batch. BL_ERR_MEMORY. */
bl_status batch_add(batch *to, size_t row, const bl_contour *contour);
bool batch_is_full(const batch *of);

/* Measures all its contours; sets measures, points, strays and status. */
void batch_measure(batch *of, bl_measurer *measurer);

/* Puts what was measured into the rows and empties the batch, which may be
 * empty. What batch_measure found; BL_ERR_MEMORY. */
bl_status batch_store(batch *of, store *to);

void batch_free(batch *of);

/* Hands the study's contours to a runner, which must outlive bl_study_finish.
 * Before the first feed. */
void study_run_with(bl_study *study, const batch_runner *runner);

/* Takes room for rows: store_take_room. */
bool study_take_room(bl_study *study, bl_row *room, size_t capacity);

/* The columns that a measurer of this study's contours needs. */
uint32_t study_columns(const bl_study *study);

#endif
