/*
 * vein.h - whole pullbacks for tests, given frame by frame.
 */
#ifndef SUPPORT_VEIN_H
#define SUPPORT_VEIN_H

#include "boreline.h"
#include "support/check.h"

#define VEIN_FRAMES 4000

/* One cross-section: an ellipse with this area and aspect ratio. */
typedef struct vein_frame {
    double position_mm;
    double area_mm2;
    double aspect;
} vein_frame;

typedef struct vein {
    vein_frame frames[VEIN_FRAMES];
    size_t count;
    const char *notes; /* lines of notes, or "" */
} vein;

/* Round frames from 0 to length_mm, step_mm apart, all of one area. */
void vein_straight(vein *out, double length_mm, double step_mm,
                   double area_mm2);

/* A finished study of it: polygons of 180 points whose own area is exact. */
bl_study *vein_study(const vein *of);

/* The study of a table in text; fails the test when it cannot be read. */
bl_study *vein_study_of_text(const char *text);

/* Assesses without smoothing, 50 % and 20 %; fails the test on an error. */
bl_assessment *vein_assess(const bl_study *study, bl_rule rule,
                           double smooth_mm);

#endif
