/*
 * reference.h - stretches of healthy vein and the calibre they imply at every
 * position.
 */
#ifndef ASSESS_REFERENCE_H
#define ASSESS_REFERENCE_H

#include "boreline.h"
#include "pullback/veins.h"

/* A vein and the area expected of it; NaN: none is. */
typedef struct reference_piece {
    vein_piece piece;
    double area_mm2;
    double diameter_mm; /* of the circle of that area */
} reference_piece;

/* One or two segments in position order, and the rule that joins them; or
 * what is expected of each vein, in position order, without a segment. */
typedef struct reference {
    bl_segment segments[2];
    size_t count;
    bl_rule rule;
    reference_piece pieces[VEIN_PIECES];
    size_t piece_count;
    bl_end travel; /* with pieces: a border is its caudal piece's */
} reference;

/* Whether there is one at all; without, every calibre below is NaN. */
bool reference_exists(const reference *of);

/* Measures the usable frames of the profile in the span: length-weighted
 * means of what was traced. Frames either side of a gap do not stand for it.
 * BL_ERR_REFERENCE, outputs untouched, when no usable frame is in it. */
bl_status reference_segment(const bl_profile_point *points, size_t count,
                            bl_span span, bl_segment *out);

/* Names the cranial and the caudal segment of two by travel; one alone keeps
 * what it was given. */
void reference_ends(reference *of, bl_end travel);

/* Healthy vein at one position; NaN where there is no reference. */
typedef struct reference_shape {
    double area_mm2;
    double diameter_mm; /* equivalent */
    double perimeter_mm;
    double flatness;
} reference_shape;

/* By the reference's rule. Of a vein's expected area nothing but the area is
 * known: its shape is that of a circle. */
reference_shape reference_shape_at(const reference *of, double position_mm);
double reference_diameter_mm(const reference *of, double position_mm);

/* Where the reference changes slope, or steps: there it is `before` on the side
 * of lower positions and `after` on the other. */
typedef struct reference_break {
    double x_mm;
    bool steps;
    reference_shape before;
    reference_shape after;
} reference_break;

#define REFERENCE_BREAKS ((size_t)VEIN_PIECES - 1)

/* In position order, breaks[0 .. returned). */
size_t reference_breaks(const reference *of,
                        reference_break breaks[REFERENCE_BREAKS]);

#endif
