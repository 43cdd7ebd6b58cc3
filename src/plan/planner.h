/*
 * planner.h - what the parts of a plan share, and its treatments.
 */
#ifndef PLAN_PLANNER_H
#define PLAN_PLANNER_H

#include "base/sentences.h"
#include "plan/hunt.h"
#include "plan/landing.h"

typedef struct planner {
    const bl_assessment *assessment;
    const bl_pullback *pullback;
    const bl_plan_options *options;
    ground ground;
    shelf stock;
    fitting_rules rules;
    const bl_earlier *earlier; /* devices that lie there, in position order */
    size_t earlier_count;
    arena *owner; /* of the plan */
    sentences said;
    bool exact;
    int64_t tries;  /* of the search, of this question */
    int64_t budget; /* for stretches that need not be treated in one go */
} planner;

/* Vein treated in one go. Places are those of the ground. */
typedef struct treatment {
    double from_mm; /* from shoulder to shoulder */
    double to_mm;
    size_t first_narrowing; /* of the assessment, in position order */
    size_t narrowing_count;
    size_t blocks;   /* that cannot be parted further */
    landing ends[2]; /* cranial, caudal */
    fitting_site site;
    /* What had to be let go so that anything fits, counts left aside. */
    fitting_letting letting;
    size_t fewest;
    bool stopped;    /* nothing was found before a bound on the work */
    int32_t reached; /* tenths from the landing point; where nothing fits */
    uint64_t value;  /* of that many devices, by CHAIN_SHORT */
    bool served;
    fitting_letting let; /* of the chain that it got */
    hunt_chain chain;
    chain_price paid;
} treatment;

/* Treatments and how good they are together: less is better, the first that
 * differs counts. */
typedef struct outcome {
    size_t unserved; /* blocks for which nothing fits */
    size_t let_go;   /* sum of lettings */
    size_t devices;
    size_t bare;      /* short stretches of vein between devices */
    int64_t wider;    /* than the default sizes in all, tenths */
    int64_t length;   /* from end to end at the least overlaps, tenths */
    int64_t oversize; /* in all, hundredths */
} outcome;

bool outcome_is_less(const outcome *a, const outcome *b);

#endif
