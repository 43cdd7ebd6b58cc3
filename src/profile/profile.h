/*
 * profile.h - measures in position order: usable frames, gaps, smoothing,
 * volume.
 */
#ifndef PROFILE_PROFILE_H
#define PROFILE_PROFILE_H

#include "base/arena.h"
#include "boreline.h"

/* What the lumen contours of a table are along the vessel. Everything belongs
 * to the arena that profile_build was given. */
typedef struct profile {
    bl_profile_point *points; /* usable frames; reference_area_mm2 is NaN */
    size_t count;
    size_t *left_out; /* rows of lumen frames that cannot be measured */
    size_t left_out_count;
    bl_span *gaps; /* stretches over GAP_MM between usable frames */
    size_t gap_count;
} profile;

/* A contour that a profile is made of: of kind lumen, and not left out. */
bool profile_is_usable_lumen(const bl_row *row);

/* rows: in position order, any kinds. smooth_mm: width of the running median,
 * 0 for none. scale: NULL, or a factor for every point that all its lengths
 * are multiplied by, its area by the square, before smoothing. BL_ERR_MEMORY.
 */
bl_status profile_build(const bl_row *rows, size_t row_count, double smooth_mm,
                        const double *scale, arena *owner, profile *out);

/* One past the last point of the stretch without a gap that starts at first. */
size_t profile_stretch_end(const bl_profile_point *points, size_t count,
                           size_t first);

/* The first point at or after a position; count when there is none. */
size_t profile_lower_bound(const profile *of, double position_mm);

/* Traced volume in mm3: trapezoid of the areas as traced, over the stretches
 * without a gap; *traced_mm is their length. */
double profile_volume_mm3(const bl_profile_point *points, size_t count,
                          double *traced_mm);

/* Length in mm that point i stands for: half the way to its neighbours within
 * its stretch. */
double profile_weight_mm(const bl_profile_point *points, size_t count,
                         size_t i);

/* Minimum diameter as a share of perimeter diameter: 1 is round, 0 pressed
 * flat, whatever the calibre. NaN where the diameter is unknown. */
double profile_flatness(const bl_profile_point *point);

#endif
