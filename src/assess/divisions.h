/*
 * divisions.h - the parts of the line between which the calibre of healthy
 * vein steps: a confluence, told by a mark or by the profile itself.
 */
#ifndef ASSESS_DIVISIONS_H
#define ASSESS_DIVISIONS_H

#include "assess/reference.h"
#include "assess/workings.h"

/* What a piece begins with. */
typedef enum division_border {
    DIVISION_CUT,  /* the same vein goes on */
    DIVISION_STEP, /* of the calibre */
    DIVISION_MARK
} division_border;

/* Parts as those of vein_line_pieces; in one whose vein marks do not tell the
 * profile is searched for steps, each of which begins another part of that
 * vein. Long parts are cut into pieces of like length. At most
 * REFERENCE_PIECES. */
typedef struct divisions {
    vein_piece pieces[REFERENCE_PIECES];
    bl_span parts[REFERENCE_PIECES]; /* of which each piece is one */
    division_border begins[REFERENCE_PIECES];
    double falls[REFERENCE_PIECES]; /* at a step, as a share of the diameter */
    size_t count;
} divisions;

/* How many marks lie between two pieces: none within one vein. */
size_t divisions_marks(const divisions *of, size_t a, size_t b);

/* How many steps that confluences may make lie caudal of a piece in a vein that
 * marks do not tell. */
size_t divisions_steps_caudal(const divisions *of, size_t piece, bl_end travel);

/* BL_ERR_MEMORY. */
bl_status divisions_find(const workings *work, divisions *out);

#endif
