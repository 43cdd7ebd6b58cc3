/*
 * suspicion.h - coordinates that read well and are hardly what was traced.
 */
#ifndef READ_SUSPICION_H
#define READ_SUSPICION_H

#include "boreline.h"
#include "pullback/findings.h"

/* Zero-initialised is ready. */
typedef struct suspicion {
    uint64_t contours; /* with points */
    uint64_t points;
    bool fractions;    /* one of these has a coordinate that is not whole */
    bool degrees;      /* one has an angle that is no radian of a turn */
    uint64_t far;      /* contours that lie far from 0,0 */
    double far_mm;     /* of the first, as written */
    uint64_t beyond;   /* contours whose angles go on for more than a turn */
    double beyond_deg; /* the last angle of the first */
    uint64_t filled;   /* contours with zeros that look like fill */
    uint64_t first_line;
    int64_t first_frame;
    uint64_t alike; /* polar contours with the very same radius side by side,
                       unlike those beside it */
    uint64_t alike_line;
    int64_t alike_frame;
    double alike_radius; /* of the first, as written */
    uint64_t gaps; /* polar contours with a wide one between their angles */
    uint64_t gap_line;
    int64_t gap_frame;
    double gap_deg; /* of the first */
} suspicion;

/* Looks at the points of a contour as they are written. polar: x is an angle,
 * y a radius. True where these points will be warned of. */
bool suspicion_look(suspicion *of, const bl_contour *written, bool polar,
                    int64_t frame, uint64_t line);

/* At the end: warns of fill by zeros or another radius, of gaps, of angles that
 * may be radians and, in millimetres, of whole numbers only, which decimal
 * commas that separate make too, and of contours that mostly lie far from 0,0.
 * BL_ERR_MEMORY. */
bl_status suspicion_say(const suspicion *of, bool polar, bool millimetres,
                        char separator, findings *said);

#endif
