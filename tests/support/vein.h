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

/* 150 mm2 over 200 mm, of which a fifth is left from 90 to 110 mm: a found
 * reference is on either side of it. */
void vein_narrowed_middle(vein *out);

/* Its areas from the other end. */
void vein_turn_around(vein *of);

/* Cava 300, common iliac 200, external iliac 150, common femoral 125 mm2 over
 * 200 mm; of the veins named only 40 % are left. And where they end. */
void vein_four(vein *out, bool common, bool external, bool femoral);
#define VEIN_FOUR_MARKS                                                        \
    "# mark = iliocaval_confluence @ 20\n"                                     \
    "# mark = internal_iliac_confluence @ 70\n"                                \
    "# mark = inguinal_ligament @ 140\n"                                       \
    "# mark = femoral_confluence @ 190\n"

/* The study of a table in text; fails the test when it cannot be read. */
bl_study *vein_study_of_text(const char *text);

/* Assesses without smoothing, 50 % and 20 %; fails the test on an error. */
bl_assessment *vein_assess(const bl_study *study, bl_rule rule,
                           double smooth_mm);

/* Finds the reference of a vein with these notes, with its candidates; fails
 * the test on an error. */
bl_assessment *vein_explain(vein *of, const char *notes, bl_study **study);

/* Frees both. */
void vein_done(bl_study *study, bl_assessment *assessment);

/* Whether a warning holds the words. */
bool vein_warns(const bl_assessment *of, const char *words);

#endif
