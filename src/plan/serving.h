/*
 * serving.h - devices for treatments.
 */
#ifndef PLAN_SERVING_H
#define PLAN_SERVING_H

#include "plan/planner.h"

/* What is asked of a search. */
typedef struct serving_wish {
    chain_goal goal;
    size_t devices;          /* exactly so many; 0: the fewest */
    fitting_letting letting; /* at least so much is let go */
    double factor;           /* of all lengths */
} serving_wish;

/* Whether letting this go can change anything at a site. */
bool serving_matters(const planner *in, const fitting_site *site,
                     fitting_letting letting);

/* Fills what a treatment needs when counts are left aside. BL_ERR_MEMORY. */
bl_status serving_alone(planner *in, treatment *one);

/* All of them or none: false in *found. BL_ERR_MEMORY. */
bl_status serving_together(planner *in, treatment *list, size_t count,
                           const serving_wish *wish, bool *found);

/* The fewest devices for as many as the stock has them for, in a stretch's
 * order from cranial to caudal. BL_ERR_MEMORY. */
bl_status serving_all(planner *in, treatment *list, size_t count,
                      double factor);

/* What treatments, from cranial to caudal, got. */
outcome serving_outcome(const planner *in, const treatment *list, size_t count);

/* Whether vein that would be bare between devices, on the ground, is so short
 * that what lies at both of its ends is joined. */
bool serving_is_bare(const planner *in, double from_mm, double to_mm);

/* That of a treatment with what it needs when counts are left aside. */
outcome serving_outcome_alone(const treatment *one);

#endif
