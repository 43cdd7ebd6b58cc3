/*
 * normals.h - the areas that healthy veins are expected to have: the published
 * ones, or those of a user's table.
 */
#ifndef PULLBACK_NORMALS_H
#define PULLBACK_NORMALS_H

#include "base/arena.h"
#include "boreline.h"

/* One row of a user's table. */
typedef struct normals_row {
    bl_vein vein;
    const char *side; /* "left", "right", or "" for any */
    double area_mm2;
    const char *source; /* "" when not given */
    uint64_t line;
} normals_row;

/* Five veins with one row for each side and one for any. */
#define NORMALS_ROWS_MOST 15

struct bl_normals {
    arena memory; /* of the texts */
    normals_row rows[NORMALS_ROWS_MOST];
    size_t count;
    const char *name;
    const char *source; /* its name and what its rows say */
};

/* The row of just this side; NULL when there is none. */
const normals_row *normals_find(const bl_normals *of, bl_vein vein,
                                const char *side);

#endif
