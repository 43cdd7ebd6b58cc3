/*
 * gather.h - points become contours, which are handed to a receiver.
 */
#ifndef READ_GATHER_H
#define READ_GATHER_H

#include "base/message.h"
#include "boreline.h"
#include "pullback/notes.h"
#include "read/suspicion.h"

/* A finished contour in millimetres, y up; its points are gone after the
 * call. time_s and position_mm are NaN where the table gives none. */
typedef struct read_contour {
    int64_t frame;
    double time_s;
    double position_mm;
    bl_kind kind;
    bl_contour contour;
    uint64_t line; /* of its first point, or of its block's first line */
    bool doubted;  /* what is told at the end is told of its points */
} read_contour;

typedef bl_status (*read_receiver)(void *context, const read_contour *contour);

typedef enum gather_units {
    UNITS_MM,       /* x, y in mm */
    UNITS_PX,       /* x, y in pixels */
    UNITS_POLAR_MM, /* degrees and mm */
    UNITS_POLAR_PX  /* degrees and pixels */
} gather_units;

bool gather_in_pixels(gather_units units);
bool gather_in_angles(gather_units units);

/* Zero-initialised, with receiver, context and message set, is ready. */
typedef struct gather {
    read_receiver receiver;
    void *context;
    bl_message *message;
    gather_units units;
    double scale_x; /* mm per pixel, when units are pixels */
    double scale_y;
    bool unscaled; /* pixels whose scale is not known: gather_unscaled */
    bool y_down;
    bool open; /* a contour is under way */
    read_contour now;
    double *x; /* as written */
    double *y;
    size_t count;
    size_t capacity;
    uint64_t points;     /* in all */
    uint64_t comma_line; /* of the first number with a decimal comma, and */
    uint64_t point_line; /* with a point where commas may be; 0 for none */
    suspicion suspicion;
} gather;

/* Pixels of which no scale is known, where reading goes on: contours come in
 * units of no meaning, small enough for every pixel to be within the range of
 * a coordinate. They are powers of two of a pixel, so that what crosses or
 * lies on a line is that of the pixels, to the last bit. */
void gather_unscaled(gather *to);

/* Starts a contour, handing over the one under way. */
bl_status gather_start(gather *to, const read_contour *heading);

/* Adds a point to the contour under way. BL_ERR_LIMIT, BL_ERR_MEMORY. */
bl_status gather_point(gather *to, double x, double y);

/* Hands over the contour under way, if any. */
bl_status gather_end(gather *to);

/* Takes note of the decimal marks of a line's numbers. BL_ERR_INPUT when the
 * table has both, for one of them is then no decimal mark. */
bl_status gather_marks(gather *to, bool comma, bool point, uint64_t number);

void gather_free(gather *of);

#endif
