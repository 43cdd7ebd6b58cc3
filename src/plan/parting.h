/*
 * parting.h - what is treated in one go.
 */
#ifndef PLAN_PARTING_H
#define PLAN_PARTING_H

#include "plan/planner.h"

/* Narrowings that cannot be treated apart, and their landing points. */
typedef struct block {
    double from_mm;
    double to_mm;
    bool open_from; /* cranially */
    bool open_to;
    size_t first_narrowing;
    size_t narrowing_count;
    landing ends[2];
} block;

typedef struct parting {
    block *blocks; /* from cranial to caudal */
    size_t count;
    treatment *alone;    /* each block by itself */
    treatment *together; /* all of them in one go; NULL: no such search */
    treatment *chosen;   /* what the plan treats */
    size_t chosen_count;
} parting;

/* Parts what is to be treated and gives it devices. BL_ERR_MEMORY. */
bl_status parting_find(planner *in, parting *out);

#endif
