/*
 * naming.h - the names that columns have, and those that are meant.
 */
#ifndef READ_NAMING_H
#define READ_NAMING_H

#include "read/cells.h"

typedef enum name_id {
    NAME_NONE,
    NAME_FRAME,
    NAME_X,
    NAME_Y,
    NAME_X_MM,
    NAME_Y_MM,
    NAME_X_PX,
    NAME_Y_PX,
    NAME_ANGLE,
    NAME_RADIUS_MM,
    NAME_RADIUS_PX,
    NAME_KIND,
    NAME_TIME,
    NAME_POSITION,
    NAME_POINT,
    NAME_COUNT
} name_id;

/* As written in a header, lower-case; "" for NAME_NONE. */
const char *naming_of(name_id id);

/* The name that the cell is, in any case; NAME_NONE for another. */
name_id naming_find(const cell_text *cell);

/* The name that such another surely stands for: "frame no", "x (mm)",
 * "position"; NAME_NONE for none. */
name_id naming_meant(const cell_text *cell);

/* The name that such another has in another unit: "time_ms", "x (cm)";
 * NAME_NONE for none. */
name_id naming_converted(const cell_text *cell);

/* The number of a name such as x12, letter and number; false for others. */
bool naming_numbered(const cell_text *cell, char letter, size_t *number);

/* "x1_mm" and the like: a numbered coordinate with a unit, which those of a
 * wide table do not have. */
bool naming_has_unit(const cell_text *cell);

#endif
