/*
 * measurer.h - what the rest of the library may know of a bl_measurer.
 */
#ifndef GEOMETRY_MEASURER_H
#define GEOMETRY_MEASURER_H

#include "boreline.h"

/* Distinct points of the last contour: consecutive repeats and a closing
 * repeat are counted once. */
size_t measurer_point_count(const bl_measurer *measurer);

/* As bl_measurer_measure, without the limit on how far from the origin a
 * coordinate may be. */
bl_status measurer_shape(bl_measurer *measurer, const bl_contour *contour,
                         bl_measures *out);

/* No measure and no flag. */
bl_measures measurer_unknown(void);

#endif
