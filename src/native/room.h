/*
 * room.h - room for the rows of a table whose length is known.
 */
#ifndef NATIVE_ROOM_H
#define NATIVE_ROOM_H

#include "boreline.h"

/* Makes room for the rows that a table of so many bytes usually has. Where
 * there is no memory, or the table has others, the study makes its own. Before
 * the first feed. */
void room_make(bl_study *study, uint64_t bytes);

#endif
