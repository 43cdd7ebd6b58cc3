/*
 * measurer.h - what the rest of the library may know of a bl_measurer.
 */
#ifndef GEOMETRY_MEASURER_H
#define GEOMETRY_MEASURER_H

#include "boreline.h"
#include "geometry/stray.h"

/* Distinct points of the last contour: consecutive repeats and a closing
 * repeat are counted once. */
size_t measurer_point_count(const bl_measurer *measurer);

/* What is unlike the rest of the last contour, which is still there and was
 * measured with those flags: nothing of one that is left out. */
stray measurer_stray(const bl_measurer *measurer, uint32_t flags);

/* As bl_measurer_measure, without the limit on how far from the origin a
 * coordinate may be. */
bl_status measurer_shape(bl_measurer *measurer, const bl_contour *contour,
                         bl_measures *out);

/* No measure and no flag. */
bl_measures measurer_unknown(void);

#endif
