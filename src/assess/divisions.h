/*
 * divisions.h - the parts of the line between which the calibre of healthy
 * vein steps: a confluence, told by a mark or by the profile itself.
 */
#ifndef ASSESS_DIVISIONS_H
#define ASSESS_DIVISIONS_H

#include "assess/reference.h"
#include "assess/workings.h"

/* Pieces as those of vein_line_pieces; in one whose vein marks do not tell
 * the profile is searched for steps, each of which begins another piece of
 * that vein. At most REFERENCE_PIECES. */
typedef struct divisions {
    vein_piece pieces[REFERENCE_PIECES];
    size_t count;
} divisions;

/* BL_ERR_MEMORY. */
bl_status divisions_find(const workings *work, divisions *out);

#endif
