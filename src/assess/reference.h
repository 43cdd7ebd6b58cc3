/*
 * reference.h - stretches of healthy vein and the calibre they imply at every
 * position.
 */
#ifndef ASSESS_REFERENCE_H
#define ASSESS_REFERENCE_H

#include "boreline.h"
#include "profile/profile.h"
#include "pullback/veins.h"

#define REFERENCE_PIECES ((size_t)16)
#define REFERENCE_SEGMENTS (2 * REFERENCE_PIECES)
/* One from each segment to the next, and one for each piece that has none. */
#define REFERENCE_LINKS (REFERENCE_SEGMENTS + 2 * REFERENCE_PIECES)

/* A part of the line and what says how wide healthy vein is in it: one or two
 * of the segments, which need not lie in it; without them the circle of an
 * expected area; NaN: nothing does. */
typedef struct reference_piece {
    vein_piece piece;
    size_t segments[2]; /* their numbers, in position order */
    size_t count;
    double area_mm2; /* expected */
} reference_piece;

/* How the calibre runs over a span: from one segment to another, which changes
 * over the ramp alone, or as one segment, or as an expected area. A border
 * within the ramp is where one vein passes into another: NaN, none. */
typedef struct reference_link {
    bl_span span;
    bl_span ramp;
    double border_mm;
    size_t segments[2];
    size_t count;
    double scale[2]; /* of their diameters and perimeters */
    double area_mm2;
} reference_link;

/* Segments in position order, the rule that joins two of them, the pieces, and
 * the links; both in position order from minus to plus infinity. */
typedef struct reference {
    bl_segment segments[REFERENCE_SEGMENTS];
    size_t count;
    bl_rule rule;
    reference_piece pieces[REFERENCE_PIECES];
    size_t piece_count; /* 0: there is no reference */
    reference_link links[REFERENCE_LINKS];
    size_t link_count;
    bl_end travel; /* a border is its caudal piece's */
} reference;

/* Whether there is one at all; without, every calibre below is NaN. */
bool reference_exists(const reference *of);

/* Measures the usable frames of the profile in the span: length-weighted
 * means of what was traced. Frames either side of a gap do not stand for it.
 * BL_ERR_REFERENCE, outputs untouched, when no usable frame is in it. */
bl_status reference_segment(const bl_profile_point *points, size_t count,
                            bl_span span, bl_segment *out);

/* Measures every segment again, in another profile of the same frames. */
void reference_measure(reference *of, const profile *in);

/* Names each segment by its end: of two of a piece the cranial and the caudal
 * one; one alone by the side of worst_mm (NaN: not known yet) it lies on. */
void reference_ends(reference *of, double worst_mm);

/* The middle of a segment, where a taper passes through it. */
double reference_middle_mm(const bl_segment *segment);

/* A link for each piece, which tells the same. */
void reference_link_pieces(reference *of);

/* Makes the whole line one piece of its one or two segments, named. */
void reference_whole(reference *of, bl_end travel);

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

/* The link that a position lies in; NULL where there is no reference. */
const reference_link *reference_link_at(const reference *of,
                                        double position_mm);

/* Where the reference changes slope, or steps: there it is `before` on the side
 * of lower positions and `after` on the other. */
typedef struct reference_break {
    double x_mm;
    size_t link; /* the number of that which ends here, or goes on */
    bool steps;
    reference_shape before;
    reference_shape after;
} reference_break;

#define REFERENCE_BREAKS (3 * REFERENCE_LINKS)

/* In position order, breaks[0 .. returned). */
size_t reference_breaks(const reference *of,
                        reference_break breaks[REFERENCE_BREAKS]);

#endif
