/*
 * chain.h - the best chains of one stretch, by how many devices they have.
 */
#ifndef PLAN_CHAIN_H
#define PLAN_CHAIN_H

#include "base/limits.h"
#include "plan/tail.h"

/* What comes first among chains of equally many devices. */
typedef enum chain_goal {
    CHAIN_SHORT, /* nearest to the default sizes and places, then least length
                    beyond what is needed, then least oversize in all */
    CHAIN_SNUG   /* least oversize in all, then length */
} chain_goal;

#define CHAIN_NO_VALUE UINT64_MAX

/* A place where a device can begin, and how those fit that begin there: the
 * last ones where they will lie. */
typedef struct chain_stop {
    int32_t at;              /* tenths from the landing point */
    const fitting_fit *fits; /* of each kind */
    const uint16_t *fitting; /* the kinds that fit at all */
    size_t fitting_count;
    int32_t back_most; /* of the last ones among them */
} chain_stop;

/* Where the next device of a chain can begin, and behind what. */
typedef struct chain_place {
    size_t stop;
    size_t diameter; /* its number; behind them all: no device before */
    /* How far the last device may be moved back from there at most, tenths: the
     * one before still covers something that no other does. */
    int32_t back;
} chain_place;

typedef struct chain_search {
    const shelf *stock;
    const fitting_rules *rules;
    fitting_site site;
    fitting_letting letting;
    chain_goal goal;
    arena *owner;
    fitting_table table;
    tail_table *tails;   /* of each kind that is, or may be, moved */
    bl_interval tail_mm; /* the reference where last ones can lie */
    int32_t back_least;  /* what any device lets the next be moved back */
    int32_t *stop_of;    /* of each tenth of the cover; -1: none */
    chain_stop *stops;
    size_t stop_count;
    /* Numbers of the diameters that may follow each; behind the last of them
     * those that may begin. */
    size_t *narrowest;
    size_t *widest;
    uint64_t *layers[LIMIT_CHAIN]; /* [k - 1]: exactly k devices are left */
    size_t layer_count;
    bool exhausted; /* no more devices lead anywhere */
    bool stopped;   /* they might, but for the bound on the work */
} chain_search;

/* BL_ERR_MEMORY. */
bl_status chain_build(const ground *on, const shelf *stock,
                      const fitting_rules *rules, const fitting_site *site,
                      fitting_letting letting, chain_goal goal, arena *owner,
                      chain_search *out);

/* Makes values known for up to so many devices. BL_ERR_MEMORY. */
bl_status chain_deepen(chain_search *of, size_t devices);

/* The fewest devices that reach from landing to landing, counts in stock left
 * aside; 0: none do. BL_ERR_MEMORY. */
bl_status chain_fewest(chain_search *of, size_t *devices);

/* Where the first begins. */
chain_place chain_begin(const chain_search *of);

/* The least that is to be paid with exactly so many devices from a place on:
 * CHAIN_NO_VALUE where there is no way. Counts in stock are left aside, so that
 * with them it is never less; of one device what lies before is. */
uint64_t chain_value(const chain_search *of, size_t devices,
                     const chain_place *at);

/* What one device adds to it, and where the next begins; of the last, where it
 * lies, tenths from the landing point. CHAIN_NO_VALUE where the kind does not
 * fit or may not follow. The last device must reach the landing point, any
 * other must not. */
uint64_t chain_step(const chain_search *of, size_t kind, const chain_place *at,
                    chain_place *next);
uint64_t chain_last(const chain_search *of, size_t kind, const chain_place *at,
                    int32_t *from);

/* What a value is the sum of. */
typedef struct chain_price {
    int32_t wider;    /* than the default sizes, and moved, tenths */
    int32_t beyond;   /* length past what is needed, tenths */
    int32_t oversize; /* hundredths */
} chain_price;

chain_price chain_price_of(chain_goal goal, uint64_t value);

/* The place furthest from the landing point where a device can begin. */
int32_t chain_reached(const chain_search *of);

#endif
