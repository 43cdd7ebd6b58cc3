/*
 * leeway.h - how far healthy vein may lie from where a found reference has it.
 */
#ifndef ASSESS_LEEWAY_H
#define ASSESS_LEEWAY_H

#include "assess/workings.h"
#include "base/chance.h"

/* Of one link of the reference. */
typedef struct leeway_link {
    size_t stretches;   /* that say how wide it is, 0 to 2 */
    double at_mm[2];    /* their middles */
    double diameter[2]; /* mm */
    double slope;       /* mm that are lost caudally in a mm, at most */
    bl_span ramp;       /* over which the reference itself goes */
    double scale[2];    /* from and to this share of the diameter */
    double apart;       /* lent: what its diameter differs by, as a share */
    double either;      /* and to either side, since persons differ */
    bool may_step;      /* one vein may join another between the two */
    bool bordered;      /* a known border parts the two, at */
    double border_mm;
} leeway_link;

typedef struct leeway {
    leeway_link links[REFERENCE_LINKS];
    /* Areas of the next best stretches, as shares of those chosen. */
    double next_best[REFERENCE_SEGMENTS];
    size_t count;  /* 0: none at all */
    double caudal; /* 1 where positions grow caudally, else -1 */
} leeway;

/* What healthy vein is taken to be in one round. */
typedef struct leeway_draw {
    const leeway *of;
    double slope[REFERENCE_LINKS];
    double apart[REFERENCE_LINKS];
    double either[REFERENCE_LINKS];
    double stepped[REFERENCE_LINKS];   /* the share that is a step */
    double step_mm[REFERENCE_LINKS];   /* where */
    double chosen[REFERENCE_SEGMENTS]; /* areas of stretches, as factors */
} leeway_draw;

/* Of work's reference, one that was found; runner_up: the next best, or none.
 */
leeway leeway_of(const workings *work, const reference *runner_up);

/* Without links everything is left as it is. */
leeway_draw leeway_take(const leeway *of, chance *by);

/* Healthy diameter at a position in a link, as a factor of the reference's;
 * 0.5 at least. */
double leeway_factor(const leeway_draw *now, size_t link, double x_mm);

#endif
