/*
 * limits.h - every limit past which an input is refused or no longer listed, in
 * one place. Room that follows from what there can be stands where it is used:
 * a row a vein and side (pullback/normals.h), the letters of a name that is
 * looked for (base/words.h), the notes of an assessment (assess/warning.c).
 *
 * Each is documented in docs/formats.md and tested at the limit and one past
 * it. They exist so that a broken or hostile table ends in a message, not in
 * an exhausted machine.
 */
#ifndef BASE_LIMITS_H
#define BASE_LIMITS_H

#include <stddef.h>
#include <stdint.h>

/* Bytes of one line, its end not counted. */
#define LIMIT_LINE_BYTES 1048576
/* Columns of a long table, or before the coordinates of a wide one. */
#define LIMIT_COLUMNS 256
/* Bytes of a note's value, a label or a mark's name; and of a source in a table
 * of expected areas. */
#define LIMIT_NOTE_BYTES 4096
/* Bytes of a table of expected areas, and of a stock list. */
#define LIMIT_SMALL_BYTES 1048576
/* Devices of a stock list, bytes of the label of one, and how many there are of
 * it. */
#define LIMIT_STOCK 200
#define LIMIT_LABEL_BYTES 80
#define LIMIT_STOCK_COUNT 9999
/* Nominal sizes of one comparison; public as BL_NOMINALS_MOST. */
#define LIMIT_NOMINALS ((size_t)16)
/* Marks of a table; pieces of a speed schedule; known positions. */
#define LIMIT_MARKS 256
#define LIMIT_SCHEDULE 256
/* Points of one contour. */
#define LIMIT_POINTS 1000000
/* Looks at blocks of edges in the search for the largest circle inside, and as
 * many more for each point; a contour traced on a vein takes some hundred. Past
 * them, a tenth of a second and some 50 us a point, the diameter is given up as
 * unknown. */
#define LIMIT_CIRCLE_LOOKS 1000000
#define LIMIT_CIRCLE_LOOKS_PER_POINT 500
/* Looks at edges, blocks and pairs of edges while two contours are held against
 * each other, and as many more for each point of both; two that are traced take
 * some ten for each. Past them what is looked for is given up as unknown. */
#define LIMIT_PAIR_LOOKS 1000000
#define LIMIT_PAIR_LOOKS_PER_POINT 100
/* Pieces into which the edges of either are cut, at -x and where what is looked
 * for begins and ends, and as many more for each point of both. */
#define LIMIT_PAIR_WEDGES 100000
#define LIMIT_PAIR_WEDGES_PER_POINT 16
/* Bytes of a gzip table when unpacked, unless said otherwise. */
#define LIMIT_UNPACKED_BYTES (UINT64_C(4) << 30)
/* Bytes for contours as kept, unless said otherwise: their measures, what may
 * be odd of them and, for a picture, their points. */
#define LIMIT_MEMORY_BYTES (UINT64_C(2) << 30)
/* Contours of a table. */
#define LIMIT_CONTOURS 2000000
/* The largest frame number. */
#define LIMIT_FRAME 999999999
/* A coordinate's magnitude that a vein can have, mm (flag out-of-range). */
#define LIMIT_COORDINATE_MM 1000.0
/* A position's magnitude along a pullback, mm. */
#define LIMIT_POSITION_MM 10000
/* Findings of one fault that are listed, later ones are counted; and kinds of
 * fault told apart. */
#define LIMIT_REPEATS 10
#define LIMIT_FAULTS 256
/* Narrowings that get an interval; more are no disease that anyone reads. */
#define LIMIT_INTERVALS 32
/* Candidates of one comparison of inflow veins; public as BL_INFLOW_MOST. */
#define LIMIT_INFLOW ((size_t)16)
/* Devices of a chain that a user wants held against the rules; public as
 * BL_WISHES_MOST. */
#define LIMIT_WISHES ((size_t)16)
/* Work of a plan's search; past any of these it says that it was stopped.
 * Devices of one stretch: more are no plan, and the sums of their prices would
 * not fit (plan/chain.c). */
#define LIMIT_CHAIN ((size_t)64)
/* Values of one stretch, 8 bytes each: a stock of 200 devices of as many
 * diameters reaches it at 600 mm with 20 devices. */
#define LIMIT_CHAIN_VALUES ((size_t)24000000)
/* Devices that are tried where counts in stock bind, a second or so: for the
 * plan, and as many for other plans and for other lengths. */
#define LIMIT_TRIES 40000000
/* Fits that are looked at for stretches that need not be treated in one go, a
 * second or so. */
#define LIMIT_FITS 20000000
/* Runs of narrowings that are parted in every way where counts bind or short
 * vein would lie bare: each more makes twice as many ways. With more of them
 * the search is stopped. */
#define LIMIT_PARTED ((size_t)7)
/* Of each list that a record tells one by one and a table makes long. */
#define LIMIT_RECORD_LISTED 12

#endif
