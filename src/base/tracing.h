/*
 * tracing.h - from where on a contour, or what changes from one to the next,
 * is hardly what was traced.
 *
 * All are our own measures: they ask for a second look and decide nothing.
 * docs/definitions.md, "What an input is doubted for", says them in words.
 */
#ifndef BASE_TRACING_H
#define BASE_TRACING_H

/* Contours of fewer points are made by hand, often of whole numbers, and have
 * edges of any length. */
#define TRACED_POINTS 12

/* A point stands out when its two edges are together so many times as long as
 * two others are, of the whole contour on average and of the two beside them.
 * Inwards nothing does that but a point too near the catheter: a decimal point
 * that slipped in one of 24 points of a round contour makes 3.5, and noise and
 * uneven points at most 1.7. */
#define SPIKE_IN 2.0
/* Outwards the tip of a vein pressed flat may be a lone point where it is
 * sampled at equal angles from the catheter: at 16 x 2 mm, as wide as a
 * catheter, up to 4.8 at 24 angles and 11.3 at 12. A slip makes 34 and 17. */
#define SPIKE_OUT 5.0
#define SPIKE_OUT_FEW 12.0 /* of fewer than FEW_TRACED_POINTS */
/* They go and come back: what they span is at most so much of their way, an
 * angle below 74 degrees, so that corners of pixels, 90, are none. */
#define SPIKE_SPAN 0.6
/* And they matter: the point adds so much to the perimeter. */
#define SPIKE_PERIMETER 0.05

/* So do several neighbouring points: a greatest radius or a slip of the hand
 * fills what was not traced. The edge out and that back are each so many times
 * as long as the others are on average and the two beside them. Outwards, two
 * points at the tip of a vein pressed flat make 5 at most between parallel
 * walls (at half a step to either side of it) and 6.7 between the walls of a
 * spindle 14 x 1 mm. More points than that, seen at equal angles, may be vein
 * that joins. */
#define RUN_IN 3.0
#define RUN_OUT 7.0 /* of fewer than FEW_TRACED_POINTS SPIKE_OUT_FEW */
#define RUN_POINTS ((size_t)4)

/* Radii that are the very same at so many neighbouring angles, and so many
 * times those beside them on both sides (or the other way round), fill what was
 * not traced: rounding makes radii alike that differ little from the next, and
 * the tip of a vein pressed flat is one point or two. */
#define FILL_ANGLES 3
#define FILL_TIMES 1.5

/* A part is missing where one edge is so many times the others on average, so
 * many times the next longest and so much of the perimeter: a tenth of a turn,
 * by which an area is 0.7 % too small. Contours sampled unevenly, and veins
 * pressed flat at equal angles, have more than one long edge. */
#define OPEN_EDGES 5.0
#define OPEN_SECOND 3.0
#define OPEN_PERIMETER 0.1
/* So two or three parts, where every one of the long edges also turns by so
 * much at both ends: a chord leaves a circle at half the arc that it cuts off,
 * and an arc of 40 degrees is a tenth of the way round. The long edges of a
 * vein pressed flat, seen at equal angles, go on straight along its wall. */
#define OPEN_MOST ((size_t)3)
#define OPEN_TURN_DEG 20.0
/* The same of polar contours, which may lie flat along the gap: a quarter turn
 * without a point, wider than any shadow. */
#define OPEN_DEG 90.0

/* Lumen and device lie in the vessel. A contour is larger than
 * the one that it lies in where two tracings of one edge hardly differ by so
 * much: 5 % of the area is what one is taken to err by. */
#define KIND_LARGER 1.05
/* By areas and centres alone: centres nearer than this tell nothing of kinds
 * that are drawn to different origins. */
#define KIND_APART_MM 1.0
/* From its centre no point of a convex contour is further than two thirds of
 * its greatest width, which is at most half its perimeter. */
#define KIND_REACH (1.0 / 3.0)

/* At a point of exactly 0,0 the contour turns back: its edges are so many
 * times what they span, an angle below 84 degrees. A contour that begins at
 * its own origin, or touches it on a grid of pixels, does not. */
#define ORIGIN_TURN 1.5

/* Of so many contours and more at least so many in a hundred have one number
 * of points: then the last one with fewer was cut. */
#define CUT_CONTOURS 5
#define CUT_PERCENT 95

/* A scale changes where areas do from one frame to the next, at most so far
 * apart, by a factor beyond that of a healthy confluence (common iliac vein to
 * cava 1.37 left and 1.59 right, by the published medians), and keep both what
 * they are and their shape. Lengths by 60 to 80 are areas by 1.78. */
#define RESCALE_MM 1.0
#define RESCALE_RATIO 1.6
/* That much of the change, as a power, is in the one step; and on its two
 * sides, of so many frames each, none is further from the median. */
#define RESCALE_ABRUPT 0.8
#define RESCALE_FRAMES 5
#define RESCALE_STEADY 0.25
/* Circularity, which no scale changes, differs by at most so much. */
#define RESCALE_SHAPE 0.05
/* So does every other contour, by at least so much of the change as a power: in
 * frames that keep their scale the wall changes little where a device ends. */
#define RESCALE_ALONG 0.5
/* A mark of a confluence so near tells why, where the wider vein is cranial. */
#define RESCALE_MARK_MM 10.0

/* A catheter that is said to stand sees one place of the vein, which breath
 * makes wider and narrower: by 20 % of the diameter, 1.44 times the area. It
 * hardly stands where medians of five of at least ten frames differ by more. */
#define STANDS_FRAMES 10
#define STANDS_WINDOW ((size_t)5)
#define STANDS_RATIO 1.6

/* A whole contour that lies so far from all others, and so many times as far as
 * they are apart on average, has hardly its own frame number or position. */
#define ALONE_MM 20.0
#define ALONE_TIMES 10.0
#define ALONE_FRAMES 10 /* and more are traced */

/* Millimetres have their origin at the catheter or at a picture's corner, a few
 * centimetres off; a contour further away from 0,0 is doubted to be in
 * millimetres. Our own measure. */
#define FAR_MM 100.0

#endif
