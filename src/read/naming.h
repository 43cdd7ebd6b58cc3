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

/* The name that such another has in another unit: "time_ms", "x (cm)", and how
 * its values become those of that name; NAME_NONE for none. */
name_id naming_converted(const cell_text *cell, const char **how);

/* The number of a name such as x12, letter and number; false for others. */
bool naming_numbered(const cell_text *cell, char letter, size_t *number);

/* A numbered coordinate that is written otherwise, as "x_1", "x1_mm" and
 * "x_mm_1" are: what a wide table calls it, 'x', and with which unit. */
typedef struct numbered {
    char letter;
    size_t number;
    bool has_unit;
    bool converts; /* the unit is another than mm and pixels */
} numbered;

bool naming_numbered_meant(const cell_text *cell, numbered *out);

/* A unit, bare or in brackets: "mm", "[px]", "(s)". */
bool naming_is_unit(const cell_text *cell);

#endif
