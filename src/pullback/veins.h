/*
 * veins.h - the marks that part the line into veins.
 */
#ifndef PULLBACK_VEINS_H
#define PULLBACK_VEINS_H

#include "boreline.h"

#define VEIN_BORDERS 4

/* Numbered from cranial (0, the iliocaval confluence) to caudal. The mark of
 * that border; NULL when the table has none. */
const bl_mark *vein_border(const bl_pullback *pullback, unsigned border);

#endif
