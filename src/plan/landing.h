/*
 * landing.h - where devices are wanted to end.
 */
#ifndef PLAN_LANDING_H
#define PLAN_LANDING_H

#include "plan/ground.h"

typedef struct landing {
    bool caudal; /* else the cranial one */
    double shoulder_mm;
    double at_mm;
    bool healthy; /* in healthy vein that is long enough */
    bool open;    /* the shoulder is not known */
    bool whole;   /* the margin was wanted to be more than there is */
    /* Healthy vein from the shoulder on, or from where it begins outwards of
     * it; both NaN where there is none. */
    double near_mm;
    double far_mm;
    bl_border ends_at; /* at far_mm; without healthy vein what comes first */
} landing;

/* Outwards from a shoulder: the first healthy vein of at least landing_mm that
 * is reached without crossing what is not known; else the longest that begins
 * within 5 mm; else the shoulder itself. Of a stretch that the user names it
 * must begin within 5 mm: what is to be treated is the user's. */
landing landing_find(const ground *on, const bl_plan_options *options,
                     double shoulder_mm, bool caudal, bool open);

/* How far beyond the landing point devices may lie: as far as its healthy vein
 * goes, or from an open end, where it is not known, as far as the longest
 * device does; and not over the iliocaval or the femoral confluence. */
double landing_room_mm(const ground *on, const bl_pullback *pullback,
                       const landing *of);

/* The mark of that name; NULL where there is none. */
const bl_mark *landing_mark(const bl_pullback *pullback, const char *name);

/* The confluence that a device covers that ends there, and the inguinal
 * ligament within 10 mm of there; NULL for none. other_mm is the chain's other
 * end. */
const bl_mark *landing_crosses(const ground *on, const bl_pullback *pullback,
                               bool caudal, double end_mm, double other_mm);
const bl_mark *landing_near(const ground *on, const bl_pullback *pullback,
                            double end_mm);

#define LANDING_NEAR_MM 10.0

/* The mark beyond which all lies between the ends of a chain or device:
 * cranially the iliocaval confluence; caudally the femoral one, else the
 * inguinal ligament; NULL for none. */
const bl_mark *landing_beyond(const ground *on, const bl_pullback *pullback,
                              bool caudal, double end_mm, double other_mm);

#endif
