/*
 * veins.h - the marks that part the line into veins.
 */
#ifndef PULLBACK_VEINS_H
#define PULLBACK_VEINS_H

#include "boreline.h"

/* From cranial to caudal. */
enum {
    VEIN_BORDER_ILIOCAVAL,
    VEIN_BORDER_INTERNAL_ILIAC,
    VEIN_BORDER_INGUINAL,
    VEIN_BORDER_FEMORAL
};
#define VEIN_BORDERS 4

/* Its name as a mark; of VEIN_BORDERS, which parts none of these veins, that of
 * the deep femoral vein's mouth. */
const char *vein_border_name(unsigned border);

/* The mark of that border; NULL when the table has none. */
const bl_mark *vein_border(const bl_pullback *pullback, unsigned border);

/* The border that a mark's name misses by two letters at most, "inguinal
 * ligament" or "femoral_conflunce"; NULL for any other name, and for a
 * border's own. */
const char *vein_border_meant(const char *name);

/* The borders looked up once, for many questions: positions that grow
 * caudally whatever the travel, NaN without the mark. */
typedef struct vein_line {
    double border_mm[VEIN_BORDERS];
    bl_end travel;
} vein_line;

vein_line vein_line_of(const bl_pullback *pullback);

/* What bl_pullback_vein_at says. */
bl_vein vein_line_at(const vein_line *line, double position_mm);

/* The line parted at its borders: pieces that follow each other in position
 * order, the first from minus to the last to plus infinity, neighbours of
 * different veins (or unknown). Returns how many. */
#define VEIN_PIECES (VEIN_BORDERS + 1)

typedef struct vein_piece {
    bl_span span;
    bl_vein vein;
} vein_piece;

/* Whether a position lies in it; a border belongs to the vein caudal of it. */
bool vein_piece_holds(const vein_piece *piece, bl_end travel,
                      double position_mm);

size_t vein_line_pieces(const vein_line *line, vein_piece out[VEIN_PIECES]);

#endif
