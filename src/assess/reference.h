/*
 * reference.h - stretches of healthy vein and the calibre they imply at every
 * position.
 */
#ifndef ASSESS_REFERENCE_H
#define ASSESS_REFERENCE_H

#include "boreline.h"

/* One or two segments in position order, and the rule that joins them. */
typedef struct reference {
    bl_segment segments[2];
    size_t count; /* 0: no reference; every calibre below is NaN */
    bl_rule rule;
} reference;

/* Measures the usable frames of the profile in the span: length-weighted
 * means of what was traced. Frames either side of a gap do not stand for it.
 * BL_ERR_REFERENCE, outputs untouched, when no usable frame is in it. */
bl_status reference_segment(const bl_profile_point *points, size_t count,
                            bl_span span, bl_segment *out);

/* Names the cranial and the caudal segment of two by travel; one alone keeps
 * what it was given. */
void reference_ends(reference *of, bl_end travel);

/* Equivalent diameter, perimeter and flatness of healthy vein at a position,
 * by the reference's rule. */
double reference_diameter_mm(const reference *of, double position_mm);
double reference_perimeter_mm(const reference *of, double position_mm);
double reference_flatness(const reference *of, double position_mm);

/* Where the reference diameter changes slope: knots[0 .. returned). */
size_t reference_knots_mm(const reference *of, double knots[2]);

#endif
