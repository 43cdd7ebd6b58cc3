/*
 * inside.h - what a study holds; for the files of this room.
 */
#ifndef STUDY_INSIDE_H
#define STUDY_INSIDE_H

#include "boreline.h"
#include "pullback/findings.h"
#include "pullback/notes.h"
#include "read/reader.h"
#include "study/batch.h"
#include "study/store.h"

struct bl_study {
    bl_study_options options;
    notes given;
    findings said;
    bl_message message;
    reader reader;
    bl_measurer *measurer;
    store store;
    batch_runner runner; /* trade is NULL when contours are measured here */
    batch *filling;
    bl_pullback pullback;
    bl_mark *marks;
    bl_apposition *appositions;
    size_t apposition_count;
    size_t apposition_capacity;
    size_t last_points; /* of the last contour of the table, repeats too */
    bool fed;
    bool finished;
    bool settled;      /* measured, as far as it was read */
    bl_status stopped; /* what ended it before or at its end; BL_OK: nothing */
};

/* Positions, marks and references, when every contour is there: rows end up
 * in position order. In a study that goes on, everything that is wrong is a
 * finding; positions then are those of the frames that could be read, or
 * unknown. BL_ERR_INPUT, BL_ERR_MEMORY. */
bl_status placing_finish(bl_study *study);

/* Labels, shape, units and counts, which are known without positions; what
 * comes with these is unknown until placing_finish. */
void placing_describe(bl_study *study);

/* Warns of calibres and pixels that no deep vein has, when contours are
 * measured; and of a length, when they are placed. BL_ERR_MEMORY. */
bl_status plausible_scale(bl_study *study);
bl_status plausible_length(bl_study *study);

/* Warns of contours that were hardly traced as they stand: with a stray point,
 * open, through 0,0, held over frames, or cut with the table. Rows end up in
 * order of frames. BL_ERR_MEMORY. */
bl_status traced_doubt(bl_study *study);

/* Where frames are placed: rows in order of position, jumps, the length, and
 * doubts of these and of marks. BL_ERR_MEMORY. */
bl_status along_finish(bl_study *study);

#endif
