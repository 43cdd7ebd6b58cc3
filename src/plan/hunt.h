/*
 * hunt.h - the best chains of several stretches at once, from what is in
 * stock.
 */
#ifndef PLAN_HUNT_H
#define PLAN_HUNT_H

#include "plan/chain.h"

/* The kinds of one stretch's devices, from cranial to caudal. */
typedef struct hunt_chain {
    size_t kinds[LIMIT_CHAIN];
    size_t count;
    int32_t last_from; /* where the last one lies, tenths */
} hunt_chain;

typedef struct hunt_result {
    bool found;
    size_t devices; /* in all */
    uint64_t value; /* sum over the stretches, by the goal */
    bool exact;     /* false: the search was stopped at its bound */
    int64_t tries;  /* spent of that, by this and by searches before */
} hunt_result;

/* The best chains of exactly so many devices in all, one of chains[] for each
 * of `count` stretches into out[]; of equally good ones that which comes first
 * in the order of the list, cranial devices before caudal. BL_ERR_MEMORY. */
bl_status hunt_with(chain_search *chains, size_t count, size_t devices,
                    arena *scratch, hunt_chain *out, hunt_result *result);

/* The same of the fewest devices. */
bl_status hunt_fewest(chain_search *chains, size_t count, arena *scratch,
                      hunt_chain *out, hunt_result *result);

#endif
