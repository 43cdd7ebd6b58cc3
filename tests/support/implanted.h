/*
 * implanted.h - pullbacks with lumen, device and vessel for tests, given frame
 * by frame.
 */
#ifndef SUPPORT_IMPLANTED_H
#define SUPPORT_IMPLANTED_H

#include "boreline.h"
#include "support/check.h"

#define IMPLANTED_FRAMES 2000

/* One contour: an ellipse about 0,0 with this area and aspect ratio; area 0:
 * none. bump_mm: so much further out (along the rays from 0,0) for bump_deg,
 * centred on +x, with radial flanks. */
typedef struct implanted_ring {
    double area_mm2;
    double aspect; /* 0: round */
    double bump_mm;
    double bump_deg; /* a multiple of 4 */
    bool crosses;    /* a figure of eight, which cannot be measured */
    double x_mm;     /* so far along x from 0,0 */
} implanted_ring;

typedef struct implanted_frame {
    double position_mm;
    implanted_ring lumen;
    implanted_ring device;
    implanted_ring vessel;
} implanted_frame;

typedef struct implanted {
    implanted_frame frames[IMPLANTED_FRAMES];
    size_t count;
    const char *notes; /* lines of notes, or "" */
    int points;        /* of a contour; 180, which a bump needs, or fewer */
} implanted;

/* A finished study of it, with apposition: polygons whose own area is exact
 * without a bump. */
bl_study *implanted_study(const implanted *of);

/* Frames from 0 to length_mm, step_mm apart, a round lumen of one area, of 180
 * points. */
void implanted_straight(implanted *out, double length_mm, double step_mm,
                        double area_mm2);

/* Assesses with the reference of its notes, or without one. */
bl_assessment *implanted_assess(const bl_study *study, double smooth_mm);

/* Of a circle. */
double implanted_disc_mm2(double diameter_mm);

/* The defaults, with tables that need no lining up. */
bl_compare_options implanted_unshifted(void);

/* A comparison and everything that it needs. */
typedef struct compared_pair {
    bl_study *studies[2];
    bl_assessment *assessments[2];
    bl_comparison *of; /* NULL: refused */
    bl_status status;
    bl_message message;
} compared_pair;

/* Of two that are assessed without smoothing; fails the test on an error. */
compared_pair implanted_compare(const implanted *before, const implanted *after,
                                const bl_compare_options *options);
/* The same smoothed; an error is in the result. */
compared_pair implanted_compare_smoothed(const implanted *before,
                                         const implanted *after,
                                         const bl_compare_options *options,
                                         double smooth_mm);
void compared_pair_free(compared_pair *of);

/* A lumen of 200 mm2 from 0 to 200, flat and 60 between 80 and 120,
 * reference 10..30 and 170..190; and the same of 190 mm2 with a device of 170
 * mm2 from 70 to 130 that fills lumen and vessel, all 160 at 100. */
typedef struct implanted_pair {
    implanted before;
    implanted after;
} implanted_pair;

/* To be freed by free. */
implanted_pair *implanted_pair_new(void);

/* Compares the two with these sizes. */
compared_pair implanted_sized(const implanted_pair *tables,
                              const bl_nominal sizes[2]);

/* Whether a sentence that leads the comparison of the two, without sizes, holds
 * the words. */
bool implanted_leads(const implanted_pair *tables, const char *words);

/* Whether any sentence holds the words. */
bool implanted_says(const char *const *sentences, size_t count,
                    const char *words);

#endif
